/* SPDX-License-Identifier: MIT */
/* BMP, GIF (its first picture), TGA, PSD (its flat picture, RGB), PGM and PPM by stb_image.
 * Radiance HDR and Softimage PIC are left out: no camera or phone writes them. */
#include "photo_internal.h"

#include <limits.h>
#include <stdlib.h>
#include <string.h>

#define STBI_ONLY_BMP
#define STBI_ONLY_GIF
#define STBI_ONLY_TGA
#define STBI_ONLY_PSD
#define STBI_ONLY_PNM
#define STBI_NO_STDIO
#define STBI_NO_FAILURE_STRINGS
#define STB_IMAGE_STATIC
#define STB_IMAGE_IMPLEMENTATION
/* The header declares what the switches above leave out; the compiler tells at the end of the file. */
#pragma GCC diagnostic ignored "-Wunused-function"
#ifdef __clang__
/* Undoing a PSD's white edge divides by its alpha and may leave 0 to 255 before the cast; the sample is
 * nonsense then, as it was in the file. */
#pragma clang attribute push(__attribute__((no_sanitize("float-cast-overflow"))), apply_to = function)
#endif
#include <stb_image.h>
#ifdef __clang__
#pragma clang attribute pop
#endif

/* ---- bytes ---- */

/* stb_image goes on with zeros after the end of a file and says nothing; reading through callbacks tells.
 * Its first read, and every later one to the same place, fills its window ahead and may come short;
 * any other read wants all its bytes. */
typedef struct feed {
  const photo_source *source;
  size_t at;
  const char *window;
  bool past_end;
} feed;

static int on_read(void *user, char *to, int size) {
  feed *const from = user;
  const size_t left = from->source->size - from->at;
  const size_t part = (size_t)size < left ? (size_t)size : left;
  if (!from->window) from->window = to;
  if (to == from->window ? part == 0 : part < (size_t)size) from->past_end = true;
  memcpy(to, from->source->bytes + from->at, part);
  from->at += part;
  return (int)part;
}

static void on_skip(void *user, int count) {
  feed *const from = user;
  if (count < 0) { /* stb_image gives back bytes of a refused format */
    const size_t back = (size_t) - (int64_t)count;
    from->at -= back < from->at ? back : from->at;
    return;
  }
  const size_t left = from->source->size - from->at;
  if ((size_t)count > left) from->past_end = true;
  from->at += (size_t)count < left ? (size_t)count : left;
}

static int on_end(void *user) {
  const feed *const from = user;
  return from->at >= from->source->size;
}

static const stbi_io_callbacks callbacks = {.read = on_read, .skip = on_skip, .eof = on_end};

/* ---- what may be decoded ---- */

/* The next number of a PGM or PPM header, after white space and comments; -1 when there is none or it is
 * beyond any limit. */
static long pnm_number(const photo_source *source, size_t *at) {
  static const char white[] = {' ', '\t', '\r', '\n', '\v', '\f'};
  const uint8_t *bytes = source->bytes;
  while (*at < source->size && (bytes[*at] == '#' || memchr(white, bytes[*at], sizeof white))) {
    if (bytes[*at] == '#')
      while (*at < source->size && bytes[*at] != '\n' && bytes[*at] != '\r') ++*at;
    else
      ++*at;
  }
  long number = -1;
  for (; *at < source->size && bytes[*at] >= '0' && bytes[*at] <= '9'; ++*at) {
    number = (number < 0 ? 0 : number) * 10 + (bytes[*at] - '0');
    if (number > 1000000) return -1;
  }
  return number;
}

/* stb_image does not scale PGM and PPM samples by their stated maximum, misreads 16-bit ones, and lets long
 * numbers overflow; so the header is looked at before. */
static bool is_usual_pnm(const photo_source *source) {
  size_t at = 2;
  const long width = pnm_number(source, &at), height = pnm_number(source, &at);
  return width > 0 && height > 0 && pnm_number(source, &at) == 255;
}

/* GIF: the picture, its background and its history, 9 bytes per pixel; PSD: one 16-bit copy; else one copy. */
static uint64_t working_bytes(const bc_photo *photo) {
  return 9 * (uint64_t)photo->full_width * (uint64_t)photo->full_height;
}

static bc_status prepare(bc_photo *photo, bc_context *context, const photo_source *source, int *channels) {
  if (source->bytes[0] == 'P' && !is_usual_pnm(source)) return photo_fail_kind(context, source);
  feed from = {.source = source};
  int width = 0, height = 0;
  if (!stbi_info_from_callbacks(&callbacks, &from, &width, &height, channels) || width < 0 || height < 0)
    return from.past_end ? photo_fail_cut_off(context, source) : photo_fail_kind(context, source);
  const bc_status status = photo_set_size(photo, context, source, (uint64_t)width, (uint64_t)height);
  if (status != BC_OK) return status;
  const bool alpha = *channels == 2 || *channels == 4;
  const photo_raster_shape shape = {
      .width = width,
      .height = height,
      .model = *channels >= 3 ? BC_PHOTO_RGB : BC_PHOTO_GREY,
      .bits = 8,
      .has_alpha = alpha,
      .alpha_inside = alpha,
      .besides = working_bytes(photo),
  };
  return photo_raster_make(photo, context, source, &shape);
}

/* ---- decoding ---- */

static bc_status load(bc_photo *photo, bc_context *context, const photo_source *source, int channels) {
  feed from = {.source = source};
  int width = 0, height = 0, own = 0;
  stbi_uc *samples = stbi_load_from_callbacks(&callbacks, &from, &width, &height, &own, channels);
  const bool whole = samples && !from.past_end && width == photo->raster.width && height == photo->raster.height;
  if (whole) {
    free(photo->samples);
    photo->samples = samples; /* stb_image allocates with malloc, and its rows have no padding */
    photo->raster.samples = samples;
    return BC_OK;
  }
  free(samples);
  return from.past_end ? photo_fail_cut_off(context, source) : photo_fail_damaged(context, source);
}

bc_status photo_stb_decode(bc_photo *photo, bc_context *context, const photo_source *source) {
  int channels = 0;
  bc_status status = prepare(photo, context, source, &channels);
  if (status == BC_OK) status = load(photo, context, source, channels);
  if (status != BC_OK || !photo->alpha) return status;
  photo_raster_split_alpha(photo);
  photo_raster_drop_opaque_alpha(photo); /* these decoders give an alpha even when the file has none */
  return BC_OK;
}
