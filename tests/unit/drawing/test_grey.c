/* SPDX-License-Identifier: MIT */
/* A black-and-white copy says all that the drawing says: marks that mean different things differ in shape once all
 * colour and all shades are gone, and each stands out from the paper by 3:1 (WCAG 2.2, SC 1.4.11, for graphics). */
#include "drawing/wall/elevation.h"

#include <backcloth/colour.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/context.h"

enum { SIDE = 96 };
#define PER_MM 12.0

typedef struct picture {
  uint8_t black[SIDE * SIDE]; /* 1 where a copier without shades prints */
  double darkest;             /* relative luminance */
} picture;

/* Relative luminance of WCAG 2.2 from Cairo's RGB24. */
static double luminance(uint32_t pixel) {
  return 0.2126 * bc_srgb_decode((pixel >> 16 & 255) / 255.0) + 0.7152 * bc_srgb_decode((pixel >> 8 & 255) / 255.0) +
         0.0722 * bc_srgb_decode((pixel & 255) / 255.0);
}

typedef void painter(drawing_canvas *canvas, int which);

static picture paint(painter *draw, int which) {
  cairo_surface_t *const surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, SIDE, SIDE);
  cairo_t *const cairo = cairo_create(surface);
  drawing_use(cairo, drawing_paper);
  cairo_paint(cairo);
  cairo_scale(cairo, PER_MM, PER_MM);
  drawing_canvas *canvas = NULL;
  assert_int_equal(drawing_canvas_borrow(&canvas, context, cairo), BC_OK);
  draw(canvas, which);
  drawing_canvas_abandon(canvas);
  cairo_surface_flush(surface);
  picture out = {.darkest = 1};
  const uint8_t *const data = cairo_image_surface_get_data(surface);
  const int stride = cairo_image_surface_get_stride(surface);
  for (int y = 0; y < SIDE; y++)
    for (int x = 0; x < SIDE; x++) {
      uint32_t pixel;
      memcpy(&pixel, data + (size_t)y * (size_t)stride + 4 * (size_t)x, sizeof pixel);
      const double light = luminance(pixel);
      out.black[y * SIDE + x] = light < 0.3; /* between the accent's and the paper's */
      out.darkest = fmin(out.darkest, light);
    }
  cairo_destroy(cairo);
  cairo_surface_destroy(surface);
  return out;
}

/* The share of the two shapes' union that only one of them covers, where they lie best upon each other. */
static double unlike(const picture *first, const picture *second) {
  double least = 1;
  for (int dy = -8; dy <= 8; dy++)
    for (int dx = -8; dx <= 8; dx++) {
      int only = 0, either = 0;
      for (int y = 8; y < SIDE - 8; y++)
        for (int x = 8; x < SIDE - 8; x++) {
          const int a = first->black[y * SIDE + x], b = second->black[(y + dy) * SIDE + x + dx];
          only += a != b;
          either += a | b;
        }
      if (either > 0) least = fmin(least, (double)only / either);
    }
  return least;
}

static void assert_all_differ(painter *draw, int count, const char *what) {
  picture pictures[8];
  const double paper =
      luminance((uint32_t)lrint(drawing_paper.red * 255) << 16 | (uint32_t)lrint(drawing_paper.green * 255) << 8 |
                (uint32_t)lrint(drawing_paper.blue * 255));
  for (int i = 0; i < count; i++) {
    pictures[i] = paint(draw, i);
    const double ratio = (paper + 0.05) / (pictures[i].darkest + 0.05);
    if (ratio < 3) fail_msg("%s %d: only %.2f : 1 with the paper", what, i, ratio);
    assert_true(unlike(&pictures[i], &pictures[i]) < 1e-9);
    for (int k = 0; k < i; k++)
      if (unlike(&pictures[i], &pictures[k]) < 0.25)
        fail_msg("%s %d and %d are alike without colour: %.2f", what, i, k, unlike(&pictures[i], &pictures[k]));
  }
}

static void holds(drawing_canvas *canvas, int which) {
  drawing_holds_mark(canvas, (bc_holds)which, 4, 4, 2.6);
}

