/* SPDX-License-Identifier: MIT */
/* The stand's given things, drawn to scale: zones of the wall, posts, grid panels, risers and chairs. Each is
 * told by a shape and a word, so that a black-and-white print says as much. */
#include "elevation.h"

#include <math.h>
#include <stdio.h>

static void box(cairo_t *cairo, drawing_rect r) {
  cairo_rectangle(cairo, r.x, r.y, r.width, r.height);
}

static void fill_and_edge(cairo_t *cairo, drawing_rect r, drawing_ink fill, drawing_ink edge) {
  box(cairo, r);
  drawing_use(cairo, fill);
  cairo_fill_preserve(cairo);
  drawing_use(cairo, edge);
  cairo_set_line_width(cairo, 0.15);
  cairo_stroke(cairo);
}

/* Slanted lines `every` mm apart; `lean` 1 rises to the right, -1 falls. */
static void hatch(cairo_t *cairo, drawing_rect r, double every, int lean) {
  cairo_save(cairo);
  box(cairo, r);
  cairo_clip(cairo);
  for (double x = r.x - r.height; x < r.x + r.width + r.height; x += every) {
    cairo_move_to(cairo, x, lean > 0 ? r.y + r.height : r.y);
    cairo_line_to(cairo, x + r.height, lean > 0 ? r.y : r.y + r.height);
  }
  cairo_set_line_width(cairo, 0.4);
  drawing_use(cairo, (drawing_ink){1, 1, 1, 0.6});
  cairo_stroke_preserve(cairo);
  cairo_set_line_width(cairo, 0.14);
  drawing_use(cairo, drawing_black);
  cairo_stroke(cairo);
  cairo_restore(cairo);
}

/* Words on a slip of paper in the middle of the rectangle, or under it when they don't fit inside. */
static void say(const elevation *e, drawing_rect r, const char *words) {
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  const drawing_type type = {.size = 1.9 * e->layout.type,
                             .ink = drawing_black,
                             .align = DRAWING_CENTRE,
                             .width = fmax(r.width - 1, 15 * e->layout.type),
                             .lines = 3};
  const drawing_extent size = drawing_text_measure(&type, words);
  const double pad = 0.5 * e->layout.type, wide = size.width + 2 * pad;
  const bool inside = size.height + pad < r.height;
  const drawing_rect w = e->layout.wall;
  const double x = fmin(fmax(r.x + (r.width - wide) / 2, w.x + pad), w.x + w.width - wide - pad);
  const double below = r.y + r.height + pad, above = r.y - size.height - pad;
  const double y = inside ? r.y + (r.height - size.height) / 2 : below + size.height < w.y + w.height ? below : above;
  drawing_use(cairo, drawing_paper);
  box(cairo, (drawing_rect){x, y, wide, size.height});
  cairo_fill(cairo);
  drawing_text(e->canvas, &type, x + wide / 2, y, words);
}

/* No fixing: hatched one way. To be kept clear: hatched both ways. */
void elevation_draw_zone(const elevation *e, const bc_zone *zone) {
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  const drawing_rect r = elevation_rect(e, zone->x, zone->y, zone->width, zone->height);
  const double every = 2.6 * e->layout.type;
  hatch(cairo, r, every, 1);
  if (zone->kind == BC_ZONE_KEEP_CLEAR) hatch(cairo, r, every, -1);
  box(cairo, r);
  cairo_set_line_width(cairo, 0.3);
  drawing_use(cairo, drawing_black);
  cairo_stroke(cairo);
}

static void name_zone(const elevation *e, const bc_zone *zone) {
  char words[200];
  const char *const rule = zone->kind == BC_ZONE_KEEP_CLEAR ? _("keep clear") : _("no fixing here");
  if (zone->reason)
    snprintf(words, sizeof words, _("%s: %s"), rule, zone->reason);
  else
    snprintf(words, sizeof words, "%s", rule);
  say(e, elevation_rect(e, zone->x, zone->y, zone->width, zone->height), words);
}

/* A prism: its front, and the light on its left edge. */
static void draw_post(const elevation *e, const bc_post *post) {
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  const drawing_rect r = elevation_rect(e, post->x, post->y, post->width, post->height);
  cairo_pattern_t *const light = cairo_pattern_create_linear(r.x, 0, r.x + r.width, 0);
  cairo_pattern_add_color_stop_rgb(light, 0, 0.93, 0.92, 0.90);
  cairo_pattern_add_color_stop_rgb(light, 1, 0.74, 0.72, 0.69);
  box(cairo, r);
  cairo_set_source(cairo, light);
  cairo_fill_preserve(cairo);
  cairo_pattern_destroy(light);
  drawing_use(cairo, drawing_black);
  cairo_set_line_width(cairo, 0.2);
  cairo_stroke(cairo);
}

