/* SPDX-License-Identifier: MIT */
/* JPEG: kinds, reduced sizes, profiles in several parts, and files that are cut off or damaged. */
#include "pictures.h"

#include "support/context.h"

static void reduced_sizes(void **state) {
  (void)state;
  const file_bytes file = make_jpeg((jpeg_wish){.width = 1600, .height = 1200, .components = 3});
  const struct {
    int wanted, longer, shorter;
  } cases[] = {{0, 1600, 1200},   {1, 200, 150},      {200, 200, 150},   {201, 400, 300},
               {400, 400, 300},   {401, 600, 450},    {601, 800, 600},   {800, 800, 600},
               {801, 1600, 1200}, {1600, 1600, 1200}, {5000, 1600, 1200}};
  for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
    bc_photo *photo = NULL;
    assert_int_equal(decode_bytes(&photo, context, file, cases[i].wanted), BC_OK);
    assert_int_equal(bc_photo_raster(photo).width, cases[i].longer);
    assert_int_equal(bc_photo_raster(photo).height, cases[i].shorter);
    int width = 0, height = 0;
    bc_photo_full_size(photo, &width, &height);
    assert_int_equal(width, 1600);
    assert_int_equal(height, 1200);
    bc_photo_free(photo);
  }
  free(file.bytes);
}

static void kinds(void **state) {
  (void)state;
  const struct {
    jpeg_wish wish;
    bc_photo_model model;
  } cases[] = {
      {{.width = 50, .height = 30, .components = 1}, BC_PHOTO_GREY},
      {{.width = 50, .height = 30, .components = 3}, BC_PHOTO_RGB},
      {{.width = 50, .height = 30, .components = 3, .progressive = true}, BC_PHOTO_RGB},
      {{.width = 50, .height = 30, .components = 4}, BC_PHOTO_CMYK},
      {{.width = 50, .height = 30, .components = 4, .ycck = true, .progressive = true}, BC_PHOTO_CMYK},
      {{.width = 1, .height = 1, .components = 3}, BC_PHOTO_RGB},
  };
  for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
    const file_bytes file = make_jpeg(cases[i].wish);
    bc_photo *photo = NULL;
    assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
    assert_int_equal(bc_photo_raster(photo).model, cases[i].model);
    assert_int_equal(bc_photo_raster(photo).bits, 8);
    assert_null(bc_photo_raster(photo).alpha);
    assert_int_equal(bc_photo_profile_source(photo), BC_PROFILE_ASSUMED);
    assert_null(bc_photo_declared_colour(photo));
    bc_photo_free(photo);
    free(file.bytes);
  }
}

/* Adobe Technical Note 5116: with the APP14 marker, programs of that firm store 255 for no ink. The
 * raster always has 0 for no ink. */
static void ink_is_straightened(void **state) {
  (void)state;
  uint8_t samples[16 * 16 * 4];
  for (int i = 0; i < 16 * 16; i++) memcpy(samples + 4 * i, (const uint8_t[4]){250, 200, 100, 30}, 4);
  for (int kind = 0; kind < 3; kind++) {
    const jpeg_wish wish = {
        .width = 16, .height = 16, .components = 4, .quality = 100, .ycck = kind == 1, .no_adobe_marker = kind == 2};
    const file_bytes file = make_jpeg_of(wish, samples);
    bc_photo *photo = NULL;
    assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
    const uint8_t *pixel = bc_photo_raster(photo).samples;
    for (int c = 0; c < 4; c++) {
      const int stored = samples[c];
      assert_in_range(pixel[c] + 2, (kind == 2 ? stored : 255 - stored), (kind == 2 ? stored : 255 - stored) + 4);
    }
    bc_photo_free(photo);
    free(file.bytes);
  }
}

/* ---- profiles ---- */

static void profile_in_several_parts(void **state) {
  (void)state;
  const size_t sizes[] = {400, 65519, 65520, 300000};
  for (size_t i = 0; i < 4; i++) {
    const file_bytes profile = make_profile(sizes[i]);
    const file_bytes file = make_jpeg((jpeg_wish){.width = 20, .height = 20, .components = 3, .profile = profile});
    bc_photo *photo = NULL;
    assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
    assert_int_equal(bc_photo_profile_source(photo), BC_PROFILE_EMBEDDED);
    size_t size = 0;
    const void *bytes = bc_photo_profile(photo, &size);
    assert_int_equal(size, profile.size);
    assert_memory_equal(bytes, profile.bytes, size);
    bc_photo_free(photo);
    free(file.bytes);
    free(profile.bytes);
  }
}

