/* SPDX-License-Identifier: MIT */
/* What ranks the suppositions prefers what is whole, away from the border and symmetric; and the fit of logistic
 * weights, by which the prior's were found, against a published one. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "bench/logistic.h"
#include "cutout/prior.h"
#include "cutout/suppose.h"
#include "support/context.h"

enum { SIDE = 64 };

static void assert_near(double found, double expected, double within) {
  if (!(fabs(found - expected) <= within)) fail_msg("%.6f, not %.6f", found, expected);
}

/* ---- ranking ---- */

/* A dark disc in the middle of pale ground, with a darker patch of the same ground at its right, as a shadow is. */
static bool in_disc(int x, int y) {
  return hypot(x + 0.5 - 32, y + 0.5 - 32) < 14;
}

static bool in_shadow(int x, int y) {
  return !in_disc(x, y) && hypot((x + 0.5 - 44) / 1.6, y + 0.5 - 38) < 9;
}

static void make_scene(cutout_scene *scene) {
  enum { COUNT = SIDE * SIDE };
  static float L[COUNT], a[COUNT], b[COUNT], Y[COUNT];
  const bc_image image = {
      .width = SIDE, .height = SIDE, .full_width = SIDE, .full_height = SIDE, .L = L, .a = a, .b = b, .Y = Y};
  for (int y = 0; y < SIDE; y++)
    for (int x = 0; x < SIDE; x++) {
      const int i = y * SIDE + x;
      L[i] = (in_disc(x, y) ? 35.0f : in_shadow(x, y) ? 68.0f : 80.0f) + (float)(i * 7 % 5) * 0.5f;
      a[i] = in_disc(x, y) ? 30.0f : 2.0f;
    }
  assert_int_equal(cutout_scene_new(scene, context, &image, SIDE), BC_OK);
  assert_int_equal(scene->grid.width, SIDE);
  assert_int_equal(cutout_prior(scene, context, NULL), BC_OK);
}

typedef bool shape(int x, int y);

static double trust_in(cutout_scene *scene, shape *answer) {
  for (int y = 0; y < SIDE; y++)
    for (int x = 0; x < SIDE; x++) {
      scene->piece[y * SIDE + x] = answer(x, y);
      scene->weight[y * SIDE + x] = answer(x, y) ? 1 : 0;
    }
  cutout_scene_learn(scene);
  cutout_scene_pull(scene);
  return cutout_trust(scene);
}

static bool left_half(int x, int y) {
  return in_disc(x, y) && x < 29;
}

static bool with_shadow(int x, int y) {
  return in_disc(x, y) || in_shadow(x, y);
}

static bool with_floor(int x, int y) {
  return in_disc(x, y) || y > 45;
}

static bool nothing_but_corner(int x, int y) {
  return x < 12 && y < 12;
}

static bool everything(int x, int y) {
  (void)x, (void)y;
  return true;
}

static void the_whole_piece_is_preferred(void **state) {
  (void)state;
  shape *const worse[] = {left_half, with_shadow, with_floor, nothing_but_corner, everything};
  cutout_scene scene;
  make_scene(&scene);
  const double right = trust_in(&scene, in_disc);
  for (size_t i = 0; i < sizeof worse / sizeof *worse; i++) {
    const double wrong = trust_in(&scene, worse[i]);
    if (wrong >= right) fail_msg("answer %zu: %.3f, the right one %.3f", i, wrong, right);
  }
  cutout_scene_clear(&scene);
}

