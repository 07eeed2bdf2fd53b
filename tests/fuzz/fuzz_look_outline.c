/* SPDX-License-Identifier: MIT */
/* Any small picture as a wall: found, or a guess with a sentence that asks for the corners; a confidence is a share. */
#include <backcloth/look.h>

#include "image.h"
#include <math.h>
#include <stdint.h>

typedef struct input {
  const uint8_t *data;
  size_t size;
  int width;
} input;

/* Cells of 16 x 16 pixels, so that there are edges. */
static float light(void *data, int x, int y) {
  const input *in = data;
  const size_t i = (size_t)(y / 16) * (size_t)(in->width / 16) + (size_t)(x / 16);
  return (float)in->data[1 + i % (in->size - 1)] / 2.55f;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
  if (size < 2) return 0;
  bc_context *context = NULL;
  if (bc_context_new(&context) != BC_OK) return 0;
  input in = {data, size, 480 + (data[0] & 15) * 16};
  bc_image *image = fuzz_image(in.width, 320 + (data[0] >> 4) * 16, light, &in);
  bc_look_outline outline = {0};
  const bc_status status = bc_look_find_outline(&outline, context, image, "wall.jpg");
  PROMISE(status == BC_OK || status == BC_BAD_DATA);
  PROMISE((status != BC_OK) == (bc_context_message(context)[0] != 0));
  PROMISE(outline.confidence >= 0 && outline.confidence <= 1 && isfinite(outline.bend));
  bc_image_free(image);
  bc_context_free(context);
  return 0;
}
