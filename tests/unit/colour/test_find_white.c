/* SPDX-License-Identifier: MIT */
/* The search for a white sheet or grey card: what must be found, and what must not. */
#include "colour/find_white.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#define WIDTH 640
#define HEIGHT 480

static bc_context *context;
static bc_image image;

static int set_up(void **state) {
  (void)state;
  const size_t count = (size_t)WIDTH * HEIGHT;
  image = (bc_image){.width = WIDTH, .height = HEIGHT, .full_width = 2 * WIDTH, .full_height = 2 * HEIGHT};
  image.L = calloc(4 * count, sizeof(float));
  if (!image.L || bc_context_new(&context)) return -1;
  image.a = image.L + count;
  image.b = image.L + 2 * count;
  image.Y = image.L + 3 * count;
  return 0;
}

static int tear_down(void **state) {
  (void)state;
  free(image.L);
  bc_context_free(context);
  return 0;
}

static float noise(void) {
  static uint32_t seed = 3;
  seed = seed * 1664525u + 1013904223u;
  return (float)(seed >> 8) / 16777216.0f - 0.5f;
}

static void dot(int x, int y, double L, double a, double b, double rough) {
  const int at = y * WIDTH + x;
  image.L[at] = (float)L + (float)rough * noise();
  image.a[at] = (float)a + 0.5f * noise();
  image.b[at] = (float)b + 0.5f * noise();
}

/* A wooden table with a striped pot in the middle, under a warm cast or none. */
static void set_scene(double cast) {
  for (int y = 0; y < HEIGHT; y++)
    for (int x = 0; x < WIDTH; x++) {
      const bool pot = hypot(x - WIDTH / 2, y - HEIGHT / 2) < 110;
      if (pot)
        dot(x, y, y / 9 % 2 ? 35 : 60, 20, 25 + cast, 4);
      else
        dot(x, y, 45, 9, 20 + cast, 3);
    }
}

/* A rectangle turned by an angle; L falls off across it. */
static void lay(double cx, double cy, double half_w, double half_h, double degrees, double L, double b, double fall) {
  const double s = sin(degrees * M_PI / 180), c = cos(degrees * M_PI / 180);
  for (int y = 0; y < HEIGHT; y++)
    for (int x = 0; x < WIDTH; x++) {
      const double u = c * (x - cx) + s * (y - cy), v = -s * (x - cx) + c * (y - cy);
      if (fabs(u) < half_w && fabs(v) < half_h) dot(x, y, L + fall * u / half_w, 0, b, 1.5);
    }
}

static colour_found_white find(void) {
  colour_found_white found;
  assert_int_equal(colour_find_white(&found, context, &image), BC_OK);
  return found;
}

static void found_inside(double cx, double cy, double reach, bool grey) {
  const colour_found_white found = find();
  assert_true(found.confidence >= 0.6 && found.confidence <= 1);
  assert_int_equal(found.grey, grey);
  assert_true(found.box.width > 10 && found.box.height > 10);
  assert_true(fabs((found.box.x + found.box.width / 2.0) / 2 - cx) < reach);
  assert_true(fabs((found.box.y + found.box.height / 2.0) / 2 - cy) < reach);
}

static void not_found(void) {
  assert_true(find().confidence == 0);
}

static void a_sheet_beside_the_piece(void **state) {
  (void)state;
  for (int degrees = 0; degrees < 90; degrees += 15) {
    set_scene(0);
    lay(90, 110, 60, 45, degrees, 92, 0, 1.5);
    found_inside(90, 110, 10, false);
  }
}

/* A smooth pot on even cloth: little in such a photo is busy, and there is a piece all the same. */
static void a_sheet_beside_a_smooth_piece(void **state) {
  (void)state;
  for (int degrees = 0; degrees < 90; degrees += 15) {
    for (int y = 0; y < HEIGHT; y++)
      for (int x = 0; x < WIDTH; x++) {
        const double far = hypot(x - WIDTH / 2, y - HEIGHT / 2) / 80;
        if (far < 1)
          dot(x, y, 30 + 25 * sqrt(1 - far * far), 15, 20, 1);
        else
          dot(x, y, 62, -4, 6, 1);
      }
    lay(110, 110, 60, 45, degrees, 88, 0, 1.5);
    found_inside(110, 110, 10, false);
  }
}

