/* SPDX-License-Identifier: MIT */
/* Pictures for the page, made in memory: preview (JPEG) and mask (PNG); the piece alone is in alone.c.
 * In: image and cut-out. Out: bytes; sRGB, colours clipped by lowering chroma. */
#include "jobs.h"

#include <stdio.h>

#include <jpeglib.h>
#include <math.h>
#include <png.h>
#include <setjmp.h>
#include <stdlib.h>
#include <string.h>

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

typedef struct jpeg_failure {
  struct jpeg_error_mgr base;
  jmp_buf back;
} jpeg_failure;

static void jpeg_fail(j_common_ptr info) {
  longjmp(((jpeg_failure *)info->err)->back, 1);
}

static bool write_jpeg(struct jpeg_compress_struct *jpeg, jpeg_failure *failure, const bc_image *image, uint8_t *row,
                       unsigned char **bytes, unsigned long *size) {
  jpeg->err = jpeg_std_error(&failure->base);
  failure->base.error_exit = jpeg_fail;
  if (setjmp(failure->back)) return false;
  jpeg_create_compress(jpeg);
  jpeg_mem_dest(jpeg, bytes, size);
  jpeg->image_width = (JDIMENSION)image->width;
  jpeg->image_height = (JDIMENSION)image->height;
  jpeg->input_components = 3;
  jpeg->in_color_space = JCS_RGB;
  jpeg_set_defaults(jpeg);
  jpeg_set_quality(jpeg, 82, TRUE);
  jpeg_simple_progression(jpeg);
  jpeg_start_compress(jpeg, TRUE);
  while (jpeg->next_scanline < jpeg->image_height) {
    const size_t start = (size_t)jpeg->next_scanline * (size_t)image->width;
    for (size_t x = 0; x < (size_t)image->width; x++) web_srgb_of(row + 3 * x, image, start + x);
    jpeg_write_scanlines(jpeg, &row, 1);
  }
  jpeg_finish_compress(jpeg);
  return true;
}

bc_status web_preview_jpeg(apart_part *out, bc_context *context, const bc_image *image) {
  struct jpeg_compress_struct jpeg;
  jpeg_failure failure;
  unsigned char *bytes = NULL;
  unsigned long size = 0;
  uint8_t *row = bc_allocate((size_t)image->width, 3);
  memset(&jpeg, 0, sizeof jpeg);
  const bool done = row && write_jpeg(&jpeg, &failure, image, row, &bytes, &size);
  jpeg_destroy_compress(&jpeg);
  free(row);
  /* After a failure libjpeg-turbo has perhaps freed what `bytes` still names. */
  *out = done ? (apart_part){bytes, size} : (apart_part){0};
  return done ? BC_OK : bc_fail_memory(context);
}

/* libpng's own writer for simple pictures; twice: to learn the size, then for good. */
static bc_status write_png(apart_part *out, bc_context *context, const void *samples, int width, int height,
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
  *out = (apart_part){fitting ? fitting : bytes, size};
  return BC_OK;
}

bc_status web_mask_png(apart_part *out, bc_context *context, const bc_cutout *cutout) {
  return write_png(out, context, cutout->alpha, cutout->width, cutout->height, PNG_FORMAT_GRAY);
}
