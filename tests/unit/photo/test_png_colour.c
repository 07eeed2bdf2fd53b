/* SPDX-License-Identifier: MIT */
/* What a PNG says about its colours, in the order of the PNG Specification, Third Edition (W3C 2025),
 * 4.3: cICP, iCCP, sRGB, then gAMA and cHRM. Code points: ITU-T H.273. */
#include "pictures.h"

#include <zlib.h>

#include "support/context.h"

/* ---- chunks ---- */

static const uint8_t cicp_p3[4] = {12, 13, 0, 1};
static const uint8_t gama_22[4] = {0, 0, 0xB1, 0x8F}; /* 45455 */

static void put_big32(uint8_t *to, uint32_t value) {
  for (int i = 0; i < 4; i++) to[i] = (uint8_t)(value >> (24 - 8 * i));
}

/* cHRM of the specification's own example for sRGB, with the red moved to Adobe RGB's green for a mark. */
static void make_chrm(uint8_t to[32], const uint32_t values[8]) {
  for (int i = 0; i < 8; i++) put_big32(to + 4 * i, values[i]);
}

static const uint32_t wide[8] = {31270, 32900, 64000, 33000, 21000, 71000, 15000, 6000};

static file_bytes plain(void) {
  const png_wish wish = {.width = 8, .height = 8, .colour_type = PNG_COLOR_TYPE_RGB, .bits = 8};
  return make_png(wish);
}

static file_bytes with_profile(file_bytes file) {
  const file_bytes profile = make_profile(600);
  uint8_t packed[1000] = "a\0";
  uLongf size = sizeof packed - 3;
  assert_int_equal(compress(packed + 3, &size, profile.bytes, (uLong)profile.size), Z_OK);
  free(profile.bytes);
  return with_png_chunk(file, "iCCP", packed, size + 3);
}

static bc_photo *decode_whole(file_bytes file) {
  bc_photo *photo = NULL;
  assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
  free(file.bytes);
  return photo;
}

static void expect_declared(file_bytes file, const char *name, bc_transfer transfer, double gamma) {
  bc_photo *photo = decode_whole(file);
  assert_int_equal(bc_photo_profile_source(photo), BC_PROFILE_DECLARED);
  const bc_declared_colour *declared = bc_photo_declared_colour(photo);
  assert_string_equal(declared->name, name);
  assert_int_equal(declared->transfer, transfer);
  if (transfer == BC_TRANSFER_GAMMA) assert_float_equal(declared->gamma, gamma, 1e-3);
  bc_photo_free(photo);
}

/* ---- tests ---- */

static void each_alone(void **state) {
  (void)state;
  uint8_t chrm[32];
  make_chrm(chrm, wide);
  expect_declared(with_png_chunk(plain(), "cICP", cicp_p3, 4), "Display P3", BC_TRANSFER_SRGB, 0);
  expect_declared(with_png_chunk(plain(), "sRGB", "\0", 1), "sRGB", BC_TRANSFER_SRGB, 0);
  expect_declared(with_png_chunk(plain(), "gAMA", gama_22, 4), "PNG gAMA", BC_TRANSFER_GAMMA, 2.19998);
  expect_declared(with_png_chunk(plain(), "cHRM", chrm, 32), "PNG cHRM", BC_TRANSFER_SRGB, 0);
  expect_declared(with_png_chunk(with_png_chunk(plain(), "cHRM", chrm, 32), "gAMA", gama_22, 4), "PNG gAMA, cHRM",
                  BC_TRANSFER_GAMMA, 2.19998);
  /* The figures that the PNG specification gives to writers of sRGB for older readers mean sRGB with its curve. */
  make_chrm(chrm, (const uint32_t[]){31270, 32900, 64000, 33000, 30000, 60000, 15000, 6000});
  expect_declared(with_png_chunk(with_png_chunk(plain(), "cHRM", chrm, 32), "gAMA", gama_22, 4), "sRGB",
                  BC_TRANSFER_SRGB, 0);
  bc_photo *photo = decode_whole(plain());
  assert_int_equal(bc_photo_profile_source(photo), BC_PROFILE_ASSUMED);
  bc_photo_free(photo);
}

static void chromaticities_are_taken_over(void **state) {
  (void)state;
  uint8_t chrm[32];
  make_chrm(chrm, wide);
  bc_photo *photo = decode_whole(with_png_chunk(plain(), "cHRM", chrm, 32));
  const bc_declared_colour *declared = bc_photo_declared_colour(photo);
  assert_float_equal(declared->white.x, 0.3127, 1e-9);
  assert_float_equal(declared->white.y, 0.3290, 1e-9);
  assert_float_equal(declared->green.x, 0.21, 1e-9);
  assert_float_equal(declared->green.y, 0.71, 1e-9);
  assert_float_equal(declared->blue.y, 0.06, 1e-9);
  bc_photo_free(photo);
}

