/* SPDX-License-Identifier: MIT */
/* The second page: the steps as cards in two or three columns, as high as the page allows when the packing
 * list shall still stand below them. */
#include "setup_sheet.h"

#include <math.h>
#include <stdlib.h>

#define GAP 1.6
#define BETWEEN 3.0
#define CHECK_HIGH 5.9 /* a line of the checklist: room for two lines of type */
#define CHECK_LOW 4.4

typedef struct grid {
  int columns;
  double high, wide;
} grid;

/* Lowest and highest card by columns: below the lowest its figures become too small to read from a ladder. */
static const double lowest[] = {0, 0, 19.5, 17.2}, highest[] = {0, 0, 40, 21};

static bool fits(grid *g, const sheet_setup *s, size_t cards, int columns) {
  const double room = s->page.height - 2 * SHEET_MARGIN - 8 - sheet_checklist_height(s);
  const double high = room / ceil((double)cards / columns) - GAP;
  *g = (grid){columns, fmin(high, highest[columns]), (sheet_content(s) - (columns - 1) * BETWEEN) / columns};
  return high >= lowest[columns];
}

/* Both pages hold everything if any grid does; else the cards run on in their best size. */
static grid choose(sheet_setup *s, size_t cards) {
  grid g;
  s->check_row = CHECK_HIGH;
  if (fits(&g, s, cards, 2) || fits(&g, s, cards, 3)) return g;
  s->check_row = CHECK_LOW;
  if (!fits(&g, s, cards, 3)) g.high = highest[3], s->check_row = CHECK_HIGH;
  return g;
}

static bc_status draw_row(sheet_setup *s, const sheet_card *cards, size_t count, size_t first, const grid *g) {
  if (s->y + g->high > s->page.height - SHEET_MARGIN) sheet_next(s);
  bc_status status = BC_OK;
  for (size_t i = first; status == BC_OK && i < count && i < first + (size_t)g->columns; i++) {
    const double x = SHEET_MARGIN + (double)(i - first) * (g->wide + BETWEEN);
    status = sheet_draw_card(s, &cards[i], i + 1, (sheet_box){x, s->y, g->wide, g->high});
  }
  s->y += g->high + GAP;
  return status;
}

bc_status sheet_draw_steps(sheet_setup *s) {
  sheet_card *cards = NULL;
  size_t count = 0;
  s->check_row = CHECK_HIGH;
  bc_status status = sheet_make_cards(&cards, &count, s);
  if (status == BC_OK && count > 0) {
    const grid g = choose(s, count);
    sheet_next(s);
    sheet_heading(s, _("Put up in this order"));
    for (size_t i = 0; status == BC_OK && i < count; i += (size_t)g.columns) status = draw_row(s, cards, count, i, &g);
  }
  free(cards);
  return status;
}
