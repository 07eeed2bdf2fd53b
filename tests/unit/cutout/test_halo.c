/* SPDX-License-Identifier: MIT */
/* No halo: a piece with a soft edge of known alpha and colour, photographed on a pale and on a dark
 * cloth, is laid on black and on white; the result must be what the true piece gives there. */
#include <backcloth/cutout.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>

#include <cmocka.h>

#include "support/context.h"

enum { WIDTH = 240, HEIGHT = 200 };
static const double soft = 4; /* pixels over which the edge fades */

static double alpha_at(int x, int y) {
  const double inside_by = (60 - hypot(x - 120.0, y - 100.0)) / soft + 0.5;
  return inside_by < 0 ? 0 : inside_by > 1 ? 1 : inside_by;
}

/* A piece whose colour changes slowly, in linear light. */
static void piece_at(double rgb[3], int x, int y) {
  rgb[0] = 0.10 + 0.15 * x / WIDTH;
  rgb[1] = 0.06 + 0.05 * y / HEIGHT;
  rgb[2] = 0.20 - 0.10 * x / WIDTH;
}

static void free_scene(bc_image *image, bc_cutout *cutout) {
  free(image->L);
  free(image->a);
  free(image->b);
  free(image->Y);
  bc_cutout_free(cutout);
}

static void make(bc_image *image, bc_cutout **out, double cloth) {
  const size_t count = (size_t)WIDTH * HEIGHT;
  *image = (bc_image){.width = WIDTH, .height = HEIGHT, .full_width = WIDTH, .full_height = HEIGHT};
  float **planes[4] = {&image->L, &image->a, &image->b, &image->Y};
  for (int p = 0; p < 4; p++) assert_non_null(*planes[p] = calloc(count, sizeof(float)));
  bc_cutout *cutout = *out = calloc(1, sizeof *cutout);
  assert_non_null(cutout);
  cutout->width = WIDTH;
  cutout->height = HEIGHT;
  assert_non_null(cutout->alpha = calloc(count, 1));
  for (int y = 0; y < HEIGHT; y++)
    for (int x = 0; x < WIDTH; x++) {
      const int i = y * WIDTH + x;
      double rgb[3];
      piece_at(rgb, x, y);
      cutout->alpha[i] = (uint8_t)(255 * alpha_at(x, y) + 0.5);
      const double share = cutout->alpha[i] / 255.0;
      for (int c = 0; c < 3; c++) rgb[c] = share * rgb[c] + (1 - share) * cloth;
      const bc_colour colour = bc_colour_from_linear_srgb(rgb);
      image->L[i] = (float)colour.lab.L;
      image->a[i] = (float)colour.lab.a;
      image->b[i] = (float)colour.lab.b;
      image->Y[i] = (float)colour.luminance;
    }
}

/* The worst difference, in lightness, between the composite and the true one on a ground of luminance
 * `ground`, over the pixels of the soft edge. */
static double worst_halo(const bc_image *image, const bc_cutout *cutout, double ground) {
  double worst = 0;
  for (int y = 0; y < HEIGHT; y++)
    for (int x = 0; x < WIDTH; x++) {
      const int i = y * WIDTH + x;
      if (cutout->alpha[i] == 0 || cutout->alpha[i] == 255) continue;
      const double share = cutout->alpha[i] / 255.0;
      double got[3], want[3];
      bc_lab_to_linear_srgb((bc_lab){(double)image->L[i], (double)image->a[i], (double)image->b[i]}, got);
      piece_at(want, x, y);
      for (int c = 0; c < 3; c++) {
        got[c] = share * got[c] + (1 - share) * ground;
        want[c] = share * want[c] + (1 - share) * ground;
      }
      worst = fmax(worst, fabs(bc_colour_from_linear_srgb(got).lab.L - bc_colour_from_linear_srgb(want).lab.L));
    }
  return worst;
}

static void check(double cloth) {
  bc_image image;
  bc_cutout *cutout = NULL;
  make(&image, &cutout, cloth);
  const double black_before = worst_halo(&image, cutout, 0), white_before = worst_halo(&image, cutout, 1);
  assert_int_equal(bc_cutout_clean_edge(cutout, context, &image), BC_OK);
  const double black = worst_halo(&image, cutout, 0), white = worst_halo(&image, cutout, 1);
  print_message("cloth %.2f: on black %.1f -> %.1f, on white %.1f -> %.1f units of L*\n", cloth, black_before, black,
                white_before, white);
  /* 3 units of L* is about where a one-pixel rim stops being seen; our choice. Without cleaning it is many times that.
   */
  assert_true(black < 3);
  assert_true(white < 3);
  assert_true(fmax(black_before, white_before) > 3);
  free_scene(&image, cutout);
}

static void no_pale_rim_from_a_pale_cloth(void **state) {
  (void)state;
  check(0.85);
}

static void no_dark_rim_from_a_dark_cloth(void **state) {
  (void)state;
  check(0.005);
}

static void solid_pixels_stay(void **state) {
  (void)state;
  bc_image image, before;
  bc_cutout *cutout = NULL, *other = NULL;
  make(&image, &cutout, 0.85);
  make(&before, &other, 0.85);
  assert_int_equal(bc_cutout_clean_edge(cutout, context, &image), BC_OK);
  for (int i = 0; i < WIDTH * HEIGHT; i++)
    if (cutout->alpha[i] == 0 || cutout->alpha[i] == 255)
      assert_true(image.L[i] == before.L[i] && image.Y[i] == before.Y[i]);
  free_scene(&image, cutout);
  free_scene(&before, other);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(no_pale_rim_from_a_pale_cloth),
      cmocka_unit_test(no_dark_rim_from_a_dark_cloth),
      cmocka_unit_test(solid_pixels_stay),
  };
  return cmocka_run_group_tests_name("halo", tests, set_up, tear_down);
}
