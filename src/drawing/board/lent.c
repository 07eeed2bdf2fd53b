/* SPDX-License-Identifier: MIT */
/* Pieces for the sheets of another stage: a small picture of a cut-out that can be kept, and one piece on one
 * cloth on a Cairo that is lent. */
#include "drawing/paper/paper.h"

#include <backcloth/colour.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* The whole picture drawn down so that its longer side is `most` pixels; never enlarged. */
static bc_status shrink(drawing_v4 **out, int *width, int *height, bc_context *context, const drawing_cut *cut,
                        int most) {
  const double scale = fmin(1, (double)most / fmax(cut->width, cut->height));
  *width = (int)fmax(1, round(cut->width * scale));
  *height = (int)fmax(1, round(cut->height * scale));
  *out = bc_allocate((size_t)*width * (size_t)*height, sizeof **out);
  if (!*out) return bc_fail_memory(context);
  return drawing_resample(*out, context, (drawing_pixels){cut->pixels, cut->width, cut->height},
                          (drawing_axis){*width, (double)*width / cut->width, 0},
                          (drawing_axis){*height, (double)*height / cut->height, 0});
}

static uint8_t byte_of(double value) {
  return (uint8_t)lrint(255 * fmin(1, fmax(0, value)));
}

static void encode(uint8_t *rgba, const drawing_v4 *pixels, size_t count) {
  const uint8_t *const table = drawing_encode_table();
  for (size_t i = 0; i < count; i++, rgba += 4) {
    const double alpha = pixels[i][3];
    for (int c = 0; c < 3; c++) {
      const double light = alpha > 1e-4 ? fmin(1, fmax(0, (double)pixels[i][c] / alpha)) : 0;
      rgba[c] = table[lrint(light * 65535)];
    }
    rgba[3] = byte_of(alpha);
  }
}

bc_status bc_drawing_keep_piece(bc_kept_piece *out, bc_context *context, const bc_study *study, int most) {
  *out = (bc_kept_piece){0};
  drawing_cut cut;
  bc_status status = drawing_cut_make(&cut, context, study);
  if (status != BC_OK) return status;
  drawing_v4 *small = NULL;
  status = shrink(&small, &out->width, &out->height, context, &cut, most);
  if (status == BC_OK) {
    out->rgba = bc_allocate((size_t)out->width * (size_t)out->height, 4);
    if (!out->rgba) status = bc_fail_memory(context);
  }
  if (status == BC_OK) {
    const bc_box box = study->cutout->box;
    const double across = study->cutout->width, down = study->cutout->height;
    encode(out->rgba, small, (size_t)out->width * (size_t)out->height);
    out->left = (box.x - cut.box.x) / across;
    out->top = (box.y - cut.box.y) / down;
    out->wide = cut.width / across;
    out->high = cut.height / down;
  }
  free(small);
  drawing_cut_clear(&cut);
  return status;
}

void bc_drawing_kept_piece_clear(bc_kept_piece *piece) {
  free(piece->rgba);
  *piece = (bc_kept_piece){0};
}

bc_status bc_drawing_specimen(bc_context *context, const bc_study *study, const bc_cloth *cloth, struct _cairo *cairo,
                              bc_sheet_rect box) {
  drawing_cut cut;
  drawing_canvas *canvas = NULL;
  bc_status status = drawing_cut_make(&cut, context, study);
  if (status != BC_OK) return status;
  const drawing_rect cell = {box.x, box.y, box.width, box.height};
  const drawing_rect place = drawing_specimen_place(&cut, cell, 0.78);
  status = drawing_canvas_borrow(&canvas, context, cairo);
  if (status == BC_OK) {
    cairo_save(cairo);
    cairo_rectangle(cairo, box.x, box.y, box.width, box.height);
    cairo_clip(cairo);
    drawing_textile textile = {0};
    const bool printed = strncmp(cloth->spec, "photo:", 6) == 0;
    if (printed) status = drawing_textile_open(&textile, context, cloth->spec + 6);
    if (status == BC_OK)
      status = drawing_specimen(canvas, context, &cut, (drawing_backing){cloth->colour, printed ? &textile : NULL},
                                cell, place);
    drawing_textile_clear(&textile);
    if (status == BC_OK) drawing_lost_rim(canvas, study->cutout, study->reading, cloth, place);
    cairo_restore(cairo);
    drawing_canvas_abandon(canvas);
  }
  drawing_cut_clear(&cut);
  return status;
}
