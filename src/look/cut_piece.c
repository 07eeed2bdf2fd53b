/* SPDX-License-Identifier: MIT */
/* One piece cut out exactly on a crop of the wall: the ground's guess, the cut-out, and what both know together.
 * In: a crop. Out: study. */
#include "pieces_internal.h"

#include <math.h>
#include <stdlib.h>

/* How likely bare wall in a person's box is to be of the piece: hardly, where the ground sees the piece beside it; more
 * where it sees nothing at all in the box, as the person does. With the latter for both, one box in ten was filled to
 * its lower border. */
#define BARE_BESIDE 0.02F
#define BARE_ALL 0.05F

static bool first_guess(void *data, const bc_image *image, int width, int height, float *probability) {
  const look_guess *const from = data;
  const look_ground *const g = from->s->ground;
  const bc_image *const wall = from->s->look->wall;
  (void)image;
  for (int y = 0; y < height; y++)
    for (int x = 0; x < width; x++) {
      const double at_x = from->crop.x + (x + 0.5) * from->crop.width / width;
      const double at_y = from->crop.y + (y + 0.5) * from->crop.height / height;
      int cx = (int)(at_x * g->width / wall->width), cy = (int)(at_y * g->height / wall->height);
      cx = cx < 0 ? 0 : cx >= g->width ? g->width - 1 : cx;
      cy = cy < 0 ? 0 : cy >= g->height ? g->height - 1 : cy;
      const size_t i = (size_t)cy * (size_t)g->width + (size_t)cx;
      const bool own = from->number < 0 || from->s->label[i] == from->number;
      probability[y * width + x] = !own                          ? 0.02f
                                   : g->class[i] == LOOK_PIECE   ? 0.95f
                                   : g->class[i] == LOOK_FAINT   ? 0.85f
                                   : g->class[i] == LOOK_PERHAPS ? 0.40f
                                   : from->number < 0            ? from->bare
                                                                 : 0.60f; /* enclosed by the closing */
    }
  return true;
}

#define SOFT 3 /* pixels: half the breadth of each of two means */

/* Means over 2 SOFT + 1 places of a row or a column, whose places are `step` apart. */
static void soften(float *line, int count, int step, float *work) {
  for (int i = 0; i < count; i++) {
    const int from = i > SOFT ? i - SOFT : 0, to = i + SOFT < count ? i + SOFT : count - 1;
    float sum = 0;
    for (int k = from; k <= to; k++) sum += line[(size_t)k * (size_t)step];
    work[i] = sum / (float)(to - from + 1);
  }
  for (int i = 0; i < count; i++) line[(size_t)i * (size_t)step] = work[i];
}

/* The guess without the steps of the ground's cells: the cut-out takes a step between pixels for an edge that is known
 * to the pixel, which it is not. */
static bool soft_guess(void *data, const bc_image *image, int width, int height, float *probability) {
  float *work = bc_allocate((size_t)(width > height ? width : height), sizeof *work);
  if (!work || !first_guess(data, image, width, height, probability)) {
    free(work);
    return false;
  }
  int faint = 0, clear = 0;
  for (int i = 0; i < width * height; i++) {
    faint += probability[i] > 0.8F && probability[i] < 0.9F;
    clear += probability[i] >= 0.9F;
  }
  if (20 * faint > clear) { /* white on white: the ground knows more of it than colours do */
    free(work);
    return true;
  }
  for (int pass = 0; pass < 2; pass++) {
    for (int y = 0; y < height; y++) soften(probability + (size_t)y * (size_t)width, width, 1, work);
    for (int x = 0; x < width; x++) soften(probability + x, height, width, work);
  }
  /* A cell on the border is partly wall: the guess's middle moves inwards. */
  for (int i = 0; i < width * height; i++) probability[i] = fmaxf(0.02F, fminf(0.95F, 1.9F * probability[i] - 0.9F));
  free(work);
  return true;
}

/* The mask as the ground has it, where the cut-out finds nothing it can trust. */
static bc_status mask_of_ground(bc_cutout **out, bc_context *context, const look_guess *from) {
  bc_cutout *cut = bc_allocate(1, sizeof *cut);
  const size_t count = (size_t)from->crop.width * (size_t)from->crop.height;
  float *chance = bc_allocate(count, sizeof *chance);
  *out = cut;
  if (cut) cut->alpha = bc_allocate(count, 1);
  if (!cut || !chance || !cut->alpha) {
    bc_cutout_free(cut);
    free(chance);
    *out = NULL;
    return bc_fail_memory(context);
  }
  cut->width = from->crop.width;
  cut->height = from->crop.height;
  cut->confidence = 0.5;
  first_guess((void *)from, NULL, cut->width, cut->height, chance);
  bool any = false;
  for (size_t i = 0; i < count; i++) {
    cut->alpha[i] = chance[i] < 0.5f ? 0 : 255;
    any = any || cut->alpha[i];
  }
  free(chance);
  return any ? BC_OK : bc_fail(context, BC_BAD_DATA, _("Nothing was found in this box."));
}

