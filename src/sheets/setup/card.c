/* SPDX-License-Identifier: MIT */
/* One step's card: its number, the piece as it looks, where on the wall, how high and how far across, with what.
 *
 *   +----+-------------------------------+
 *   | 1  | (3) title        people  [ ]  |    [ ] to tick off
 *   | nail  +-------+ +--------+  up  178 |
 *   | x 2   | piece | |  map   |  -> 66 122
 *   +-------+-------+-+--------+----------+ */
#include "setup_sheet.h"

#include <math.h>
#include <stdio.h>

#define STRIP 6.6 /* the column of the number and the hardware */
#define TITLE 5.4
#define EDGE 1.0

static void draw_frame(sheet_setup *s, sheet_box box) {
  cairo_t *cairo = s->page.cairo;
  cairo_set_source_rgb(cairo, 0.6, 0.6, 0.6);
  cairo_set_line_width(cairo, 0.2);
  cairo_rectangle(cairo, sheet_left(&s->page, box.x, box.width), box.y, box.width, box.height);
  cairo_stroke(cairo);
}

static void icon(sheet_setup *s, sheet_icon which, double x, double y, double side) {
  sheet_pictogram(s->page.cairo, which, sheet_left(&s->page, x, side), y, side);
}

static void draw_strip(sheet_setup *s, const sheet_card *card, size_t number, sheet_box box) {
  char words[32];
  snprintf(words, sizeof words, "%zu", number);
  sheet_number(s, box.x, box.y, 5.6, words, true);
  icon(s, card->icon, box.x + 0.5, box.y + 6.4, 5.4);
  if (!card->hardware) return;
  snprintf(words, sizeof words, "×%zu", card->hardware);
  sheet_text(&s->page, (sheet_box){box.x, box.y + 12, STRIP, 4.4},
             (sheet_type){.size = 3, .bold = true, .figures = true, .align = SHEET_CENTRE}, NULL, words);
}

/* From the end of the row: a box to tick off, then who and what helps. */
static void draw_title(sheet_setup *s, const sheet_card *card, sheet_box box) {
  cairo_t *cairo = s->page.cairo;
  double end = box.x + box.width - EDGE - 3;
  cairo_set_source_rgb(cairo, 0.1, 0.1, 0.1);
  cairo_set_line_width(cairo, 0.35);
  cairo_rectangle(cairo, sheet_left(&s->page, end, 3), box.y + 1, 3, 3);
  cairo_stroke(cairo);
  if (card->ladder) icon(s, SHEET_LADDER, end -= 5.6, box.y + 0.4, 4.8);
  if (card->two_people) icon(s, SHEET_TWO, end -= 5.6, box.y + 0.4, 4.8);
  double from = box.x + STRIP;
  if (card->piece_count == 1) {
    char words[24];
    snprintf(words, sizeof words, "%zu", card->pieces[0] + 1);
    sheet_number(s, from, box.y + 0.4, 4.8, words, false);
    from += 5.6;
  }
  sheet_text(&s->page, (sheet_box){from, box.y + 0.3, end - from - 0.6, TITLE - 0.6},
             (sheet_type){.size = 3.1, .bold = true, .middle = true}, "H3", card->title);
}

static bc_status draw_piece(sheet_setup *s, size_t index, sheet_box box) {
  const bc_piece *piece = &s->plan->pieces[index];
  const double left = sheet_left(&s->page, box.x, box.width);
  cairo_t *cairo = s->page.cairo;
  if (s->studies && s->studies[index])
    return bc_drawing_piece(s->context, s->studies[index], cairo, (bc_sheet_rect){left, box.y, box.width, box.height});
  const double k = fmin(box.width / piece->width, box.height / piece->height) * 0.9;
  cairo_set_source_rgb(cairo, 0.4, 0.4, 0.4);
  cairo_set_line_width(cairo, 0.3);
  cairo_rectangle(cairo, left + (box.width - piece->width * k) / 2, box.y + (box.height - piece->height * k) / 2,
                  piece->width * k, piece->height * k);
  cairo_stroke(cairo);
  return BC_OK;
}