/* All are there; the strongest is taken away one after the other, wherever it stands in the file. */
static void order_of_the_specification(void **state) {
  (void)state;
  uint8_t chrm[32];
  make_chrm(chrm, wide);
  for (int strongest = 0; strongest < 4; strongest++) {
    file_bytes file = plain();
    if (strongest <= 0) file = with_png_chunk(file, "cICP", cicp_p3, 4);
    if (strongest <= 1) file = with_profile(file);
    if (strongest <= 2) file = with_png_chunk(file, "sRGB", "\0", 1);
    file = with_png_chunk(file, "gAMA", gama_22, 4);
    file = with_png_chunk(file, "cHRM", chrm, 32);
    if (strongest == 0) expect_declared(file, "Display P3", BC_TRANSFER_SRGB, 0);
    if (strongest == 1) {
      bc_photo *photo = decode_whole(file);
      assert_int_equal(bc_photo_profile_source(photo), BC_PROFILE_EMBEDDED);
      bc_photo_free(photo);
    }
    if (strongest == 2) expect_declared(file, "sRGB", BC_TRANSFER_SRGB, 0);
    if (strongest == 3) expect_declared(file, "PNG gAMA, cHRM", BC_TRANSFER_GAMMA, 2.19998);
  }
}

/* An unusable one gives way to the next: unknown code points, a YCbCr matrix, a wrong checksum. */
static void unusable_gives_way(void **state) {
  (void)state;
  const uint8_t wrong[][4] = {{99, 13, 0, 1}, {12, 99, 0, 1}, {12, 13, 1, 1}, {12, 13, 0, 2}, {2, 2, 0, 1}};
  for (size_t i = 0; i < sizeof wrong / 4; i++)
    expect_declared(with_png_chunk(with_png_chunk(plain(), "sRGB", "\0", 1), "cICP", wrong[i], 4), "sRGB",
                    BC_TRANSFER_SRGB, 0);
  expect_declared(with_png_chunk(with_png_chunk(plain(), "sRGB", "\0", 1), "cICP", cicp_p3, 3), "sRGB",
                  BC_TRANSFER_SRGB, 0);
  file_bytes file = with_png_chunk(with_png_chunk(plain(), "sRGB", "\0", 1), "cICP", cicp_p3, 4);
  file.bytes[33 + 8 + 4] ^= 1; /* the first byte of the checksum of cICP, right after IHDR */
  expect_declared(file, "sRGB", BC_TRANSFER_SRGB, 0);
}

/* Nonsense is left out with a note: a white outside its triangle, no area, an absurd curve. */
static void nonsense_leaves_a_note(void **state) {
  (void)state;
  const uint32_t tables[][8] = {{90000, 5000, 64000, 33000, 30000, 60000, 15000, 6000},
                                {31270, 32900, 64000, 33000, 64000, 33000, 15000, 6000},
                                {0, 0, 0, 0, 0, 0, 0, 0},
                                {0x7FFFFFFF, 0x7FFFFFFF, 1, 1, 2, 2, 3, 3}};
  for (size_t i = 0; i < 4; i++) {
    uint8_t chrm[32];
    make_chrm(chrm, tables[i]);
    bc_photo *photo = decode_whole(with_png_chunk(plain(), "cHRM", chrm, 32));
    assert_int_equal(bc_photo_profile_source(photo), BC_PROFILE_ASSUMED);
    assert_int_equal(bc_photo_notes(photo)->count, 1);
    bc_photo_free(photo);
  }
  bc_photo *photo = decode_whole(with_png_chunk(plain(), "gAMA", "\0\0\0\1", 4));
  assert_int_equal(bc_photo_profile_source(photo), BC_PROFILE_ASSUMED);
  bc_photo_free(photo);
}

/* Narrow range (H.273 eq. 20-22): 16 is black and 235 white of 255. */
static void narrow_range_is_stretched(void **state) {
  (void)state;
  const uint8_t rows[9] = {16, 235, 0, 255, 126, 125, 17, 234, 16};
  const png_wish wish = {.width = 3, .height = 1, .colour_type = PNG_COLOR_TYPE_RGB, .bits = 8};
  const uint8_t narrow[4] = {1, 13, 0, 0};
  bc_photo *photo = decode_whole(with_png_chunk(make_png_of(wish, rows), "cICP", narrow, 4));
  const uint8_t expected[9] = {0, 255, 0, 255, 128, 127, 1, 254, 0};
  assert_memory_equal(bc_photo_raster(photo).samples, expected, 9);
  bc_photo_free(photo);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(each_alone),
      cmocka_unit_test(chromaticities_are_taken_over),
      cmocka_unit_test(order_of_the_specification),
      cmocka_unit_test(unusable_gives_way),
      cmocka_unit_test(nonsense_leaves_a_note),
      cmocka_unit_test(narrow_range_is_stretched),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
