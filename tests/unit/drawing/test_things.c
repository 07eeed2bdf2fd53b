/* SPDX-License-Identifier: MIT */
/* The stand's given things, each where the plan's centimetres put it; the wall alone on a lent sheet, and twice side
 * by side. */
#include "drawing/wall/elevation.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#include "support/context.h"

/* One pixel for a cm of wall; the wall's upper left corner at 20, 20. */
enum { MARGIN = 20, WIDE = 300, HIGH = 240, SHEET_WIDE = WIDE + 2 * MARGIN, SHEET_HIGH = HIGH + 2 * MARGIN };

static bc_plan *parse(const char *things) {
  bc_plan *plan = NULL;
  char text[2000];
  snprintf(
      text, sizeof text,
      "{\"backcloth\":1,\"title\":\"T\",\"stand\":{\"width\":300,\"wall_height\":240,\"wall_colour\":\"#ffffff\"}%s}",
      things);
  if (bc_plan_parse(&plan, context, text, strlen(text), "plan.json", NULL) != BC_OK)
    fail_msg("%s", bc_context_message(context));
  return plan;
}

/* 4 pixels a mm and 2.5 mm for 10 cm: 1 pixel a cm. */
static cairo_surface_t *wall(const char *things) {
  bc_plan *const plan = parse(things);
  cairo_surface_t *const surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, SHEET_WIDE, SHEET_HIGH);
  cairo_t *const cairo = cairo_create(surface);
  cairo_set_source_rgb(cairo, 0.5, 0.5, 0.5);
  cairo_paint(cairo);
  cairo_scale(cairo, 4, 4);
  const bc_wall_place place = {MARGIN / 4.0, MARGIN / 4.0, 0.25, 0};
  if (bc_drawing_wall(context, plan, NULL, cairo, &place) != BC_OK) fail_msg("%s", bc_context_message(context));
  cairo_surface_flush(surface);
  cairo_destroy(cairo);
  bc_plan_free(plan);
  return surface;
}

/* 0 to 255, the mean of the three channels, at the middle of a cm of the wall. */
static int grey(cairo_surface_t *surface, double x_cm, double y_cm) {
  uint32_t pixel;
  const int x = MARGIN + (int)floor(x_cm), y = MARGIN + HIGH - 1 - (int)floor(y_cm);
  memcpy(&pixel,
         cairo_image_surface_get_data(surface) + (size_t)y * (size_t)cairo_image_surface_get_stride(surface) +
             4 * (size_t)x,
         sizeof pixel);
  return (int)((pixel >> 16 & 255) + (pixel >> 8 & 255) + (pixel & 255)) / 3;
}

static void assert_box(const char *things, double left, double bottom, double width, double height) {
  cairo_surface_t *const bare = wall(""), *const with = wall(things);
  int inside = 0, outside = 0;
  for (int y = 0; y < HIGH; y++)
    for (int x = 0; x < WIDE; x++) {
      if (abs(grey(with, x, y) - grey(bare, x, y)) < 12) continue;
      const bool in = x >= left - 1 && x < left + width + 1 && y >= bottom - 1 && y < bottom + height + 1;
      inside += in;
      outside += !in;
    }
  cairo_surface_destroy(bare);
  cairo_surface_destroy(with);
  if (inside < 20 || outside > 0) fail_msg("%s: %d pixels changed inside, %d outside", things, inside, outside);
}

static void things_stand_where_the_plan_says(void **state) {
  (void)state;
  assert_box(",\"posts\":[{\"x\":100,\"width\":12,\"y\":20,\"height\":150}]", 100, 20, 12, 150);
  assert_box(",\"chairs\":[{\"x\":60,\"width\":44,\"height\":84}]", 60, 0, 44, 84);
  /* a panel throws its shadow a little to the right and down */
  assert_box(",\"grids\":[{\"x\":180,\"y\":40,\"width\":60,\"height\":90,\"mesh\":10}]", 180, 38, 62, 92);
  /* the words of a zone as large as this stand inside it */
  assert_box(",\"zones\":[{\"x\":40,\"y\":60,\"width\":150,\"height\":100,\"kind\":\"no-fix\"}]", 40, 60, 150, 100);
  assert_box(",\"zones\":[{\"x\":40,\"y\":60,\"width\":150,\"height\":100,\"kind\":\"keep-clear\"}]", 40, 60, 150, 100);
}

static void a_riser_stands_on_its_table(void **state) {
  (void)state;
  static const char table[] = ",\"tables\":[{\"id\":\"t\",\"x\":60,\"width\":180,\"depth\":75,\"height\":74}]";
  char both[400];
  snprintf(both, sizeof both, "%s,\"risers\":[{\"on\":\"t\",\"x\":100,\"width\":40,\"depth\":25,\"height\":20}]",
           table);
  cairo_surface_t *const bare = wall(table), *const with = wall(both);
  assert_int_equal(grey(with, 120, 96), grey(bare, 120, 96)); /* above it */
  assert_true(abs(grey(with, 120, 84) - grey(bare, 120, 84)) > 12);
  assert_int_equal(grey(with, 120, 50), grey(bare, 120, 50)); /* below the table's top */
  cairo_surface_destroy(bare);
  cairo_surface_destroy(with);
}

/* Hatched one way or both ways: on a black-and-white copy as well. */
static void zones_differ_by_their_hatching(void **state) {
  (void)state;
  int dark[2] = {0, 0};
  for (int kind = 0; kind < 2; kind++) {
    cairo_surface_t *const s =
        wall(kind ? ",\"zones\":[{\"x\":40,\"y\":60,\"width\":200,\"height\":160,\"kind\":\"keep-clear\"}]"
                  : ",\"zones\":[{\"x\":40,\"y\":60,\"width\":200,\"height\":160,\"kind\":\"no-fix\"}]");
    for (int y = 160; y < 215; y++)
      for (int x = 45; x < 235; x++) dark[kind] += grey(s, x, y) < 235;
    cairo_surface_destroy(s);
  }
  assert_true(dark[0] > 500 && dark[1] > 1.6 * dark[0]);
}

