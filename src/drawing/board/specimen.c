/* SPDX-License-Identifier: MIT */
/* One piece on a flat piece of one cloth, in linear light, and its outline marked where it gets lost.
 * For the pictures that compare cloths. */
#include "drawing/paper/paper.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define RASTER_PER_MM 11.811 /* PDF, SVG: 300 dots an inch */

static bc_status compose(drawing_raster *raster, bc_context *context, const drawing_cut *cut, bc_colour cloth,
                         const drawing_textile *textile, drawing_rect piece) {
  const bool printed = textile && textile->pixels;
  const drawing_cloth_look look = {
      .place = {0, 0, raster->width, raster->height}, .pixels_per_cm = 10, .fullness = 1, .weave = !printed};
  drawing_cloth_field field;
  bc_status status = drawing_cloth_field_make(&field, context, cloth, &look);
  if (status != BC_OK) return status;
  drawing_sprite sprite = {0};
  if (printed) status = drawing_cloth_field_print(&field, context, textile, raster->width);
  if (status == BC_OK) status = drawing_sprite_make(&sprite, context, cut, drawing_raster_place(raster, piece));
  if (status == BC_OK)
    status =
        drawing_sprite_cast(&sprite, context, 0.04 * fmax(piece.width, piece.height) * raster->pixels_per_mm, 0.5f);
  const drawing_scene scene = {
      .width = raster->width, .height = raster->height, .cloth = &field, .sprites = &sprite, .sprite_count = 1};
  if (status == BC_OK) status = drawing_compose(&scene, context, raster->pixels, raster->stride);
  drawing_sprite_clear(&sprite);
  drawing_cloth_field_clear(&field);
  return status;
}

bc_status drawing_specimen(drawing_canvas *canvas, bc_context *context, const drawing_cut *cut, drawing_backing cloth,
                           drawing_rect cell, drawing_rect piece) {
  drawing_raster raster;
  bc_status status = drawing_raster_open(&raster, context, canvas, cell, RASTER_PER_MM);
  if (status != BC_OK) return status;
  status = compose(&raster, context, cut, cloth.colour, cloth.textile, piece);
  drawing_raster_close(&raster, canvas);
  return status;
}

drawing_rect drawing_specimen_place(const drawing_cut *cut, drawing_rect cell, double fill) {
  const double scale = fmin(fill * cell.width / cut->box.width, fill * cell.height / cut->box.height);
  const double width = cut->box.width * scale, height = cut->box.height * scale;
  return (drawing_rect){cell.x + (cell.width - width) / 2, cell.y + (cell.height - height) / 2, width, height};
}

/* ---- the lost rim ---- */

/* So many places to either side decide together, so that a texture doesn't break the line into crumbs. */
#define TOGETHER 4
#define TICK_EVERY 1.5 /* mm */
#define TICK 1.25

typedef struct rim_line {
  const bc_cutout *cutout;
  const bc_reading *reading;
  drawing_rect piece;
  size_t first, end; /* of one closed outline */
  bool lost[BC_READING_RIM];
} rim_line;

static bc_point_cm point_of(const rim_line *rim, size_t i) {
  const bc_cutout *const cut = rim->cutout;
  const bc_rim_place *const place = &rim->reading->rim[i];
  const bc_box box = cut->box.width > 0 && cut->box.height > 0 ? cut->box : (bc_box){0, 0, cut->width, cut->height};
  return (bc_point_cm){rim->piece.x + ((double)place->x * cut->width - box.x) / box.width * rim->piece.width,
                       rim->piece.y + ((double)place->y * cut->height - box.y) / box.height * rim->piece.height};
}

static size_t round_the_outline(const rim_line *rim, size_t i, size_t steps) {
  return rim->first + (i - rim->first + steps) % (rim->end - rim->first);
}

static bool lost_together(const rim_line *rim, size_t i) {
  const size_t count = rim->end - rim->first;
  size_t lost = 0, all = 0;
  for (size_t k = 0; k <= 2UL * TOGETHER && k < count; k++, all++)
    lost += rim->lost[round_the_outline(rim, i, count * TOGETHER + k - TOGETHER)];
  return 2 * lost > all;
}

/* Adds the lost stretches to the path: the line itself, or ticks that point away from the piece, which
 * lies on the right hand of the outline's direction. */
static void trace(cairo_t *cairo, const rim_line *rim, bool ticks) {
  const size_t count = rim->end - rim->first;
  double walked = TICK_EVERY / 2;
  for (size_t i = rim->first; i < rim->end; i++) {
    const size_t next = round_the_outline(rim, i, 1);
    if (count < 3 || rim->reading->rim[next].after_gap || !lost_together(rim, i) || !lost_together(rim, next)) continue;
    const bc_point_cm from = point_of(rim, i), to = point_of(rim, next);
    const double dx = to.x - from.x, dy = to.y - from.y, length = hypot(dx, dy);
    walked += length;
    if (!ticks) {
      cairo_move_to(cairo, from.x, from.y);
      cairo_line_to(cairo, to.x, to.y);
    } else if (walked >= TICK_EVERY && length > 0) {
      walked = 0;
      cairo_move_to(cairo, from.x, from.y);
      cairo_line_to(cairo, from.x + TICK * dy / length, from.y - TICK * dx / length);
    }
  }
}

static void stroke_lost(cairo_t *cairo, const rim_line *rim) {
  cairo_set_line_cap(cairo, CAIRO_LINE_CAP_ROUND);
  for (int ticks = 0; ticks < 2; ticks++) {
    trace(cairo, rim, ticks);
    drawing_use(cairo, drawing_white); /* a white line under a dark one can be seen on any cloth */
    cairo_set_line_width(cairo, 0.75);
    cairo_stroke_preserve(cairo);
    drawing_use(cairo, drawing_black);
    cairo_set_line_width(cairo, 0.34);
    cairo_stroke(cairo);
  }
}

void drawing_lost_rim(drawing_canvas *canvas, const bc_cutout *cutout, const bc_reading *reading, const bc_cloth *cloth,
                      drawing_rect piece) {
  cairo_t *const cairo = drawing_canvas_cairo(canvas);
  if (!reading->rim_count || reading->rim_count > BC_READING_RIM) return;
  rim_line rim = {.cutout = cutout, .reading = reading, .piece = piece};
  bc_match_lost(reading, cloth, rim.lost);
  cairo_save(cairo);
  for (rim.first = 0; rim.first < reading->rim_count; rim.first = rim.end) {
    for (rim.end = rim.first; rim.end < reading->rim_count; rim.end++)
      if (reading->rim[rim.end].contour != reading->rim[rim.first].contour) break;
    stroke_lost(cairo, &rim);
  }
  cairo_restore(cairo);
}

void drawing_lost_sample(drawing_canvas *canvas, double x, double y, double length) {
  cairo_t *const cairo = drawing_canvas_cairo(canvas);
  cairo_save(cairo);
  drawing_use(cairo, drawing_black);
  cairo_set_line_width(cairo, 0.34);
  cairo_set_line_cap(cairo, CAIRO_LINE_CAP_ROUND);
  drawing_line(cairo, x, y, x + length, y);
  for (double at = TICK_EVERY / 2; at < length; at += TICK_EVERY) drawing_line(cairo, x + at, y, x + at, y - TICK);
  cairo_restore(cairo);
}
