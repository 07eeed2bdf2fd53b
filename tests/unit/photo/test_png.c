/* SPDX-License-Identifier: MIT */
/* PNG: every colour type and depth, interlacing, transparency, profiles; bombs and damaged files. */
#include "pictures.h"

#include <zlib.h>

#include "support/context.h"

/* ---- kinds ---- */

static void every_kind(void **state) {
  (void)state;
  const struct {
    int colour_type, bits;
    bc_photo_model model;
    bool alpha;
  } cases[] = {
      {PNG_COLOR_TYPE_GRAY, 1, BC_PHOTO_GREY, false},      {PNG_COLOR_TYPE_GRAY, 2, BC_PHOTO_GREY, false},
      {PNG_COLOR_TYPE_GRAY, 4, BC_PHOTO_GREY, false},      {PNG_COLOR_TYPE_GRAY, 8, BC_PHOTO_GREY, false},
      {PNG_COLOR_TYPE_GRAY, 16, BC_PHOTO_GREY, false},     {PNG_COLOR_TYPE_RGB, 8, BC_PHOTO_RGB, false},
      {PNG_COLOR_TYPE_RGB, 16, BC_PHOTO_RGB, false},       {PNG_COLOR_TYPE_PALETTE, 1, BC_PHOTO_RGB, false},
      {PNG_COLOR_TYPE_PALETTE, 4, BC_PHOTO_RGB, false},    {PNG_COLOR_TYPE_PALETTE, 8, BC_PHOTO_RGB, false},
      {PNG_COLOR_TYPE_GRAY_ALPHA, 8, BC_PHOTO_GREY, true}, {PNG_COLOR_TYPE_GRAY_ALPHA, 16, BC_PHOTO_GREY, true},
      {PNG_COLOR_TYPE_RGB_ALPHA, 8, BC_PHOTO_RGB, true},   {PNG_COLOR_TYPE_RGB_ALPHA, 16, BC_PHOTO_RGB, true},
  };
  for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
    for (int way = 0; way < 4; way++) {
      png_wish wish = {.width = 37, .height = 23, .colour_type = cases[i].colour_type, .bits = cases[i].bits};
      wish.interlaced = (way & 1) != 0;
      wish.transparent = (way & 2) != 0 && !cases[i].alpha;
      const file_bytes file = make_png(wish);
      bc_photo *photo = NULL;
      assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
      const bc_raster raster = bc_photo_raster(photo);
      assert_int_equal(raster.width, 37);
      assert_int_equal(raster.height, 23);
      assert_int_equal(raster.model, cases[i].model);
      assert_int_equal(raster.bits, cases[i].bits == 16 ? 16 : 8);
      assert_int_equal(raster.alpha != NULL, cases[i].alpha || wish.transparent);
      bc_photo_free(photo);
      free(file.bytes);
    }
}

/* Interlaced and plain files of the same samples give the same raster, sample for sample. */
static void interlacing_changes_nothing(void **state) {
  (void)state;
  png_wish wish = {.width = 37, .height = 23, .colour_type = PNG_COLOR_TYPE_RGB_ALPHA, .bits = 16};
  bc_photo *photos[2] = {NULL, NULL};
  for (int i = 0; i < 2; i++) {
    wish.interlaced = i == 1;
    const file_bytes file = make_png(wish);
    assert_int_equal(decode_bytes(&photos[i], context, file, 0), BC_OK);
    free(file.bytes);
  }
  const bc_raster a = bc_photo_raster(photos[0]), b = bc_photo_raster(photos[1]);
  for (int y = 0; y < 23; y++)
    assert_memory_equal((const uint8_t *)a.samples + (size_t)y * a.row_bytes,
                        (const uint8_t *)b.samples + (size_t)y * b.row_bytes, 37 * 6);
  assert_memory_equal(a.alpha, b.alpha, 37 * 23);
  bc_photo_free(photos[0]);
  bc_photo_free(photos[1]);
}

/* Sixteen-bit samples come in native order and alpha is rounded to 8 bits: 65535 -> 255, 128 -> 0, 129 -> 1. */
static void sixteen_bits(void **state) {
  (void)state;
  const uint8_t row[3 * 4] = {0x12, 0x34, 0xFF, 0xFF, 0xAB, 0xCD, 0x00, 0x80, 0x00, 0x01, 0x00, 0x81};
  const png_wish wish = {.width = 3, .height = 1, .colour_type = PNG_COLOR_TYPE_GRAY_ALPHA, .bits = 16};
  const file_bytes file = make_png_of(wish, row);
  bc_photo *photo = NULL;
  assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
  const uint16_t *samples = bc_photo_raster(photo).samples;
  assert_int_equal(samples[0], 0x1234);
  assert_int_equal(samples[1], 0xABCD);
  assert_int_equal(samples[2], 0x0001);
  const uint8_t alpha[3] = {255, 0, 1};
  assert_memory_equal(bc_photo_raster(photo).alpha, alpha, 3);
  bc_photo_free(photo);
  free(file.bytes);
}