static void a_sheet_in_warm_light(void **state) {
  (void)state;
  set_scene(18);
  lay(550, 380, 60, 45, 10, 90, 18, 1);
  found_inside(550, 380, 10, false);
}

static void a_grey_card(void **state) {
  (void)state;
  set_scene(0);
  lay(560, 90, 45, 35, 8, 50, 0, 0.5);
  for (int y = 380; y < 470; y++) /* something bright, so that grey is seen to be grey */
    for (int x = 0; x < WIDTH; x++) dot(x, y, 85, 12, 45, 4);
  found_inside(560, 90, 10, true);
}

static void no_sheet(void **state) {
  (void)state;
  set_scene(0);
  not_found();
}

static void a_disc_is_a_plate(void **state) {
  (void)state;
  set_scene(0);
  for (int y = 0; y < HEIGHT; y++)
    for (int x = 0; x < WIDTH; x++)
      if (hypot(x - 90, y - 110) < 65) dot(x, y, 92, 0, 0, 1.5);
  not_found();
}

static void the_piece_itself_may_be_white(void **state) {
  (void)state;
  set_scene(0);
  lay(WIDTH / 2.0, HEIGHT / 2.0, 90, 70, 5, 92, 0, 1);
  not_found();
}

static void a_wall_is_no_sheet(void **state) {
  (void)state;
  set_scene(0);
  for (int y = 0; y < 120; y++) /* reaches the border */
    for (int x = 0; x < WIDTH; x++) dot(x, y, 92, 0, 0, 1.5);
  not_found();
}

static void cream_among_greys_is_cream(void **state) {
  (void)state;
  set_scene(0);
  for (int y = 0; y < HEIGHT; y++)
    for (int x = 0; x < WIDTH; x++)
      if (hypot(x - WIDTH / 2, y - HEIGHT / 2) >= 110) dot(x, y, 40, 0, 0, 3); /* a grey table */
  lay(90, 110, 60, 45, 0, 88, 16, 1);
  not_found();
}

static void weave_is_not_paper(void **state) {
  (void)state;
  set_scene(0);
  lay(90, 110, 60, 45, 0, 88, 0, 0);
  for (int y = 50; y < 170; y++)
    for (int x = 20; x < 160; x++) image.L[y * WIDTH + x] += 9 * noise();
  not_found();
}

static void overexposed_paper_tells_nothing(void **state) {
  (void)state;
  set_scene(0);
  for (int y = 65; y < 155; y++)
    for (int x = 30; x < 150; x++) dot(x, y, 100, 0, 0, 0);
  not_found();
}

static void nothing_to_photograph(void **state) {
  (void)state;
  for (int y = 0; y < HEIGHT; y++)
    for (int x = 0; x < WIDTH; x++) dot(x, y, 45, 9, 20, 1);
  lay(90, 110, 60, 45, 0, 92, 0, 1); /* the sheet is the piece */
  not_found();
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(a_sheet_beside_the_piece),
      cmocka_unit_test(a_sheet_beside_a_smooth_piece),
      cmocka_unit_test(a_sheet_in_warm_light),
      cmocka_unit_test(a_grey_card),
      cmocka_unit_test(no_sheet),
      cmocka_unit_test(a_disc_is_a_plate),
      cmocka_unit_test(the_piece_itself_may_be_white),
      cmocka_unit_test(a_wall_is_no_sheet),
      cmocka_unit_test(cream_among_greys_is_cream),
      cmocka_unit_test(weave_is_not_paper),
      cmocka_unit_test(overexposed_paper_tells_nothing),
      cmocka_unit_test(nothing_to_photograph),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
