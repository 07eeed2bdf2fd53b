/* SPDX-License-Identifier: MIT */
/* A JPEG decoded at a reduced size must give the colours of the full decode, averaged in linear light, to
 * within a colour difference of 0.3. Colour formulas of the check: IEC 61966-2-1 and CIE 15 (CIELAB, with
 * the white of sRGB itself); the plain Euclidean difference is used, which is never below CIEDE2000 here. */
#include "../../unit/photo/pictures.h"

#include <math.h>

#include "support/context.h"

#define WIDTH 1920
#define HEIGHT 1440

/* ---- a photo as a phone makes it: edges and texture as sharp as a lens and a mosaic sensor give ---- */

/* Smooth noise with a period of four pixels, -1 to 1. */
static double texture(const double *lattice, int x, int y) {
  const int columns = WIDTH / 4 + 2;
  const double u = x / 4.0, v = y / 4.0;
  const int i = (int)u, j = (int)v;
  const double *at = lattice + j * columns + i;
  const double top = at[0] + (at[1] - at[0]) * (u - i), below = at[columns] + (at[columns + 1] - at[columns]) * (u - i);
  return top + (below - top) * (v - j);
}

static uint8_t *make_photo(void) {
  const int count = (WIDTH / 4 + 2) * (HEIGHT / 4 + 2);
  double *lattice = malloc((size_t)count * sizeof *lattice);
  uint32_t seed = 7;
  for (int i = 0; i < count; i++) {
    seed = seed * 1664525u + 1013904223u;
    lattice[i] = (double)(seed >> 8) / 8388608.0 - 1;
  }
  uint8_t *samples = malloc((size_t)WIDTH * HEIGHT * 3);
  for (int y = 0; y < HEIGHT; y++)
    for (int x = 0; x < WIDTH; x++) {
      const double t = texture(lattice, x, y), weave = sin(x * 0.35) * sin(y * 0.35);
      const double piece = fabs(x - 960.0) < 500 && fabs(y - 720.0) < 400 ? 1 : 0;
      const double rgb[3] = {150 - 60 * piece + 28 * t + 20 * weave * piece,
                             140 - 80 * piece + 25 * t + 15 * weave * piece, 120 - 40 * piece + 22 * t};
      for (int c = 0; c < 3; c++) samples[((size_t)y * WIDTH + (size_t)x) * 3 + (size_t)c] = (uint8_t)rgb[c];
    }
  free(lattice);
  return samples;
}

/* ---- colour ---- */

static double linear(double sample) {
  const double e = sample / 255;
  return e <= 0.04045 ? e / 12.92 : pow((e + 0.055) / 1.055, 2.4);
}

static double lightness_root(double t) {
  return t > 216.0 / 24389 ? cbrt(t) : (24389.0 / 27 * t + 16) / 116;
}

static void to_lab(const double rgb[3], double lab[3]) {
  const double x = (0.4124 * rgb[0] + 0.3576 * rgb[1] + 0.1805 * rgb[2]) / 0.9505;
  const double y = 0.2126 * rgb[0] + 0.7152 * rgb[1] + 0.0722 * rgb[2];
  const double z = (0.0193 * rgb[0] + 0.1192 * rgb[1] + 0.9505 * rgb[2]) / 1.0890;
  lab[0] = 116 * lightness_root(y) - 16;
  lab[1] = 500 * (lightness_root(x) - lightness_root(y));
  lab[2] = 200 * (lightness_root(y) - lightness_root(z));
}

/* Mean light of one of 16 x 12 fields. */
static void field_lab(bc_raster raster, int column, int row, double lab[3]) {
  const int x0 = column * raster.width / 16, x1 = (column + 1) * raster.width / 16;
  const int y0 = row * raster.height / 12, y1 = (row + 1) * raster.height / 12;
  double sum[3] = {0};
  for (int y = y0; y < y1; y++)
    for (int x = x0; x < x1; x++)
      for (int c = 0; c < 3; c++)
        sum[c] += linear(((const uint8_t *)raster.samples)[(size_t)y * raster.row_bytes + (size_t)(x * 3 + c)]);
  for (int c = 0; c < 3; c++) sum[c] /= (x1 - x0) * (y1 - y0);
  to_lab(sum, lab);
}

static double greatest_difference(const bc_photo *full, const bc_photo *reduced) {
  double greatest = 0;
  for (int row = 0; row < 12; row++)
    for (int column = 0; column < 16; column++) {
      double a[3], b[3];
      field_lab(bc_photo_raster(full), column, row, a);
      field_lab(bc_photo_raster(reduced), column, row, b);
      const double difference =
          sqrt((a[0] - b[0]) * (a[0] - b[0]) + (a[1] - b[1]) * (a[1] - b[1]) + (a[2] - b[2]) * (a[2] - b[2]));
      if (difference > greatest) greatest = difference;
    }
  return greatest;
}

static void reduced_colours_are_the_full_ones(void **state) {
  (void)state;
  uint8_t *samples = make_photo();
  const file_bytes file = make_jpeg_of((jpeg_wish){.width = WIDTH, .height = HEIGHT, .components = 3}, samples);
  free(samples);
  bc_photo *full = NULL;
  assert_int_equal(decode_bytes(&full, context, file, 0), BC_OK);
  const int wanted[] = {960, 720}; /* scales 4/8 and 3/8, the ones used for photos of 2,048 to 4,096 pixels */
  for (size_t i = 0; i < sizeof wanted / sizeof wanted[0]; i++) {
    bc_photo *reduced = NULL;
    assert_int_equal(decode_bytes(&reduced, context, file, wanted[i]), BC_OK);
    assert_int_equal(bc_photo_raster(reduced).width, wanted[i]);
    const double difference = greatest_difference(full, reduced);
    print_message("%d of %d pixels: greatest difference of a field %.3f\n", wanted[i], WIDTH, difference);
    assert_true(difference < 0.3);
    bc_photo_free(reduced);
  }
  bc_photo_free(full);
  free(file.bytes);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(reduced_colours_are_the_full_ones)};
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
