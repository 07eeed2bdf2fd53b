/* SPDX-License-Identifier: MIT */
/* Glass is drawn as it is judged: its own light and the cloth's, mixed in linear light; and the photo is shown as it
 * came.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* the four above come before cmocka */
#include <cmocka.h>

#include "drawing/paper/paper.h"
#include "support/pane.h"

#include <backcloth/colour.h>
#include <backcloth/drawing.h>
#include <math.h>

enum { PIXELS = 400 };
static const double own[3] = {0.05, 0.22, 0.4}, behind[3] = {0.35, 0.30, 0.22};

/* Mean linear light of a square of the picture. */
static void light_at(double rgb[3], cairo_surface_t *surface, double x, double y) {
  const unsigned char *rows = cairo_image_surface_get_data(surface);
  const int stride = cairo_image_surface_get_stride(surface), half = 10;
  memset(rgb, 0, 3 * sizeof *rgb);
  for (int j = (int)y - half; j < (int)y + half; j++)
    for (int i = (int)x - half; i < (int)x + half; i++)
      for (int c = 0; c < 3; c++)
        rgb[c] += bc_srgb_decode(rows[j * stride + 4 * i + 2 - c] / 255.0) / (4.0 * half * half);
}

static void draw(bc_context *context, const bc_study *study, const bc_cloth *cloth, double seen[3], double bare[3]) {
  cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, PIXELS, PIXELS);
  cairo_t *cairo = cairo_create(surface);
  cairo_scale(cairo, PIXELS / 40.0, PIXELS / 40.0);
  assert_int_equal(bc_drawing_specimen(context, study, cloth, cairo, (bc_sheet_rect){0, 0, 40, 40}), BC_OK);
  cairo_surface_flush(surface);
  light_at(seen, surface, PIXELS / 2.0, PIXELS / 2.0);
  light_at(bare, surface, 14, 14);
  cairo_destroy(cairo);
  cairo_surface_destroy(surface);
}

/* The pane comes out within 1 % of white of its mixture with the cloth, and so do the figures. */
static void test_drawn_as_judged(void **state) {
  (void)state;
  static char spec[] = "made", name[] = "made";
  bc_context *context = NULL;
  assert_int_equal(bc_context_new(&context), BC_OK);
  for (double through = 0.2; through < 0.95; through += 0.2) {
    bc_study *study = made_pane(context, own, behind, through);
    assert_int_equal(bc_study_see_through(study, context, through), BC_OK);
    for (double L = 20; L < 95; L += 35) {
      const bc_cloth cloth = {.spec = spec, .name = name, .colour = bc_colour_from_lab((bc_lab){L, 15, -10})};
      const bc_colour judged = bc_colour_mixed(study->reading->mean, cloth.colour, study->see_through);
      double seen[3], bare[3], rgb[3], ground[3];
      draw(context, study, &cloth, seen, bare);
      bc_lab_to_linear_srgb(judged.lab, rgb);
      bc_lab_to_linear_srgb(cloth.colour.lab, ground);
      for (int c = 0; c < 3; c++) {
        const double mixed = (1 - through) * own[c] + through * ground[c];
        if (fabs(seen[c] - mixed) > 0.01 || fabs(rgb[c] - mixed) > 0.01 || fabs(bare[c] - ground[c]) > 0.01)
          fail_msg("through %.1f, L* %.0f, channel %d: drawn %.3f, judged %.3f, not %.3f; cloth drawn %.3f, not %.3f",
                   through, L, c, seen[c], rgb[c], mixed, bare[c], ground[c]);
      }
    }
    bc_study_free(study);
  }
  bc_context_free(context);
}

/* "As photographed" is the photo, not what is left of it when its backdrop is taken out. */
static void test_the_photo_is_shown(void **state) {
  (void)state;
  const double through = 0.6;
  bc_context *context = NULL;
  assert_int_equal(bc_context_new(&context), BC_OK);
  bc_study *study = made_pane(context, own, behind, through);
  assert_int_equal(bc_study_see_through(study, context, through), BC_OK);
  cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, PIXELS, PIXELS);
  cairo_t *cairo = cairo_create(surface);
  drawing_canvas *canvas = NULL;
  cairo_scale(cairo, PIXELS / 40.0, PIXELS / 40.0);
  assert_int_equal(drawing_canvas_borrow(&canvas, context, cairo), BC_OK);
  assert_int_equal(drawing_as_photographed(canvas, context, study, (drawing_rect){0, 0, 40, 40}), BC_OK);
  drawing_canvas_abandon(canvas);
  cairo_surface_flush(surface);
  double seen[3];
  light_at(seen, surface, PIXELS / 2.0, PIXELS / 2.0);
  for (int c = 0; c < 3; c++) assert_true(fabs(seen[c] - ((1 - through) * own[c] + through * behind[c])) < 0.01);
  cairo_destroy(cairo);
  cairo_surface_destroy(surface);
  bc_study_free(study);
  bc_context_free(context);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(test_drawn_as_judged), cmocka_unit_test(test_the_photo_is_shown)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
