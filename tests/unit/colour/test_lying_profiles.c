/* SPDX-License-Identifier: MIT */
/* Profiles that lie in their structure: class, colour space, size, tag table, tags that point at one another or
 * nowhere. Field places: ICC.1:2022, 7.2 (header) and 7.3 (tag table). Whatever is said, the answer is a picture with
 * finite figures or a sentence that names the photo. */
#include "colour/colour_internal.h"

#include <lcms2.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/context.h"

#define MOST 65536
#define COUNT_AT 128
#define TAGS_AT 132
#define TAG 12

typedef struct sample {
  uint8_t bytes[MOST];
  cmsUInt32Number size;
} sample;

static void save(sample *out, cmsHPROFILE profile) {
  assert_non_null(profile);
  assert_true(cmsSaveProfileToMem(profile, NULL, &out->size));
  assert_in_range(out->size, TAGS_AT, MOST);
  assert_true(cmsSaveProfileToMem(profile, out->bytes, &out->size));
  cmsCloseProfile(profile);
}

static cmsHPROFILE grey_profile(void) {
  cmsToneCurve *curve = cmsBuildGamma(NULL, 2.2);
  cmsHPROFILE profile = cmsCreateGrayProfile(cmsD50_xyY(), curve);
  cmsFreeToneCurve(curve);
  return profile;
}

/* A link between two devices is no photo's profile. */
static cmsHPROFILE link_profile(void) {
  cmsToneCurve *curve = cmsBuildGamma(NULL, 1.8);
  cmsToneCurve *const curves[3] = {curve, curve, curve};
  cmsHPROFILE profile = cmsCreateLinearizationDeviceLink(cmsSigRgbData, curves);
  cmsFreeToneCurve(curve);
  return profile;
}

enum { KINDS = 5 };
static cmsHPROFILE make_profile(int kind) {
  switch (kind) {
  case 0:
    return cmsCreate_sRGBProfile();
  case 1:
    return grey_profile();
  case 2:
    return link_profile();
  case 3:
    return cmsCreateLab4Profile(NULL);
  default:
    return cmsCreateXYZProfile();
  }
}

static void put32(uint8_t *at, uint32_t value) {
  for (int i = 0; i < 4; i++) at[i] = (uint8_t)(value >> (24 - 8 * i));
}

static uint32_t get32(const uint8_t *at) {
  return (uint32_t)at[0] << 24 | (uint32_t)at[1] << 16 | (uint32_t)at[2] << 8 | at[3];
}

static int used, refused;

static void try_model(const sample *s, bc_photo_model model) {
  const uint8_t samples[8] = {0, 10, 120, 230, 255, 64, 3, 99};
  const bc_raster raster = {.width = 2, .height = 1, .model = model, .bits = 8, .row_bytes = 8, .samples = samples};
  const colour_meaning meaning = {.profile = s->bytes, .profile_size = s->size};
  const bc_image_options options = {.find_white = false};
  bc_image *image = NULL;
  const bc_status status = colour_image_from_raster(&image, context, &raster, &meaning, "vase.jpg", &options);
  if (status == BC_OK) {
    used++;
    for (int i = 0; i < 2; i++)
      assert_true(isfinite(image->L[i]) && isfinite(image->a[i]) && isfinite(image->b[i]) && isfinite(image->Y[i]));
  } else {
    refused++;
    assert_int_equal(status, BC_BAD_DATA);
    assert_null(image);
    assert_non_null(strstr(bc_context_message(context), "vase.jpg"));
  }
  bc_image_free(image);
}

static void try(const sample *s) {
  try_model(s, BC_PHOTO_GREY);
  try_model(s, BC_PHOTO_RGB);
  try_model(s, BC_PHOTO_CMYK);
}

