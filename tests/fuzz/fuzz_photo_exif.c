/* SPDX-License-Identifier: MIT */
/* Any bytes as the EXIF block of a JPEG that is else whole: the photo is there whatever they say, turned or not. */
#include <backcloth/photo.h>

#include <stdlib.h>
#include <string.h>

#define PROMISE(condition)                                                                                             \
  if (!(condition)) abort()

/* 16 x 8 pixels of grey, baseline, as libjpeg writes it; without its first two bytes (SOI). */
static const uint8_t rest[] = {
#include "grey_jpeg.inc"
};

static size_t compose(uint8_t *out, const uint8_t *exif, size_t size) {
  const size_t length = size + 8; /* the length's own two bytes and "Exif\0\0" */
  const uint8_t head[] = {0xff, 0xd8, 0xff, 0xe1, (uint8_t)(length >> 8), (uint8_t)length, 'E', 'x', 'i', 'f', 0, 0};
  memcpy(out, head, sizeof head);
  memcpy(out + sizeof head, exif, size);
  memcpy(out + sizeof head + size, rest, sizeof rest);
  return sizeof head + size + sizeof rest;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
  static uint8_t bytes[70000 + sizeof rest];
  bc_context *context = NULL;
  bc_photo *photo = NULL;
  if (size > 65000 || bc_context_new(&context) != BC_OK) return 0;
  const size_t all = compose(bytes, data, size);
  PROMISE(bc_photo_decode(&photo, context, bytes, all, "a.jpg", NULL) == BC_OK);
  int width = 0, height = 0;
  bc_photo_full_size(photo, &width, &height);
  PROMISE((width == 16 && height == 8) || (width == 8 && height == 16));
  bc_photo_free(photo);
  bc_context_free(context);
  return 0;
}
