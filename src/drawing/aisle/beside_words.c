/* SPDX-License-Identifier: MIT */
/* What stands beside the aisle view: the title, what is seen in sentences, and a bar a piece. */
#include "aisle_scene.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static bc_status draw_title(const aisle_scene *s, drawing_rect area) {
  const drawing_type title = {.size = 6, .ink = drawing_black, .width = area.width, .lines = 1};
  const drawing_type below = {.size = 2.7, .ink = drawing_grey, .width = area.width, .lines = 1};
  const double height = drawing_text(s->e.canvas, &title, area.x, area.y - 1, s->e.plan->title).height;
  char distance[DRAWING_WORDS], eye[DRAWING_WORDS];
  bc_length_words(distance, sizeof distance, s->eye.z, s->e.options.units);
  bc_length_words(eye, sizeof eye, s->eye.y, s->e.options.units);
  bc_buffer words = {0};
  bc_buffer_add(&words, _("What a visitor sees, %s from the wall, eyes %s above the floor"), distance, eye);
  if (s->people_count > 0)
    bc_buffer_add(&words,
                  bc_text_plural(" · %d person stands in the stand", " · %d people stand in the stand",
                                 (unsigned long)s->people_count),
                  s->people_count);
  else
    bc_buffer_add(&words, "%s", _(" · nobody stands in the stand"));
  if (s->e.plan->table_count > 0) bc_buffer_add(&words, "%s", _(" · tables drawn with a cloth to the floor"));
  char *text = NULL;
  const bc_status status = bc_buffer_finish(&words, &text, s->e.context);
  if (status == BC_OK) drawing_text(s->e.canvas, &below, area.x, area.y - 1 + height, text);
  free(text);
  return status;
}

static int by_share(const void *first, const void *second) {
  const bc_aisle_piece *const a = first, *const b = second;
  if (a->visible_share != b->visible_share) return a->visible_share < b->visible_share ? -1 : 1;
  return (a->piece > b->piece) - (a->piece < b->piece);
}

/* Title, bar and figure of one piece; the whole bar is the whole piece. */
static void draw_bar(const aisle_scene *s, drawing_rect row, const bc_aisle_piece *p) {
  cairo_t *const cairo = drawing_canvas_cairo(s->e.canvas);
  const double bar = 24, figure = 9, size = fmin(2.4, row.height * 0.62);
  const drawing_type name = {.size = size, .ink = drawing_black, .width = row.width - bar - figure - 2, .lines = 1};
  const drawing_type value = {.size = size, .ink = drawing_black, .align = DRAWING_RIGHT};
  const double text_y = row.y + (row.height - drawing_text_measure(&value, "0").height) / 2;
  drawing_text(s->e.canvas, &name, row.x, text_y, s->e.plan->pieces[p->piece].title);
  const double x = row.x + row.width - bar - figure, y = row.y + row.height / 2 - 0.7, thick = 1.4;
  drawing_use(cairo, drawing_pale);
  cairo_set_line_width(cairo, 0.15);
  cairo_rectangle(cairo, x, y, bar, thick);
  cairo_stroke(cairo);
  drawing_use(cairo, p->seen_share < 0.5 ? drawing_accent : drawing_black);
  cairo_rectangle(cairo, x, y, bar * p->visible_share, thick);
  cairo_fill(cairo);
  if (p->seen_share < 0.5) { /* more than the colour: a bar that is cut through */
    drawing_use(cairo, drawing_white);
    cairo_set_line_width(cairo, 0.35);
    for (double cut = x + 0.9; cut < x + bar * p->visible_share; cut += 1.5)
      drawing_line(cairo, cut, y + thick, cut + 0.6, y);
  }
  char words[32];
  snprintf(words, sizeof words, _("%.0f %%"), 100 * p->visible_share);
  drawing_text(s->e.canvas, &value, row.x + row.width, text_y, words);
}

/* Those seen least come first; what finds no room is told. */
static bc_status draw_bars(const aisle_scene *s, drawing_rect area) {
  const bc_aisle *const a = s->figures;
  bc_aisle_piece *const sorted = bc_allocate(a->count, sizeof *sorted);
  if (!sorted) return bc_fail_memory(s->e.context);
  for (size_t i = 0; i < a->count; i++) sorted[i] = a->pieces[i];
  qsort(sorted, a->count, sizeof *sorted, by_share);
  const drawing_type head = {.size = 2.9, .bold = true, .ink = drawing_black, .width = area.width};
  const drawing_type small = {.size = 2.2, .ink = drawing_grey, .width = area.width};
  double y = area.y + drawing_text(s->e.canvas, &head, area.x, area.y, _("How much of each piece is in view")).height;
  char words[200];
  snprintf(words, sizeof words,
           bc_text_plural("Average over %d visitor along the front, each past a different crowd.",
                          "Average over %d visitors along the front, each past a different crowd.",
                          (unsigned long)a->trials),
           a->trials);
  y += drawing_text(s->e.canvas, &small, area.x, y, words).height;
  y += drawing_text(s->e.canvas, &small, area.x, y, _("A hatched bar: fewer than half of them see half of the piece."))
           .height +
       1.5;
  const double left = area.y + area.height - y;
  const double row = fmax(3.3, fmin(5.2, left / (double)(a->count > 0 ? a->count : 1)));
  size_t fit = (size_t)fmax(0, floor(left / row + 1e-9));
  if (fit < a->count) fit--; /* a line for the rest */
  for (size_t i = 0; i < a->count && i < fit; i++, y += row)
    draw_bar(s, (drawing_rect){area.x, y, area.width, row}, &sorted[i]);
  if (fit < a->count) {
    snprintf(words, sizeof words,
             bc_text_plural("and %zu more piece, of which at least %.0f %% is in view",
                            "and %zu more pieces, of each of which at least %.0f %% is in view",
                            (unsigned long)(a->count - fit)),
             a->count - fit, floor(100 * sorted[fit].visible_share));
    drawing_text(s->e.canvas, &small, area.x, y + 0.4, words);
  }
  free(sorted);
  return BC_OK;
}

/* What is said under the picture, and what the view leaves out. */
static bc_status draw_sentences(const aisle_scene *s, drawing_rect area) {
  char *words = NULL;
  const bc_status status = bc_aisle_to_words(&words, s->e.context, s->e.plan, s->figures);
  if (status != BC_OK) return status;
  drawing_type type = {.size = 3.1, .ink = drawing_black, .width = area.width};
  while (type.size > 1.8 && drawing_text_measure(&type, words).height > area.height) type.size -= 0.1;
  drawing_text(s->e.canvas, &type, area.x, area.y, words);
  free(words);
  return BC_OK;
}

bc_status aisle_draw_words(aisle_scene *s, drawing_rect title, drawing_rect below, drawing_rect beside) {
  bc_status status = draw_title(s, title);
  if (status != BC_OK || !s->figures) return status;
  status = draw_sentences(s, below);
  return status == BC_OK ? draw_bars(s, beside) : status;
}
