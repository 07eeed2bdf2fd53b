/* SPDX-License-Identifier: MIT */
/* Photos to CIELAB: area averaging in linear light, alpha, profiles that lie, sizes at the edge. */
#include "colour/colour_internal.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static bc_context *context;
static const colour_meaning untagged;
static const bc_image_options no_search = {.find_white = false};

static int set_up(void **state) {
  (void)state;
  return bc_context_new(&context) == BC_OK ? 0 : -1;
}

static int tear_down(void **state) {
  (void)state;
  bc_context_free(context);
  return 0;
}

static bc_raster raster8(int width, int height, bc_photo_model model, const uint8_t *samples) {
  return (bc_raster){.width = width,
                     .height = height,
                     .model = model,
                     .bits = 8,
                     .row_bytes = (size_t)width * (size_t)model,
                     .samples = samples};
}

static bc_image *make(const bc_raster *raster, const colour_meaning *meaning, int side) {
  const bc_image_options options = {.side = side};
  bc_image *image = NULL;
  if (colour_image_from_raster(&image, context, raster, meaning, "vase.png", &options))
    fail_msg("%s", bc_context_message(context));
  return image;
}

static void near(double value, double expected, double tolerance) {
  if (!(fabs(value - expected) <= tolerance)) fail_msg("%.6f, not %.6f", value, expected);
}

/* Black and white squares finer than a pixel are half the light, L* 76.07, not the half code's 53.4. */
static void mixes_light_not_codes(void **state) {
  (void)state;
  uint8_t samples[64 * 64 * 3];
  for (int y = 0; y < 64; y++)
    for (int x = 0; x < 64; x++) memset(samples + 3 * (64 * y + x), (x + y) % 2 ? 255 : 0, 3);
  const bc_raster raster = raster8(64, 64, BC_PHOTO_RGB, samples);
  bc_image *image = make(&raster, &untagged, 32);
  assert_int_equal(image->width, 32);
  for (int i = 0; i < 32 * 32; i++) {
    near((double)image->Y[i], 0.5, 1e-6);
    near((double)image->L[i], 76.0693, 1e-3);
    near((double)image->a[i], 0, 1e-3);
  }
  bc_image_free(image);
}

/* Whatever the ratio, the light of the whole picture is kept. */
static void keeps_the_mean_light_at_any_size(void **state) {
  (void)state;
  const int width = 97, height = 61;
  uint8_t *samples = malloc((size_t)(width * height * 3));
  double mean = 0;
  for (int i = 0; i < width * height * 3; i++) {
    samples[i] = (uint8_t)(((unsigned)i * 2654435761u) >> 24);
    const double weight[3] = {0.2126, 0.7152, 0.0722};
    mean += weight[i % 3] * bc_srgb_decode(samples[i] / 255.0) / (width * height);
  }
  const bc_raster raster = raster8(width, height, BC_PHOTO_RGB, samples);
  for (int side = 1; side <= 97; side++) {
    bc_image *image = make(&raster, &untagged, side);
    double sum = 0;
    for (int i = 0; i < image->width * image->height; i++) sum += (double)image->Y[i];
    near(sum / (image->width * image->height), mean, 2e-5);
    bc_image_free(image);
  }
  free(samples);
}

/* Clear pixels do not darken the piece's edge. */
static void alpha_weighs(void **state) {
  (void)state;
  const uint8_t samples[4 * 3] = {200, 40, 40, 0, 255, 0, 200, 40, 40, 200, 40, 40};
  const uint8_t alpha[4] = {255, 0, 255, 128};
  bc_raster raster = raster8(2, 2, BC_PHOTO_RGB, samples);
  raster.alpha = alpha;
  bc_image *image = make(&raster, &untagged, 1);
  const double red[3] = {bc_srgb_decode(200 / 255.0), bc_srgb_decode(40 / 255.0), bc_srgb_decode(40 / 255.0)};
  const bc_lab expected = bc_colour_from_linear_srgb(red).lab;
  near((double)image->L[0], expected.L, 0.01);
  near((double)image->a[0], expected.a, 0.01);
  near((double)image->b[0], expected.b, 0.01);
  assert_int_equal(image->alpha[0], 160); /* (255 + 0 + 255 + 128) / 4, rounded */
  bc_image_free(image);

  const uint8_t clear[4] = {0, 0, 0, 0};
  raster.alpha = clear;
  image = make(&raster, &untagged, 1); /* nothing to weigh by: plain mean, no division by nothing */
  assert_int_equal(image->alpha[0], 0);
  assert_true(image->L[0] > 0 && image->L[0] < 100);
  bc_image_free(image);
}

