/* SPDX-License-Identifier: MIT */
/* What carries the pieces, drawn over the photographic layer: rods, shelves, tables, cords, hooks;
 * and outlines for pieces that have no photo. Lines over a photo get a light edge, so that they show
 * on dark cloth and on pale. */
#include "elevation.h"

#include <math.h>

static void rectangle(cairo_t *cairo, drawing_rect r) {
  cairo_rectangle(cairo, r.x, r.y, r.width, r.height);
}

/* Strokes the path twice: a broad light line under a narrow dark one. */
static void stroke_seen(cairo_t *cairo, double breadth, drawing_ink ink) {
  cairo_set_line_width(cairo, breadth * 2.6);
  drawing_use(cairo, (drawing_ink){1, 1, 1, 0.75});
  cairo_stroke_preserve(cairo);
  cairo_set_line_width(cairo, breadth);
  drawing_use(cairo, ink);
  cairo_stroke(cairo);
}

static const drawing_ink oak = {0.74, 0.62, 0.48, 1}, oak_dark = {0.56, 0.45, 0.33, 1};

static void shadow_below(cairo_t *cairo, drawing_rect r, double depth) {
  cairo_pattern_t *const shade = cairo_pattern_create_linear(0, r.y, 0, r.y + depth);
  cairo_pattern_add_color_stop_rgba(shade, 0, 0, 0, 0, 0.32);
  cairo_pattern_add_color_stop_rgba(shade, 1, 0, 0, 0, 0);
  cairo_set_source(cairo, shade);
  cairo_rectangle(cairo, r.x, r.y, r.width, depth);
  cairo_fill(cairo);
  cairo_pattern_destroy(shade);
}

static void board(cairo_t *cairo, drawing_rect r) {
  drawing_use(cairo, oak);
  rectangle(cairo, r);
  cairo_fill(cairo);
  drawing_use(cairo, oak_dark);
  cairo_set_line_width(cairo, 0.13);
  rectangle(cairo, r);
  cairo_stroke(cairo);
}

static void draw_supports(const elevation *e, const bc_rod *rod, double half) {
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  for (size_t i = 0; i < rod->support_count; i++) {
    rectangle(cairo, elevation_rect(e, rod->supports[i] - 1, rod->y - half - 1, 2, 2 * half + 2.5));
    drawing_use(cairo, drawing_black);
    cairo_fill(cairo);
  }
}

/* A rounded bar: light from above. */
static void draw_round(cairo_t *cairo, drawing_rect bar) {
  cairo_pattern_t *const light = cairo_pattern_create_linear(0, bar.y, 0, bar.y + bar.height);
  cairo_pattern_add_color_stop_rgb(light, 0, 0.55, 0.52, 0.48);
  cairo_pattern_add_color_stop_rgb(light, 0.3, 0.86, 0.83, 0.78);
  cairo_pattern_add_color_stop_rgb(light, 1, 0.36, 0.33, 0.30);
  cairo_set_source(cairo, light);
  rectangle(cairo, bar);
  cairo_fill(cairo);
  cairo_pattern_destroy(light);
}

/* A flat board against the wall: its face with a few lines of grain, its edges dark, and its shadow below. */
static void draw_batten(cairo_t *cairo, drawing_rect face, double k) {
  shadow_below(cairo, (drawing_rect){face.x, face.y + face.height, face.width, 0}, 1.5 * k);
  board(cairo, face);
  cairo_save(cairo);
  rectangle(cairo, face);
  cairo_clip(cairo);
  drawing_use(cairo, (drawing_ink){oak_dark.red, oak_dark.green, oak_dark.blue, 0.5});
  cairo_set_line_width(cairo, 0.08);
  for (double share = 0.2; share < 1; share += 0.3) { /* long waves, none like the next */
    const double y = face.y + share * face.height, wave = 22 * k, bend = 0.16 * face.height;
    cairo_move_to(cairo, face.x, y);
    for (double x = face.x; x < face.x + face.width; x += wave)
      cairo_curve_to(cairo, x + wave * share, y - bend, x + wave * (1 - 0.4 * share), y + bend, x + wave, y);
    cairo_stroke(cairo);
  }
  cairo_restore(cairo);
}

