/* SPDX-License-Identifier: MIT */
/* A study's image and mask become a cut-out in linear light, and that becomes a sprite of the size
 * it has on the wall. */
#include "paper.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Pixels kept round the piece's box, for the soft edge and the resampling kernel. */
#define MARGIN 4

static bc_box crop_of(const bc_cutout *cutout) {
  bc_box box = cutout->box;
  if (box.width <= 0 || box.height <= 0) box = (bc_box){0, 0, cutout->width, cutout->height};
  const int left = box.x > MARGIN ? box.x - MARGIN : 0, top = box.y > MARGIN ? box.y - MARGIN : 0;
  const int right = box.x + box.width + MARGIN, bottom = box.y + box.height + MARGIN;
  return (bc_box){left, top, (right < cutout->width ? right : cutout->width) - left,
                  (bottom < cutout->height ? bottom : cutout->height) - top};
}

/* Cleaning an edge changes the image, and studies are shared: so it is done on a copy of the crop. */
typedef struct crop {
  bc_image image;
  bc_cutout cutout;
} crop;

static void crop_clear(crop *c) {
  free(c->image.L);
  free(c->cutout.alpha);
  bc_notes_clear(&c->image.notes);
  bc_notes_clear(&c->cutout.notes);
}

static bool crop_make(crop *c, const bc_study *study, bc_box area) {
  const size_t width = (size_t)area.width, height = (size_t)area.height, size = width * height;
  float *const planes = bc_allocate(size, 4 * sizeof(float));
  uint8_t *const alpha = bc_allocate(size, 1);
  *c = (crop){.image = {.width = area.width,
                        .height = area.height,
                        .full_width = area.width,
                        .full_height = area.height,
                        .L = planes},
              .cutout = {.width = area.width,
                         .height = area.height,
                         .alpha = alpha,
                         .confidence = study->cutout->confidence,
                         .source = study->cutout->source}};
  if (!planes || !alpha) return false;
  c->image.a = planes + size;
  c->image.b = planes + 2 * size;
  c->image.Y = planes + 3 * size;
  const bc_box box = study->cutout->box;
  c->cutout.box = box.width > 0 ? (bc_box){box.x - area.x, box.y - area.y, box.width, box.height}
                                : (bc_box){0, 0, area.width, area.height};
  const bc_image *const from = study->image;
  for (size_t y = 0; y < height; y++) {
    const size_t at = (y + (size_t)area.y) * (size_t)from->width + (size_t)area.x;
    memcpy(c->image.L + y * width, from->L + at, width * sizeof(float));
    memcpy(c->image.a + y * width, from->a + at, width * sizeof(float));
    memcpy(c->image.b + y * width, from->b + at, width * sizeof(float));
    memcpy(c->image.Y + y * width, from->Y + at, width * sizeof(float));
    memcpy(alpha + y * width, study->cutout->alpha + at, width);
  }
  return true;
}

/* `opacity`: 1, or less for clear glass whose own light the study holds. */
static void convert(drawing_v4 *out, const crop *c, float opacity) {
  const drawing_lab_matrix matrix = drawing_lab_matrix_make();
  const size_t size = (size_t)c->image.width * (size_t)c->image.height;
  for (size_t i = 0; i < size; i++) {
    const uint8_t alpha = c->cutout.alpha[i];
    if (alpha == 0) continue; /* stays zero */
    out[i] =
        drawing_lab_to_linear(&matrix, c->image.L[i], c->image.a[i], c->image.b[i]) * (opacity * (float)alpha / 255.0f);
  }
}

bc_status drawing_cut_of_pixels(drawing_cut *out, bc_context *context, const bc_study *study) {
  if (study->image->width != study->cutout->width || study->image->height != study->cutout->height)
    return bc_fail(context, BC_OUR_FAULT, _("%s: the photo and its cut-out differ in size."), study->reading->photo);
  const bc_box area = crop_of(study->cutout);
  crop c;
  bc_status status = BC_OK;
  drawing_v4 *pixels = bc_allocate((size_t)area.width * (size_t)area.height, sizeof *pixels);
  if (!crop_make(&c, study, area) || !pixels)
    status = bc_fail_memory(context);
  else
    status = bc_cutout_clean_edge(&c.cutout, context, &c.image);
  if (status == BC_OK) {
    convert(pixels, &c, 1.0f - (float)study->see_through);
    *out = (drawing_cut){area.width, area.height, pixels, c.cutout.box, (float)study->see_through};
    pixels = NULL;
  }
  free(pixels);
  crop_clear(&c);
  return status;
}

void drawing_cut_clear(drawing_cut *cut) {
  free(cut->pixels);
  *cut = (drawing_cut){0};
}

static drawing_axis axis_of(int *first, double at, double length, int box_at, int box_length, int source_length) {
  const double scale = length / box_length;
  const double start = at - box_at * scale, end = at + (source_length - box_at) * scale;
  *first = (int)floor(start);
  return (drawing_axis){(int)ceil(end) - *first, scale, (*first - start) / scale};
}

bc_status drawing_sprite_make(drawing_sprite *out, bc_context *context, const drawing_cut *cut, drawing_place place) {
  *out = (drawing_sprite){0};
  const drawing_axis across = axis_of(&out->left, place.left, place.width, cut->box.x, cut->box.width, cut->width);
  const drawing_axis down = axis_of(&out->top, place.top, place.height, cut->box.y, cut->box.height, cut->height);
  size_t size;
  if (!base_size_multiply((size_t)across.count, (size_t)down.count, &size)) return bc_fail_memory(context);
  drawing_v4 *fine = bc_allocate(size, sizeof *fine);
  out->pixels = bc_allocate(size, 4 * sizeof *out->pixels);
  out->width = across.count;
  out->height = down.count;
  out->see_through = cut->see_through;
  bc_status status = fine && out->pixels ? BC_OK : bc_fail_memory(context);
  if (status == BC_OK)
    status = drawing_resample(fine, context, (drawing_pixels){cut->pixels, cut->width, cut->height}, across, down);
  if (status == BC_OK)
    for (size_t i = 0; i < size; i++)
      for (int c = 0; c < 4; c++) out->pixels[4 * i + (size_t)c] = (uint16_t)(fine[i][c] * 65535.0f + 0.5f);
  free(fine);
  if (status != BC_OK) drawing_sprite_clear(out);
  return status;
}

void drawing_sprite_clear(drawing_sprite *sprite) {
  free(sprite->pixels);
  free(sprite->shadow);
  *sprite = (drawing_sprite){0};
}
