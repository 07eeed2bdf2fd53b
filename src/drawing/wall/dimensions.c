/* SPDX-License-Identifier: MIT */
/* Dimension lines after the habits of ISO 129-1: thin continuous lines, filled arrowheads, the value
 * above its line and readable from the bottom or the right; running dimensions from a common origin
 * (a small ring) for the hanging points, so that a tape measure stays where it is. */
#include "elevation.h"

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
  const double t = e->layout.type, below = e->layout.dense ? ELEVATION_WIDTH_BELOW_DENSE : ELEVATION_WIDTH_BELOW,
               y = w.y + w.height + below * t;
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

#define HEIGHT_ROOM 15.0   /* for the words of a height, mm at type factor 1 */
#define DISTANCE_ROOM 12.0 /* for those of a distance */
#define STOP_GAP 5.0       /* two lines of words */

static drawing_type number_type(const elevation *e) {
  return (drawing_type){.size = 2.0 * e->layout.type, .ink = drawing_grey};
}

static void stop_value(const elevation *e, const stop *s, char value[DRAWING_WORDS]) {
  if (e->options.units == BC_UNITS_METRIC)
    base_measure_number(value, s->cm, BC_UNITS_METRIC, BC_MEASURE_TAPE); /* the sheet says cm */
  else
    base_measure_length(value, s->cm, e->options.units, BC_MEASURE_TAPE);
}

static void other_value(const elevation *e, const stop *s, char value[DRAWING_WORDS]) {
  base_measure_length(value, s->cm, e->options.units == BC_UNITS_METRIC ? BC_UNITS_IMPERIAL : BC_UNITS_METRIC,
                      BC_MEASURE_TAPE);
}

/* Where the numbers of the pieces begin, after the value or, when that is the longer, after the other unit. */
static double numbers_at(const elevation *e, const stop *s, bool *second) {
  const drawing_type type = value_type(e), small = number_type(e);
  char value[DRAWING_WORDS], other[DRAWING_WORDS];
  stop_value(e, s, value);
  other_value(e, s, other);
  const double first = drawing_text_measure(&type, value).width, below = drawing_text_measure(&small, other).width;
  *second = below < first && e->options.units == BC_UNITS_IMPERIAL;
  return (*second ? below : first) + 1.1 * e->layout.type;
}

static double numbers_room(const elevation *e, const stop *s, double room) {
  bool second;
  return room * e->layout.type - numbers_at(e, s, &second);
}

/* The value in ink, the other unit in grey on a second line, and the pieces that they belong to. Upright words read
 * from the right, as the standard asks, and begin at the far end. */
static void stop_words(const elevation *e, const stop *s, double x, double y, bool upright) {
  char value[DRAWING_WORDS], other[DRAWING_WORDS];
  const double t = e->layout.type, room = upright ? DISTANCE_ROOM : HEIGHT_ROOM;
  stop_value(e, s, value);
  other_value(e, s, other);
  drawing_type type = value_type(e), second = number_type(e);
  type.align = DRAWING_LEFT;
  type.angle = second.angle = upright ? -M_PI / 2 : 0;
  bool below;
  const double after = numbers_at(e, s, &below), down = below ? -0.15 * t : -2.4 * t;
  drawing_type numbers = second;
  numbers.width = fmax(numbers_room(e, s, room), 2 * t);
  numbers.lines = 1;
  if (!upright) {
    drawing_text(e->canvas, &type, x, y - 2.75 * t, value);
    drawing_text(e->canvas, &numbers, x + after, y + down, s->numbers);
    drawing_text(e->canvas, &second, x, y - 0.15 * t, other);
    return;
  }
  const double foot = y + room * t;
  drawing_text(e->canvas, &type, x - 2.75 * t, foot, value);
  drawing_text(e->canvas, &numbers, x + down, foot - after, s->numbers);
  drawing_text(e->canvas, &second, x - 0.15 * t, foot, other);
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
    stop_words(e, &stops[i], x + 3 * t, at[i], false);
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
    stop_words(e, &stops[i], at[i], y + 2 * t, true);
  }
}

/* The stops of one axis and where their words go. */
typedef struct running {
  stop *stops;
  double *wanted, *at; /* mm on the sheet */
  size_t count;
  bool fits;     /* all words find room */
  bool complete; /* and each names all of its pieces */
} running;

static bool names_fit(const elevation *e, const stop *s, bool heights) {
  const drawing_type type = number_type(e);
  return !strstr(s->numbers, "…") &&
         drawing_text_measure(&type, s->numbers).width <= numbers_room(e, s, heights ? HEIGHT_ROOM : DISTANCE_ROOM);
}

static void spread(const elevation *e, running *r, bool heights) {
  const drawing_rect w = e->layout.wall;
  const double t = e->layout.type, gap = STOP_GAP * t;
  for (size_t i = 0; i < r->count; i++) {
    r->stops[i].place = heights ? elevation_y(e, r->stops[i].cm) : elevation_x(e, r->stops[i].cm);
    r->wanted[i] = heights ? -r->stops[i].place : r->stops[i].place;
  }
  r->fits = heights ? drawing_spread(r->at, r->wanted, r->count, gap, -(w.y + w.height - 2 * t), -(w.y - 4 * t))
                    : drawing_spread(r->at, r->wanted, r->count, gap, w.x + 2.6 * t, w.x + w.width + 2 * t);
  r->complete = r->fits;
  for (size_t i = 0; i < r->count; i++) {
    if (heights) r->at[i] = -r->at[i];
    r->complete = r->complete && names_fit(e, &r->stops[i], heights);
  }
}

static void running_make(const elevation *e, running *r, bool heights) {
  *r = (running){.stops = bc_allocate(e->point_count, sizeof *r->stops),
                 .wanted = bc_allocate(e->point_count, 2 * sizeof *r->wanted)};
  if (!r->stops || !r->wanted) return; /* then nothing fits, and the table says it all */
  r->at = r->wanted + e->point_count;
  r->count = gather(e, r->stops, heights);
  spread(e, r, heights);
}

static void running_clear(running *r) {
  free(r->stops);
  free(r->wanted);
}

bool elevation_dimensions_crowded(const elevation *e) {
  bool crowded = false;
  for (int heights = 0; heights < 2 && e->point_count > 0; heights++) {
    running r;
    running_make(e, &r, heights);
    crowded = crowded || !r.complete;
    running_clear(&r);
  }
  return crowded;
}

static void draw_running(const elevation *e, bool heights) {
  running r;
  running_make(e, &r, heights);
  if (r.fits && heights) draw_heights(e, r.stops, r.at, r.count);
  if (r.fits && !heights) draw_distances(e, r.stops, r.at, r.count);
  running_clear(&r);
}

void elevation_draw_dimensions(elevation *e) {
  draw_width(e);
  draw_height(e);
  if (e->point_count == 0) return;
  draw_running(e, true);
  if (!e->layout.dense) draw_running(e, false);
  elevation_draw_chain(e);
}