/* Several pieces side by side, each over its number, in as many rows as makes them largest. */
static bc_status draw_pieces(sheet_setup *s, const sheet_card *card, sheet_box box) {
  size_t columns = 1;
  double side = 0;
  for (size_t n = 1; n <= card->piece_count; n++) {
    const double rows = ceil((double)card->piece_count / (double)n);
    const double here = fmin(box.width / (double)n, box.height / rows - 2.8);
    if (here > side) side = here, columns = n;
  }
  const double rows = ceil((double)card->piece_count / (double)columns), row = box.height / rows;
  const double wide = fmin(box.width / (double)columns, 1.8 * side);
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && side > 0.5 && i < card->piece_count; i++) {
    char words[24];
    const double x = box.x + (double)(i % columns) * wide, y = box.y + (double)(i / columns) * row;
    status = draw_piece(s, card->pieces[i], (sheet_box){x + 0.3, y, wide - 0.6, row - 3});
    snprintf(words, sizeof words, "%zu", card->pieces[i] + 1);
    sheet_text(&s->page, (sheet_box){x, y + row - 3, wide, 3},
               (sheet_type){.size = 2.4, .bold = true, .figures = true, .align = SHEET_CENTRE}, NULL, words);
  }
  return status;
}

static void measure(sheet_setup *s, sheet_icon which, sheet_box box, const double *cm, size_t count) {
  char first[SHEET_WORDS], second[SHEET_WORDS], words[2 * SHEET_WORDS + 8];
  sheet_measures(s, first, second, cm, count);
  snprintf(words, sizeof words, "%s\n%s", first, second);
  icon(s, which, box.x, box.y + 0.5, 4.4);
  sheet_text(&s->page, (sheet_box){box.x + 5.2, box.y, box.width - 5.2, box.height},
             (sheet_type){.size = fmin(3.6, box.height * 0.42), .bold = true, .figures = true}, NULL, words);
}

static void draw_ballast(sheet_setup *s, double grams, sheet_box box) {
  char mass[64], words[SHEET_WORDS];
  bc_mass_words(mass, sizeof mass, grams, s->options.units);
  snprintf(words, sizeof words, _("Ballast: %s"), mass);
  icon(s, SHEET_BAG, box.x, box.y + 0.5, 4.4);
  sheet_text(&s->page, (sheet_box){box.x + 5.2, box.y + 0.6, box.width - 5.2, box.height},
             (sheet_type){.size = 2.9, .bold = true}, NULL, words);
}

static void draw_measures(sheet_setup *s, const sheet_card *card, sheet_box box) {
  const bool weighed = card->mass_g > 0 && box.height > 14;
  const bool high = isfinite(card->high);
  const double row = (box.height - (weighed ? 3.4 : 0)) / 2;
  if (card->ballast_g > 0) draw_ballast(s, card->ballast_g, (sheet_box){box.x, box.y, box.width, row});
  if (high) measure(s, SHEET_UP, (sheet_box){box.x, box.y, box.width, row}, &card->high, 1);
  if (card->across_count)
    measure(s, SHEET_ACROSS, (sheet_box){box.x, box.y + (high ? row : 0), box.width, row}, card->across,
            card->across_count);
  if (!weighed) return;
  char words[64];
  bc_mass_words(words, sizeof words, card->mass_g, s->options.units);
  sheet_text(&s->page, (sheet_box){box.x, box.y + 2 * row, box.width, 3.4}, (sheet_type){.size = 2.4}, NULL, words);
}

bc_status sheet_draw_card(sheet_setup *s, const sheet_card *card, size_t number, sheet_box box) {
  draw_frame(s, box);
  draw_strip(s, card, number, box);
  draw_title(s, card, box);
  const double top = box.y + TITLE + 0.6, high = box.height - TITLE - 0.6 - EDGE;
  const double map = fmin(high * s->plan->stand.width / s->plan->stand.wall_height, box.width * 0.27);
  double from = box.x + STRIP + 0.6;
  bc_status status = BC_OK;
  if (card->piece_count == 1) {
    const double side = fmin(high * 1.15, box.width * 0.23);
    status = draw_piece(s, card->pieces[0], (sheet_box){from, top, side, high});
    from += side + 1;
  }
  sheet_draw_map(s, card, (sheet_box){sheet_left(&s->page, from, map), top, map, high});
  from += map + 1.4;
  const sheet_box rest = {from, top, box.x + box.width - EDGE - from, high};
  if (card->piece_count > 1) return draw_pieces(s, card, rest);
  if (status == BC_OK) draw_measures(s, card, rest);
  return status;
}