static void sixteen_bits(void **state) {
  (void)state;
  const uint16_t samples[3] = {257 * 118, 257 * 118, 257 * 118};
  const bc_raster raster = {
      .width = 1, .height = 1, .model = BC_PHOTO_RGB, .bits = 16, .row_bytes = 6, .samples = samples};
  bc_image *image = make(&raster, &untagged, 0);
  near((double)image->Y[0], 0.18116424, 1e-6);
  bc_image_free(image);
}

static void black_white_and_one_pixel(void **state) {
  (void)state;
  const uint8_t black[3] = {0}, white[3] = {255, 255, 255};
  bc_raster raster = raster8(1, 1, BC_PHOTO_RGB, black);
  bc_image *image = make(&raster, &untagged, 1024);
  near((double)image->L[0], 0, 1e-4);
  bc_image_free(image);
  raster.samples = white;
  image = make(&raster, &untagged, 1024);
  near((double)image->L[0], 100, 1e-4);
  near((double)image->Y[0], 1, 1e-6);
  bc_image_free(image);
  uint8_t *strip = calloc(30000, 3);
  raster = raster8(30000, 1, BC_PHOTO_RGB, strip);
  image = make(&raster, &untagged, 100);
  assert_int_equal(image->width, 100);
  assert_int_equal(image->height, 1);
  bc_image_free(image);
  free(strip);
}

static void untagged_is_srgb_and_said(void **state) {
  (void)state;
  const uint8_t grey = 118;
  const bc_raster raster = raster8(1, 1, BC_PHOTO_GREY, &grey);
  bc_image *image = make(&raster, &untagged, 0);
  near((double)image->L[0], 49.63701, 1e-3);
  assert_string_equal(image->profile, "sRGB (assumed)");
  assert_int_equal(image->notes.count, 1);
  assert_non_null(strstr(image->notes.text[0], "sRGB"));
  bc_image_free(image);
}

/* --- profiles that lie -------------------------------------------------------------------------------- */
static size_t srgb_profile(uint8_t *bytes, cmsUInt32Number most) {
  cmsHPROFILE profile = cmsCreate_sRGBProfile();
  assert_true(cmsSaveProfileToMem(profile, bytes, &most));
  cmsCloseProfile(profile);
  return most;
}

static void lying_profiles(void **state) {
  (void)state;
  uint8_t profile[8192];
  const size_t size = srgb_profile(profile, sizeof profile);
  const uint8_t samples[4] = {10, 20, 30, 40};
  const bc_photo_model models[] = {BC_PHOTO_GREY, BC_PHOTO_CMYK};
  for (int i = 0; i < 2; i++) { /* an RGB profile on samples that are not RGB */
    const bc_raster raster = raster8(1, 1, models[i], samples);
    const colour_meaning meaning = {.profile = profile, .profile_size = size};
    bc_image *image = NULL;
    const bc_status status = colour_image_from_raster(&image, context, &raster, &meaning, "vase.tif", &no_search);
    assert_int_equal(status, models[i] == BC_PHOTO_CMYK ? BC_BAD_DATA : BC_OK);
    if (status)
      assert_non_null(strstr(bc_context_message(context), "vase.tif"));
    else
      assert_int_equal(image->notes.count, 1);
    bc_image_free(image);
  }
}

/* Cut off anywhere, or with any byte changed: read as sRGB with a note, or by what is still sound. */
static void damaged_profiles(void **state) {
  (void)state;
  uint8_t profile[8192];
  const size_t size = srgb_profile(profile, sizeof profile);
  const uint8_t samples[3] = {10, 120, 230};
  const bc_raster raster = raster8(1, 1, BC_PHOTO_RGB, samples);
  colour_meaning meaning = {.profile = profile};
  for (meaning.profile_size = 0; meaning.profile_size < size; meaning.profile_size += 7) {
    bc_image *image = make(&raster, &meaning, 0);
    assert_true(isfinite(image->L[0]) && isfinite(image->a[0]) && isfinite(image->Y[0]));
    assert_true(meaning.profile_size > 400 || image->notes.count == 1); /* the curves end the file */
    bc_image_free(image);
  }
  meaning.profile_size = size;
  for (size_t i = 0; i < size; i++) {
    const uint8_t kept = profile[i];
    profile[i] ^= 0xFF;
    bc_image *image = make(&raster, &meaning, 0);
    assert_true(isfinite(image->L[0]) && isfinite(image->a[0]) && isfinite(image->Y[0]));
    bc_image_free(image);
    profile[i] = kept;
  }
}

static void inks_without_profile(void **state) {
  (void)state;
  const uint8_t samples[4] = {0};
  const bc_raster raster = raster8(1, 1, BC_PHOTO_CMYK, samples);
  bc_image *image = NULL;
  assert_int_equal(colour_image_from_raster(&image, context, &raster, &untagged, "card.jpg", &no_search), BC_BAD_DATA);
  assert_null(image);
  assert_non_null(strstr(bc_context_message(context), "card.jpg"));
}

