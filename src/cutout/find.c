/* SPDX-License-Identifier: MIT */
/* From an image to a cut-out: the photo's own alpha, a flat picture, or the piece found by src/cutout's
 * scene, with or without help. */
#include "cutout_internal.h"

#include <stdlib.h>
#include <string.h>

enum { coarse_side = 128, fine_side = 256, most_rounds = 4 };

/* ---- alpha ---- */

static uint8_t least_alpha(const bc_image *image) {
  const size_t count = (size_t)image->width * (size_t)image->height;
  uint8_t least = 255;
  for (size_t i = 0; i < count; i++)
    if (image->alpha[i] < least) least = image->alpha[i];
  return least;
}

static bc_status take_alpha(bc_cutout *cutout, bc_context *context, const bc_image *image) {
  memcpy(cutout->alpha, image->alpha, (size_t)image->width * (size_t)image->height);
  cutout->source = BC_CUTOUT_ALPHA;
  cutout->confidence = 1;
  if (!cutout_set_box(cutout))
    return bc_fail(context, BC_BAD_DATA,
                   _("This picture is transparent all over, so there is no piece in it. Save it again with the piece "
                     "opaque, or give a mask."));
  if (least_alpha(image) < 255) return BC_OK;
  return bc_note(&cutout->notes, context,
                 _("The picture says that it is opaque everywhere, so the whole rectangle counts as the piece."));
}

/* ---- box ---- */

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

/* ---- finding ---- */

static bc_status enlarge(bc_cutout *cutout, bc_context *context, const cutout_scene *scene) {
  uint8_t *mask = bc_allocate(scene->grid.count, 1);
  float *scratch = bc_allocate((size_t)scene->grid.width, sizeof *scratch);
  for (size_t i = 0; mask && i < scene->grid.count; i++) mask[i] = scene->piece[i] ? 255 : 0;
  for (int y = 0; mask && scratch && y < cutout->height; y++)
    cutout_scale_row(cutout->alpha + (size_t)y * (size_t)cutout->width, cutout->width, cutout->height, y, mask,
                     scene->grid.width, scene->grid.height, scratch);
  const bool done = mask && scratch;
  free(mask);
  free(scratch);
  return done ? BC_OK : bc_fail_memory(context);
}

static bc_status prepare(cutout_scene *coarse, cutout_scene *fine, bc_context *context, const bc_image *image,
                         const bc_cutout_options *options) {
  double cells[4];
  if (!options->has_box) return cutout_prior(coarse, context, NULL);
  box_in_cells(cells, &options->box, image, &fine->grid);
  cutout_fix_box(fine, cells);
  box_in_cells(cells, &options->box, image, &coarse->grid);
  cutout_fix_box(coarse, cells);
  return cutout_prior(coarse, context, cells);
}

static bc_status search(bc_cutout *cutout, bc_context *context, const bc_image *image,
                        const bc_cutout_options *options) {
  cutout_scene coarse = {0}, fine = {0};
  bc_status status = cutout_scene_new(&coarse, context, image, (int)TUNE("SIDE0", coarse_side));
  if (status == BC_OK) status = cutout_scene_new(&fine, context, image, (int)TUNE("SIDE1", fine_side));
  if (status == BC_OK) status = prepare(&coarse, &fine, context, image, options);
  if (status == BC_OK) status = cutout_scene_solve(&coarse, context, most_rounds);
  if (status == BC_OK) status = cutout_scene_refine(&fine, context, &coarse);
  if (status == BC_OK) status = cutout_regions_tidy(&fine, context);
  if (status == BC_OK)
    status = TUNE("HARD", 0) > 0 ? enlarge(cutout, context, &fine) : cutout_edge(cutout->alpha, context, image, &fine);
  cutout_scene_clear(&coarse);
  cutout_scene_clear(&fine);
  if (status != BC_OK || cutout_set_box(cutout)) return status;
  return bc_fail(context, BC_BAD_DATA,
                 _("No piece was found in this photo. Draw a box round the piece, or give a mask."));
}

bc_status bc_cutout_find(bc_cutout **out, bc_context *context, const bc_image *image,
                         const bc_cutout_options *options) {
  const bc_cutout_options standard = bc_cutout_options_default();
  const bc_cutout_options *chosen = options ? options : &standard;
  *out = NULL;
  bc_status status = chosen->has_box ? check_box(&chosen->box, context, image) : BC_OK;
  if (status != BC_OK) return status;
  bc_cutout *cutout = NULL;
  status = cutout_new(&cutout, context, image);
  if (status != BC_OK) return status;
  cutout->source = chosen->has_box ? BC_CUTOUT_GUIDED : BC_CUTOUT_AUTOMATIC;
  cutout->confidence = 0.5;
  status =
      image->alpha && !chosen->has_box ? take_alpha(cutout, context, image) : search(cutout, context, image, chosen);
  if (status != BC_OK) {
    bc_cutout_free(cutout);
    return status;
  }
  *out = cutout;
  return BC_OK;
}