/* ---- profiles ---- */

static file_bytes with_iccp(size_t profile_size, size_t stated, file_bytes *profile) {
  *profile = make_profile(profile_size);
  for (int i = 0; i < 4; i++) profile->bytes[i] = (uint8_t)(stated >> (24 - 8 * i));
  uLongf packed_size = compressBound((uLong)profile_size);
  file_bytes chunk = {0};
  append(&chunk, "photo\0\0", 7);
  uint8_t *packed = malloc(packed_size);
  assert_int_equal(compress(packed, &packed_size, profile->bytes, (uLong)profile_size), Z_OK);
  append(&chunk, packed, packed_size);
  free(packed);
  const png_wish wish = {.width = 8, .height = 8, .colour_type = PNG_COLOR_TYPE_RGB, .bits = 8};
  const file_bytes file = with_png_chunk(make_png(wish), "iCCP", chunk.bytes, chunk.size);
  free(chunk.bytes);
  return file;
}

static void embedded_profile(void **state) {
  (void)state;
  file_bytes profile;
  const file_bytes file = with_iccp(3000, 3000, &profile);
  bc_photo *photo = NULL;
  assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
  size_t size = 0;
  const void *bytes = bc_photo_profile(photo, &size);
  assert_int_equal(bc_photo_profile_source(photo), BC_PROFILE_EMBEDDED);
  assert_int_equal(size, 3000);
  assert_memory_equal(bytes, profile.bytes, size);
  bc_photo_free(photo);
  free(profile.bytes);
  free(file.bytes);
}

static void expect_damaged_profile(file_bytes file) {
  bc_photo *photo = NULL;
  assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
  assert_int_equal(bc_photo_profile_source(photo), BC_PROFILE_ASSUMED);
  assert_int_equal(bc_photo_notes(photo)->count, 1);
  bc_photo_free(photo);
}

static void damaged_profiles_leave_a_note(void **state) {
  (void)state;
  file_bytes profile;
  file_bytes file = with_iccp(3000, 3500, &profile); /* shorter than it says */
  expect_damaged_profile(file);
  free(file.bytes), free(profile.bytes);
  file = with_iccp(3000, 2500, &profile); /* longer than it says */
  expect_damaged_profile(file);
  free(file.bytes), free(profile.bytes);
  const png_wish wish = {.width = 8, .height = 8, .colour_type = PNG_COLOR_TYPE_RGB, .bits = 8};
  file = with_png_chunk(make_png(wish), "iCCP", "no end of the name", 18);
  expect_damaged_profile(file);
  free(file.bytes);
  file = with_png_chunk(make_png(wish), "iCCP", "name\0\0not packed at all", 23);
  expect_damaged_profile(file);
  free(file.bytes);
}

static void profile_at_the_limit_and_past_it(void **state) {
  (void)state;
  const uint64_t before = bc_context_limits(context)->profile_bytes;
  bc_context_limits(context)->profile_bytes = 3000;
  file_bytes profile;
  file_bytes file = with_iccp(3000, 3000, &profile);
  bc_photo *photo = NULL;
  assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
  bc_photo_free(photo);
  free(file.bytes), free(profile.bytes);
  file = with_iccp(3001, 3001, &profile);
  assert_refused(context, file, "colour profile is larger");
  free(file.bytes), free(profile.bytes);
  bc_context_limits(context)->profile_bytes = before;
}

/* 100 MB of zeros behind a small chunk: only what the profile states is ever unpacked. */
static void profile_bomb(void **state) {
  (void)state;
  file_bytes profile;
  const file_bytes file = with_iccp(100u << 20, 1000, &profile);
  expect_damaged_profile(file);
  free(file.bytes), free(profile.bytes);
}

/* ---- bombs and damage ---- */