/* --- declarations ---------------------------------------------------------------------------------------- */
static void declared_srgb_is_srgb(void **state) {
  (void)state;
  const bc_declared_colour declared = {.white = {0.3127, 0.3290},
                                       .red = {0.64, 0.33},
                                       .green = {0.30, 0.60},
                                       .blue = {0.15, 0.06},
                                       .transfer = BC_TRANSFER_SRGB,
                                       .name = "sRGB"};
  const colour_meaning meaning = {.declared = &declared};
  const uint8_t samples[3] = {10, 120, 230};
  const bc_raster raster = raster8(1, 1, BC_PHOTO_RGB, samples);
  bc_image *first = make(&raster, &meaning, 0), *second = make(&raster, &untagged, 0);
  near((double)first->L[0], (double)second->L[0], 1e-4);
  near((double)first->a[0], (double)second->a[0], 1e-4);
  near((double)first->b[0], (double)second->b[0], 1e-4);
  assert_string_equal(first->profile, "sRGB");
  assert_int_equal(first->notes.count, 0);
  bc_image_free(first);
  bc_image_free(second);
}

static void every_curve_ends_at_white(void **state) {
  (void)state;
  bc_declared_colour declared = {.white = {0.3127, 0.3290},
                                 .red = {0.708, 0.292},
                                 .green = {0.170, 0.797},
                                 .blue = {0.131, 0.046},
                                 .gamma = 2.2,
                                 .name = "test"};
  const colour_meaning meaning = {.declared = &declared};
  const uint8_t samples[6] = {0, 0, 0, 255, 255, 255};
  const bc_raster raster = raster8(2, 1, BC_PHOTO_RGB, samples);
  for (int t = BC_TRANSFER_GAMMA; t <= BC_TRANSFER_HLG; t++) {
    declared.transfer = (bc_transfer)t;
    bc_image *image = make(&raster, &meaning, 0);
    near((double)image->L[0], 0, 1e-3);
    near((double)image->L[1], 100, 1e-3);
    near((double)image->a[1], 0, 1e-3);
    bc_image_free(image);
  }
  /* ITU-R BT.2408: PQ code value 58 % is diffuse white, 203 cd/m2. */
  declared.transfer = BC_TRANSFER_PQ;
  const uint8_t white[3] = {148, 148, 148};
  const bc_raster one = raster8(1, 1, BC_PHOTO_RGB, white);
  bc_image *image = make(&one, &meaning, 0);
  near((double)image->L[0], 100, 0.5);
  bc_image_free(image);
}

/* ITU-R BT.2100-2, table 5: HLG's inverse OETF, then the OOTF with a system gamma of 1.2; white at 75 %. */
static void hlg_is_shown_as_on_a_screen(void **state) {
  (void)state;
  bc_declared_colour declared = {.white = {0.3127, 0.3290},
                                 .red = {0.708, 0.292},
                                 .green = {0.170, 0.797},
                                 .blue = {0.131, 0.046},
                                 .transfer = BC_TRANSFER_HLG,
                                 .name = "test"};
  const colour_meaning meaning = {.declared = &declared};
  const uint8_t samples[] = {100, 60, 40, 70, 110, 90, 127, 127, 127};
  for (int i = 0; i < 3; i++) { /* up to half the code the curve is e^2 / 3; 75 % is 0.26496 of scene light */
    const double weight[3] = {0.2627, 0.6780, 0.0593}, white = 0.26496;
    double scene = 0;
    for (int c = 0; c < 3; c++) scene += weight[c] * pow(samples[3 * i + c] / 255.0, 2) / 3;
    const bc_raster one = raster8(1, 1, BC_PHOTO_RGB, samples + 3 * i);
    bc_image *image = make(&one, &meaning, 0);
    near((double)image->Y[0], pow(scene / white, 1.2), 1e-3);
    bc_image_free(image);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(mixes_light_not_codes),
      cmocka_unit_test(keeps_the_mean_light_at_any_size),
      cmocka_unit_test(alpha_weighs),
      cmocka_unit_test(sixteen_bits),
      cmocka_unit_test(black_white_and_one_pixel),
      cmocka_unit_test(untagged_is_srgb_and_said),
      cmocka_unit_test(lying_profiles),
      cmocka_unit_test(damaged_profiles),
      cmocka_unit_test(inks_without_profile),
      cmocka_unit_test(declared_srgb_is_srgb),
      cmocka_unit_test(every_curve_ends_at_white),
      cmocka_unit_test(hlg_is_shown_as_on_a_screen),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