static void missing_part_leaves_a_note(void **state) {
  (void)state;
  const file_bytes profile = make_profile(100000);
  const file_bytes file = make_jpeg((jpeg_wish){.width = 20, .height = 20, .components = 3, .profile = profile});
  for (size_t i = 0; i + 14 < file.size; i++)
    if (memcmp(file.bytes + i, "ICC_PROFILE", 12) == 0 && file.bytes[i + 12] == 2) file.bytes[i] = 'X';
  bc_photo *photo = NULL;
  assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
  assert_int_equal(bc_photo_profile_source(photo), BC_PROFILE_ASSUMED);
  assert_int_equal(bc_photo_notes(photo)->count, 1);
  assert_non_null(strstr(bc_photo_notes(photo)->text[0], "profile is damaged"));
  bc_photo_free(photo);
  free(file.bytes);
  free(profile.bytes);
}

static void profile_at_the_limit_and_past_it(void **state) {
  (void)state;
  const uint64_t before = bc_context_limits(context)->profile_bytes;
  bc_context_limits(context)->profile_bytes = 100000;
  for (size_t size = 100000; size <= 100001; size++) {
    const file_bytes profile = make_profile(size);
    const file_bytes file = make_jpeg((jpeg_wish){.width = 20, .height = 20, .components = 3, .profile = profile});
    if (size == 100000) {
      bc_photo *photo = NULL;
      assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
      bc_photo_free(photo);
    } else {
      assert_refused(context, file, "colour profile is larger");
    }
    free(file.bytes);
    free(profile.bytes);
  }
  bc_context_limits(context)->profile_bytes = before;
}

static void adobe_rgb_by_exif(void **state) {
  (void)state;
  const struct {
    exif_wish wish;
    bc_profile_source source;
  } cases[] = {
      {{.orientation = 1, .colour_space = 0xFFFF, .interop = "R03"}, BC_PROFILE_DECLARED},
      {{.orientation = 1, .colour_space = 0xFFFF, .interop = "R03", .big = true}, BC_PROFILE_DECLARED},
      {{.orientation = 1, .colour_space = 1, .interop = "R03"}, BC_PROFILE_ASSUMED},
      {{.orientation = 1, .colour_space = 0xFFFF, .interop = "R98"}, BC_PROFILE_ASSUMED},
  };
  for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
    const file_bytes exif = make_exif(cases[i].wish);
    const file_bytes file = make_jpeg((jpeg_wish){.width = 20, .height = 20, .components = 3, .exif = exif});
    bc_photo *photo = NULL;
    assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
    assert_int_equal(bc_photo_profile_source(photo), cases[i].source);
    const bc_declared_colour *declared = bc_photo_declared_colour(photo);
    if (cases[i].source == BC_PROFILE_DECLARED) {
      assert_string_equal(declared->name, "Adobe RGB (1998)");
      assert_int_equal(declared->transfer, BC_TRANSFER_GAMMA);
    } else {
      assert_null(declared);
    }
    bc_photo_free(photo);
    free(file.bytes);
    free(exif.bytes);
  }
}

/* ISO 21496-1 marks a picture with a gain map in APP2, Adobe's and Apple's forerunners in XMP (APP1). */
static void a_gain_map_is_told(void **state) {
  (void)state;
  static const char *const marks[] = {
      "urn:iso:std:iso:ts:21496:-1",
      "http://ns.adobe.com/xap/1.0/ xmlns:hdrgm=\"http://ns.adobe.com/hdr-gain-map/1.0/\"",
      "http://ns.adobe.com/xap/1.0/ nothing of the kind"};
  static const uint8_t kind[] = {0xE2, 0xE1, 0xE1};
  for (size_t i = 0; i < sizeof marks / sizeof marks[0]; i++) {
    file_bytes plain = make_jpeg((jpeg_wish){.width = 20, .height = 20, .components = 3}), file = {0};
    const size_t size = strlen(marks[i]) + 3;
    const uint8_t head[4] = {0xFF, kind[i], (uint8_t)(size >> 8), (uint8_t)size};
    append(&file, plain.bytes, 2);
    append(&file, head, sizeof head);
    append(&file, marks[i], size - 2);
    append(&file, plain.bytes + 2, plain.size - 2);
    bc_photo *photo = NULL;
    assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
    assert_int_equal(bc_photo_notes(photo)->count, i < 2);
    bc_photo_free(photo);
    free(file.bytes);
    free(plain.bytes);
  }
}