void elevation_draw_rod(const elevation *e, const bc_rod *rod) {
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  const double half = fmax(rod->outer_mm / 20, 0.6); /* a batten: half its height */
  const drawing_rect bar = elevation_rect(e, rod->x, rod->y - half, rod->length, 2 * half);
  if (rod->breadth_mm > 0) {
    draw_batten(cairo, bar, e->layout.k);
    for (size_t i = 0; i < rod->support_count; i++) { /* screws through its face */
      cairo_new_sub_path(cairo);
      cairo_arc(cairo, elevation_x(e, rod->supports[i]), elevation_y(e, rod->y), fmax(0.35, 0.5 * e->layout.k), 0,
                2 * M_PI);
      drawing_use(cairo, drawing_black);
      cairo_fill(cairo);
    }
    return;
  }
  draw_round(cairo, bar);
  draw_supports(e, rod, half);
}

static void draw_shelf(const elevation *e, const bc_shelf *shelf) {
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  const double thick = 2;
  const drawing_rect slab = elevation_rect(e, shelf->x, shelf->y - thick, shelf->width, thick);
  shadow_below(cairo, (drawing_rect){slab.x, slab.y + slab.height, slab.width, 0}, 6 * e->layout.k);
  board(cairo, slab);
}

/* Top and four legs; what is behind it stays visible. */
static void draw_table(const elevation *e, const bc_table *table) {
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  const double thick = 3, leg = 4.5, inset = 5;
  drawing_use(cairo, (drawing_ink){0.1, 0.09, 0.08, 0.10});
  rectangle(cairo, elevation_rect(e, table->x + inset, 0, table->width - 2 * inset, table->height - thick));
  cairo_fill(cairo);
  board(cairo, elevation_rect(e, table->x + inset, 0, leg, table->height - thick));
  board(cairo, elevation_rect(e, table->x + table->width - inset - leg, 0, leg, table->height - thick));
  board(cairo, elevation_rect(e, table->x + inset, table->height - thick - 7, table->width - 2 * inset, 7));
  const drawing_rect top = elevation_rect(e, table->x, table->height - thick, table->width, thick);
  shadow_below(cairo,
               (drawing_rect){top.x + inset * e->layout.k, top.y + top.height, top.width - 2 * inset * e->layout.k, 0},
               4 * e->layout.k);
  board(cairo, top);
}

/* ---- hanging ---- */

/* The legs of a cord start at the quarter points of the piece's width (with a wire's two unequal legs,
 * at its middle), where the piece itself begins. */
static void cord_leg(const elevation *e, const elevation_point *point, int quarter) {
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  const bc_piece *const piece = &e->plan->pieces[point->piece];
  const double drop = e->outlines[point->piece].drop[quarter - 1];
  cairo_move_to(cairo, elevation_x(e, piece->at.x + piece->width * (quarter * 0.25 - 0.5)),
                elevation_y(e, piece->at.y + piece->height / 2 - drop));
  cairo_line_to(cairo, elevation_x(e, point->at.x), elevation_y(e, point->at.y));
}

void elevation_draw_cord(const elevation *e, const elevation_point *point) {
  if (point->kind != BC_MOUNT_CORD) return;
  const bc_piece *const piece = &e->plan->pieces[point->piece];
  const bool wire = piece->mount.cord_angle_count == 2, single = piece->mount.points == 1;
  if (single || point->at.x < piece->at.x) cord_leg(e, point, wire ? 2 : 1);
  if (single || point->at.x >= piece->at.x) cord_leg(e, point, wire ? 2 : 3);
  stroke_seen(drawing_canvas_cairo(e->canvas), 0.18, drawing_black);
}

/* A light line in a dark one: seen on dark cloth and on pale. */
static void stroke_bright(cairo_t *cairo, double breadth, drawing_ink ink) {
  cairo_set_line_width(cairo, breadth * 2.2);
  drawing_use(cairo, drawing_black);
  cairo_stroke_preserve(cairo);
  cairo_set_line_width(cairo, breadth);
  drawing_use(cairo, ink);
  cairo_stroke(cairo);
}

