/* SPDX-License-Identifier: MIT */
/* The writer of JPEG: what is written can be read again, in either order of bytes; the markers in the file (ITU-T T.81,
 * table B.1) say whether it is progressive and how fine its colour is. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/context.h"
#include <backcloth/jpeg.h>
#include <backcloth/photo.h>

enum { WIDE = 48, HIGH = 32 };
#define SOF_BASELINE 0xC0
#define SOF_PROGRESSIVE 0xC2

typedef struct halves {
  bc_jpeg_order order;
  uint8_t row[WIDE * 4];
} halves;

/* Red on the left, blue on the right. */
static const uint8_t *row_of(void *data, int y) {
  halves *h = data;
  (void)y;
  memset(h->row, 0, sizeof h->row);
  for (size_t x = 0; x < WIDE; x++) {
    const bool red = x < WIDE / 2;
    if (h->order == BC_JPEG_RGB)
      h->row[3 * x + (red ? 0 : 2)] = 255;
    else
      h->row[4 * x + (red ? 2 : 0)] = 255;
  }
  return h->row;
}

/* The frame header, from its marker's second byte. */
static const uint8_t *frame_of(const uint8_t *bytes, size_t size) {
  for (size_t at = 2; at + 4 < size;) {
    assert_int_equal(bytes[at], 0xFF);
    if (bytes[at + 1] == SOF_BASELINE || bytes[at + 1] == SOF_PROGRESSIVE) return bytes + at + 1;
    at += 2 + (size_t)(bytes[at + 2] << 8 | bytes[at + 3]);
  }
  fail();
  return NULL;
}

static void both_orders_are_read_again(void **state) {
  (void)state;
  for (int kind = 0; kind < 4; kind++) {
    halves h = {.order = kind & 1 ? BC_JPEG_BGRX : BC_JPEG_RGB};
    const bool progressive = kind & 2;
    const bc_jpeg_picture picture = {.width = WIDE,
                                     .height = HIGH,
                                     .order = h.order,
                                     .row = row_of,
                                     .data = &h,
                                     .quality = 95,
                                     .full_colour = !progressive,
                                     .progressive = progressive};
    uint8_t *bytes = NULL;
    size_t size = 0;
    assert_true(bc_jpeg_write(&bytes, &size, &picture));
    const uint8_t *frame = frame_of(bytes, size);
    assert_int_equal(frame[0], progressive ? SOF_PROGRESSIVE : SOF_BASELINE);
    assert_int_equal(frame[10], progressive ? 0x22 : 0x11); /* sampling of the first component */
    bc_photo *photo = NULL;
    assert_int_equal(bc_photo_decode(&photo, context, bytes, size, "halves.jpg", NULL), BC_OK);
    const bc_raster raster = bc_photo_raster(photo);
    assert_int_equal(raster.width, WIDE);
    assert_int_equal(raster.height, HIGH);
    const uint8_t *row = (const uint8_t *)raster.samples + (HIGH / 2) * raster.row_bytes;
    const uint8_t *left = row + 3 * (WIDE / 4), *right = row + 3 * (3 * WIDE / 4);
    assert_true(left[0] > 245 && left[1] < 10 && left[2] < 10);
    assert_true(right[0] < 10 && right[1] < 10 && right[2] > 245);
    bc_photo_free(photo);
    free(bytes);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(both_orders_are_read_again)};
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
