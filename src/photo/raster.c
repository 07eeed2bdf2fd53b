/* SPDX-License-Identifier: MIT */
/* Sizes proved against the limits before anything is allocated, and the raster itself. */
#include "photo_internal.h"

#include <limits.h>
#include <stdlib.h>
#include <sys/mman.h>

/* ---- limits ---- */

bc_status photo_set_size(bc_photo *photo, bc_context *context, const photo_source *source, uint64_t width,
                         uint64_t height) {
  const bc_limits *limits = bc_context_limits(context);
  const uint64_t longer = width > height ? width : height;
  if (width == 0 || height == 0) return photo_fail_damaged(context, source);
  /* With both sides below 2^31 the product cannot overflow 64 bits. */
  if (longer > limits->photo_side || longer > INT_MAX)
    return bc_fail(
        context, BC_BAD_DATA,
        _("%s: the picture is %llu x %llu pixels; sides up to %lu pixels are accepted. Save a smaller copy."),
        source->name, (unsigned long long)width, (unsigned long long)height, (unsigned long)limits->photo_side);
  if (width * height > limits->photo_pixels)
    return bc_fail(context, BC_BAD_DATA,
                   _("%s: the picture has %.1f million pixels; up to %.1f million are accepted. Save a smaller copy."),
                   source->name, (double)(width * height) * 1e-6, (double)limits->photo_pixels * 1e-6);
  photo->full_width = (int)width;
  photo->full_height = (int)height;
  return BC_OK;
}

bc_status photo_check_memory(bc_context *context, const photo_source *source, uint64_t bytes) {
  const uint64_t most = bc_context_limits(context)->decode_bytes;
  if (bytes <= most) return BC_OK;
  return bc_fail(
      context, BC_BAD_DATA,
      _("%s: opening this picture would take %.0f MB of memory; up to %.0f MB are used. Save a smaller copy."),
      source->name, (double)bytes / 1048576.0, (double)most / 1048576.0);
}

/* ---- the raster ---- */

#define HUGE_PAGE ((size_t)2 << 20)

/* A full-size photo touches thousands of fresh pages, and the kernel's work for each can cost more than
 * decoding into it; large pages are asked for where there are any. Not zeroed: a decoder that succeeds
 * has filled every row. */
static void *allocate_samples(size_t bytes) {
  if (bytes < 2 * HUGE_PAGE) return malloc(bytes ? bytes : 1);
  void *block = NULL;
  if (posix_memalign(&block, HUGE_PAGE, bytes) != 0) return NULL;
  (void)madvise(block, bytes, MADV_HUGEPAGE);
  return block;
}

/* Sides are below 2^31 and pixels have at most 5 samples of 2 bytes, so 64 bits hold every product. */
bc_status photo_raster_make(bc_photo *photo, bc_context *context, const photo_source *source,
                            const photo_raster_shape *shape) {
  const uint64_t sample = (uint64_t)shape->bits / 8;
  const uint64_t channels = (uint64_t)shape->model + (shape->alpha_inside ? 1 : 0);
  const uint64_t row = (uint64_t)shape->width * channels * sample;
  const uint64_t alpha = shape->has_alpha ? (uint64_t)shape->width * (uint64_t)shape->height : 0;
  const uint64_t colour = row * (uint64_t)shape->height;
  uint64_t all;
  if (__builtin_add_overflow(colour + alpha, shape->besides, &all)) all = UINT64_MAX;
  const bc_status status = photo_check_memory(context, source, all);
  if (status != BC_OK) return status;
  photo->samples = allocate_samples(colour);
  photo->alpha = shape->has_alpha ? allocate_samples(alpha) : NULL;
  if (!photo->samples || (shape->has_alpha && !photo->alpha)) return bc_fail_memory(context);
  photo->raster = (bc_raster){
      .width = shape->width,
      .height = shape->height,
      .model = shape->model,
      .bits = shape->bits,
      .row_bytes = row,
      .samples = photo->samples,
      .alpha = photo->alpha,
  };
  return BC_OK;
}

uint8_t *photo_raster_row(const bc_photo *photo, int y) {
  return (uint8_t *)photo->samples + (size_t)y * photo->raster.row_bytes;
}