static void verdict(drawing_canvas *canvas, int which) {
  drawing_verdict_mark(drawing_canvas_cairo(canvas), (bc_verdict)which, 4, 4, 2.6, drawing_black);
}

/* The same triangle in three colours: what the test is there to refuse. */
static void colours_only(drawing_canvas *canvas, int which) {
  cairo_t *const cairo = drawing_canvas_cairo(canvas);
  const drawing_ink inks[] = {drawing_black, drawing_accent, drawing_grey};
  drawing_use(cairo, inks[which]);
  cairo_rectangle(cairo, 2, 2, 4, 4);
  cairo_fill(cairo);
}

static void marks_differ_without_colour(void **state) {
  (void)state;
  assert_all_differ(holds, 3, "load");
  assert_all_differ(verdict, 3, "verdict");
  const picture one = paint(colours_only, 0), two = paint(colours_only, 1);
  assert_true(unlike(&one, &two) < 0.25); /* the test can fail */
}

/* ---- on the sheet ---- */

static elevation scene(const bc_plan *plan) {
  elevation e = {.plan = plan, .context = context, .options = bc_elevation_options_default()};
  e.layout = (elevation_layout){.k = 0.2, .type = 0.4, .wall = {14, 8, 48, 38.4}, .band_left = 4};
  return e;
}

typedef struct sheet {
  cairo_surface_t *surface;
  int width, height;
} sheet;

static bool is_dark(const sheet *s, double x_mm, double y_mm) {
  const int x = (int)(x_mm * PER_MM), y = (int)(y_mm * PER_MM);
  uint32_t pixel;
  memcpy(&pixel,
         cairo_image_surface_get_data(s->surface) + (size_t)y * (size_t)cairo_image_surface_get_stride(s->surface) +
             4 * (size_t)x,
         sizeof pixel);
  return luminance(pixel) < 0.3;
}

/* Changes between ink and paper along a line. */
static int changes(const sheet *s, double x1, double x2, double y) {
  int count = 0;
  bool before = is_dark(s, x1, y);
  for (double x = x1; x < x2; x += 1 / PER_MM) {
    const bool now = is_dark(s, x, y);
    count += now != before;
    before = now;
  }
  return count;
}

/* Both are the accent's colour: the sight band has broken lines, the focus a bracket of unbroken ones. */
static void band_and_focus_differ_without_colour(void **state) {
  (void)state;
  bc_plan *plan = NULL;
  const char *const text = "{\"backcloth\":1,\"title\":\"T\",\"stand\":{\"width\":240,\"wall_height\":192}}";
  assert_int_equal(bc_plan_parse(&plan, context, text, strlen(text), "plan.json", NULL), BC_OK);
  sheet s = {.width = 800, .height = 720};
  s.surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, s.width, s.height);
  cairo_t *const cairo = cairo_create(s.surface);
  drawing_use(cairo, drawing_paper);
  cairo_paint(cairo);
  cairo_scale(cairo, PER_MM, PER_MM);
  elevation e = scene(plan);
  e.layout.company = ELEVATION_ALONE;
  assert_int_equal(drawing_canvas_borrow(&e.canvas, context, cairo), BC_OK);
  elevation_draw_sight(&e);
  drawing_canvas_abandon(e.canvas);
  cairo_surface_flush(s.surface);
  const double band = elevation_y(&e, plan->viewers.sight_high);
  assert_true(changes(&s, 14.5, 61.5, band) >= 8); /* dashes on the wall */
  const double bracket = e.layout.wall.y - 2.2 * e.layout.type, left = 14 + 48 / 2.0 - 48 / 6.0;
  assert_true(is_dark(&s, left + 0.3, bracket) && is_dark(&s, left + 0.02, bracket + 0.4)); /* a line and its end */
  assert_int_equal(changes(&s, left + 0.2, left + 0.5, bracket), 0);
  cairo_destroy(cairo);
  cairo_surface_destroy(s.surface);
  bc_plan_free(plan);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(marks_differ_without_colour),
      cmocka_unit_test(band_and_focus_differ_without_colour),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