static void signs_are_what_they_are_called(void **state) {
  (void)state;
  double sign[CUTOUT_TRUST_SIGNS];
  cutout_scene scene;
  make_scene(&scene);
  trust_in(&scene, with_floor);
  cutout_trust_measure(sign, &scene);
  const double contact = (64 + 2 * 17) / 256.0; /* the lowest row, and 17 more cells at each side */
  assert_near(sign[CUTOUT_TRUST_CONTACT], contact, 1e-9);
  assert_near(sign[CUTOUT_TRUST_CONTACT_SQUARED], contact * contact, 1e-9);
  assert_near(sign[CUTOUT_TRUST_MIRROR], 1, 1e-9);
  trust_in(&scene, everything);
  cutout_trust_measure(sign, &scene);
  assert_near(sign[CUTOUT_TRUST_CONTACT], 252 / 256.0, 1e-9); /* a corner counts once */
  assert_near(sign[CUTOUT_TRUST_SIDE], 1, 1e-9);
  assert_near(sign[CUTOUT_TRUST_OFF], 0, 1e-9);
  assert_near(sign[CUTOUT_TRUST_WEAK], 0, 1e-9);
  trust_in(&scene, nothing_but_corner);
  cutout_trust_measure(sign, &scene);
  assert_near(sign[CUTOUT_TRUST_SIDE], 12 / 64.0, 1e-9);
  assert_near(sign[CUTOUT_TRUST_OFF], sqrt(2) * (0.5 - 6 / 64.0), 1e-9);
  assert_true(sign[CUTOUT_TRUST_WEAK] > 0.9); /* its outline crosses plain ground */
  cutout_scene_clear(&scene);
}

/* ---- the prior's signs, and logistic weights ---- */

/* The signs that are given are those that were weighed: the prior is a logistic function of one weighted sum. */
static void the_prior_follows_from_its_signs(void **state) {
  (void)state;
  cutout_scene scene;
  make_scene(&scene);
  const size_t count = scene.grid.count;
  float(*sign)[CUTOUT_PRIOR_SIGNS] = calloc(count, sizeof *sign);
  assert_non_null(sign);
  assert_int_equal(cutout_prior_signs(sign, &scene, context), BC_OK);
  least_squares sums = {.unknowns = CUTOUT_PRIOR_SIGNS + 1};
  double x[least_squares_most] = {1}, weights[least_squares_most];
  for (size_t i = 0; i < count; i++) {
    for (int k = 0; k < CUTOUT_PRIOR_SIGNS; k++) x[1 + k] = (double)sign[i][k];
    least_squares_add(&sums, x, log((double)scene.prior[i]) - log1p(-(double)scene.prior[i]), 1);
  }
  least_squares_solve(weights, &sums, 0);
  for (size_t i = 0; i < count; i++) {
    for (int k = 0; k < CUTOUT_PRIOR_SIGNS; k++) x[1 + k] = (double)sign[i][k];
    assert_near(logistic_probability(weights, x, CUTOUT_PRIOR_SIGNS + 1), (double)scene.prior[i], 1e-3);
  }
  free(sign);
  cutout_scene_clear(&scene);
}

/* Space shuttle flights before 1986: temperature at the joint in degrees Fahrenheit, and whether an O-ring was damaged.
 * Dalal, Fowlkes, Hoadley: Risk analysis of the space shuttle, Journal of the American Statistical Association 84
 * (1989), 945-957; log odds 15.043 - 0.2322 x temperature. Data and figures from memory. */
static void logistic_fit_is_the_published_one(void **state) {
  (void)state;
  static const int temperature[] = {66, 70, 69, 68, 67, 72, 73, 70, 57, 63, 70, 78,
                                    67, 53, 67, 75, 70, 81, 76, 79, 75, 76, 58};
  static const int damaged[] = {0, 1, 0, 0, 0, 0, 0, 0, 1, 1, 1, 0, 0, 1, 0, 0, 0, 0, 0, 0, 1, 0, 1};
  double weights[least_squares_most] = {0}, moved = 1;
  for (int round = 0; round < 12 && moved > 1e-9; round++) {
    least_squares sums = {.unknowns = 2};
    for (size_t i = 0; i < sizeof damaged / sizeof *damaged; i++)
      logistic_add(&sums, weights, (const double[]){1, temperature[i]}, damaged[i], 1);
    moved = logistic_step(weights, &sums);
  }
  assert_true(moved <= 1e-9);
  assert_near(weights[0], 15.043, 0.001);
  assert_near(weights[1], -0.2322, 0.0001);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(the_whole_piece_is_preferred),
      cmocka_unit_test(signs_are_what_they_are_called),
      cmocka_unit_test(the_prior_follows_from_its_signs),
      cmocka_unit_test(logistic_fit_is_the_published_one),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
