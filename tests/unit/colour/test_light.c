/* SPDX-License-Identifier: MIT */
/* The light of the photo and of the stand: references that must be refused, casts, names of lights. */
#include "colour/colour_internal.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#define SIDE 64

static bc_context *context;
static uint8_t picture[SIDE * SIDE * 3];

static int set_up(void **state) {
  (void)state;
  return bc_context_new(&context) == BC_OK ? 0 : -1;
}

static int tear_down(void **state) {
  (void)state;
  bc_context_free(context);
  return 0;
}

static void paint(int x0, int y0, int width, int height, int red, int green, int blue) {
  for (int y = y0; y < y0 + height; y++)
    for (int x = x0; x < x0 + width; x++) {
      const uint8_t rgb[3] = {(uint8_t)red, (uint8_t)green, (uint8_t)blue};
      memcpy(picture + 3 * (SIDE * y + x), rgb, 3);
    }
}

static bc_status convert(bc_image **image, bc_box white, bc_lab white_is) {
  const bc_raster raster = {
      .width = SIDE, .height = SIDE, .model = BC_PHOTO_RGB, .bits = 8, .row_bytes = SIDE * 3, .samples = picture};
  const colour_meaning meaning = {.full_width = 2 * SIDE, .full_height = 2 * SIDE}; /* decoded at half size */
  const bc_image_options options = {.has_white = true, .white = white, .white_is = bc_colour_from_lab(white_is)};
  return colour_image_from_raster(image, context, &raster, &meaning, "mug.jpg", &options);
}

static void the_reference_takes_its_true_colour(void **state) {
  (void)state;
  paint(0, 0, SIDE, SIDE, 90, 60, 40);
  paint(8, 8, 16, 16, 230, 200, 150); /* a sheet under a warm bulb */
  bc_image *image = NULL;
  assert_int_equal(convert(&image, (bc_box){20, 20, 20, 20}, BC_WHITE_SHEET), BC_OK);
  const size_t at = 16 * SIDE + 16;
  const bc_lab got = {(double)image->L[at], (double)image->a[at], (double)image->b[at]};
  assert_true(bc_delta_e00(got, BC_WHITE_SHEET) < 0.01);
  assert_true(fabs((double)image->Y[at] - bc_colour_from_lab(BC_WHITE_SHEET).luminance) < 1e-4);
  assert_int_equal(image->reference, BC_REFERENCE_GIVEN);
  assert_true(image->reference_seen.lab.b > 15);
  assert_true(image->uncertainty.mired < bc_uncertainty_unknown.mired);
  bc_image_free(image);

  const bc_lab card = {49.5, 0, 0}; /* the same patch, said to be an 18 % grey card */
  assert_int_equal(convert(&image, (bc_box){20, 20, 20, 20}, card), BC_OK);
  assert_true(fabs((double)image->L[at] - 49.5) < 0.01);
  bc_image_free(image);
}

static void refused(bc_box box, const char *says) {
  bc_image *image = NULL;
  assert_int_equal(convert(&image, box, BC_WHITE_SHEET), BC_BAD_DATA);
  assert_null(image);
  if (!strstr(bc_context_message(context), says)) fail_msg("%s", bc_context_message(context));
  assert_non_null(strstr(bc_context_message(context), "mug.jpg"));
}

static void unsound_references(void **state) {
  (void)state;
  paint(0, 0, SIDE, SIDE, 120, 120, 120);
  paint(0, 0, 16, 16, 255, 255, 255);
  paint(16, 0, 16, 16, 255, 220, 180); /* one channel is enough */
  paint(32, 0, 16, 16, 20, 20, 20);
  paint(48, 0, 8, 16, 220, 220, 220);
  paint(56, 0, 8, 16, 150, 150, 150);
  paint(0, 16, 16, 16, 60, 200, 90);
  refused((bc_box){4, 4, 24, 24}, "overexposed");
  refused((bc_box){36, 4, 24, 24}, "overexposed");
  refused((bc_box){68, 4, 24, 24}, "too dark");
  refused((bc_box){100, 4, 24, 24}, "not evenly lit");
  refused((bc_box){4, 36, 24, 24}, "coloured");
  refused((bc_box){120, 4, 24, 24}, "inside the photo");
  refused((bc_box){-1, 4, 24, 24}, "inside the photo");
  refused((bc_box){4, 4, 0, 24}, "inside the photo");
  refused((bc_box){2147483647, 4, 2147483647, 24}, "inside the photo");
}

static void a_box_smaller_than_a_decoded_pixel(void **state) {
  (void)state;
  paint(0, 0, SIDE, SIDE, 200, 200, 200);
  bc_image *image = NULL;
  assert_int_equal(convert(&image, (bc_box){127, 127, 1, 1}, BC_WHITE_SHEET), BC_OK);
  bc_image_free(image);
}

/* --- casts -------------------------------------------------------------------------------------------- */
static void casts_go_where_they_say(void **state) {
  (void)state;
  const bc_colour grey = bc_colour_from_lab((bc_lab){60, 0, 0});
  assert_true(bc_colour_with_cast(grey, (bc_cast){.mired = 30}).lab.b > 3);   /* yellower */
  assert_true(bc_colour_with_cast(grey, (bc_cast){.duv = 0.006}).lab.a < -2); /* greener */
  assert_true(fabs(bc_colour_with_cast(grey, (bc_cast){.mired = 30}).luminance - grey.luminance) < 0.01);
  const double twice = bc_colour_with_cast(grey, (bc_cast){.stops = 1}).luminance;
  assert_true(fabs(twice - 2 * grey.luminance) < 1e-6);
  const bc_colour same = bc_colour_with_cast(grey, (bc_cast){0});
  assert_memory_equal(&grey, &same, sizeof grey);
}

