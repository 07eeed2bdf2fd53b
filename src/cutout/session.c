/* SPDX-License-Identifier: MIT */
/* A photo being cut out: two scenes, coarse and fine, that are kept while strokes come in. Automatic
 * cut-outs go the same way, without strokes. */
#include "session.h"
#include "base/base.h"
#include "confidence.h"
#include "doubts.h"
#include "grid_answer.h"
#include "guess.h"
#include "network_guess.h"
#include "pixels.h"
#include "prior.h"
#include "refine.h"
#include "strokes.h"
#include "suppose.h"
#include "value.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { coarse_side = CUTOUT_COARSE_SIDE, coarse_side_in_box = 128, fine_side = 256 };

struct bc_cutout_session {
  const bc_image *image;
  cutout_scene coarse, fine;
  cutout_mixture of[2];           /* background, piece: of the fine grid */
  cutout_mixture of_pixels[2];    /* likewise, of pixels */
  float *guess;                   /* from elsewhere, of each pixel; NULL: none */
  uint8_t *pixels;                /* the answer on the image's pixels */
  bc_box box;                     /* in the image's pixels, as far as a pixel touches it */
  bool in_box, guided, use_alpha; /* use_alpha: the photo's alpha is the answer as long as no stroke was made */
  int brush;
  double sign[CUTOUT_SIGNS], confidence;
};

/* ---- the box ---- */

static bc_status check_box(const bc_box *box, bc_context *context, const bc_image *image) {
  const bool inside = box->x >= 0 && box->y >= 0 && box->width > 0 && box->height > 0 &&
                      box->width <= image->full_width - box->x && box->height <= image->full_height - box->y;
  if (inside) return BC_OK;
  return bc_fail(context, BC_BAD_DATA,
                 _("The box %d,%d,%d,%d does not lie inside the photo, which is %d x %d pixels. Give left, top, width "
                   "and height in the photo's own pixels."),
                 box->x, box->y, box->width, box->height, image->full_width, image->full_height);
}

static void box_in_cells(double cells[4], const bc_box *box, const bc_image *image, const cutout_grid *grid) {
  const double across = (double)grid->width / image->full_width, down = (double)grid->height / image->full_height;
  cells[0] = box->x * across;
  cells[1] = box->y * down;
  cells[2] = box->width * across;
  cells[3] = box->height * down;
}

/* The pixels of the reduced image that the box touches. */
static bc_box box_in_image(const bc_cutout_options *options, const bc_image *image) {
  const bc_box *box = &options->box;
  if (!options->has_box) return (bc_box){0, 0, image->width, image->height};
  const double across = (double)image->width / image->full_width, down = (double)image->height / image->full_height;
  const int left = (int)floor(box->x * across), top = (int)floor(box->y * down);
  return (bc_box){left, top, (int)ceil((box->x + box->width) * across) - left,
                  (int)ceil((box->y + box->height) * down) - top};
}

/* ---- strokes ---- */

static bc_status check_points(bc_context *context, const bc_image *image, const bc_point_px *points, size_t count) {
  for (size_t i = 0; i < count; i++) {
    if (points[i].x >= 0 && points[i].y >= 0 && points[i].x < image->full_width && points[i].y < image->full_height)
      continue;
    return bc_fail(context, BC_BAD_DATA,
                   _("The point %d,%d does not lie in the photo, which is %d x %d pixels. Give left and top in the "
                     "photo's own pixels."),
                   points[i].x, points[i].y, image->full_width, image->full_height);
  }
  return BC_OK;
}

static bc_status begin_strokes(bc_cutout_session *session, bc_context *context) {
  const bc_status status = cutout_strokes_begin(&session->coarse, context);
  return status == BC_OK ? cutout_strokes_begin(&session->fine, context) : status;
}

static void weigh_strokes(bc_cutout_session *session) {
  cutout_strokes_weigh(&session->coarse);
  cutout_strokes_weigh(&session->fine);
  cutout_scene_hear(&session->fine, &session->coarse);
}