/* A profile counts more than what EXIF says. */
static void profile_before_exif(void **state) {
  (void)state;
  const file_bytes exif = make_exif((exif_wish){.orientation = 1, .colour_space = 0xFFFF, .interop = "R03"});
  const file_bytes profile = make_profile(500);
  const file_bytes file =
      make_jpeg((jpeg_wish){.width = 20, .height = 20, .components = 3, .exif = exif, .profile = profile});
  bc_photo *photo = NULL;
  assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
  assert_int_equal(bc_photo_profile_source(photo), BC_PROFILE_EMBEDDED);
  bc_photo_free(photo);
  free(file.bytes);
  free(profile.bytes);
  free(exif.bytes);
}

/* ---- cut off and damaged ---- */

static bool same_raster(const bc_photo *first, const bc_photo *second) {
  const bc_raster a = bc_photo_raster(first), b = bc_photo_raster(second);
  return a.width == b.width && a.height == b.height && a.row_bytes == b.row_bytes &&
         memcmp(a.samples, b.samples, a.row_bytes * (size_t)a.height) == 0;
}

/* At every length a cut file is refused, or (only its end marker missing) gives the whole picture. */
static void check_cuts(jpeg_wish wish, int wanted_side) {
  const file_bytes file = make_jpeg(wish);
  bc_photo *whole = NULL;
  assert_int_equal(decode_bytes(&whole, context, file, wanted_side), BC_OK);
  for (size_t size = 3; size < file.size; size += size < 700 || size + 40 > file.size ? 1 : 97) {
    bc_photo *photo = NULL;
    const bc_status status = decode_bytes(&photo, context, (file_bytes){file.bytes, size}, wanted_side);
    if (status == BC_OK) {
      assert_true(size + 4 >= file.size); /* no more than the marker and the last padding bits */
      assert_true(same_raster(photo, whole));
    } else {
      assert_int_equal(status, BC_BAD_DATA);
      assert_non_null(strstr(bc_context_message(context), "cut off"));
    }
    bc_photo_free(photo);
  }
  bc_photo_free(whole);
  free(file.bytes);
}

static void cut_off_anywhere(void **state) {
  (void)state;
  check_cuts((jpeg_wish){.width = 160, .height = 120, .components = 3}, 0);
  check_cuts((jpeg_wish){.width = 160, .height = 120, .components = 3}, 20);
  check_cuts((jpeg_wish){.width = 160, .height = 120, .components = 3, .progressive = true}, 0);
  check_cuts((jpeg_wish){.width = 160, .height = 120, .components = 1, .restart_rows = 2}, 0);
  check_cuts((jpeg_wish){.width = 64, .height = 64, .components = 4}, 0);
}

/* Whatever byte is wrong: an answer, and never a wrong size. */
static void flipped_bytes_never_crash(void **state) {
  (void)state;
  for (int progressive = 0; progressive < 2; progressive++) {
    const file_bytes exif = make_exif((exif_wish){.orientation = 6});
    const file_bytes profile = make_profile(400);
    const file_bytes file = make_jpeg((jpeg_wish){
        .width = 60, .height = 40, .components = 3, .progressive = progressive == 1, .exif = exif, .profile = profile});
    bc_context_limits(context)->photo_side = 4000;
    for (size_t i = 0; i < file.size; i++)
      for (int bit = 0; bit < 8; bit += 3) {
        file.bytes[i] ^= (uint8_t)(1 << bit);
        bc_photo *photo = NULL;
        const bc_status status = decode_bytes(&photo, context, file, 0);
        assert_true(status == BC_OK || status == BC_BAD_DATA);
        if (photo) assert_true(bc_photo_raster(photo).width <= 4000 && bc_photo_raster(photo).height <= 4000);
        bc_photo_free(photo);
        file.bytes[i] ^= (uint8_t)(1 << bit);
      }
    bc_context_limits(context)->photo_side = 30000;
    free(file.bytes);
    free(exif.bytes);
    free(profile.bytes);
  }
}