static void huge_headers(void **state) {
  (void)state;
  file_bytes file = png_header_of(60000, 60000, 8, PNG_COLOR_TYPE_RGB);
  append_png_chunk(&file, "IDAT", "", 0);
  assert_refused(context, file, "60000 x 60000");
  free(file.bytes);
  file = png_header_of(0x7FFFFFFF, 0x7FFFFFFF, 16, PNG_COLOR_TYPE_RGB_ALPHA);
  append_png_chunk(&file, "IDAT", "", 0);
  assert_refused(context, file, "2147483647");
  free(file.bytes);
  file = png_header_of(29000, 29000, 1, PNG_COLOR_TYPE_GRAY); /* sides allowed, pixels not */
  append_png_chunk(&file, "IDAT", "", 0);
  assert_refused(context, file, "million pixels");
  free(file.bytes);
  file = png_header_of(0, 10, 8, PNG_COLOR_TYPE_RGB);
  append_png_chunk(&file, "IDAT", "", 0);
  assert_refused(context, file, "damaged");
  free(file.bytes);
}

static void memory_at_the_limit_and_past_it(void **state) {
  (void)state;
  const uint64_t before = bc_context_limits(context)->decode_bytes;
  const png_wish wish = {.width = 100, .height = 50, .colour_type = PNG_COLOR_TYPE_RGB_ALPHA, .bits = 16};
  const file_bytes file = make_png(wish);
  /* RGBA of 16 bits, the 8-bit alpha plane, and a pointer a row */
  const uint64_t needed = 100 * 50 * 9 + 50 * sizeof(void *);
  bc_photo *photo = NULL;
  bc_context_limits(context)->decode_bytes = needed;
  assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
  bc_photo_free(photo);
  bc_context_limits(context)->decode_bytes = needed - 1;
  assert_refused(context, file, "memory");
  bc_context_limits(context)->decode_bytes = before;
  free(file.bytes);
}

/* Much more picture data than the header needs, and a text chunk that unpacks to a lot: neither is unpacked. */
static void bombs(void **state) {
  (void)state;
  const uLong zeros_size = 64u << 20;
  uint8_t *zeros = calloc(zeros_size, 1);
  uLongf packed_size = compressBound(zeros_size);
  uint8_t *packed = malloc(packed_size);
  assert_int_equal(compress(packed, &packed_size, zeros, zeros_size), Z_OK);
  free(zeros);
  file_bytes file = png_header_of(4, 4, 8, PNG_COLOR_TYPE_GRAY);
  file_bytes text = {0};
  append(&text, "Comment\0\0", 9);
  append(&text, packed, packed_size);
  append_png_chunk(&file, "zTXt", text.bytes, text.size);
  append_png_chunk(&file, "IDAT", packed, packed_size);
  append_png_chunk(&file, "IEND", "", 0);
  bc_photo *photo = NULL;
  const bc_status status = decode_bytes(&photo, context, file, 0);
  assert_true(status == BC_OK || status == BC_BAD_DATA);
  if (photo) assert_int_equal(bc_photo_raster(photo).width, 4);
  bc_photo_free(photo);
  free(text.bytes);
  free(packed);
  free(file.bytes);
}

static void cut_off_anywhere(void **state) {
  (void)state;
  for (int way = 0; way < 2; way++) {
    const png_wish wish = {
        .width = 60, .height = 40, .colour_type = PNG_COLOR_TYPE_RGB, .bits = 8, .interlaced = way == 1};
    const file_bytes file = make_png(wish);
    for (size_t size = 4; size < file.size; size += size < 60 || size + 30 > file.size ? 1 : 53)
      assert_refused(context, (file_bytes){file.bytes, size}, "cut off");
    free(file.bytes);
  }
}

/* Every byte of a PNG is under a checksum or fixed, so every flip in a critical chunk is seen. */
static void flipped_bytes_are_seen(void **state) {
  (void)state;
  const png_wish wish = {.width = 20, .height = 12, .colour_type = PNG_COLOR_TYPE_RGB, .bits = 8};
  const file_bytes file = make_png(wish);
  for (size_t i = 4; i < file.size; i++) {
    file.bytes[i] ^= 0x11;
    bc_photo *photo = NULL;
    assert_int_equal(decode_bytes(&photo, context, file, 0), BC_BAD_DATA);
    assert_null(photo);
    file.bytes[i] ^= 0x11;
  }
  free(file.bytes);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(every_kind),
      cmocka_unit_test(interlacing_changes_nothing),
      cmocka_unit_test(sixteen_bits),
      cmocka_unit_test(embedded_profile),
      cmocka_unit_test(damaged_profiles_leave_a_note),
      cmocka_unit_test(profile_at_the_limit_and_past_it),
      cmocka_unit_test(profile_bomb),
      cmocka_unit_test(huge_headers),
      cmocka_unit_test(memory_at_the_limit_and_past_it),
      cmocka_unit_test(bombs),
      cmocka_unit_test(cut_off_anywhere),
      cmocka_unit_test(flipped_bytes_are_seen),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