/* Returns whether a guess has been shaken. */
static bool draw(bc_cutout_session *session, const bc_point_px *points, size_t count, bool keep, bool joined) {
  bool shaken = false;
  for (size_t i = 0; i < count; i++) {
    const bc_point_px from = joined && i > 0 ? points[i - 1] : points[i];
    cutout_stroke(&session->coarse, session->image, from, points[i], session->brush, keep);
    cutout_stroke(&session->fine, session->image, from, points[i], session->brush, keep);
    shaken = (session->guess && cutout_guess_doubt(session->guess, session->image, points[i], keep)) || shaken;
  }
  return shaken;
}

/* ---- solving ---- */

static bc_status tell_guess(bc_cutout_session *session, bc_context *context, float hearing) {
  session->fine.hearing = session->coarse.hearing = hearing;
  const bc_status status = cutout_guess_tell(&session->fine, context, session->image, session->guess);
  return status == BC_OK ? cutout_guess_tell(&session->coarse, context, session->image, session->guess) : status;
}

static bc_status set_prior(bc_cutout_session *session, bc_context *context, const bc_cutout_options *options) {
  cutout_scene *coarse = &session->coarse;
  double cells[4];
  if (options->has_box) {
    box_in_cells(cells, &options->box, session->image, &session->fine.grid);
    cutout_fix_box(&session->fine, cells);
    box_in_cells(cells, &options->box, session->image, &coarse->grid);
    cutout_fix_box(coarse, cells);
  }
  bc_status status = cutout_guess_ask(&session->guess, context, session->image, options);
  if (status == BC_OK && session->guess) return tell_guess(session, context, CUTOUT_HEARING);
  if (status == BC_OK) status = cutout_prior(coarse, context, options->has_box ? cells : NULL);
  /* In a box, the box and the colours say as much as the network does. */
  if (status != BC_OK || options->without_network || options->has_box) return status;
  status = cutout_network_guess(&session->guess, context, session->image);
  if (status != BC_OK || !session->guess) return status;
  cutout_network_join(session->guess, session->image, coarse);
  return tell_guess(session, context, CUTOUT_HEARING);
}

static bc_status finish(bc_cutout_session *session, bc_context *context) {
  bc_status status = cutout_scene_refine(&session->fine, context, &session->coarse);
  if (status == BC_OK && session->in_box) status = cutout_gaps_open(&session->fine, context, NULL);
  if (status == BC_OK) status = cutout_regions_tidy(&session->fine, context);
  return status;
}

static bc_status go_to_pixels(bc_cutout_session *session, bc_context *context, const uint8_t *touched) {
  const cutout_band_input from = {session->image, &session->fine, &session->box, session->guess, touched};
  const bc_status status = cutout_band(session->pixels, context, session->of_pixels, &from);
  if (status != BC_OK) return status;
  return cutout_specks_drop(session->pixels, context, session->image, &session->fine, session->guess);
}

static bc_status judge(bc_cutout_session *session, bc_context *context) {
  const bc_status status =
      cutout_signs(session->sign, context, &session->fine, session->image, session->pixels, session->of_pixels);
  if (status == BC_OK) session->confidence = cutout_confidence(session->sign, session->in_box);
  return status;
}

const double *cutout_session_signs(const bc_cutout_session *session) {
  return session->sign;
}

static bc_status detail_in_box(bc_cutout_session *session, bc_context *context) {
  const size_t count = session->fine.grid.count;
  uint8_t *given = bc_allocate(count, 1);
  if (!given) return bc_fail_memory(context);
  memcpy(given, session->fine.piece, count);
  bc_status status = cutout_detail(&session->fine, session->of, context, CUTOUT_IN_BOX);
  if (status == BC_OK) status = cutout_gaps_open(&session->fine, context, given);
  free(given);
  return status;
}