static void every_signature_in_the_header(void **state) {
  (void)state;
  static const char *const words[] = {"RGB ", "GRAY", "CMYK", "Lab ", "XYZ ", "HSV ", "YCbr", "2CLR", "FCLR",
                                      "nope", "mntr", "scnr", "prtr", "link", "spac", "abst", "nmcl"};
  static const size_t places[] = {12, 16, 20}; /* class, colour space, connection space */
  for (int kind = 0; kind < KINDS; kind++)
    for (size_t w = 0; w < sizeof words / sizeof words[0]; w++)
      for (size_t p = 0; p < 3; p++) {
        sample s;
        save(&s, make_profile(kind));
        memcpy(s.bytes + places[p], words[w], 4);
        try(&s);
      }
}

static void sizes_that_are_not_so(void **state) {
  (void)state;
  static const uint32_t sizes[] = {0, 1, 127, 128, 131, 132, 1000, 0x7fffffff, 0x80000000, 0xffffffff};
  for (int kind = 0; kind < KINDS; kind++)
    for (size_t i = 0; i < sizeof sizes / sizeof sizes[0]; i++) {
      sample s;
      save(&s, make_profile(kind));
      put32(s.bytes, sizes[i]);
      try(&s);
      save(&s, make_profile(kind));
      put32(s.bytes + COUNT_AT, sizes[i]);
      try(&s);
    }
}

/* Each tag in turn: on the header, on the tag table itself, on another tag, past the end, without length, endless. */
static void tags_that_point_astray(void **state) {
  (void)state;
  for (int kind = 0; kind < KINDS; kind++) {
    sample whole;
    save(&whole, make_profile(kind));
    const uint32_t tags = get32(whole.bytes + COUNT_AT);
    assert_in_range(tags, 1, 100);
    for (uint32_t t = 0; t < tags; t++) {
      const uint32_t next = get32(whole.bytes + TAGS_AT + (t + 1) % tags * TAG + 4);
      const uint32_t places[] = {0, 4, COUNT_AT, TAGS_AT + t * TAG, next, whole.size - 4, whole.size, 0xfffffff0};
      const uint32_t lengths[] = {0, 1, 8, 20, whole.size, 0xffffffff};
      for (size_t i = 0; i < sizeof places / sizeof places[0]; i++)
        for (size_t j = 0; j < sizeof lengths / sizeof lengths[0]; j++) {
          sample s = whole;
          put32(s.bytes + TAGS_AT + t * TAG + 4, places[i]);
          put32(s.bytes + TAGS_AT + t * TAG + 8, lengths[j]);
          try(&s);
        }
    }
  }
}

/* The first words of each tag: its type, then counts. */
static void tags_that_are_something_else(void **state) {
  (void)state;
  static const char *const types[] = {"curv", "para", "XYZ ", "mft1", "mft2", "mAB ", "mBA ", "text", "mluc", "sf32"};
  static const uint32_t counts[] = {0, 1, 2, 0x10000, 0xffffffff};
  for (int kind = 0; kind < KINDS; kind++) {
    sample whole;
    save(&whole, make_profile(kind));
    const uint32_t tags = get32(whole.bytes + COUNT_AT);
    for (uint32_t t = 0; t < tags; t++) {
      const uint32_t at = get32(whole.bytes + TAGS_AT + t * TAG + 4);
      for (size_t i = 0; i < sizeof types / sizeof types[0]; i++)
        for (size_t j = 0; j < sizeof counts / sizeof counts[0]; j++) {
          sample s = whole;
          memcpy(s.bytes + at, types[i], 4);
          if (at + 12 <= s.size) put32(s.bytes + at + 8, counts[j]);
          try(&s);
        }
    }
  }
  print_message("%d read, %d refused\n", used, refused);
  assert_true(used > 0 && refused > 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(every_signature_in_the_header),
      cmocka_unit_test(sizes_that_are_not_so),
      cmocka_unit_test(tags_that_point_astray),
      cmocka_unit_test(tags_that_are_something_else),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
