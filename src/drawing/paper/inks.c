/* SPDX-License-Identifier: MIT */
/* The inks of all drawings: warm paper, one dark ink and two tints of it, one accent. */
#include "paper.h"

const drawing_ink drawing_paper = {0.988, 0.980, 0.965, 1};
const drawing_ink drawing_white = {1, 1, 1, 1};
const drawing_ink drawing_black = {0.165, 0.157, 0.149, 1};
const drawing_ink drawing_grey = {0.42, 0.40, 0.375, 1};
const drawing_ink drawing_pale = {0.78, 0.755, 0.715, 1};
const drawing_ink drawing_accent = {0.66, 0.24, 0.15, 1};

bool drawing_rects_meet(drawing_rect first, drawing_rect second) {
  return first.x < second.x + second.width && second.x < first.x + first.width && first.y < second.y + second.height &&
         second.y < first.y + first.height;
}

void drawing_use(cairo_t *cairo, drawing_ink ink) {
  cairo_set_source_rgba(cairo, ink.red, ink.green, ink.blue, ink.alpha);
}

void drawing_line(cairo_t *cairo, double x1, double y1, double x2, double y2) {
  cairo_move_to(cairo, x1, y1);
  cairo_line_to(cairo, x2, y2);
  cairo_stroke(cairo);
}