/* CIE 15: illuminant A is a black body of 2856 K; D65 lies 0.0032 above the line, at 6504 K. */
static void known_whites_on_the_line(void **state) {
  (void)state;
  const struct {
    double x, y, kelvin, duv;
  } whites[] = {{0.44758, 0.40745, 2856, 0}, {0.31272, 0.32903, 6504, 0.0032}, {0.34567, 0.35851, 5003, 0.0033}};
  for (int i = 0; i < 3; i++) {
    const double x = whites[i].x, y = whites[i].y, xyz[3] = {x / y, 1, (1 - x - y) / y};
    double uv[2], mired, duv;
    colour_uv_of_xyz(xyz, uv);
    colour_locus_nearest(uv, &mired, &duv);
    assert_true(fabs(1e6 / mired - whites[i].kelvin) < 12);
    assert_true(fabs(duv - whites[i].duv) < 3e-4);
  }
}

static void plausible_casts_have_the_deviations(void **state) {
  (void)state;
  bc_cast casts[BC_CASTS];
  double weight[BC_CASTS], sum = 0, mired = 0, duv = 0, stops = 0;
  const bc_uncertainty u = {10, 0.004, 0.3};
  bc_casts_plausible(u, casts, weight);
  for (int i = 0; i < BC_CASTS; i++) {
    sum += weight[i];
    mired += weight[i] * casts[i].mired * casts[i].mired;
    duv += weight[i] * casts[i].duv * casts[i].duv;
    stops += weight[i] * casts[i].stops * casts[i].stops;
  }
  assert_true(fabs(sum - 1) < 1e-12 && fabs(sqrt(mired) - 10) < 1e-9);
  assert_true(fabs(sqrt(duv) - 0.004) < 1e-12 && fabs(sqrt(stops) - 0.3) < 1e-12);
  const bc_colour blue = bc_colour_from_lab((bc_lab){40, 5, -35});
  assert_true(bc_colour_spread(blue, bc_uncertainty_none) == 0);
  assert_true(bc_colour_spread(blue, bc_uncertainty_given) < bc_colour_spread(blue, bc_uncertainty_found));
  assert_true(bc_colour_spread(blue, bc_uncertainty_found) < bc_colour_spread(blue, bc_uncertainty_unknown));
}

/* --- lights of the stand ---------------------------------------------------------------------------------- */
static void lights_by_name(void **state) {
  (void)state;
  const bc_light *light = NULL;
  size_t count = 0;
  const bc_light *all = bc_lights(&count);
  for (size_t i = 0; i < count; i++) {
    assert_int_equal(bc_light_parse(&light, context, all[i].name), BC_OK);
    assert_ptr_equal(light, &all[i]);
    assert_int_equal(bc_light_parse(&light, context, all[i].cie_name), BC_OK);
    assert_ptr_equal(light, &all[i]);
    assert_true(strlen(bc_light_words(light)) > 5);
  }
  assert_int_equal(bc_light_parse(&light, context, "WARM-LED"), BC_OK);
  assert_int_equal(bc_light_parse(&light, context, "candle"), BC_BAD_USAGE);
  assert_null(light);
  assert_non_null(strstr(bc_context_message(context), "“candle”"));
  assert_non_null(strstr(bc_context_message(context), "warm-led"));
}

/* Neutrals keep their lightness; under a bulb they look a little yellower, because eyes adapt to it not
 * quite wholly; the light that colours are carried in changes nothing. */
static void appearance_under_lights(void **state) {
  (void)state;
  size_t count = 0;
  const bc_light *all = bc_lights(&count);
  for (size_t i = 0; i < count; i++)
    for (int L = 0; L <= 100; L += 10)
      for (int a = -60; a <= 60; a += 30) {
        const bc_colour colour = bc_colour_from_lab((bc_lab){L, a, -a / 2.0});
        const bc_colour seen = bc_colour_under_light(colour, &all[i]);
        assert_true(isfinite(seen.lab.L) && isfinite(seen.lab.a) && isfinite(seen.luminance));
        if (i == 0) assert_true(bc_delta_e00(seen.lab, colour.lab) < 1e-6);
        if (a == 0) assert_true(fabs(seen.lab.L - L) < 2);
      }
  const bc_light *bulb = NULL;
  assert_int_equal(bc_light_parse(&bulb, context, "A"), BC_OK);
  const bc_colour white = bc_colour_under_light(bc_colour_from_lab((bc_lab){95, 0, 0}), bulb);
  assert_true(white.lab.b > 1 && white.lab.b < 20);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(the_reference_takes_its_true_colour),
      cmocka_unit_test(unsound_references),
      cmocka_unit_test(a_box_smaller_than_a_decoded_pixel),
      cmocka_unit_test(casts_go_where_they_say),
      cmocka_unit_test(known_whites_on_the_line),
      cmocka_unit_test(plausible_casts_have_the_deviations),
      cmocka_unit_test(lights_by_name),
      cmocka_unit_test(appearance_under_lights),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
