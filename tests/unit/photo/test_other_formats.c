/* SPDX-License-Identifier: MIT */
/* BMP, TGA, PGM and PPM built by hand after their published layouts; cut off, damaged, too large. */
#include "pictures.h"

#include "support/context.h"

static void append_little(file_bytes *file, uint32_t value, size_t size) {
  const uint8_t bytes[4] = {(uint8_t)value, (uint8_t)(value >> 8), (uint8_t)(value >> 16), (uint8_t)(value >> 24)};
  append(file, bytes, size);
}

/* 24-bit BITMAPINFOHEADER file, bottom row first, rows padded to 4 bytes; pixel (x, y) = (x, y, 7). */
static file_bytes make_bmp(uint32_t width, uint32_t height, bool with_pixels) {
  file_bytes file = {0};
  append(&file, "BM", 2);
  append_little(&file, 54, 4), append_little(&file, 0, 4), append_little(&file, 54, 4);
  append_little(&file, 40, 4), append_little(&file, width, 4), append_little(&file, height, 4);
  append_little(&file, 1, 2), append_little(&file, 24, 2);
  for (int i = 0; i < 6; i++) append_little(&file, 0, 4);
  for (uint32_t y = height; with_pixels && y-- > 0;) {
    for (uint32_t x = 0; x < width; x++) append(&file, (const uint8_t[3]){7, (uint8_t)y, (uint8_t)x}, 3);
    append(&file, "\0\0\0", (4 - width * 3 % 4) % 4);
  }
  return file;
}

static void check_rgb(file_bytes file, const char *name, int width, int height) {
  bc_photo *photo = NULL;
  assert_int_equal(bc_photo_decode(&photo, context, file.bytes, file.size, name, NULL), BC_OK);
  const bc_raster raster = bc_photo_raster(photo);
  assert_int_equal(raster.width, width);
  assert_int_equal(raster.height, height);
  assert_int_equal(raster.model, BC_PHOTO_RGB);
  for (int y = 0; y < height; y++)
    for (int x = 0; x < width; x++) {
      const uint8_t *pixel = (const uint8_t *)raster.samples + (size_t)y * raster.row_bytes + (size_t)x * 3;
      assert_memory_equal(pixel, ((const uint8_t[3]){(uint8_t)x, (uint8_t)y, 7}), 3);
    }
  bc_photo_free(photo);
}

static void bmp(void **state) {
  (void)state;
  const file_bytes file = make_bmp(13, 9, true);
  check_rgb(file, "photo.bmp", 13, 9);
  for (size_t size = 2; size < file.size; size++) {
    bc_photo *photo = NULL;
    assert_int_equal(decode_bytes(&photo, context, (file_bytes){file.bytes, size}, 0), BC_BAD_DATA);
    assert_null(photo);
  }
  assert_refused(context, (file_bytes){file.bytes, file.size / 2}, "cut off");
  free(file.bytes);
}

static void huge_bmp(void **state) {
  (void)state;
  const file_bytes file = make_bmp(60000, 60000, false);
  assert_refused(context, file, "60000 x 60000");
  free(file.bytes);
}

static file_bytes make_tga(void) {
  file_bytes file = {0};
  append(&file, "\0\0\2\0\0\0\0\0\0\0\0\0", 12); /* uncompressed true colour */
  append_little(&file, 13, 2), append_little(&file, 9, 2);
  append(&file, (const uint8_t[2]){24, 0x20}, 2); /* top row first */
  for (int y = 0; y < 9; y++)
    for (int x = 0; x < 13; x++) append(&file, (const uint8_t[3]){7, (uint8_t)y, (uint8_t)x}, 3);
  return file;
}

/* TGA has no mark at its beginning: only the name tells it. */
static void tga(void **state) {
  (void)state;
  const file_bytes file = make_tga();
  check_rgb(file, "photo.TGA", 13, 9);
  assert_refused(context, file, "not a picture");
  bc_photo *photo = NULL;
  assert_int_equal(bc_photo_decode(&photo, context, file.bytes, file.size - 1, "photo.tga", NULL), BC_BAD_DATA);
  free(file.bytes);
}

static file_bytes make_ppm(const char *head) {
  file_bytes file = {0};
  append(&file, head, strlen(head));
  for (int y = 0; y < 9; y++)
    for (int x = 0; x < 13; x++) append(&file, (const uint8_t[3]){(uint8_t)x, (uint8_t)y, 7}, 3);
  return file;
}

static void ppm(void **state) {
  (void)state;
  file_bytes file = make_ppm("P6\n# made for a test\n13 9\n255\n");
  check_rgb(file, "photo.ppm", 13, 9);
  for (size_t size = 2; size < file.size; size++) {
    bc_photo *photo = NULL;
    assert_int_equal(decode_bytes(&photo, context, (file_bytes){file.bytes, size}, 0), BC_BAD_DATA);
  }
  free(file.bytes);
  file = make_ppm("P6 13 9 100\n"); /* would come out too dark */
  assert_refused(context, file, "rare kind");
  free(file.bytes);
}

/* GIF87a of 2 x 2: a global table of 4 colours, LZW codes of 3 bits: clear 0 1 2 3 end. */
static void gif(void **state) {
  (void)state;
  static const uint8_t bytes[] = {'G', 'I', 'F', '8', '7', 'a', 2,    0,  2,   0,    0x91, 0,    0, 10,
                                  20,  30,  40,  50,  60,  70,  80,   90, 100, 110,  120,  0x2C, 0, 0,
                                  0,   0,   2,   0,   2,   0,   0x00, 2,  3,   0x44, 0x34, 0x05, 0, 0x3B};
  bc_photo *photo = NULL;
  const file_bytes file = {(uint8_t *)(uintptr_t)bytes, sizeof bytes};
  assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
  static const uint8_t expected[] = {10, 20, 30, 40, 50, 60};
  assert_memory_equal(bc_photo_raster(photo).samples, expected, 6);
  assert_null(bc_photo_raster(photo).alpha); /* opaque, so that the picture isn't taken for a cut-out */
  bc_photo_free(photo);
  for (size_t size = 4; size + 2 < sizeof bytes; size++) {
    assert_int_equal(decode_bytes(&photo, context, (file_bytes){file.bytes, size}, 0), BC_BAD_DATA);
    assert_null(photo);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(bmp), cmocka_unit_test(huge_bmp), cmocka_unit_test(tga),
      cmocka_unit_test(ppm), cmocka_unit_test(gif),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
