/* SPDX-License-Identifier: MIT */
/* Any bytes as a photo: an answer of the promised kind, and a raster within the limits, all of it there. */
#include <backcloth/photo.h>

#include <stdlib.h>
#include <string.h>

#define PROMISE(condition)                                                                                             \
  if (!(condition)) abort()

/* Touches every byte, so that the sanitizers see a raster that is smaller than it says. */
static unsigned sum_of(const bc_raster *raster) {
  unsigned sum = 0;
  const size_t row_bytes = (size_t)raster->width * (size_t)raster->model * (size_t)raster->bits / 8;
  PROMISE(raster->row_bytes >= row_bytes);
  for (int y = 0; y < raster->height; y++) {
    const uint8_t *row = (const uint8_t *)raster->samples + (size_t)y * raster->row_bytes;
    for (size_t i = 0; i < row_bytes; i++) sum += row[i];
  }
  const size_t pixels = (size_t)raster->width * (size_t)raster->height;
  for (size_t i = 0; raster->alpha && i < pixels; i++) sum += raster->alpha[i];
  return sum;
}

static void check(const bc_photo *photo, const bc_limits *limits) {
  const bc_raster raster = bc_photo_raster(photo);
  int width = 0, height = 0;
  bc_photo_full_size(photo, &width, &height);
  PROMISE(raster.width >= 1 && raster.height >= 1 && raster.width <= width && raster.height <= height);
  PROMISE((uint32_t)width <= limits->photo_side && (uint32_t)height <= limits->photo_side);
  PROMISE((uint64_t)width * (uint64_t)height <= limits->photo_pixels);
  PROMISE(raster.model == BC_PHOTO_GREY || raster.model == BC_PHOTO_RGB || raster.model == BC_PHOTO_CMYK);
  PROMISE(raster.bits == 8 || raster.bits == 16);
  size_t size = 0;
  const void *profile = bc_photo_profile(photo, &size);
  PROMISE((profile != NULL) == (bc_photo_profile_source(photo) == BC_PROFILE_EMBEDDED));
  PROMISE((profile != NULL) == (size > 0) && size <= limits->profile_bytes);
  PROMISE((bc_photo_declared_colour(photo) != NULL) == (bc_photo_profile_source(photo) == BC_PROFILE_DECLARED));
  PROMISE(bc_photo_format(photo) && bc_photo_name(photo));
  static volatile unsigned sum;
  sum = sum_of(&raster);
  (void)sum;
}

/* Libraries that keep small blocks when they meet damage: libheif 1.15 loses 52 bytes for each nclx box with
 * an unknown code point, and what dav1d prepared when its data are empty. Nothing of ours is excused. */
const char *__lsan_default_suppressions(void);
const char *__lsan_default_suppressions(void) {
  return "leak:libheif\nleak:libdav1d\nleak:libde265\nleak:libstdc++";
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
  bc_context *context = NULL;
  if (bc_context_new(&context) != BC_OK) return 0;
  bc_limits *limits = bc_context_limits(context);
  limits->photo_side = 1200;
  limits->photo_pixels = 500000;
  limits->decode_bytes = 16u << 20;
  limits->profile_bytes = 64u << 10;
  /* The last byte chooses a reduced size and the one name that matters. */
  const uint8_t choice = size > 0 ? data[size - 1] : 0;
  const bc_photo_options options = {.wanted_side = choice & 1 ? 16 << (choice >> 6) : 0};
  bc_photo *photo = NULL;
  const bc_status status = bc_photo_decode(&photo, context, data, size, choice & 2 ? "a.tga" : "a", &options);
  PROMISE(status == BC_OK || status == BC_BAD_DATA || status == BC_OUR_FAULT);
  PROMISE((status == BC_OK) == (photo != NULL));
  PROMISE((status != BC_OK) == (bc_context_message(context)[0] != 0));
  if (photo) check(photo, limits);
  bc_photo_free(photo);
  bc_context_free(context);
  return 0;
}