static const drawing_ink string_ink = {0.90, 0.84, 0.72, 1}, steel = {0.88, 0.88, 0.87, 1};

/* A string from the hook to where the piece can be held, when that is further down. */
static void draw_loop(const elevation *e, const elevation_point *point) {
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  const bc_piece *const piece = &e->plan->pieces[point->piece];
  const bc_point_cm *const grip = e->outlines[point->piece].grip;
  if (piece->mount.points != 1 || (grip[0].y <= 0 && grip[1].y <= 0)) return;
  for (int side = 0; side < 2; side++) {
    if (grip[side].y <= 0) continue;
    cairo_move_to(cairo, elevation_x(e, point->at.x), elevation_y(e, point->at.y));
    cairo_line_to(cairo, elevation_x(e, piece->at.x + grip[side].x),
                  elevation_y(e, piece->at.y + piece->height / 2 - grip[side].y));
  }
  stroke_bright(cairo, 0.14, string_ink);
}

/* An open hook from the front: shank, bow, tip; the bow's lowest place carries. */
static void draw_hook(cairo_t *cairo, double x, double y, double size) {
  const double bow = 0.62 * size;
  cairo_new_sub_path(cairo);
  cairo_move_to(cairo, x + bow, y - 2.6 * size);
  cairo_line_to(cairo, x + bow, y - bow);
  cairo_arc(cairo, x, y - bow, bow, 0, M_PI);
  cairo_line_to(cairo, x - bow, y - 1.0 * size);
  cairo_save(cairo);
  cairo_set_line_cap(cairo, CAIRO_LINE_CAP_ROUND);
  stroke_bright(cairo, 0.24 * fmin(1, size / 0.7), steel);
  cairo_restore(cairo);
}

/* How large the mark of a point may be, mm: not to hide what hangs there, a jewel for example. */
static double mark_size(const elevation *e, const elevation_point *point) {
  const bc_piece *const piece = &e->plan->pieces[point->piece];
  const double smaller = fmin(piece->width, piece->height) * e->layout.k;
  return fmax(0.28 * e->layout.type, fmin(0.75 * e->layout.type, 0.12 * smaller));
}

/* The point itself: a small ring with a dot, as a setter-out marks a wall; where that would hide the piece, the dot. */
void elevation_draw_point(const elevation *e, const elevation_point *point) {
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  const double x = elevation_x(e, point->at.x), y = elevation_y(e, point->at.y), usual = 0.75 * e->layout.type;
  const double radius = mark_size(e, point);
  if (point->kind == BC_MOUNT_CLIP) {
    cairo_rectangle(cairo, x - radius * 0.6, y - radius, radius * 1.2, radius * 2);
    stroke_seen(cairo, 0.18, drawing_black);
    return;
  }
  if (point->kind == BC_MOUNT_HOOK) {
    draw_loop(e, point);
    draw_hook(cairo, x, y, radius);
    return;
  }
  cairo_new_sub_path(cairo);
  cairo_arc(cairo, x, y, radius, 0, 2 * M_PI);
  if (radius < 0.7 * usual) { /* a pin's head */
    drawing_use(cairo, drawing_black);
    cairo_fill_preserve(cairo);
    drawing_use(cairo, drawing_white);
    cairo_set_line_width(cairo, 0.12);
    cairo_stroke(cairo);
    return;
  }
  stroke_seen(cairo, 0.15, drawing_black);
  cairo_arc(cairo, x, y, radius * 0.35, 0, 2 * M_PI);
  drawing_use(cairo, drawing_black);
  cairo_fill(cairo);
}

/* ---- no photo ---- */