/* Packs a row of colour+alpha pixels to its left and moves the alpha away; the row keeps its stride. */
static void split_row_8(uint8_t *row, uint8_t *alpha, int width, int colours) {
  for (int x = 0; x < width; x++) {
    for (int c = 0; c < colours; c++) row[x * colours + c] = row[x * (colours + 1) + c];
    alpha[x] = row[x * (colours + 1) + colours];
    /* the alpha is read before the next pixel's colours are written over it: colours + 1 > colours */
  }
}

static void split_row_16(uint16_t *row, uint8_t *alpha, int width, int colours) {
  for (int x = 0; x < width; x++) {
    const uint16_t opacity = row[x * (colours + 1) + colours];
    for (int c = 0; c < colours; c++) row[x * colours + c] = row[x * (colours + 1) + c];
    alpha[x] = (uint8_t)((opacity + 128u) / 257u);
  }
}

void photo_raster_split_alpha(bc_photo *photo) {
  const int colours = (int)photo->raster.model;
  const size_t width = (size_t)photo->raster.width;
  for (int y = 0; y < photo->raster.height; y++) {
    uint8_t *const row = photo_raster_row(photo, y);
    uint8_t *const alpha = photo->alpha + (size_t)y * width;
    if (photo->raster.bits == 16)
      split_row_16((uint16_t *)(void *)row, alpha, (int)width, colours);
    else
      split_row_8(row, alpha, (int)width, colours);
  }
}

void photo_raster_drop_opaque_alpha(bc_photo *photo) {
  const size_t count = (size_t)photo->raster.width * (size_t)photo->raster.height;
  for (size_t i = 0; i < count; i++)
    if (photo->alpha[i] != 255) return;
  free(photo->alpha);
  photo->alpha = NULL;
  photo->raster.alpha = NULL;
}

/* ---- changes of the samples ---- */

/* colour x full / alpha, rounded, never above full; where alpha is 0 the colour is lost and stays. */
static uint32_t unmultiply(uint32_t sample, uint32_t alpha, uint32_t full) {
  if (alpha == 0) return sample;
  const uint32_t colour = (sample * 255u + alpha / 2) / alpha;
  return colour < full ? colour : full;
}

void photo_raster_undo_premultiplied(bc_photo *photo) {
  const int colours = (int)photo->raster.model, width = photo->raster.width;
  for (int y = 0; y < photo->raster.height; y++) {
    uint8_t *const row8 = photo_raster_row(photo, y);
    uint16_t *const row16 = (uint16_t *)(void *)row8;
    const uint8_t *const alpha = photo->alpha + (size_t)y * (size_t)width;
    for (int x = 0; x < width * colours; x++)
      if (photo->raster.bits == 16)
        row16[x] = (uint16_t)unmultiply(row16[x], alpha[x / colours], 65535);
      else
        row8[x] = (uint8_t)unmultiply(row8[x], alpha[x / colours], 255);
  }
}

/* ITU-T H.273 equations 20 to 22: narrow-range samples run from 16 x 2^(n-8) over 219 x 2^(n-8) steps. */
static uint32_t stretch(uint32_t sample, uint32_t unit, uint32_t full) {
  const uint32_t black = 16 * unit, steps = 219 * unit;
  if (sample <= black) return 0;
  const uint64_t wide = ((uint64_t)(sample - black) * full + steps / 2) / steps;
  return wide < full ? (uint32_t)wide : full;
}

void photo_raster_stretch_range(bc_photo *photo) {
  const int count = photo->raster.width * (int)photo->raster.model;
  for (int y = 0; y < photo->raster.height; y++) {
    uint8_t *const row8 = photo_raster_row(photo, y);
    uint16_t *const row16 = (uint16_t *)(void *)row8;
    for (int x = 0; x < count; x++)
      if (photo->raster.bits == 16)
        row16[x] = (uint16_t)stretch(row16[x], 256, 65535);
      else
        row8[x] = (uint8_t)stretch(row8[x], 1, 255);
  }
}

/* Repeats the upper bits below, so that full stays full. */
void photo_raster_widen(bc_photo *photo, int bits) {
  const size_t count = photo->raster.row_bytes / 2 * (size_t)photo->raster.height;
  uint16_t *const samples = photo->samples;
  for (size_t i = 0; i < count; i++) samples[i] = (uint16_t)(samples[i] << (16 - bits) | samples[i] >> (2 * bits - 16));
}
