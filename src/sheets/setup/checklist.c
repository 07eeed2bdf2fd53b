/* SPDX-License-Identifier: MIT */
/* The packing checklist of the set-up sheet: boxes to tick off in columns. */
#include "setup_sheet.h"

#include <math.h>
#include <stdio.h>

#define HEADING 7.6

static int columns_of(const sheet_setup *s) {
  return s->packing->item_count > 21 ? 4 : 3;
}

double sheet_checklist_height(const sheet_setup *s) {
  return HEADING + s->check_row * ceil((double)s->packing->item_count / columns_of(s));
}

static void words_of(const sheet_setup *s, const bc_packing_item *one, char words[SHEET_WORDS]) {
  const char *what = one->brief ? one->brief : one->what;
  if (one->place == BC_PACKING_LENT)
    snprintf(words, SHEET_WORDS, _("%.300s (lent)"), what);
  else if (one->place == BC_PACKING_BAG && s->packing->bag_count > 1 && one->count > 1)
    snprintf(words, SHEET_WORDS, _("%zu × %.300s (bag %zu)"), one->count, what, one->bag);
  else if (one->place == BC_PACKING_BAG && s->packing->bag_count > 1)
    snprintf(words, SHEET_WORDS, _("%.300s (bag %zu)"), what, one->bag);
  else if (one->count > 1)
    snprintf(words, SHEET_WORDS, "%zu × %.300s", one->count, what);
  else
    snprintf(words, SHEET_WORDS, "%.300s", what);
}

static void draw_check(sheet_setup *s, double x, double wide, const bc_packing_item *one) {
  cairo_t *cairo = s->page.cairo;
  cairo_set_source_rgb(cairo, 0.1, 0.1, 0.1);
  cairo_set_line_width(cairo, 0.3);
  cairo_rectangle(cairo, sheet_left(&s->page, x, 2.6), s->y + 0.6, 2.6, 2.6);
  cairo_stroke(cairo);
  char words[SHEET_WORDS];
  words_of(s, one, words);
  sheet_text(&s->page, (sheet_box){x + 3.6, s->y, wide - 4.6, s->check_row - 0.5},
             (sheet_type){.size = 2.5, .middle = true, .keep_end = true}, "LI", words);
}

void sheet_draw_checklist(sheet_setup *s) {
  const size_t columns = (size_t)columns_of(s), count = s->packing->item_count;
  const double wide = sheet_content(s) / (double)columns, bottom = s->page.height - SHEET_MARGIN + 0.05;
  if (s->y + fmin(30, sheet_checklist_height(s)) > bottom) sheet_next(s);
  sheet_pictogram(s->page.cairo, SHEET_BAG, sheet_left(&s->page, SHEET_MARGIN + sheet_content(s) - 6.5, 6.5),
                  s->y - 0.6, 6.5);
  sheet_heading(s, _("Pack"));
  for (size_t i = 0; i < count; i++) {
    const size_t column = i % columns;
    if (column == 0 && s->y + s->check_row > bottom + 0.01) sheet_next(s);
    draw_check(s, SHEET_MARGIN + (double)column * wide, wide, &s->packing->items[i]);
    if (column == columns - 1) s->y += s->check_row;
  }
}