static void draw_outline(elevation *e, size_t i) {
  const bc_piece *const piece = &e->plan->pieces[i];
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  const drawing_rect r =
      elevation_rect(e, piece->at.x - piece->width / 2, piece->at.y - piece->height / 2, piece->width, piece->height);
  e->shown[i] = r;
  drawing_use(cairo, drawing_paper);
  rectangle(cairo, r);
  cairo_fill_preserve(cairo);
  drawing_use(cairo, drawing_black);
  cairo_set_line_width(cairo, 0.25);
  cairo_stroke(cairo);
  if (r.width < 6 || r.height < 2.4) return; /* its number and the list name it */
  const drawing_type type = {
      .size = fmin(2.4 * e->layout.type, r.height * 0.5), .italic = true, .align = DRAWING_CENTRE, .ink = drawing_grey};
  /* What cannot be read in full is left to the number and the list. */
  drawing_text_fitted(e->canvas, type, (drawing_rect){r.x + 0.6, r.y + 0.3, r.width - 1.2, r.height - 0.6}, 1.4,
                      piece->title);
}

/* How large it is nobody told: its place is marked by a dashed square that is as large in every scale. */
static void draw_unmeasured(elevation *e, size_t i) {
  const bc_piece *const piece = &e->plan->pieces[i];
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  const double side = 9 * e->layout.type, dash[] = {1.2, 0.9};
  const drawing_rect r = {elevation_x(e, piece->at.x) - side / 2, elevation_y(e, piece->at.y) - side / 2, side, side};
  e->shown[i] = r;
  drawing_use(cairo, drawing_paper);
  rectangle(cairo, r);
  cairo_fill_preserve(cairo);
  drawing_use(cairo, drawing_black);
  cairo_set_line_width(cairo, 0.35);
  cairo_set_dash(cairo, dash, 2, 0);
  cairo_stroke(cairo);
  cairo_set_dash(cairo, dash, 0, 0);
  const drawing_type type = {.size = 4.5 * e->layout.type, .bold = true, .align = DRAWING_CENTRE, .ink = drawing_black};
  drawing_text_fitted(e->canvas, type, r, 1.4, "?");
}

/* Uprights and top bar of a freestanding frame, and its feet, which are seen end on. */
static void draw_frame(const elevation *e) {
  if (!e->plan->frame.given) return;
  const double wide = e->plan->stand.width, high = e->plan->stand.wall_height, bar = 3, foot = 9;
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  const drawing_rect parts[] = {elevation_rect(e, 0, high - bar, wide, bar), elevation_rect(e, 0, 0, bar, high),
                                elevation_rect(e, wide - bar, 0, bar, high), elevation_rect(e, 0, 0, foot, 4),
                                elevation_rect(e, wide - foot, 0, foot, 4)};
  for (size_t i = 0; i < sizeof parts / sizeof *parts; i++) {
    rectangle(cairo, parts[i]);
    drawing_use(cairo, (drawing_ink){0.55, 0.55, 0.54, 1});
    cairo_fill_preserve(cairo);
    drawing_use(cairo, (drawing_ink){0.3, 0.3, 0.3, 1});
    cairo_set_line_width(cairo, 0.13);
    cairo_stroke(cairo);
  }
}

void elevation_draw_fittings(elevation *e) {
  const bc_plan *const plan = e->plan;
  draw_frame(e);
  for (size_t i = 0; i < plan->rod_count; i++) elevation_draw_rod(e, &plan->rods[i]);
  for (size_t i = 0; i < plan->shelf_count; i++) draw_shelf(e, &plan->shelves[i]);
  for (size_t i = 0; i < plan->table_count; i++) draw_table(e, &plan->tables[i]);
  elevation_draw_things(e);
  for (size_t i = 0; i < plan->piece_count; i++)
    if (plan->pieces[i].placed && plan->pieces[i].unmeasured)
      draw_unmeasured(e, i);
    else if (plan->pieces[i].placed && (!e->studies || !e->studies[i]))
      draw_outline(e, i);
  for (size_t i = 0; i < e->point_count; i++) elevation_draw_cord(e, &e->points[i]);
  for (size_t i = 0; i < e->point_count; i++) elevation_draw_point(e, &e->points[i]);
  elevation_draw_holds_marks(e);
}
