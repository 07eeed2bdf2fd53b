/* SPDX-License-Identifier: MIT */
/* Dimension lines after the habits of ISO 129-1: thin continuous lines, filled arrowheads, the value
 * above its line and readable from the bottom or the right; running dimensions from a common origin
 * (a small ring) for the hanging points, so that a tape measure stays where it is. */
#include "elevation_internal.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define LINE 0.18

/* One measured place with the numbers of the pieces that have it. */
typedef struct stop {
  double cm, place; /* place: mm on the sheet */
  size_t last;
  char numbers[64];
} stop;

static void arrow(cairo_t *cairo, double x, double y, double angle, double size) {
  cairo_save(cairo);
  cairo_translate(cairo, x, y);
  cairo_rotate(cairo, angle);
  cairo_move_to(cairo, 0, 0);
  cairo_line_to(cairo, -size, size * 0.17);
  cairo_line_to(cairo, -size, -size * 0.17);
  cairo_close_path(cairo);
  cairo_fill(cairo);
  cairo_restore(cairo);
}

static drawing_type value_type(const elevation *e) {
  return (drawing_type){.size = 2.4 * e->layout.type, .ink = drawing_black, .align = DRAWING_CENTRE};
}

/* Both units above the line. */
static void draw_width(const elevation *e) {
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  const drawing_rect w = e->layout.wall;
  const double t = e->layout.type, y = w.y + w.height + 18.5 * t;
  drawing_use(cairo, drawing_black);
  cairo_set_line_width(cairo, LINE);
  drawing_line(cairo, w.x, y, w.x + w.width, y);
  drawing_line(cairo, w.x, w.y + w.height + 1.5 * t, w.x, y + 1 * t);
  drawing_line(cairo, w.x + w.width, w.y + w.height + 1.5 * t, w.x + w.width, y + 1 * t);
  arrow(cairo, w.x, y, M_PI, 2 * t);
  arrow(cairo, w.x + w.width, y, 0, 2 * t);
  char words[DRAWING_WORDS];
  bc_length_words(words, sizeof words, e->plan->stand.width, e->options.units);
  const drawing_type type = value_type(e);
  drawing_text(e->canvas, &type, w.x + w.width / 2, y - 3.6 * t, words);
}

static void draw_height(const elevation *e) {
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  const drawing_rect w = e->layout.wall;
  const double t = e->layout.type, x = e->layout.band_left - 2.5 * t;
  drawing_use(cairo, drawing_black);
  cairo_set_line_width(cairo, LINE);
  drawing_line(cairo, x, w.y, x, w.y + w.height);
  drawing_line(cairo, x - 1 * t, w.y, x + 2 * t, w.y);
  arrow(cairo, x, w.y, -M_PI / 2, 2 * t);
  arrow(cairo, x, w.y + w.height, M_PI / 2, 2 * t);
  char words[DRAWING_WORDS];
  bc_length_words(words, sizeof words, e->plan->stand.wall_height, e->options.units);
  drawing_type type = value_type(e);
  type.angle = -M_PI / 2;
  drawing_text(e->canvas, &type, x - 3.8 * t, w.y + w.height / 2, words);
}

/* ---- running dimensions ---- */

static int by_cm(const void *first, const void *second) {
  const double a = ((const stop *)first)->cm, b = ((const stop *)second)->cm;
  return (a > b) - (a < b);
}

static void add_number(stop *s, size_t piece) {
  char word[24];
  if (s->last == piece + 1) return; /* both points of one piece at the same height */
  s->last = piece + 1;
  snprintf(word, sizeof word, "%s%zu", s->numbers[0] ? ", " : "", piece + 1);
  if (strlen(s->numbers) + strlen(word) < sizeof s->numbers - 4)
    strcat(s->numbers, word);
  else if (!strstr(s->numbers, "…"))
    strcat(s->numbers, "…");
}

/* Gathers equal places (to the millimetre the drawing shows); returns how many differ. */
static size_t gather(const elevation *e, stop *stops, bool heights) {
  size_t count = 0;
  for (size_t i = 0; i < e->point_count; i++) {
    const double cm = heights ? e->points[i].at.y : e->points[i].at.x;
    size_t found = 0;
    while (found < count && fabs(stops[found].cm - cm) > 0.05) found++;
    if (found == count) stops[count++] = (stop){.cm = cm};
    add_number(&stops[found], e->points[i].piece);
  }
  qsort(stops, count, sizeof *stops, by_cm);
  return count;
}

static void ring(cairo_t *cairo, double x, double y, double radius) {
  cairo_new_sub_path(cairo);
  cairo_arc(cairo, x, y, radius, 0, 2 * M_PI);
  cairo_stroke(cairo);
}

/* The value in ink, the pieces it belongs to in grey after it, in at most `room` mm. Upright words
 * read from the right, as the standard asks, and end at the line. */
