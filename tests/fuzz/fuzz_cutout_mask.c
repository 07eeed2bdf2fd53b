/* SPDX-License-Identifier: MIT */
/* Any bytes as a mask picture: refused with a sentence, or a mask of the image's size whose box lies in it. */
#include <backcloth/cutout.h>

#include "image.h"
#include <stdint.h>
#include <stdio.h>
#include <sys/mman.h>
#include <unistd.h>

static float light(void *data, int x, int y) {
  (void)data;
  return x > 5 && x < 14 && y > 5 && y < 11 ? 30 : 90;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
  bc_context *context = NULL;
  bc_cutout *cutout = NULL;
  char path[64];
  if (bc_context_new(&context) != BC_OK) return 0;
  bc_limits *limits = bc_context_limits(context);
  limits->photo_side = 1200;
  limits->photo_pixels = 500000;
  limits->decode_bytes = 16u << 20;
  const int file = memfd_create("mask.png", 0);
  PROMISE(file >= 0 && write(file, data, size) == (ssize_t)size);
  snprintf(path, sizeof path, "/proc/self/fd/%d", file);
  bc_image *image = fuzz_image(20, 16, light, NULL);
  const bc_status status = bc_cutout_from_mask(&cutout, context, image, path);
  PROMISE((status == BC_OK) == (cutout != NULL));
  PROMISE((status != BC_OK) == (bc_context_message(context)[0] != 0));
  if (cutout) {
    PROMISE(cutout->width == 20 && cutout->height == 16);
    PROMISE(cutout->box.x >= 0 && cutout->box.y >= 0);
    PROMISE(cutout->box.x + cutout->box.width <= 20 && cutout->box.y + cutout->box.height <= 16);
  }
  bc_cutout_free(cutout);
  bc_image_free(image);
  close(file);
  bc_context_free(context);
  return 0;
}
