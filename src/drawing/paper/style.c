/* SPDX-License-Identifier: MIT */
/* The marks that carry a meaning by shape, so that they survive a black-and-white copy. */
#include "paper.h"

#include <math.h>

void drawing_verdict_mark(cairo_t *cairo, bc_verdict verdict, double x, double y, double radius, drawing_ink ink) {
  cairo_save(cairo);
  drawing_use(cairo, ink);
  cairo_set_line_width(cairo, radius * 0.24);
  if (verdict == BC_SOFT) {
    cairo_arc(cairo, x, y, radius * 0.88, M_PI / 2, 3 * M_PI / 2);
    cairo_fill(cairo);
  }
  if (verdict == BC_GETS_LOST) {
    const double dash = radius * 0.88 * 2 * M_PI / 12;
    cairo_set_dash(cairo, &dash, 1, 0);
  }
  cairo_new_sub_path(cairo);
  cairo_arc(cairo, x, y, verdict == BC_STANDS_OUT ? radius : radius * 0.88, 0, 2 * M_PI);
  if (verdict == BC_STANDS_OUT)
    cairo_fill(cairo);
  else
    cairo_stroke(cairo);
  cairo_restore(cairo);
}

/* A white disc whose rim, `line` radii thick, is still to be drawn. */
static void white_disc(cairo_t *cairo, double x, double y, double radius, double line) {
  cairo_new_sub_path(cairo);
  cairo_arc(cairo, x, y, radius, 0, 2 * M_PI);
  drawing_use(cairo, drawing_white);
  cairo_fill_preserve(cairo);
  drawing_use(cairo, drawing_black);
  cairo_set_line_width(cairo, radius * line);
}

void drawing_doubt_mark(drawing_canvas *canvas, double x, double y, double radius) {
  cairo_t *const cairo = drawing_canvas_cairo(canvas);
  const double dash = radius * 2 * M_PI / 12;
  const drawing_type type = {.size = radius * 1.5, .bold = true, .align = DRAWING_CENTRE, .ink = drawing_black};
  cairo_save(cairo);
  white_disc(cairo, x, y, radius, 0.2);
  cairo_set_dash(cairo, &dash, 1, 0);
  cairo_stroke(cairo);
  cairo_restore(cairo);
  drawing_text(canvas, &type, x, y + type.size * 0.36 - drawing_text_measure(&type, "?").baseline, "?");
}

void drawing_gleam_mark(drawing_canvas *canvas, double x, double y, double radius) {
  cairo_t *const cairo = drawing_canvas_cairo(canvas);
  const double out = radius * 0.75, in = radius * 0.16;
  cairo_save(cairo);
  white_disc(cairo, x, y, radius, 0.12);
  cairo_stroke(cairo);
  for (int i = 0; i < 8; i++) {
    const double angle = i * M_PI / 4, far = i % 2 ? in : out;
    cairo_line_to(cairo, x + far * cos(angle), y + far * sin(angle));
  }
  cairo_close_path(cairo);
  cairo_fill(cairo);
  cairo_restore(cairo);
}

void drawing_eye(cairo_t *cairo, double x, double y, double radius) {
  cairo_save(cairo);
  drawing_use(cairo, drawing_black);
  cairo_set_line_width(cairo, radius * 0.2);
  cairo_move_to(cairo, x - radius, y);
  cairo_curve_to(cairo, x - radius * 0.4, y - radius * 0.75, x + radius * 0.4, y - radius * 0.75, x + radius, y);
  cairo_curve_to(cairo, x + radius * 0.4, y + radius * 0.75, x - radius * 0.4, y + radius * 0.75, x - radius, y);
  cairo_stroke(cairo);
  cairo_arc(cairo, x, y, radius * 0.28, 0, 2 * M_PI);
  cairo_fill(cairo);
  cairo_restore(cairo);
}

static void triangle(cairo_t *cairo, double x, double y, double radius) {
  cairo_move_to(cairo, x, y - radius);
  cairo_line_to(cairo, x + radius * 0.95, y + radius * 0.72);
  cairo_line_to(cairo, x - radius * 0.95, y + radius * 0.72);
  cairo_close_path(cairo);
}

void drawing_holds_mark(drawing_canvas *canvas, bc_holds holds, double x, double y, double radius) {
  cairo_t *const cairo = drawing_canvas_cairo(canvas);
  cairo_save(cairo);
  drawing_use(cairo, holds == BC_HOLDS_NO ? drawing_accent : drawing_black);
  cairo_set_line_width(cairo, radius * 0.22);
  if (holds == BC_HOLDS_YES) {
    cairo_move_to(cairo, x - radius * 0.75, y);
    cairo_line_to(cairo, x - radius * 0.2, y + radius * 0.55);
    cairo_line_to(cairo, x + radius * 0.8, y - radius * 0.65);
    cairo_stroke(cairo);
  } else {
    triangle(cairo, x, y, radius);
    if (holds == BC_HOLDS_NO)
      cairo_fill(cairo);
    else
      cairo_stroke(cairo);
    const drawing_type type = {.size = radius * 1.25,
                               .bold = true,
                               .align = DRAWING_CENTRE,
                               .ink = holds == BC_HOLDS_NO ? drawing_white : drawing_black};
    const char *const sign = holds == BC_HOLDS_NO ? "!" : "?";
    const drawing_extent extent = drawing_text_measure(&type, sign);
    drawing_text(canvas, &type, x, y + radius * 0.60 - extent.baseline, sign);
  }
  cairo_restore(cairo);
}
