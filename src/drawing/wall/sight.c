/* SPDX-License-Identifier: MIT */
/* Who looks and where: the floor, the people, the sight band and the focus. Drawn lightly:
 * they explain the wall and must not compete with it. */
#include "elevation.h"

#include <math.h>
#include <stdio.h>

static void dashes(cairo_t *cairo, double on, double off) {
  const double dash[2] = {on, off};
  cairo_set_dash(cairo, dash, 2, 0);
}

/* Lines over the wall: light on dark, dark on light. */
static drawing_ink over_wall(const elevation *e, double x, double y) {
  const bc_wall_cloth *const cloth = &e->plan->cloth;
  const drawing_rect hung = elevation_rect(e, cloth->left, cloth->top - cloth->height, cloth->width, cloth->height);
  const bool on_cloth = cloth->given && x > hung.x && x < hung.x + hung.width && y > hung.y && y < hung.y + hung.height;
  const double luminance = on_cloth ? e->cloth_luminance : e->plan->stand.wall_colour.luminance;
  return luminance < 0.18 ? (drawing_ink){1, 1, 1, 0.42} : (drawing_ink){0.1, 0.09, 0.08, 0.55};
}

static bool covered(const elevation *e, double x, double y) {
  for (size_t i = 0; i < e->plan->piece_count; i++) {
    const drawing_rect r = e->shown[i];
    if (r.width > 0 && x > r.x - 1 && x < r.x + r.width + 1 && y > r.y - 0.5 && y < r.y + r.height + 0.5) return true;
  }
  return false;
}

/* A dashed line over the wall that passes behind the pieces. */
static void line_behind(const elevation *e, double y) {
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  const drawing_rect w = e->layout.wall;
  const double dash = 2.4, space = 1.6;
  for (double x = w.x; x < w.x + w.width; x += dash + space) {
    const double end = fmin(x + dash, w.x + w.width);
    if (covered(e, x, y) || covered(e, end, y)) continue;
    drawing_use(cairo, over_wall(e, (x + end) / 2, y));
    drawing_line(cairo, x, y, end, y);
  }
}

static void draw_band(const elevation *e) {
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  const drawing_rect w = e->layout.wall;
  const double low = elevation_y(e, e->plan->viewers.sight_low);
  const double high = elevation_y(e, fmin(e->plan->viewers.sight_high, e->plan->stand.wall_height));
  drawing_use(cairo, (drawing_ink){0.66, 0.24, 0.15, 0.07});
  cairo_rectangle(cairo, e->layout.band_left, high, w.x - e->layout.band_left, low - high);
  cairo_fill(cairo);
  cairo_save(cairo);
  cairo_set_line_width(cairo, 0.16);
  line_behind(e, low);
  line_behind(e, high);
  dashes(cairo, 2.4, 1.6);
  drawing_use(cairo, drawing_accent);
  drawing_line(cairo, e->layout.band_left, low, w.x, low);
  drawing_line(cairo, e->layout.band_left, high, w.x, high);
  cairo_restore(cairo);
}

/* Turned to stand along the band's left edge, clear of the figure. */
static void draw_band_words(const elevation *e) {
  const double t = e->layout.type;
  const bc_viewers *const v = &e->plan->viewers;
  char words[2 * DRAWING_WORDS], low[DRAWING_WORDS], high[DRAWING_WORDS];
  base_measure_length(low, v->sight_low, e->options.units, BC_MEASURE_TAPE);
  base_measure_length(high, v->sight_high, e->options.units, BC_MEASURE_TAPE);
  snprintf(words, sizeof words, _("sight band %s to %s"), low, high);
  const drawing_type type = {.size = 2.1 * t, .ink = drawing_accent, .angle = -M_PI / 2, .align = DRAWING_CENTRE};
  drawing_text(e->canvas, &type, e->layout.band_left + 0.2 * t, elevation_y(e, (v->sight_low + v->sight_high) / 2),
               words);
}

/* Corner marks round the middle third of the wall within the sight band; the word above the wall. */
static void draw_focus(const elevation *e) {
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  const drawing_rect w = e->layout.wall;
  const double t = e->layout.type, middle = elevation_x(e, bc_plan_focus(e->plan).x), y = w.y - 2.2 * t;
  const double left = middle - w.width / 6, right = middle + w.width / 6;
  drawing_use(cairo, drawing_accent);
  cairo_set_line_width(cairo, 0.2);
  const drawing_type type = {.size = 2.1 * t, .ink = drawing_accent, .align = DRAWING_CENTRE};
  const char *const words = _("focus: seen first");
  const double half = drawing_text_measure(&type, words).width / 2 + 1.2 * t;
  drawing_line(cairo, left, y, middle - half, y);
  drawing_line(cairo, middle + half, y, right, y);
  drawing_line(cairo, left, y, left, y + 1.6 * t);
  drawing_line(cairo, right, y, right, y + 1.6 * t);
  drawing_text(e->canvas, &type, middle, y - 1.75 * t, words);
}

static void draw_floor(const elevation *e) {
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  const drawing_rect w = e->layout.wall;
  drawing_use(cairo, drawing_black);
  cairo_set_line_width(cairo, 0.5);
  drawing_line(cairo, e->layout.band_left - 4 * e->layout.type, w.y + w.height, w.x + w.width + 3 * e->layout.type,
               w.y + w.height);
  cairo_set_line_width(cairo, 0.25);
  cairo_rectangle(cairo, w.x, w.y, w.width, w.height);
  cairo_stroke(cairo);
}

/* The wall's own marks lie under the pieces' hardware and labels, but over the raster. */
void elevation_draw_sight(elevation *e) {
  draw_band(e);
  draw_focus(e);
  elevation_draw_open_sides(e);
  elevation_draw_figures(e);
  draw_band_words(e);
  draw_floor(e);
}