/* ---- the wall on a lent sheet ---- */

static void the_sheet_round_the_wall_is_left_alone(void **state) {
  (void)state;
  cairo_surface_t *const s = wall(",\"pieces\":[{\"id\":\"a\",\"width\":60,\"height\":40,\"at\":[150,120]}]");
  const int spill = 8 + 1; /* 2 mm at 4 pixels a mm */
  for (int y = 0; y < SHEET_HIGH; y++)
    for (int x = 0; x < SHEET_WIDE; x++) {
      const bool near =
          x >= MARGIN - spill && x < MARGIN + WIDE + spill && y >= MARGIN - spill && y < MARGIN + HIGH + spill;
      if (!near) assert_int_equal(grey(s, x - MARGIN, HIGH - 1 - (y - MARGIN)), 128);
    }
  assert_true(grey(s, 10, 10) > 245); /* the white wall */
  int left = 0, right = 0;            /* the piece's outline, 120 to 180 cm */
  for (int x = 100; x < 200; x++)
    if (grey(s, x, 120) < 170) {
      if (left == 0) left = x;
      right = x;
    }
  assert_in_range(left, 119, 120);
  assert_in_range(right, 179, 180);
  cairo_surface_destroy(s);
}

static bool numbers_drawn(double type) {
  bc_plan *const plan = parse(",\"pieces\":[{\"id\":\"a\",\"width\":60,\"height\":40,\"at\":[150,120]}]");
  uint32_t sums[2] = {0, 0};
  for (int i = 0; i < 2; i++) {
    cairo_surface_t *const surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, SHEET_WIDE, SHEET_HIGH);
    cairo_t *const cairo = cairo_create(surface);
    cairo_scale(cairo, 4, 4);
    const bc_wall_place place = {5, 5, 0.25, i ? type : 0};
    assert_int_equal(bc_drawing_wall(context, plan, NULL, cairo, &place), BC_OK);
    cairo_surface_flush(surface);
    for (int y = 0; y < HIGH; y++)
      for (int x = 0; x < WIDE; x++) sums[i] += (uint32_t)grey(surface, x, y);
    cairo_destroy(cairo);
    cairo_surface_destroy(surface);
  }
  bc_plan_free(plan);
  return sums[0] != sums[1];
}

static void numbers_are_left_out_when_nobody_wants_them(void **state) {
  (void)state;
  assert_true(numbers_drawn(1));
  assert_false(numbers_drawn(0));
}

/* ---- before and after ---- */

static char path[64];

static bc_status before_after(const char *things) {
  bc_plan *const plan = parse(things);
  bc_elevation_options how = bc_elevation_options_default();
  how.pixels_per_cm = 1;
  snprintf(path, sizeof path, "/tmp/backcloth-before-%ld.png", (long)getpid());
  const bc_status status = bc_drawing_before_after(context, plan, NULL, &how, path);
  bc_plan_free(plan);
  return status;
}

static void a_plan_without_cloth_has_no_after(void **state) {
  (void)state;
  assert_int_equal(before_after(""), BC_BAD_DATA);
  assert_non_null(strstr(bc_context_message(context), "\"cloth\""));
  assert_int_equal(access(path, F_OK), -1);
}

/* Both walls at one scale: white on the left, the cloth's colour on the right, the same distance inside each. */
static void both_walls_have_one_scale(void **state) {
  (void)state;
  assert_int_equal(before_after(",\"cloth\":{\"colour\":\"#22432f\",\"width\":300,\"height\":240,\"top\":240},"
                                "\"pieces\":[{\"id\":\"a\",\"width\":60,\"height\":40,\"at\":[150,120]}]"),
                   BC_OK);
  cairo_surface_t *const s = cairo_image_surface_create_from_png(path);
  unlink(path);
  assert_int_equal(cairo_surface_status(s), CAIRO_STATUS_SUCCESS);
  const int width = cairo_image_surface_get_width(s), stride = cairo_image_surface_get_stride(s);
  /* A row through the lower part of both walls, below the piece. */
  const double k = (297 - 24 - 9) / 2.0 / 300, per_mm = 1 / k;
  const int y = (int)((12 + 19 + 220 * k) * per_mm);
  int white = 0, green = 0;
  for (int x = 0; x < width; x++) {
    uint32_t pixel;
    memcpy(&pixel, cairo_image_surface_get_data(s) + (size_t)y * (size_t)stride + 4 * (size_t)x, sizeof pixel);
    const int red = pixel >> 16 & 255, blue = pixel & 255, middle = pixel >> 8 & 255;
    white += red == 255 && middle == 255 && blue == 255; /* the paper is warmer */
    green += red < 70 && middle > red + 15;
  }
  assert_in_range(white, 295, 301);
  assert_in_range(green, 295, 301);
  cairo_surface_destroy(s);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(things_stand_where_the_plan_says),
      cmocka_unit_test(a_riser_stands_on_its_table),
      cmocka_unit_test(zones_differ_by_their_hatching),
      cmocka_unit_test(the_sheet_round_the_wall_is_left_alone),
      cmocka_unit_test(numbers_are_left_out_when_nobody_wants_them),
      cmocka_unit_test(a_plan_without_cloth_has_no_after),
      cmocka_unit_test(both_walls_have_one_scale),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