/* A picture with a hole in its data would be painted over with grey by the decoder. */
static void hole_in_the_data_is_refused(void **state) {
  (void)state;
  const file_bytes file = make_jpeg((jpeg_wish){.width = 320, .height = 240, .components = 3});
  file_bytes holed = {0};
  append(&holed, file.bytes, file.size / 2);
  append(&holed, file.bytes + file.size - 2, 2); /* the end marker straight after half the data */
  assert_refused(context, holed, "damaged");
  free(holed.bytes);
  free(file.bytes);
}

/* The same scan again and again costs little in the file and much in time: 100 are read, 101 refused. */
static void scans_at_the_limit_and_past_it(void **state) {
  (void)state;
  const file_bytes file = make_jpeg((jpeg_wish){.width = 64, .height = 64, .components = 1, .two_scans = true});
  size_t last = 0; /* the second scan: from its Huffman table to the end marker */
  for (size_t i = 0; i + 1 < file.size; i++)
    if (file.bytes[i] == 0xFF && file.bytes[i + 1] == 0xC4) last = i;
  for (int scans = 100; scans <= 101; scans++) {
    file_bytes many = {0};
    append(&many, file.bytes, file.size - 2);
    for (int i = 2; i < scans; i++) append(&many, file.bytes + last, file.size - 2 - last);
    append(&many, "\xFF\xD9", 2);
    if (scans == 100) {
      bc_photo *photo = NULL;
      assert_int_equal(decode_bytes(&photo, context, many, 0), BC_OK);
      bc_photo_free(photo);
    } else {
      assert_refused(context, many, "damaged");
    }
    free(many.bytes);
  }
  free(file.bytes);
}

/* ---- limits ---- */

static void limits_at_and_past(void **state) {
  (void)state;
  bc_limits *limits = bc_context_limits(context);
  const bc_limits before = *limits;
  const file_bytes file = make_jpeg((jpeg_wish){.width = 200, .height = 100, .components = 3});
  bc_photo *photo = NULL;

  limits->photo_side = 200;
  assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
  bc_photo_free(photo);
  limits->photo_side = 199;
  assert_refused(context, file, "200 x 100 pixels");
  *limits = before;

  limits->photo_pixels = 20000;
  assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
  bc_photo_free(photo);
  limits->photo_pixels = 19999;
  assert_refused(context, file, "million pixels");
  *limits = before;

  limits->decode_bytes = 200 * 100 * 3;
  assert_int_equal(decode_bytes(&photo, context, file, 0), BC_OK);
  bc_photo_free(photo);
  limits->decode_bytes--;
  assert_refused(context, file, "memory");
  assert_int_equal(decode_bytes(&photo, context, file, 100), BC_OK); /* reduced, it fits */
  bc_photo_free(photo);
  *limits = before;
  free(file.bytes);
}

/* A 60,000 x 60,000 JPEG is refused by its header: nothing of its size is allocated. */
static void huge_header(void **state) {
  (void)state;
  const file_bytes file = make_jpeg((jpeg_wish){.width = 16, .height = 16, .components = 3});
  for (size_t i = 0; i + 8 < file.size; i++)
    if (file.bytes[i] == 0xFF && file.bytes[i + 1] == 0xC0) {
      memcpy(file.bytes + i + 5, "\xEA\x60\xEA\x60", 4);
      break;
    }
  assert_refused(context, file, "60000 x 60000");
  free(file.bytes);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(reduced_sizes),
      cmocka_unit_test(kinds),
      cmocka_unit_test(ink_is_straightened),
      cmocka_unit_test(profile_in_several_parts),
      cmocka_unit_test(missing_part_leaves_a_note),
      cmocka_unit_test(profile_at_the_limit_and_past_it),
      cmocka_unit_test(adobe_rgb_by_exif),
      cmocka_unit_test(a_gain_map_is_told),
      cmocka_unit_test(profile_before_exif),
      cmocka_unit_test(cut_off_anywhere),
      cmocka_unit_test(flipped_bytes_never_crash),
      cmocka_unit_test(hole_in_the_data_is_refused),
      cmocka_unit_test(scans_at_the_limit_and_past_it),
      cmocka_unit_test(limits_at_and_past),
      cmocka_unit_test(huge_header),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
