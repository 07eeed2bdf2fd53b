/* SPDX-License-Identifier: MIT */
/* Pictograms of our own, drawn on a field of 24 x 24. A little language: M, L x y; C six figures; O x y r a
 * ring; Z closes; S strokes and F fills what has been drawn so far. */
#include "setup_sheet.h"

#include <math.h>
#include <stdlib.h>

static const char *const drawings[SHEET_ICONS] = {
    [SHEET_NAIL] = "M 6 5 L 12 3 M 9 4 L 15 21 S",
    [SHEET_PIN] = "O 12 7 4 F M 12 11 L 12 21 S",
    [SHEET_HOOK] = "O 12 4 2 S M 12 6 L 12 12 C 20 12 20 21 12 21 C 8 21 6 18 6 16 S",
    [SHEET_CORD] = "O 12 4 1.5 F M 12 4 L 4 13 M 12 4 L 20 13 S M 3 13 L 21 13 L 21 21 L 3 21 Z S",
    /* a ring with jaws, and the cloth's edge between them */
    [SHEET_CLIP] =
        "O 12 4.5 3 S M 10 7 L 14 7 L 17 16 L 7 16 Z F M 8 13.5 L 2 13.5 L 2 23 L 22 23 L 22 13.5 L 16 13.5 S",
    [SHEET_SHELF] = "M 2 12 L 22 12 L 22 14 L 2 14 Z F M 5 14 L 5 21 M 5 21 L 11 14 M 19 14 L 19 21 M 19 21 L 13 14 S",
    [SHEET_TABLE] = "M 1 8 L 23 8 L 23 11 L 1 11 Z F M 4 11 L 4 22 M 20 11 L 20 22 S",
    [SHEET_FLOOR] = "M 1 21 L 23 21 S M 7 9 L 17 9 L 17 20 L 7 20 Z S M 12 1 L 12 6 M 9 4 L 12 7 L 15 4 S",
    [SHEET_ROD] = "M 1 7 L 23 7 L 23 10 L 1 10 Z F M 5 10 L 5 17 M 3 17 L 7 17 M 19 10 L 19 17 M 17 17 L 21 17 S",
    [SHEET_CLOTH] = "M 2 3 L 22 3 S M 4 4 C 5 10 3 15 4 21 L 20 21 C 21 15 19 10 20 4 S M 9 5 L 9 20 M 15 5 L 15 20 S",
    [SHEET_FRAME] = "M 4 21 L 4 3 L 20 3 L 20 21 S M 1 21 L 8 21 M 16 21 L 23 21 S",
    [SHEET_LEVEL] = "M 2 8 L 22 8 L 22 16 L 2 16 Z S M 8 10 L 16 10 L 16 14 L 8 14 Z S O 12 12 1.5 F",
    [SHEET_LADDER] =
        "M 9 3 L 4 22 M 9 3 L 13 22 M 8 8 L 10 8 M 7 12 L 11 12 M 6 16 L 12 16 S O 10 2 1.8 F O 19 8 2 F M 19 "
        "10 L 19 16 M 19 12 L 13 13 M 19 16 L 17 22 M 19 16 L 21 22 S",
    [SHEET_TWO] =
        "O 5 5 2.2 F O 19 5 2.2 F M 8 11 L 16 11 L 16 16 L 8 16 Z F M 5 8 L 5 15 L 3 22 M 5 15 L 7 22 M 5 10 L 8 "
        "13 M 19 8 L 19 15 L 17 22 M 19 15 L 21 22 M 19 10 L 16 13 S",
    [SHEET_CAUTION] = "M 12 2 L 23 21 L 1 21 Z S M 12 9 L 12 15 S O 12 18 1.1 F",
    [SHEET_SCISSORS] = "O 6 18 3 S O 18 18 3 S M 8 16 L 16 3 M 16 16 L 8 3 S",
    [SHEET_BAG] = "M 3 8 L 21 8 L 20 22 L 4 22 Z S M 8 8 C 8 1 16 1 16 8 S",
    [SHEET_TAPE] = "O 9 10 7 S O 9 10 2 F M 9 17 L 22 17 L 22 20 M 13 17 L 13 19 M 17 17 L 17 19 S",
    [SHEET_DRIVER] = "M 3 3 L 6 1 L 12 9 L 9 11 Z F M 11 11 L 19 21 M 17 22 L 21 20 S",
    [SHEET_HAMMER] = "M 3 4 L 14 4 L 17 7 L 14 9 L 3 9 Z F M 9 9 L 11 22 S",
    [SHEET_ASK] =
        "M 2 3 L 22 3 L 22 16 L 11 16 L 6 21 L 6 16 L 2 16 Z S M 9 7 C 9 4 15 4 15 7 C 15 9 12 9 12 11 S O 12 13.6 "
        "1 F",
    [SHEET_PULL] =
        "M 2 2 L 22 2 S O 12 5 1.5 S M 12 6.5 L 12 12 S M 8 12 L 16 12 L 16 16 L 8 16 Z F M 12 17 L 12 22 M 9 19.5 "
        "L 12 22.5 L 15 19.5 S",
    [SHEET_FLAME] =
        "M 12 2 C 14 8 20 11 18 17 C 17 23 7 23 6 17 C 5 13 8 12 8 8 C 11 9 12 5 12 2 Z S M 12 20 C 9 20 9 17 12 "
        "14 C 15 17 15 20 12 20 Z F",
    [SHEET_WIND] = "M 2 9 L 14 9 C 20 9 19 3 15 4 M 2 14 L 18 14 C 23 14 22 20 18 19 M 3 21 L 21 2 S",
    [SHEET_CHILD] =
        "O 7 10 2.4 F M 7 13 L 7 18 L 5 22 M 7 18 L 9 22 M 7 14 L 14 8 S M 14 2 L 22 2 M 15 3 L 13 12 L 21 12 L 21 "
        "3 S",
    [SHEET_UP] = "M 3 22 L 21 22 S M 12 20 L 12 3 M 8 7 L 12 3 L 16 7 M 8 16 L 12 20 L 16 16 S",
    /* from the side: the wall, then the bracket under its board */
    [SHEET_BRACKET] = "M 2 1 L 2 23 S M 5 4 L 23 4 L 23 7.5 L 5 7.5 Z F M 5 7 L 8 7 L 8 22 L 5 22 Z F M 7 19 L 18 8 S",
    [SHEET_GRID] = "M 3 2 L 21 2 L 21 22 L 3 22 Z S M 9 2 L 9 22 M 15 2 L 15 22 M 3 9 L 21 9 M 3 15.5 L 21 15.5 S",
    [SHEET_ACROSS] = "M 2 3 L 2 21 S M 4 12 L 21 12 M 17 8 L 21 12 L 17 16 S",
};

