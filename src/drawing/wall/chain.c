/* SPDX-License-Identifier: MIT */
/* The chain of distances from centre to centre of what hangs, from the wall's left edge to its right one: it closes
 * with the wall's width, so a slip of the tape shows. Chain dimensioning and oblique strokes: ISO 129-1. */
#include "elevation.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define LINE 0.18
#define SAME_CM 0.05 /* what the drawing can show */
#define CHAIN_BELOW 20.9
#define CHAIN_BELOW_DENSE 3.2
#define NARROW_GAP 0.8 /* between two values below the line, mm at type factor 1 */

typedef struct link {
  double from, to; /* cm */
  char value[DRAWING_WORDS];
  double width, at; /* mm: of the words, and where their middle is */
  bool inside;      /* they fit between the strokes */
} link;

static int by_size(const void *first, const void *second) {
  const double a = *(const double *)first, b = *(const double *)second;
  return (a > b) - (a < b);
}

/* The wall's edges and the centres between them, ascending, none twice. */
static size_t gather(const elevation *e, double *x) {
  const double width = e->plan->stand.width;
  size_t count = 0;
  for (size_t i = 0; i < e->plan->piece_count; i++) {
    const bc_piece *const piece = &e->plan->pieces[i];
    if (piece->placed && bc_mount_hangs(piece->mount.kind) && piece->at.x > SAME_CM && piece->at.x < width - SAME_CM)
      x[count++] = piece->at.x;
  }
  qsort(x, count, sizeof *x, by_size);
  size_t kept = 0;
  for (size_t i = 0; i < count; i++)
    if (kept == 0 || x[i] - x[kept - 1] > SAME_CM) x[kept++] = x[i];
  return kept;
}

static drawing_type value_type(const elevation *e) {
  return (drawing_type){.size = 2.0 * e->layout.type, .ink = drawing_black, .align = DRAWING_CENTRE};
}

static void make_link(const elevation *e, link *l, double from, double to) {
  const drawing_type type = value_type(e);
  *l = (link){.from = from, .to = to};
  if (e->options.units == BC_UNITS_METRIC)
    base_measure_number(l->value, to - from, BC_UNITS_METRIC, BC_MEASURE_TAPE); /* the sheet says cm */
  else
    base_measure_length(l->value, to - from, e->options.units, BC_MEASURE_TAPE);
  l->width = drawing_text_measure(&type, l->value).width;
  l->at = elevation_x(e, (from + to) / 2);
  l->inside = l->width + 1.6 * e->layout.type < (to - from) * e->layout.k;
}

/* Values too broad for their place go below the line, moved apart; false when they find no room. */
static bool spread_narrow(const elevation *e, link *links, size_t count, double *wanted) {
  const double t = e->layout.type;
  double widest = 0, *const out = wanted + count;
  size_t narrow = 0;
  for (size_t i = 0; i < count; i++)
    if (!links[i].inside) {
      wanted[narrow++] = links[i].at;
      widest = fmax(widest, links[i].width);
    }
  const double half = widest / 2, left = e->layout.wall.x + half, right = left + e->layout.wall.width + 6 * t - widest;
  if (!drawing_spread(out, wanted, narrow, widest + NARROW_GAP * t, left, right)) return false;
  for (size_t i = 0, n = 0; i < count; i++)
    if (!links[i].inside) links[i].at = out[n++];
  return true;
}

static void stroke_across(cairo_t *cairo, double x, double y, double half) {
  drawing_line(cairo, x - half, y + half, x + half, y - half);
}

static void draw_links(const elevation *e, const link *links, size_t count) {
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  const drawing_rect w = e->layout.wall;
  const double t = e->layout.type, below = e->layout.dense ? CHAIN_BELOW_DENSE : CHAIN_BELOW,
               y = w.y + w.height + below * t;
  const drawing_type type = value_type(e);
  drawing_type name = type;
  drawing_use(cairo, drawing_black);
  cairo_set_line_width(cairo, LINE);
  drawing_line(cairo, w.x, y, w.x + w.width, y);
  for (size_t i = 0; i <= count; i++) {
    const double x = elevation_x(e, i < count ? links[i].from : links[count - 1].to);
    drawing_line(cairo, x, y - 1.0 * t, x, y + 1.0 * t);
    stroke_across(cairo, x, y, 0.7 * t);
  }
  for (size_t i = 0; i < count; i++) {
    if (!links[i].inside) {
      drawing_use(cairo, drawing_pale);
      drawing_line(cairo, elevation_x(e, (links[i].from + links[i].to) / 2), y + 0.3 * t, links[i].at, y + 1.7 * t);
    }
    drawing_text(e->canvas, &type, links[i].at, y + (links[i].inside ? -2.75 : 1.35) * t, links[i].value);
  }
  name.ink = drawing_grey;
  name.align = DRAWING_LEFT;
  drawing_text(e->canvas, &name, w.x + w.width + 1.6 * t, y - 1.4 * t, _("centre to centre"));
}

/* Where it finds no room the running distances, or the table of them, say the same. */
void elevation_draw_chain(const elevation *e) {
  const size_t most = e->plan->piece_count + 1;
  double *const x = bc_allocate(most, 3 * sizeof *x);
  link *const links = bc_allocate(most, sizeof *links);
  if (x && links) {
    const size_t centres = gather(e, x);
    for (size_t i = 0; i <= centres; i++)
      make_link(e, &links[i], i > 0 ? x[i - 1] : 0, i < centres ? x[i] : e->plan->stand.width);
    if (centres > 1 && spread_narrow(e, links, centres + 1, x + most)) draw_links(e, links, centres + 1);
  }
  free(x);
  free(links);
}