static void mesh(cairo_t *cairo, drawing_rect r, double every) {
  for (double x = 0; x <= r.width + 1e-6; x += every) {
    cairo_move_to(cairo, r.x + x, r.y);
    cairo_line_to(cairo, r.x + x, r.y + r.height);
  }
  for (double y = 0; y <= r.height + 1e-6; y += every) {
    cairo_move_to(cairo, r.x, r.y + r.height - y);
    cairo_line_to(cairo, r.x + r.width, r.y + r.height - y);
  }
  box(cairo, r);
}

/* Wires at every mesh from the lower left corner, a frame, and their shadow on the wall. */
void elevation_draw_grid(const elevation *e, const bc_grid *grid) {
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  const double k = e->layout.k;
  const drawing_rect r = elevation_rect(e, grid->x, grid->y, grid->width, grid->height);
  mesh(cairo, (drawing_rect){r.x + 0.3 * ELEVATION_GRID_Z * k, r.y + 0.5 * ELEVATION_GRID_Z * k, r.width, r.height},
       grid->mesh * k);
  cairo_set_line_width(cairo, 0.4);
  drawing_use(cairo, (drawing_ink){0, 0, 0, 0.10});
  cairo_stroke(cairo);
  mesh(cairo, r, grid->mesh * k);
  cairo_set_line_width(cairo, 0.36);
  drawing_use(cairo, (drawing_ink){1, 1, 1, 0.5});
  cairo_stroke_preserve(cairo);
  cairo_set_line_width(cairo, 0.16);
  drawing_use(cairo, (drawing_ink){0.25, 0.24, 0.23, 1});
  cairo_stroke(cairo);
}

static const drawing_ink birch = {0.86, 0.78, 0.66, 1}, birch_dark = {0.56, 0.47, 0.36, 1};

static void draw_riser(const elevation *e, const bc_riser *riser) {
  const double top = bc_plan_riser_top(e->plan, riser);
  fill_and_edge(drawing_canvas_cairo(e->canvas),
                elevation_rect(e, riser->x, top - riser->height, riser->width, riser->height), birch, birch_dark);
}

/* Back rest, seat and legs; it stands before the wall, so what is behind stays visible between them. */
static void draw_chair(const elevation *e, const bc_chair *chair) {
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  const double leg = BC_CHAIR_LEG_CM, thick = BC_CHAIR_THICK_CM;
  const double rest = fmax(0, fmin(24, chair->height - chair->seat - 6)), x = chair->x, w = chair->width;
  for (int side = 0; side < 2; side++)
    fill_and_edge(cairo, elevation_rect(e, side ? x + w - leg : x, 0, leg, chair->height), birch, birch_dark);
  fill_and_edge(cairo, elevation_rect(e, x, chair->height - rest, w, rest), birch, birch_dark);
  fill_and_edge(cairo, elevation_rect(e, x, chair->seat - thick, w, thick), birch, birch_dark);
}

/* Beyond the wall's end is an aisle: an arrow and a word above the floor. */
static void draw_open_side(const elevation *e, bool right) {
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  const drawing_rect w = e->layout.wall;
  const double t = e->layout.type, out = right ? 1 : -1, y = w.y - 2.2 * t;
  const double from = right ? w.x + w.width - 9 * t : w.x + 9 * t, to = right ? w.x + w.width : w.x;
  drawing_use(cairo, drawing_black);
  cairo_set_line_width(cairo, 0.3);
  drawing_line(cairo, from, y, to - out * 1.5 * t, y);
  cairo_move_to(cairo, to, y);
  cairo_line_to(cairo, to - out * 2.2 * t, y - 0.9 * t);
  cairo_line_to(cairo, to - out * 2.2 * t, y + 0.9 * t);
  cairo_close_path(cairo);
  cairo_fill(cairo);
  const drawing_type type = {.size = 2.1 * t, .ink = drawing_black, .align = right ? DRAWING_RIGHT : DRAWING_LEFT};
  drawing_text(e->canvas, &type, to, y - 4.1 * t, _("open side: aisle"));
}

void elevation_draw_things(const elevation *e) {
  const bc_plan *const plan = e->plan;
  for (size_t i = 0; i < plan->riser_count; i++) draw_riser(e, &plan->risers[i]);
  for (size_t i = 0; i < plan->chair_count; i++) draw_chair(e, &plan->chairs[i]);
  for (size_t i = 0; i < plan->zone_count; i++) name_zone(e, &plan->zones[i]);
}

void elevation_draw_underlay(void *scene) {
  const elevation *const e = scene;
  const bc_plan *const plan = e->plan;
  for (size_t i = 0; i < plan->post_count; i++) draw_post(e, &plan->posts[i]);
  for (size_t i = 0; i < plan->grid_count; i++) elevation_draw_grid(e, &plan->grids[i]);
  for (size_t i = 0; i < plan->zone_count; i++) elevation_draw_zone(e, &plan->zones[i]);
}

void elevation_draw_open_sides(const elevation *e) {
  const bc_open_side open = e->plan->stand.open_side;
  if (open == BC_OPEN_LEFT || open == BC_OPEN_BOTH) draw_open_side(e, false);
  if (open == BC_OPEN_RIGHT || open == BC_OPEN_BOTH) draw_open_side(e, true);
}
