/* SPDX-License-Identifier: MIT */
/* The small map of the wall on a step's card: where this step is. */
#include "setup_sheet.h"

#include <math.h>

typedef struct map {
  cairo_t *cairo;
  double k, left, bottom; /* mm a cm; the wall's lower left corner */
} map;

static void add_rectangle(const map *m, double x, double y, double width, double height, double least) {
  const double w = fmax(width * m->k, least), h = fmax(height * m->k, least);
  cairo_rectangle(m->cairo, m->left + (x + width / 2) * m->k - w / 2, m->bottom - (y + height / 2) * m->k - h / 2, w,
                  h);
}

static void draw_pale(const map *m, const bc_plan *plan) {
  cairo_set_source_rgb(m->cairo, 0.76, 0.76, 0.76);
  for (size_t i = 0; i < plan->piece_count; i++) {
    const bc_piece *p = &plan->pieces[i];
    if (p->placed) add_rectangle(m, p->at.x - p->width / 2, p->at.y - p->height / 2, p->width, p->height, 0);
  }
  cairo_fill(m->cairo);
}

static void draw_dark(const map *m, const sheet_card *card) {
  cairo_set_source_rgba(m->cairo, 0.1, 0.1, 0.1, card->icon == SHEET_CLOTH ? 0.55 : 1);
  for (size_t i = 0; i < card->map_count; i++)
    add_rectangle(m, card->map[i][0], card->map[i][1], card->map[i][2], card->map[i][3], 0.9);
  cairo_fill(m->cairo);
}

void sheet_draw_map(sheet_setup *s, const sheet_card *card, sheet_box real) {
  const bc_stand *stand = &s->plan->stand;
  const double k = fmin(real.width / stand->width, real.height / stand->wall_height);
  const double w = stand->width * k, h = stand->wall_height * k, top = real.y + (real.height - h) / 2;
  const map m = {s->page.cairo, k, real.x + (real.width - w) / 2, top + h};
  cairo_save(m.cairo);
  cairo_rectangle(m.cairo, m.left, top, w, h);
  cairo_set_source_rgb(m.cairo, 0.96, 0.96, 0.96);
  cairo_fill_preserve(m.cairo);
  cairo_clip(m.cairo);
  draw_pale(&m, s->plan);
  draw_dark(&m, card);
  cairo_restore(m.cairo);
  cairo_set_source_rgb(m.cairo, 0.1, 0.1, 0.1);
  cairo_set_line_width(m.cairo, 0.25);
  cairo_rectangle(m.cairo, m.left, top, w, h);
  cairo_stroke(m.cairo);
}
