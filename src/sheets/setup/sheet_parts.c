/* SPDX-License-Identifier: MIT */
/* What every part of the sheet draws: headings, numbers, the foot of a page. */
#include "setup_sheet.h"

#include <math.h>
#include <stdio.h>

double sheet_content(const sheet_setup *s) {
  return s->page.width - 2 * SHEET_MARGIN;
}

void sheet_heading(sheet_setup *s, const char *text) {
  s->y += sheet_text(&s->page, (sheet_box){SHEET_MARGIN, s->y, sheet_content(s) - 10, 7},
                     (sheet_type){.size = 4.4, .bold = true}, "H2", text) +
          0.8;
}

void sheet_foot(sheet_setup *s) {
  char words[SHEET_WORDS];
  snprintf(words, sizeof words, _("page %d of %d"), s->page.number + 1, s->page.count);
  sheet_text(&s->page, (sheet_box){SHEET_MARGIN, s->page.height - SHEET_MARGIN + 0.2, sheet_content(s), 3.2},
             (sheet_type){.size = 2.3, .grey = true, .align = SHEET_CENTRE}, NULL, words);
}

void sheet_next(sheet_setup *s) {
  sheet_foot(s);
  sheet_page_next(&s->page);
  s->y = SHEET_MARGIN;
}

void sheet_number(sheet_setup *s, double x, double y, double side, const char *text, bool filled) {
  cairo_t *cairo = s->page.cairo;
  const double left = sheet_left(&s->page, x, side);
  cairo_set_source_rgb(cairo, filled ? 0.1 : 1, filled ? 0.1 : 1, filled ? 0.1 : 1);
  cairo_new_path(cairo);
  if (filled)
    cairo_rectangle(cairo, left, y, side, side);
  else
    cairo_arc(cairo, left + side / 2, y + side / 2, side / 2, 0, 2 * M_PI);
  cairo_fill_preserve(cairo);
  cairo_set_source_rgb(cairo, 0.1, 0.1, 0.1);
  cairo_set_line_width(cairo, 0.35);
  cairo_stroke(cairo);
  const double size = side * 0.55;
  sheet_text(
      &s->page, (sheet_box){x, y, side, side},
      (sheet_type){.size = size, .middle = true, .bold = true, .white = filled, .align = SHEET_CENTRE, .figures = true},
      "Lbl", text);
}