static void stop_words(const elevation *e, const stop *s, double x, double y, double room, bool upright) {
  char value[DRAWING_WORDS];
  drawing_length(value, s->cm, e->options.units);
  if (e->options.units == BC_UNITS_METRIC && strlen(value) > 3) value[strlen(value) - 3] = 0; /* the sheet says cm */
  drawing_type type = value_type(e), small = type;
  type.align = small.align = DRAWING_LEFT;
  type.angle = small.angle = upright ? -M_PI / 2 : 0;
  small.size *= 0.82;
  small.ink = drawing_grey;
  const double t = e->layout.type, first = drawing_text_measure(&type, value).width + 1.1 * t, lower = 0.35 * t;
  small.width = fmax(room - first, 2 * t);
  small.lines = 1;
  if (!upright) {
    drawing_text(e->canvas, &type, x, y, value);
    drawing_text(e->canvas, &small, x + first, y + lower, s->numbers);
    return;
  }
  const double length = first + fmin(small.width, drawing_text_measure(&small, s->numbers).width);
  drawing_text(e->canvas, &type, x, y + length, value);
  drawing_text(e->canvas, &small, x + lower, y + length - first, s->numbers);
}

/* Heights of the hanging points above the floor, right of the wall. */
static void draw_heights(const elevation *e, const stop *stops, const double *at, size_t count) {
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  const drawing_rect w = e->layout.wall;
  const double t = e->layout.type, x = w.x + w.width + 3 * t;
  drawing_use(cairo, drawing_black);
  cairo_set_line_width(cairo, LINE);
  drawing_line(cairo, x, w.y + w.height, x, stops[count - 1].place);
  ring(cairo, x, w.y + w.height, 0.6 * t);
  for (size_t i = 0; i < count; i++) {
    drawing_use(cairo, drawing_black);
    drawing_line(cairo, x - 2 * t, stops[i].place, x, stops[i].place);
    arrow(cairo, x, stops[i].place, -M_PI / 2, 1.3 * t);
    drawing_use(cairo, drawing_pale);
    drawing_line(cairo, x, stops[i].place, x + 2.5 * t, at[i]);
    stop_words(e, &stops[i], x + 3 * t, at[i] - 1.75 * t, 15 * t, false);
  }
}

/* Distances of the hanging points from the wall's left edge, below it; the words stand upright. */
static void draw_distances(const elevation *e, const stop *stops, const double *at, size_t count) {
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  const drawing_rect w = e->layout.wall;
  const double t = e->layout.type, y = w.y + w.height + 3 * t;
  drawing_use(cairo, drawing_black);
  cairo_set_line_width(cairo, LINE);
  drawing_line(cairo, w.x, y, stops[count - 1].place, y);
  ring(cairo, w.x, y, 0.6 * t);
  for (size_t i = 0; i < count; i++) {
    drawing_use(cairo, drawing_black);
    drawing_line(cairo, stops[i].place, y - 2 * t, stops[i].place, y);
    arrow(cairo, stops[i].place, y, 0, 1.3 * t);
    drawing_use(cairo, drawing_pale);
    drawing_line(cairo, stops[i].place, y, at[i], y + 1.5 * t);
    stop_words(e, &stops[i], at[i] - 1.75 * t, y + 2 * t, 9.5 * t, true);
  }
}

static void draw_running(elevation *e, bool heights) {
  stop *const stops = bc_allocate(e->point_count, sizeof *stops);
  double *const wanted = bc_allocate(e->point_count, 2 * sizeof *wanted);
  if (stops && wanted) {
    const drawing_rect w = e->layout.wall;
    const size_t count = gather(e, stops, heights);
    for (size_t i = 0; i < count; i++) {
      stops[i].place = heights ? elevation_y(e, stops[i].cm) : elevation_x(e, stops[i].cm);
      wanted[i] = heights ? -stops[i].place : stops[i].place;
    }
    double *const at = wanted + e->point_count;
    const double gap = 3 * e->layout.type;
    const bool fits = heights ? drawing_spread(at, wanted, count, gap, -(w.y + w.height), -(w.y - 4 * e->layout.type))
                              : drawing_spread(at, wanted, count, gap, w.x, w.x + w.width + 2 * e->layout.type);
    for (size_t i = 0; heights && i < count; i++) at[i] = -at[i];
    if (fits && heights) draw_heights(e, stops, at, count);
    if (fits && !heights) draw_distances(e, stops, at, count);
    if (!fits) e->crowded = true;
  }
  free(stops);
  free(wanted);
}

void elevation_draw_dimensions(elevation *e) {
  draw_width(e);
  draw_height(e);
  if (e->point_count == 0) return;
  draw_running(e, true);
  draw_running(e, false);
}