static const char *read_figures(const char *text, double *figure, int count) {
  for (int i = 0; i < count; i++) {
    long whole = 0, tenths = 0;
    while (*text == ' ') text++;
    while (*text >= '0' && *text <= '9') whole = whole * 10 + (*text++ - '0');
    if (*text == '.') tenths = *++text - '0', text++;
    figure[i] = (double)whole + (double)tenths / 10;
  }
  return text;
}

void sheet_pictogram(cairo_t *cairo, sheet_icon icon, double x, double y, double side) {
  cairo_save(cairo);
  cairo_translate(cairo, x, y);
  cairo_scale(cairo, side / 24, side / 24);
  cairo_set_source_rgb(cairo, 0.1, 0.1, 0.1);
  cairo_set_line_width(cairo, 1.8);
  cairo_set_line_cap(cairo, CAIRO_LINE_CAP_ROUND);
  cairo_set_line_join(cairo, CAIRO_LINE_JOIN_ROUND);
  for (const char *at = drawings[icon]; *at;) {
    double f[6] = {0};
    const char what = *at++;
    if (what == 'M' || what == 'L') at = read_figures(at, f, 2);
    if (what == 'O') at = read_figures(at, f, 3);
    if (what == 'C') at = read_figures(at, f, 6);
    if (what == 'M') cairo_move_to(cairo, f[0], f[1]);
    if (what == 'L') cairo_line_to(cairo, f[0], f[1]);
    if (what == 'C') cairo_curve_to(cairo, f[0], f[1], f[2], f[3], f[4], f[5]);
    if (what == 'O') {
      cairo_new_sub_path(cairo);
      cairo_arc(cairo, f[0], f[1], f[2], 0, 2 * M_PI);
    }
    if (what == 'Z') cairo_close_path(cairo);
    if (what == 'S') cairo_stroke(cairo);
    if (what == 'F') cairo_fill(cairo);
  }
  cairo_restore(cairo);
}
