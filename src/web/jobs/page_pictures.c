/* SPDX-License-Identifier: MIT */
/* Pictures for the page, made in memory: preview (JPEG) and mask (PNG); the piece alone is in alone.c.
 * In: image and cut-out. Out: bytes; sRGB, colours clipped by lowering chroma. */
#include "jobs.h"

#include <backcloth/jpeg.h>
#include <math.h>
#include <png.h>
#include <stdlib.h>

/* lround(255 * bc_srgb_encode(linear)), found in a table: a power for each channel of each pixel is a tenth of the time
 * that a stroke takes. `from` holds where each byte begins, `near` a byte not above the one sought. */
#define STEPS 4096
static uint8_t encoded(double linear) {
  static double from[257];
  static uint8_t near[STEPS + 1];
  if (from[256] == 0) {
    for (int i = 1; i <= 255; i++) from[i] = bc_srgb_decode((i - 0.5) / 255);
    for (int i = 0; i <= STEPS; i++) near[i] = (uint8_t)lround(255 * bc_srgb_encode(i / (double)STEPS));
    from[256] = 2;
  }
  int byte = near[(int)(linear * STEPS)];
  while (linear >= from[byte + 1]) byte++;
  return (uint8_t)byte;
}

void web_srgb_of(uint8_t rgb[3], const bc_image *image, size_t i) {
  double linear[3];
  bc_lab_to_linear_srgb((bc_lab){(double)image->L[i], (double)image->a[i], (double)image->b[i]}, linear);
  for (int c = 0; c < 3; c++) rgb[c] = encoded(fmin(1, fmax(0, linear[c])));
}

typedef struct preview {
  const bc_image *image;
  uint8_t *row;
} preview;

static const uint8_t *preview_row(void *data, int y) {
  const preview *p = data;
  const size_t width = (size_t)p->image->width, start = (size_t)y * width;
  for (size_t x = 0; x < width; x++) web_srgb_of(p->row + 3 * x, p->image, start + x);
  return p->row;
}

bc_status web_preview_jpeg(bc_apart_part *out, bc_context *context, const bc_image *image) {
  preview p = {image, bc_allocate((size_t)image->width, 3)};
  const bc_jpeg_picture picture = {.width = image->width,
                                   .height = image->height,
                                   .row = preview_row,
                                   .data = &p,
                                   .quality = 82,
                                   .progressive = true};
  *out = (bc_apart_part){0};
  const bool done = p.row && bc_jpeg_write(&out->bytes, &out->size, &picture);
  free(p.row);
  return done ? BC_OK : bc_fail_memory(context);
}

/* libpng's own writer for simple pictures; twice: to learn the size, then for good. */
static bc_status write_png(bc_apart_part *out, bc_context *context, const void *samples, int width, int height,
                           png_uint_32 format) {
  png_image png = {.version = PNG_IMAGE_VERSION,
                   .width = (png_uint_32)width,
                   .height = (png_uint_32)height,
                   .format = format,
                   .flags = PNG_IMAGE_FLAG_FAST};
  png_alloc_size_t size = PNG_IMAGE_PNG_SIZE_MAX(png);
  uint8_t *bytes = malloc(size);
  if (!bytes || !png_image_write_to_memory(&png, bytes, &size, 0, samples, 0, NULL)) {
    free(bytes);
    return bc_fail_memory(context);
  }
  uint8_t *fitting = realloc(bytes, size);
  *out = (bc_apart_part){fitting ? fitting : bytes, size};
  return BC_OK;
}

bc_status web_mask_png(bc_apart_part *out, bc_context *context, const bc_cutout *cutout) {
  return write_png(out, context, cutout->alpha, cutout->width, cutout->height, PNG_FORMAT_GRAY);
}
