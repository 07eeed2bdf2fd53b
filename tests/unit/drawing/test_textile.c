/* SPDX-License-Identifier: MIT */
/* A textile's photo as a repeat: it meets itself, the lamp's uneven light is gone, its size is true. */
#include "drawing/paper/paper.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>

#include <cmocka.h>

enum { SIDE = 400, PERIOD = 50 };

static bool on_spot(int x, int y) {
  const double dx = x % PERIOD - PERIOD / 2.0, dy = y % PERIOD - PERIOD / 2.0;
  return dx * dx + dy * dy < 14.0 * 14.0 && dx > -6;
}

/* Spots on a pale ground, three times as light at the left as at the right. */
static bc_image *photograph(bool lamp) {
  bc_image *const image = calloc(1, sizeof *image);
  image->width = image->height = SIDE;
  image->L = calloc(SIDE * SIDE, sizeof(float));
  image->a = calloc(SIDE * SIDE, sizeof(float));
  image->b = calloc(SIDE * SIDE, sizeof(float));
  for (int y = 0; y < SIDE; y++)
    for (int x = 0; x < SIDE; x++) {
      const double light = lamp ? 1.0 - 2.0 / 3 * x / SIDE : 0.5, Y = light * (on_spot(x, y) ? 0.12 : 0.7);
      image->L[y * SIDE + x] = (float)(116 * cbrt(Y) - 16);
    }
  return image;
}

static void let_go(bc_image *image) {
  free(image->L);
  free(image->a);
  free(image->b);
  free(image);
}

static drawing_textile textile_of(bool lamp) {
  bc_context *context = NULL;
  assert_int_equal(bc_context_new(&context), BC_OK);
  bc_image *const image = photograph(lamp);
  drawing_textile textile;
  assert_int_equal(drawing_textile_of(&textile, context, image), BC_OK);
  let_go(image);
  bc_context_free(context);
  return textile;
}

static void sides_are_whole_periods(void **state) {
  (void)state;
  drawing_textile t = textile_of(true);
  assert_true(fabs(remainder(t.width, PERIOD)) <= 1);
  assert_true(fabs(remainder(t.height, PERIOD)) <= 1);
  assert_true(fabs(t.repeat_width - (double)t.width / SIDE) < 1e-9);
  drawing_textile_clear(&t);
}

/* Across the seam neighbours differ no more than neighbours elsewhere in the print do. */
static void ends_meet(void **state) {
  (void)state;
  drawing_textile t = textile_of(true);
  double most = 0, inside = 0;
  for (int y = 0; y < t.height; y++) {
    const drawing_v4 *const row = t.pixels + (size_t)y * (size_t)t.width;
    most = fmax(most, fabs((double)(row[0][1] - row[t.width - 1][1])));
    for (int x = t.width / 3; x < t.width / 2; x++) inside = fmax(inside, fabs((double)(row[x + 1][1] - row[x][1])));
  }
  assert_true(most <= 1.1 * inside);
  drawing_textile_clear(&t);
}

static double ground_ratio(const drawing_textile *t) {
  double left = 0, right = 0;
  for (int y = 0; y < t->height; y++)
    for (int x = 0; x < t->width / 8; x++) {
      left = fmax(left, (double)t->pixels[y * t->width + x][1]);
      right = fmax(right, (double)t->pixels[y * t->width + t->width - 1 - x][1]);
    }
  return left / right;
}

static void lamp_is_taken_out(void **state) {
  (void)state;
  drawing_textile t = textile_of(true);
  assert_true(ground_ratio(&t) > 0.9 && ground_ratio(&t) < 1.1); /* 2.4 in the photo */
  drawing_textile_clear(&t);
}

static void size_is_true(void **state) {
  (void)state;
  bc_context *context = NULL;
  assert_int_equal(bc_context_new(&context), BC_OK);
  drawing_textile t = textile_of(false);
  drawing_cloth_field field;
  const drawing_cloth_look look = {.place = {0, 0, 1000, 300}, .pixels_per_cm = 4, .fullness = 1};
  assert_int_equal(drawing_cloth_field_make(&field, context, (bc_colour){0}, &look), BC_OK);
  assert_int_equal(drawing_cloth_field_print(&field, context, &t, 333.3), BC_OK);
  /* whole repeats: one is t.width / SIDE of 333.3 pixels */
  const double one = 333.3 * t.width / SIDE, times = field.pattern_width / one;
  assert_true(fabs(times - rint(times)) < 0.002 * times);
  drawing_cloth_field_clear(&field);
  drawing_textile_clear(&t);
  bc_context_free(context);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(sides_are_whole_periods), cmocka_unit_test(ends_meet),
                                     cmocka_unit_test(lamp_is_taken_out), cmocka_unit_test(size_is_true)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
