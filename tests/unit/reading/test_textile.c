/* SPDX-License-Identifier: MIT */
/* A textile's photo: the scale of its pattern, how busy it is, its colours.
 * Checked against closed forms: stripes of a known wavelength; the entropy of a quantised Gaussian, Cover and Thomas,
 * "Elements of Information Theory", 2nd ed. 2006, theorem 8.3.1; the frame of Portilla and Simoncelli 2000. */
#include "reading/reading_internal.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

#include "support/context.h"

#define N READING_PATTERN_SIDE

static bc_image *even_image(int width, int height, float L) {
  bc_image *image = calloc(1, sizeof *image);
  const size_t pixels = (size_t)width * (size_t)height;
  image->width = image->full_width = width;
  image->height = image->full_height = height;
  image->L = malloc(pixels * sizeof(float));
  image->a = calloc(pixels, sizeof(float));
  image->b = calloc(pixels, sizeof(float));
  image->Y = malloc(pixels * sizeof(float));
  for (size_t i = 0; i < pixels; i++) {
    image->L[i] = L;
    image->Y[i] = 0.2f;
  }
  return image;
}

static void free_image(bc_image *image) {
  free(image->L);
  free(image->a);
  free(image->b);
  free(image->Y);
  free(image);
}

/* A sum of twelve even draws less six: Gaussian enough, and the same everywhere. */
static double gaussian(uint64_t *seed) {
  double sum = -6;
  for (int i = 0; i < 12; i++) {
    *seed = *seed * 6364136223846793005u + 1442695040888963407u;
    sum += (double)(*seed >> 11) / 9007199254740992.0;
  }
  return sum;
}

static void test_even_cloth(void **state) {
  (void)state;
  bc_image *image = even_image(300, 200, 40);
  bc_textile t;
  assert_int_equal(bc_textile_of(&t, context, image, "even"), BC_OK);
  assert_true(t.spread_l < 1e-4);
  assert_true(t.busy_bits < 1e-6);
  assert_int_equal(bc_textile_busy(&t), BC_PLAIN);
  assert_int_equal(t.colour_count, 1);
  assert_true(fabs(t.colours[0].lab.L - 40) < 1e-3);
  free_image(image);
}

static void test_stripes_have_their_wavelength(void **state) {
  (void)state;
  for (int cycles = 5; cycles <= 40; cycles += 7) {
    bc_image *image = even_image(N, N, 50);
    for (int i = 0; i < N * N; i++) image->L[i] = (float)(50 + 20 * sin(2 * 3.14159265358979 * cycles * (i % N) / N));
    bc_textile t;
    assert_int_equal(bc_textile_of(&t, context, image, "stripes"), BC_OK);
    assert_true(fabs(1 / t.pattern_share - cycles) < 0.1);
    free_image(image);
  }
}

/* Whatever the picture is reduced from, its pattern is the same share of it. */
static void test_scale_is_free_of_resolution(void **state) {
  (void)state;
  double share[2];
  for (int k = 0; k < 2; k++) {
    const int side = k ? 900 : 256;
    bc_image *image = even_image(side, side, 50);
    for (int y = 0; y < side; y++)
      for (int x = 0; x < side; x++) image->L[y * side + x] = (x * 8 / side + y * 8 / side) % 2 ? 70.f : 30.f;
    bc_textile t;
    assert_int_equal(bc_textile_of(&t, context, image, "checks"), BC_OK);
    assert_int_equal(t.colour_count, 2);
    share[k] = t.pattern_share;
    free_image(image);
  }
  assert_true(fabs(share[0] - share[1]) < 0.01 * share[0]);
  /* A checkerboard of 8 fields has its first wave at 4 cycles either way: sqrt(32) cycles a side. */
  assert_true(share[0] > 0.8 / sqrt(32) && share[0] < 1.25 / sqrt(32));
}

/* Between its edges the subbands and what is left below them hold all of the power: the squares of the
 * gains of all orientations of a level sum to 1 where no other level reaches. */
static void test_subbands_are_a_frame(void **state) {
  (void)state;
  for (double angle = 0.05; angle < 3; angle += 0.3)
    for (double radius = N / 2.0 * pow(2, -3); radius <= N / 2.0 * 0.5; radius *= 1.13) {
      double sum = 0;
      for (int level = 0; level < 3; level++)
        for (int o = 0; o < 4; o++) {
          const double g = reading_pattern_band_gain(radius * cos(angle), radius * sin(angle), level, o);
          sum += g * g;
        }
      assert_true(fabs(sum - 1) < 1e-9);
    }
}

/* White noise of standard deviation s through a band with mean squared gain g: a Gaussian of s sqrt(g), whose
 * entropy in quanta q is log2(s sqrt(g) sqrt(2 pi e) / q). */
static void test_noise_has_gaussian_entropy(void **state) {
  (void)state;
  const double s = 40, q = 2;
  double expected = 0;
  for (int level = 0; level < 3; level++)
    for (int o = 0; o < 4; o++) {
      double power = 0;
      for (int y = 0; y < N; y++)
        for (int x = 0; x < N; x++) {
          const double g = reading_pattern_band_gain(x <= N / 2 ? x : x - N, y <= N / 2 ? y : y - N, level, o);
          power += x == N / 2 || y == N / 2 ? 0 : g * g;
        }
      expected += log2(s * sqrt(power / (N * N)) * sqrt(2 * 3.14159265358979 * 2.718281828459045) / q) / 12;
    }
  double *plane = malloc(3 * N * N * sizeof *plane);
  uint64_t seed = 7;
  for (int i = 0; i < 3 * N * N; i++) plane[i] = i < N * N ? 50 + s * gaussian(&seed) : 0;
  double share, bits;
  assert_int_equal(reading_pattern_measure(&share, &bits, context, plane, plane + N * N, plane + 2 * N * N), BC_OK);
  /* Chroma is even: it has no bits, and counts an eighth. */
  assert_true(fabs(bits * 1.125 - expected) < 0.05);
  free(plane);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_even_cloth),
      cmocka_unit_test(test_stripes_have_their_wavelength),
      cmocka_unit_test(test_scale_is_free_of_resolution),
      cmocka_unit_test(test_subbands_are_a_frame),
      cmocka_unit_test(test_noise_has_gaussian_entropy),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