/* On the grids. */
static bc_status solve(bc_cutout_session *session, bc_context *context, bool in_box) {
  bc_status status = cutout_suppose(&session->coarse, context, in_box);
  if (status == BC_OK) status = finish(session, context);
  if (status == BC_OK)
    status =
        in_box ? detail_in_box(session, context) : cutout_detail(&session->fine, session->of, context, CUTOUT_FREELY);
  return status == BC_OK && !in_box ? cutout_regions_tidy(&session->fine, context) : status;
}

/* The points that came with the photo. What a drop lies on is seen in the answer without them. */
static bc_status take_points(bc_cutout_session *session, bc_context *context, const bc_cutout_options *options) {
  bc_status status = options->drop_count > 0 ? solve(session, context, options->has_box) : BC_OK;
  if (status == BC_OK) status = begin_strokes(session, context);
  if (status != BC_OK) return status;
  bool shaken = draw(session, options->keep, options->keep_count, true, false);
  if (options->drop_count > 0)
    status = cutout_tapped_drop(&session->fine, context, session->image, options->drop, options->drop_count);
  shaken = draw(session, options->drop, options->drop_count, false, false) || shaken;
  if (status == BC_OK && shaken) status = tell_guess(session, context, session->fine.hearing);
  weigh_strokes(session);
  return status;
}

static bc_status start(bc_cutout_session *session, bc_context *context, const bc_cutout_options *options) {
  const int side = options->has_box ? coarse_side_in_box : coarse_side;
  bc_status status = cutout_scene_new(&session->fine, context, session->image, fine_side);
  if (status == BC_OK) status = cutout_scene_coarser(&session->coarse, context, session->image, side, &session->fine);
  if (status == BC_OK) status = set_prior(session, context, options);
  if (status == BC_OK && options->keep_count + options->drop_count > 0) status = take_points(session, context, options);
  if (status == BC_OK) status = solve(session, context, options->has_box);
  if (status == BC_OK) status = go_to_pixels(session, context, NULL);
  return status == BC_OK ? judge(session, context) : status;
}

/* ---- the public face ---- */

bc_status bc_cutout_session_new(bc_cutout_session **out, bc_context *context, const bc_image *image,
                                const bc_cutout_options *options) {
  const bc_cutout_options standard = bc_cutout_options_default();
  const bc_cutout_options *chosen = options ? options : &standard;
  *out = NULL;
  bc_status status = chosen->has_box ? check_box(&chosen->box, context, image) : BC_OK;
  if (status == BC_OK) status = check_points(context, image, chosen->keep, chosen->keep_count);
  if (status == BC_OK) status = check_points(context, image, chosen->drop, chosen->drop_count);
  if (status != BC_OK) return status;
  bc_cutout_session *session = bc_allocate(1, sizeof *session);
  if (!session) return bc_fail_memory(context);
  const int longest = image->full_width > image->full_height ? image->full_width : image->full_height;
  session->image = image;
  session->brush = chosen->brush > 0 ? chosen->brush : 1 + longest / 200;
  session->in_box = chosen->has_box;
  session->guided = chosen->has_box || chosen->keep_count + chosen->drop_count > 0;
  session->use_alpha = image->alpha && !session->guided;
  session->box = box_in_image(chosen, image);
  session->pixels = bc_allocate((size_t)image->width * (size_t)image->height, 1);
  status = session->pixels ? start(session, context, chosen) : bc_fail_memory(context);
  if (status != BC_OK) {
    bc_cutout_session_free(session);
    return status;
  }
  *out = session;
  return BC_OK;
}

void bc_cutout_session_free(bc_cutout_session *session) {
  if (!session) return;
  cutout_scene_clear(&session->coarse);
  cutout_scene_clear(&session->fine);
  free(session->guess);
  free(session->pixels);
  free(session);
}

/* What the answer and the user's word were, both in a byte. */
static uint8_t state_of(const cutout_scene *scene, size_t cell) {
  return (uint8_t)(scene->piece[cell] | scene->fixed[cell] << 1);
}

