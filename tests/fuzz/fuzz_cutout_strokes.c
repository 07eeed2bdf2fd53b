/* SPDX-License-Identifier: MIT */
/* Any box and strokes on a small picture: refused with a sentence, or a mask that is piece and ground where it can be.
 */
#include <backcloth/cutout.h>

#include "image.h"
#include <stdint.h>
#include <string.h>

enum { POINTS = 64, WIDTH = 40, HEIGHT = 30 };

static float light(void *data, int x, int y) {
  (void)data;
  return x > 12 && x < 28 && y > 9 && y < 22 ? 30 : 90;
}

/* The next two bytes as a number from far left to far right of the picture, or the extremes. */
static int number(const uint8_t **data, size_t *size) {
  int16_t value = 0;
  if (*size < sizeof value) return 0;
  memcpy(&value, *data, sizeof value);
  *data += sizeof value;
  *size -= sizeof value;
  return value == INT16_MAX ? INT32_MAX : value == INT16_MIN ? INT32_MIN : value;
}

static size_t points(bc_point_px *out, size_t wanted, const uint8_t **data, size_t *size) {
  size_t count = 0;
  for (; count < wanted && *size >= 4; count++) {
    out[count].x = number(data, size);
    out[count].y = number(data, size);
  }
  return count;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
  if (size < 2) return 0;
  bc_context *context = NULL;
  bc_cutout *cutout = NULL;
  if (bc_context_new(&context) != BC_OK) return 0;
  bc_cutout_options how = bc_cutout_options_default();
  bc_point_px keep[POINTS], drop[POINTS];
  const uint8_t flags = data[0], kept = data[1];
  data += 2, size -= 2;
  how.without_network = true; /* it is asked by other tests, and takes long */
  how.has_box = flags & 1;
  if (how.has_box) {
    how.box.x = number(&data, &size), how.box.y = number(&data, &size);
    how.box.width = number(&data, &size), how.box.height = number(&data, &size);
  }
  how.brush = flags & 2 ? number(&data, &size) : 0;
  how.keep = keep, how.drop = drop;
  how.keep_count = points(keep, kept % (POINTS + 1), &data, &size);
  how.drop_count = points(drop, POINTS, &data, &size);
  bc_image *image = fuzz_image(WIDTH, HEIGHT, light, NULL);
  const bc_status status = bc_cutout_find(&cutout, context, image, &how);
  PROMISE((status == BC_OK) == (cutout != NULL));
  PROMISE((status != BC_OK) == (bc_context_message(context)[0] != 0));
  if (cutout) {
    PROMISE(cutout->width == WIDTH && cutout->height == HEIGHT && cutout->confidence >= 0 && cutout->confidence <= 1);
    PROMISE(cutout->box.x >= 0 && cutout->box.x + cutout->box.width <= WIDTH);
    PROMISE(cutout->box.y >= 0 && cutout->box.y + cutout->box.height <= HEIGHT);
  }
  bc_cutout_free(cutout);
  bc_image_free(image);
  bc_context_free(context);
  return 0;
}
