/* SPDX-License-Identifier: MIT */
/* One piece on white, cut from its photo, for the sheets of another stage: so that whoever hangs it knows it
 * at sight. */
#include "drawing/paper/paper.h"

#include <math.h>
#include <stdlib.h>

#define RASTER_PER_MM 11.811 /* 300 dots an inch */
#define FILL 0.9             /* of the box: the rest is for its shadow */

static bc_status paint(bc_context *context, const drawing_cut *cut, drawing_raster *raster, drawing_rect box) {
  const drawing_rect piece = drawing_specimen_place(cut, box, FILL);
  drawing_sprite sprite = {0};
  bc_status status = drawing_sprite_make(&sprite, context, cut, drawing_raster_place(raster, piece));
  if (status == BC_OK)
    status =
        drawing_sprite_cast(&sprite, context, 0.03 * fmax(piece.width, piece.height) * raster->pixels_per_mm, 0.45f);
  const drawing_scene scene = {
      .width = raster->width, .height = raster->height, .paper = {1, 1, 1, 1}, .sprites = &sprite, .sprite_count = 1};
  if (status == BC_OK) status = drawing_compose(&scene, context, raster->pixels, raster->stride);
  drawing_sprite_clear(&sprite);
  return status;
}

bc_status bc_drawing_piece(bc_context *context, const bc_study *study, struct _cairo *cairo, bc_sheet_rect at) {
  const drawing_rect box = {at.x, at.y, at.width, at.height};
  drawing_canvas *canvas = NULL;
  drawing_cut cut = {0};
  drawing_raster raster;
  bc_status status = drawing_canvas_borrow(&canvas, context, cairo);
  if (status == BC_OK) status = drawing_cut_make(&cut, context, study);
  if (status == BC_OK) status = drawing_raster_open(&raster, context, canvas, box, RASTER_PER_MM);
  if (status == BC_OK) {
    status = paint(context, &cut, &raster, box);
    drawing_raster_close(&raster, canvas);
    if (status == BC_OK && study->reading && bc_reading_is_doubtful(study->reading))
      drawing_doubt_mark(canvas, box.x + box.width - 1.6, box.y + 1.6, 1.5);
  }
  drawing_cut_clear(&cut);
  drawing_canvas_abandon(canvas);
  return status;
}
