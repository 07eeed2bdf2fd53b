/* SPDX-License-Identifier: MIT */
/* From photo to CIELAB when the light is not daylight: measured reflectances and lamps (CIE 13.3 and CIE
 * 15 tables in Debian's colord-data) through a camera of formulas and a JPEG file. `backcloth-bench light`
 * prints the whole table. */
#include "rendered_chart.h"

#include <setjmp.h>
#include <stdarg.h>

#include <cmocka.h>

#include "support/context.h"

static bc_image *shoot(const chart *c, const chart_photo *shot, bool given, bool find) {
  unsigned long size = 0;
  unsigned char *bytes = chart_shoot(c, shot, &size);
  bc_photo *photo = NULL;
  bc_image *image = NULL;
  bc_image_options options = bc_image_options_default();
  options.side = 0;
  options.find_white = find;
  options.has_white = given;
  options.white = (bc_box){SHEET_X + 10, SHEET_Y + 10, SHEET_WIDTH - 20, SHEET_HEIGHT - 20};
  if (bc_photo_decode(&photo, context, bytes, size, "chart.jpg", NULL) ||
      bc_image_from_photo(&image, context, photo, &options))
    fail_msg("%s", bc_context_message(context));
  bc_photo_free(photo);
  free(bytes);
  return image;
}

static chart_result recover(const chart *c, const chart_photo *shot, bool given, bool find) {
  bc_image *image = shoot(c, shot, given, find);
  double difference[PATCHES];
  chart_compare(c, image, difference);
  if (find) assert_int_equal(image->reference, BC_REFERENCE_FOUND);
  bc_image_free(image);
  return chart_summary(difference);
}

static void load(chart *c, size_t light) {
  if (!chart_load(c, &chart_lights[light])) fail_msg("spectra are missing: `sh tests/run` installs colord-data");
}

/* The camera's balance is 60 % right and the exposure half a stop short: without help that is far off. */
static void the_sheet_recovers_the_colours(void **state) {
  (void)state;
  const chart_photo shot = {.balance = 0.6, .stops = -0.6, .sheet = 0.853};
  /* D65 and A: the aim of 2.0. FL11 and the LED: a sheet cannot undo what a spiky spectrum does. */
  const double most[] = {2.0, 2.0, 3.5, 4.0};
  for (size_t i = 0; i < CHART_LIGHTS; i++) {
    chart c;
    load(&c, i);
    const chart_result alone = recover(&c, &shot, false, false), given = recover(&c, &shot, true, false),
                       found = recover(&c, &shot, false, true);
    print_message("%-9s mean and 95th percentile CIEDE2000: camera alone %.2f %.2f, sheet given %.2f %.2f, found %.2f "
                  "%.2f\n",
                  chart_lights[i].name, alone.mean, alone.p95, given.mean, given.p95, found.mean, found.p95);
    assert_true(given.mean <= most[i]);
    assert_true(found.mean <= most[i] + 0.2);
    assert_true(alone.mean > 2 * given.mean);
  }
}

/* The lamps summed from their spectra are the chromaticities in our table of lights (CIE 15). */
static void lights_match_their_spectra(void **state) {
  (void)state;
  static const struct {
    const char *name, *file;
    double tolerance; /* in x and y: the printed digits; the F series is printed with four, summed by 5 nm */
  } cases[] = {{"D50", "CIE-D50.sp", 1e-4},
               {"D65", "CIE-D65.sp", 1e-4},
               {"A", "CIE-A.sp", 1e-4},
               {"FL2", "CIE-F2.sp", 4e-4},
               {"FL11", "CIE-F11.sp", 4e-4}};
  chart c;
  load(&c, 0);
  for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
    char path[128];
    spectrum lamp;
    double xyz[3];
    const bc_light *light = NULL;
    snprintf(path, sizeof path, "/usr/share/colord/illuminant/%s", cases[i].file);
    assert_int_equal(chart_read_spectra(path, &lamp, 1), 1);
    assert_int_equal(bc_light_parse(&light, context, cases[i].name), BC_OK);
    chart_xyz(&c, &lamp, NULL, xyz);
    const double sum = xyz[0] + xyz[1] + xyz[2];
    print_message("%-5s x %.5f y %.5f from the spectrum, %.5f %.5f in the table\n", cases[i].name, xyz[0] / sum,
                  xyz[1] / sum, light->x, light->y);
    assert_true(fabs(xyz[0] / sum - light->x) < cases[i].tolerance);
    assert_true(fabs(xyz[1] / sum - light->y) < cases[i].tolerance);
  }
}

static void no_sheet_none_found(void **state) {
  (void)state;
  chart c;
  load(&c, 0);
  const chart_photo shot = {.balance = 1, .stops = -0.2};
  /* Only the chart: its lightest grey is a fair reference, but the picture of a dark chart has none. */
  memset(&c.patch[MEASURED], 0, sizeof c.patch[0]);
  memset(&c.patch[MEASURED + 1], 0, sizeof c.patch[0]);
  memset(&c.patch[MEASURED + 2], 0, sizeof c.patch[0]);
  memset(&c.patch[MEASURED + 3], 0, sizeof c.patch[0]);
  bc_image *image = shoot(&c, &shot, false, true);
  assert_int_equal(image->reference, BC_REFERENCE_NONE);
  assert_int_equal(image->reference_box.width, 0);
  assert_true(image->notes.count >= 1);
  assert_non_null(strstr(image->notes.text[image->notes.count - 1], "No white sheet"));
  bc_image_free(image);
}

static bool says(const bc_image *image, const char *part) {
  for (size_t i = 0; i < image->notes.count; i++)
    if (strstr(image->notes.text[i], part)) return true;
  return false;
}

/* A sheet in the shade, a cream one and a pink one, given as white: each is told, and the spread covers the error. */
static void a_wrong_sheet_is_told(void **state) {
  (void)state;
  static const struct {
    double sheet, tilt;
    const char *part;
  } cases[] = {{0.853, 0, NULL}, {0.42, 0, "in the shade"}, {0.75, 0.45, "isn't white"}};
  for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
    chart c;
    double difference[PATCHES], told = 0;
    load(&c, 0);
    const chart_photo shot = {.balance = 0.9, .stops = -0.3, .sheet = cases[i].sheet, .tilt = cases[i].tilt};
    bc_image *image = shoot(&c, &shot, true, false);
    chart_compare(&c, image, difference);
    for (int k = 0; k < PATCHES; k++)
      told += bc_colour_spread(bc_colour_from_lab(chart_patch_mean(image, k)), image->uncertainty) / PATCHES;
    const chart_result r = chart_summary(difference);
    print_message("sheet %.2f, tilt %.2f: error %.1f, told %.1f\n", cases[i].sheet, cases[i].tilt, r.mean, told);
    for (size_t n = 0; n < image->notes.count; n++) print_message("  %s\n", image->notes.text[n]);
    assert_true(says(image, "--white-is"));
    assert_true(says(image, "less sure") == (cases[i].part != NULL));
    if (cases[i].part) assert_true(says(image, cases[i].part));
    assert_true(r.mean < 2 * told);
    bc_image_free(image);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(the_sheet_recovers_the_colours),
                                     cmocka_unit_test(lights_match_their_spectra),
                                     cmocka_unit_test(no_sheet_none_found), cmocka_unit_test(a_wrong_sheet_is_told)};
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
