/* SPDX-License-Identifier: MIT */
/* The people beside the wall: to scale, quiet, each with height and eye height. Whom to draw and from which survey:
 * bc_plan_figures. */
#include "elevation.h"

#include <math.h>
#include <stdio.h>

static const drawing_ink body = {0.835, 0.815, 0.78, 1}, edge = {0.62, 0.595, 0.555, 1};

#define WORDS_ROOM 3.5 /* for the words of the sight band along the zone's left edge, mm at type factor 1 */

static const bc_figure *company_of(const elevation *e, elevation_company company, size_t *count, bc_figure *alone) {
  if (company != ELEVATION_ALONE) return bc_plan_figures(e->plan, count);
  *alone = (bc_figure){.stature = e->plan->viewers.stature, .eye = bc_aisle_eye_of(e->plan).y};
  *count = 1;
  return alone;
}

static double breadth(const bc_figure *f, double k) {
  return f->stature * (f->wheelchair ? DRAWING_SEATED_BREADTH : DRAWING_FIGURE_BREADTH) * k;
}

/* Standing closely they overlap a little, as people do; the words below stay apart. */
static double slot(const bc_figure *f, elevation_company company, double k, double t) {
  return company == ELEVATION_APART   ? fmax(breadth(f, k) + 2.5 * t, 14.5 * t)
         : company == ELEVATION_CLOSE ? fmax(0.8 * breadth(f, k) + 0.5 * t, 11.5 * t)
                                      : fmax(breadth(f, k) + 1.5 * t, 13.5 * t);
}

/* How far a figure reaches out of its slot on either side. */
static double reach(const bc_figure *f, elevation_company company, double k, double t) {
  return fmax(0, (breadth(f, k) + 1.2 * t - slot(f, company, k, t)) / 2);
}

double elevation_figures_width(const elevation *e, elevation_company company, double k, double type) {
  size_t count;
  bc_figure alone;
  const bc_figure *const figures = company_of(e, company, &count, &alone);
  double width =
      WORDS_ROOM * type + reach(&figures[0], company, k, type) + reach(&figures[count - 1], company, k, type);
  for (size_t i = 0; i < count; i++) width += slot(&figures[i], company, k, type);
  return width;
}

static void draw_one(const elevation *e, const bc_figure *f, double x) {
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  const double floor_y = elevation_y(e, 0), height = f->stature * e->layout.k;
  cairo_set_line_width(cairo, 0.16);
  if (f->wheelchair) {
    drawing_figure_seated(cairo, x, floor_y, height, body, edge);
    return;
  }
  drawing_figure(cairo, x, floor_y, height);
  drawing_use(cairo, body);
  cairo_fill_preserve(cairo);
  drawing_use(cairo, edge);
  cairo_stroke(cairo);
}

static const char *label_of(const elevation *e, const bc_figure *f, size_t i) {
  if (f->label) return f->label;
  if (e->plan->viewers.figure_count > 0 || e->layout.company == ELEVATION_ALONE) return NULL;
  return f->wheelchair ? _("wheelchair user") : i == 0 ? _("small woman") : _("tall man");
}

/* Above the head the height; beside the head a dash at the eyes; under the floor who it is, and the eyes' height. */
static double draw_words(const elevation *e, const bc_figure *f, const char *label, double x, double width) {
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  const double t = e->layout.type, k = e->layout.k, floor_y = elevation_y(e, 0), eyes = elevation_y(e, f->eye);
  const double head = (f->wheelchair ? 0.06 : 0.047) * f->stature * k;
  char stature[DRAWING_WORDS], eye[DRAWING_WORDS];
  base_measure_length(stature, f->stature, e->options.units, BC_MEASURE_TAPE);
  base_measure_length(eye, f->eye, e->options.units, BC_MEASURE_TAPE);
  drawing_type type = {.size = 2.1 * t, .ink = drawing_grey, .align = DRAWING_CENTRE};
  drawing_text(e->canvas, &type, x, floor_y - f->stature * k - 3.4 * t, stature);
  drawing_use(cairo, drawing_grey);
  cairo_set_line_width(cairo, 0.2);
  for (int side = -1; side <= 1; side += 2)
    drawing_line(cairo, x + side * (head + 0.3 * t), eyes, x + side * (head + 1.9 * t), eyes);
  type.size = 1.9 * t;
  type.width = width;
  type.align = DRAWING_CENTRE;
  bc_buffer words = {0};
  if (label) bc_buffer_add(&words, "%s\n", label);
  bc_buffer_add(&words, _("eyes at %s"), eye);
  const double used = words.text ? drawing_text(e->canvas, &type, x, floor_y + 1.2 * t, words.text).height : 0;
  bc_buffer_clear(&words);
  return used;
}

static void draw_source(const elevation *e, double x, double y, double width) {
  const drawing_type type = {
      .size = 1.7 * e->layout.type, .ink = drawing_grey, .width = width, .align = DRAWING_CENTRE};
  drawing_text(e->canvas, &type, x, y,
               _("Adults: 5th and 95th percentile, ANSUR II 2012; seated: ADA 1991. A dash marks the eyes."));
}

void elevation_draw_figures(const elevation *e) {
  size_t count;
  bc_figure alone;
  const elevation_layout *const l = &e->layout;
  const bc_figure *const figures = company_of(e, l->company, &count, &alone);
  const double left = l->band_left + WORDS_ROOM * l->type + reach(&figures[0], l->company, l->k, l->type);
  double x = left, deepest = 0;
  for (int words = 0; words < 2; words++, x = left)
    for (size_t i = 0; i < count; i++) {
      const double wide = slot(&figures[i], l->company, l->k, l->type);
      if (words)
        deepest =
            fmax(deepest, draw_words(e, &figures[i], label_of(e, &figures[i], i), x + wide / 2, wide - 0.8 * l->type));
      else
        draw_one(e, &figures[i], x + wide / 2);
      x += wide;
    }
  if (e->plan->viewers.figure_count == 0 && l->company != ELEVATION_ALONE)
    draw_source(e, (left + l->wall.x) / 2, elevation_y(e, 0) + 2 * l->type + deepest, l->wall.x - left - l->type);
}
