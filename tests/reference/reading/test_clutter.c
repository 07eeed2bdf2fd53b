/* SPDX-License-Identifier: MIT */
/* Clutter against a second computation from the published formulas, which shares no code with the first: bands by sums
 * of sines (no FFT) of the whole spectrum. Rosenholtz, Li and Nakano, "Measuring visual clutter", Journal of Vision
 * 7(2):17, 2007, and Portilla and Simoncelli, International Journal of Computer Vision 40(1), 2000, equations of
 * section 2.1: H(r) = cos(pi/2 log2(2r/pi)), L(r) = 2 cos(pi/2 log2(4r/pi)) over 2 in one octave,
 * G_k(t) = 2^(K-1) (K-1)! / sqrt(K (2K-2)!) cos(t - pi k/K)^(K-1). Bins of 2 L*: docs/method/reading.md. */
#include "reading/reading_internal.h"

#include <complex.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/context.h"

enum { N = READING_PATTERN_SIDE, K = 4, LEVELS = 3 };
typedef double complex number;

/* One transform along rows or columns by its definition. */
static void transform(number *to, const number *from, int sign, bool columns) {
  number *turn = malloc(N * sizeof *turn);
  assert_non_null(turn);
  for (int i = 0; i < N; i++) turn[i] = cexp(sign * 2 * M_PI * I * i / N);
  for (int line = 0; line < N; line++)
    for (int f = 0; f < N; f++) {
      number sum = 0;
      for (int i = 0; i < N; i++) sum += from[columns ? i * N + line : line * N + i] * turn[f * i % N];
      to[columns ? f * N + line : line * N + f] = sum;
    }
  free(turn);
}

static double factorial(int n) {
  return n < 2 ? 1 : n * factorial(n - 1);
}

/* Gain at w radians a sample. */
static double published_gain(double wx, double wy, int level, int k) {
  const double r = hypot(wx, wy) * pow(2, level);
  if (!(r > 0)) return 0;
  /* What is passed on to this level: the low pass of the level before, at twice this one's frequencies. */
  const double low = r <= M_PI / 2 ? 1 : r >= M_PI ? 0 : cos(M_PI / 2 * log2(2 * r / M_PI));
  const double high = r >= M_PI / 2 ? 1 : r <= M_PI / 4 ? 0 : cos(M_PI / 2 * log2(2 * r / M_PI));
  const double angular = pow(2, K - 1) * factorial(K - 1) / sqrt(K * factorial(2 * K - 2));
  return low * high * angular * pow(cos(atan2(wy, wx) - M_PI * k / K), K - 1);
}

static double entropy(const number *band) {
  double count[2001] = {0}, all = 0, bits = 0;
  for (int y = N / 8; y < N - N / 8; y++)
    for (int x = N / 8; x < N - N / 8; x++) {
      count[1000 + (int)floor(creal(band[y * N + x]) / 2 + 0.5)]++;
      all++;
    }
  for (int i = 0; i < 2001; i++) bits += count[i] > 0 ? count[i] / all * log2(all / count[i]) : 0;
  return bits;
}

static double clutter_by_definition(const double *plane) {
  number *a = malloc(N * N * sizeof *a), *b = malloc(N * N * sizeof *b), *band = malloc(N * N * sizeof *band);
  assert_true(a && b && band);
  for (int i = 0; i < N * N; i++) a[i] = plane[i];
  transform(b, a, -1, false);
  transform(a, b, -1, true);
  double bits = 0;
  for (int level = 0; level < LEVELS; level++)
    for (int k = 0; k < K; k++) {
      for (int y = 0; y < N; y++)
        for (int x = 0; x < N; x++) {
          const double wx = 2 * M_PI * (x <= N / 2 ? x : x - N) / N, wy = 2 * M_PI * (y <= N / 2 ? y : y - N) / N;
          const bool signless = x == N / 2 || y == N / 2;
          band[y * N + x] = signless ? 0 : I * a[y * N + x] * published_gain(wx, wy, level, k) / (N * N);
        }
      transform(b, band, 1, false);
      transform(band, b, 1, true);
      bits += entropy(band) / (LEVELS * K);
    }
  free(a);
  free(b);
  free(band);
  return bits;
}

static double next(uint64_t *state) { /* -0.5..0.5; xorshift64*, Vigna 2016 */
  *state ^= *state >> 12;
  *state ^= *state << 25;
  *state ^= *state >> 27;
  return (double)((*state * 2685821657736338717ULL) >> 11) / 9007199254740992.0 - 0.5;
}

static double picture(int kind, int x, int y, uint64_t *state) {
  if (kind == 0) return 50 + 25 * sin(2 * M_PI * (9 * x + 4 * y) / N) + 12 * next(state);
  /* Things on a wall: discs of many sizes. */
  double light = 82;
  for (int i = 1; i < 14; i++)
    if (hypot(x - i * 67 % N, y - i * 101 % N) < 4 + i) light = 20 + 5 * i;
  return light;
}

static void as_published(void **state) {
  (void)state;
  double *planes = calloc(3 * N * N, sizeof *planes), before = -1;
  assert_non_null(planes);
  for (int kind = 0; kind < 2; kind++) {
    uint64_t seed = 11;
    for (int i = 0; i < N * N; i++) planes[i] = picture(kind, i % N, i / N, &seed);
    double share, bits;
    assert_int_equal(reading_pattern_measure(&share, &bits, context, planes, planes + N * N, planes + 2 * N * N),
                     BC_OK);
    const double expected = clutter_by_definition(planes) / (1 + 2 * 0.0625); /* chroma is even: no bits */
    print_message("picture %d: %.6f bits, by the definition %.6f\n", kind, bits, expected);
    assert_true(fabs(bits - expected) < 1e-3); /* samples that fall on a bin's edge */
    assert_true(bits > 0.1 && fabs(bits - before) > 0.1);
    before = bits;
  }
  free(planes);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(as_published)};
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