/* From the states before to the cells that have changed. */
static void set_touched(uint8_t *states, const cutout_scene *scene) {
  for (size_t i = 0; i < scene->grid.count; i++) states[i] = states[i] != state_of(scene, i);
}

static bc_status resolve(bc_cutout_session *session, bc_context *context, uint8_t *touched) {
  weigh_strokes(session);
  bc_status status = cutout_detail(&session->fine, session->of, context, CUTOUT_AFTER_STROKE);
  if (status == BC_OK) status = cutout_regions_tidy(&session->fine, context);
  if (status == BC_OK) set_touched(touched, &session->fine);
  if (status == BC_OK) status = go_to_pixels(session, context, touched);
  return status == BC_OK ? judge(session, context) : status;
}

bc_status bc_cutout_session_add(bc_cutout_session *session, bc_context *context, bool keep, const bc_point_px *points,
                                size_t count) {
  bc_status status = check_points(context, session->image, points, count);
  if (status == BC_OK) status = begin_strokes(session, context);
  if (status != BC_OK) return status;
  session->guided = true;
  session->use_alpha = false;
  uint8_t *states = bc_allocate(session->fine.grid.count, 1);
  if (!states) return bc_fail_memory(context);
  for (size_t i = 0; i < session->fine.grid.count; i++) states[i] = state_of(&session->fine, i);
  if (!keep) status = cutout_tapped_drop(&session->fine, context, session->image, points, count);
  const bool shaken = draw(session, points, count, keep, true);
  if (status == BC_OK && shaken) status = tell_guess(session, context, session->fine.hearing);
  if (status == BC_OK) status = resolve(session, context, states);
  free(states);
  return status;
}

static bc_status advise(bc_cutout *cutout, bc_context *context) {
  if (!bc_cutout_is_doubtful(cutout->confidence, &cutout->doubts)) return BC_OK;
  if (cutout->source == BC_CUTOUT_AUTOMATIC)
    return bc_note(
        &cutout->notes, context,
        _("The outline of the piece is uncertain here. Look at the cut-out; a box round the piece helps most, "
          "or a photo on a plainer background of another colour."));
  return bc_note(
      &cutout->notes, context,
      _("The outline of the piece is still uncertain. Look at the cut-out; mark a point on the piece or on the "
        "background where it is wrong, or give a mask."));
}

static bc_status say_doubts(bc_cutout *cutout, bc_cutout_session *session, bc_context *context) {
  const cutout_scene *fine = &session->fine;
  uint8_t *cells = bc_allocate(fine->grid.count, 1);
  if (!cells) return bc_fail_memory(context);
  cutout_answer_cells(cells, &fine->grid, session->image, session->pixels);
  const bc_status status = cutout_doubts_find(&cutout->doubts, context, fine, cells, session->image);
  free(cells);
  return status == BC_OK ? advise(cutout, context) : status;
}

static bc_status answer(bc_cutout *cutout, bc_cutout_session *session, bc_context *context) {
  if (session->use_alpha) return cutout_take_alpha(cutout, context, session->image);
  cutout->source = session->guided ? BC_CUTOUT_GUIDED : BC_CUTOUT_AUTOMATIC;
  cutout->confidence = session->confidence;
  const bc_status status = cutout_edge(cutout->alpha, context, session->image, session->pixels, session->guess);
  if (status != BC_OK) return status;
  if (cutout_set_box(cutout)) return say_doubts(cutout, session, context);
  return bc_fail(context, BC_BAD_DATA,
                 _("No piece was found in this photo. Draw a box round the piece, or give a mask."));
}

bc_status bc_cutout_session_find(bc_cutout **out, bc_cutout_session *session, bc_context *context) {
  *out = NULL;
  bc_cutout *cutout = NULL;
  bc_status status = cutout_new(&cutout, context, session->image);
  if (status == BC_OK) status = answer(cutout, session, context);
  if (status != BC_OK) {
    bc_cutout_free(cutout);
    return status;
  }
  *out = cutout;
  return BC_OK;
}