static double agreement(const bc_cutout *one, const bc_cutout *other) {
  double both = 0, any = 0;
  for (size_t i = 0; i < (size_t)one->width * (size_t)one->height; i++) {
    const bool a = one->alpha[i] >= 128, b = other->alpha[i] >= 128;
    both += a && b;
    any += a || b;
  }
  return any > 0 ? both / any : 0;
}

#define NOTCH_CM 2.3 /* half the width of the notches that light stripes leave at a piece's border */

/* Closes notches of the mask where the ground, too, sees the piece. `d` and `wide` are for work. */
static void close_notches(bc_cutout *cut, const bc_cutout *ground, double reach, int *d, uint8_t *wide) {
  const size_t count = (size_t)cut->width * (size_t)cut->height;
  look_distances(d, cut->alpha, true, cut->width, cut->height, 128);
  for (size_t i = 0; i < count; i++) wide[i] = d[i] <= 3 * reach ? 255 : 0;
  look_distances(d, wide, false, cut->width, cut->height, 128);
  for (size_t i = 0; i < count; i++)
    if (d[i] > 3 * reach && ground->alpha[i] >= 128) cut->alpha[i] = 255;
}

/* What the ground is sure of belongs to the piece, too: light stripes are near the wall's colour, and the cut-out,
 * which knows only colours, leaves them out. Along the border, where a photo's compression smears colours, only notches
 * are filled. */
static bc_status add_sure(bc_cutout *cut, bc_context *context, const bc_cutout *ground, double cell, double px_per_cm) {
  const size_t count = (size_t)cut->width * (size_t)cut->height;
  int *depth = bc_allocate(count, sizeof *depth);
  uint8_t *wide = bc_allocate(count, 1);
  const bool room = depth && wide;
  if (room) {
    look_distances(depth, ground->alpha, false, cut->width, cut->height, 128);
    for (size_t i = 0; i < count; i++)
      if (depth[i] > 3 * 2.0 * cell) cut->alpha[i] = 255;
    close_notches(cut, ground, NOTCH_CM * px_per_cm, depth, wide);
  }
  free(depth);
  free(wide);
  return room ? BC_OK : bc_fail_memory(context);
}

/* The smallest box round what is covered by half or more. */
static void set_box(bc_cutout *cut) {
  int left = cut->width, top = cut->height, right = -1, bottom = -1;
  for (int y = 0; y < cut->height; y++)
    for (int x = 0; x < cut->width; x++) {
      if (cut->alpha[(size_t)y * (size_t)cut->width + (size_t)x] < 128) continue;
      left = x < left ? x : left;
      right = x > right ? x : right;
      top = y < top ? y : top;
      bottom = y;
    }
  if (right >= 0) cut->box = (bc_box){left, top, right - left + 1, bottom - top + 1};
}

bc_status look_piece_cut(bc_study **out, bc_context *context, bc_image *image, const look_guess *from, bc_box inner,
                         const char *name) {
  bc_study *study = bc_allocate(1, sizeof *study);
  *out = study;
  if (!study) {
    bc_image_free(image);
    return bc_fail_memory(context);
  }
  study->image = image;
  bc_cutout *ground = NULL;
  bc_status status = mask_of_ground(&ground, context, from);
  bc_cutout_options how = bc_cutout_options_default();
  how.has_box = true;
  how.box = inner;
  const bool nothing = status == BC_BAD_DATA; /* a box that a person gave round something like the wall */
  look_guess heard = *from;
  heard.bare = nothing ? BARE_ALL : BARE_BESIDE;
  how.first_guess = from->number < 0 ? first_guess : soft_guess;
  how.first_guess_data = &heard;
  if (status == BC_OK && from->number >= 0 && from->s->ground->patterned) { /* colours alone do not part them */
    study->cutout = ground;
    ground = NULL;
  } else if (status == BC_OK || nothing) {
    const bc_status cut = bc_cutout_find(&study->cutout, context, image, &how);
    if (cut == BC_OUR_FAULT || (nothing && cut != BC_OK))
      status = cut;
    else
      status = BC_OK;
    if (!nothing && status == BC_OK && (cut != BC_OK || agreement(study->cutout, ground) < 0.55)) {
      bc_cutout_free(study->cutout);
      study->cutout = ground;
      ground = NULL;
    }
  }
  if (status == BC_OK && ground && from->number >= 0 && !nothing)
    status = add_sure(study->cutout, context, ground, from->s->ground->cell, from->s->look->pixels_per_cm);
  if (status == BC_OK) status = look_place_edge(study->cutout, context, image);
  if (status == BC_OK) status = look_fill_holes(study->cutout, context, from->s->look->pixels_per_cm);
  if (status == BC_OK) set_box(study->cutout);
  if (status == BC_OK) status = bc_reading_of(&study->reading, context, image, study->cutout, name);
  bc_cutout_free(ground);
  if (status == BC_OK) return BC_OK;
  bc_study_free(study);
  *out = NULL;
  return status;
}
