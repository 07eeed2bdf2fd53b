/* SPDX-License-Identifier: MIT */
/* A textile's repeat at the size it has on the picture: whole repeats, many enough that rounding to whole
 * pixels moves none by more than a thousandth. */
#include "paper.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define PHOTO_PREFIX "photo:"

#define ROOM 1024 /* pixels; a repeat that is larger stays one */

/* One destination line of a periodic source: a tent as broad as a destination pixel, at least one of the source. */
static void resample_line(drawing_v4 *out, int count, int repeats, const drawing_v4 *in, int length, size_t step) {
  const double ratio = (double)length * repeats / count, reach = fmax(1, ratio);
  for (int i = 0; i < count; i++) {
    const double middle = (i + 0.5) * ratio - 0.5;
    drawing_v4 sum = {0};
    float weights = 0;
    for (int k = (int)ceil(middle - reach); k <= (int)floor(middle + reach); k++) {
      const float weight = (float)(1 - fabs(k - middle) / reach);
      sum += in[(size_t)(((k % length) + length) % length) * step] * weight;
      weights += weight;
    }
    out[i] = sum / weights;
  }
}

static int repeats_in(double pixels) {
  return (int)fmax(1, floor(ROOM / pixels));
}

static bc_status fill(drawing_cloth_field *field, bc_context *context, const drawing_textile *t, int across, int down) {
  const int width = field->pattern_width, height = field->pattern_height;
  field->pattern = bc_allocate((size_t)width * (size_t)height, sizeof *field->pattern);
  drawing_v4 *const narrow = bc_allocate((size_t)width * (size_t)t->height, sizeof *narrow);
  drawing_v4 *const column = bc_allocate((size_t)height, sizeof *column);
  if (field->pattern && narrow && column) {
    for (int y = 0; y < t->height; y++)
      resample_line(narrow + (size_t)y * (size_t)width, width, across, t->pixels + (size_t)y * (size_t)t->width,
                    t->width, 1);
    for (int x = 0; x < width; x++) {
      resample_line(column, height, down, narrow + x, t->height, (size_t)width);
      for (int y = 0; y < height; y++) field->pattern[(size_t)y * (size_t)width + (size_t)x] = column[y];
    }
  }
  free(narrow);
  free(column);
  return field->pattern && narrow && column ? BC_OK : bc_fail_memory(context);
}

bc_status drawing_cloth_field_print(drawing_cloth_field *field, bc_context *context, const drawing_textile *textile,
                                    double photo_pixels) {
  const double wide = textile->repeat_width * photo_pixels, high = textile->repeat_height * photo_pixels;
  if (!(wide > 0 && high > 0) || wide > 20000 || high > 20000)
    return bc_fail(context, BC_BAD_USAGE,
                   _("The cloth's photo would be %.0f pixels wide on the drawing. Ask for fewer "
                     "pixels per cm."),
                   photo_pixels);
  const int across = repeats_in(wide), down = repeats_in(high);
  field->pattern_width = (int)lrint(fmax(1, wide * across));
  field->pattern_height = (int)lrint(fmax(1, high * down));
  const bc_status status = fill(field, context, textile, across, down);
  if (status != BC_OK) return status;
  field->colour = textile->mean;
  return BC_OK;
}

/* ---- the cloths of a match ---- */

/* Under another light, or as other eyes see it, the textile is moved by one factor a channel, that of its mean
 * (our simplification). */
static void change_colour(drawing_textile *textile, const bc_cloth *cloth) {
  const drawing_v4 seen = drawing_linear_of(cloth->colour), taken = drawing_linear_of(cloth->textile.mean);
  drawing_v4 factor = {1, 1, 1, 1};
  for (int c = 0; c < 3; c++)
    if (taken[c] > 1e-5f) factor[c] = seen[c] / taken[c];
  textile->mean *= factor;
  for (size_t i = 0; i < (size_t)textile->width * (size_t)textile->height; i++) textile->pixels[i] *= factor;
}

static bc_status open_textile(drawing_textile *out, bc_context *context, const bc_cloth *cloth) {
  if (strncmp(cloth->spec, PHOTO_PREFIX, strlen(PHOTO_PREFIX)) != 0) return BC_OK;
  const bc_status status = drawing_textile_open(out, context, cloth->spec + strlen(PHOTO_PREFIX));
  if (status == BC_OK) change_colour(out, cloth);
  return status;
}

bc_status drawing_textiles_open(drawing_textile **out, bc_context *context, const bc_match *match) {
  *out = bc_allocate(match->cloth_count, sizeof **out);
  if (!*out) return bc_fail_memory(context);
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < match->cloth_count; i++)
    status = open_textile(&(*out)[i], context, drawing_cloths_of(match)[i]);
  return status;
}

void drawing_textiles_free(drawing_textile *textiles, const bc_match *match) {
  for (size_t i = 0; textiles && i < match->cloth_count; i++) drawing_textile_clear(&textiles[i]);
  free(textiles);
}
