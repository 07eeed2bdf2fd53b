/* SPDX-License-Identifier: MIT */
/* A drawing larger than the paper: drawn once, then laid on several sheets that overlap, with crosses that
 * meet and, on the first sheet, a key to how they go together. */
#include "elevation.h"

#include <math.h>
#include <stdio.h>

/* What a printer leaves white, and how far neighbours overlap, mm. */
#define EDGE 10.0
#define OVERLAP 10.0

static double printed_width(const elevation_tiles *tiles) {
  return tiles->paper_width - 2 * EDGE;
}
static double printed_height(const elevation_tiles *tiles) {
  return tiles->paper_height - 2 * EDGE;
}

double elevation_tiles_width(const elevation_tiles *tiles) {
  return tiles->across * (printed_width(tiles) - OVERLAP) + OVERLAP;
}
double elevation_tiles_height(const elevation_tiles *tiles) {
  return tiles->down * (printed_height(tiles) - OVERLAP) + OVERLAP;
}

/* The part of the drawing that a sheet shows; columns and rows from the drawing's upper left corner. */
static drawing_rect tile_rect(const elevation *e, int column, int row) {
  const elevation_tiles *const tiles = &e->tiles;
  const double width = printed_width(tiles), height = printed_height(tiles);
  return (drawing_rect){e->layout.frame.x + column * (width - OVERLAP), e->layout.frame.y + row * (height - OVERLAP),
                        width, height};
}

static void paint(drawing_canvas *sheet, cairo_surface_t *drawn, drawing_rect part, drawing_rect place) {
  cairo_t *const cairo = drawing_canvas_cairo(sheet);
  cairo_save(cairo);
  cairo_rectangle(cairo, place.x, place.y, place.width, place.height);
  cairo_clip(cairo);
  cairo_translate(cairo, place.x, place.y);
  cairo_scale(cairo, place.width / part.width, place.height / part.height);
  cairo_translate(cairo, -part.x, -part.y);
  cairo_set_source_surface(cairo, drawn, 0, 0);
  cairo_paint(cairo);
  cairo_restore(cairo);
}

static void sheet_words(const elevation *e, drawing_canvas *sheet, int number) {
  const drawing_type type = {.size = 3, .ink = drawing_black}, grey = {.size = 2.6, .ink = drawing_grey};
  const double width = drawing_textf(sheet, &type, EDGE, 3.6, _("Sheet %d of %d"), number, e->sheets).width;
  drawing_text(sheet, &grey, EDGE + width + 4, 3.9, e->plan->title);
}

/* ---- one sheet ---- */

static void cross(cairo_t *cairo, double x, double y) {
  const double arm = 3, radius = 1.5;
  cairo_new_sub_path(cairo); /* white behind it: it may lie on dark cloth */
  cairo_arc(cairo, x, y, 1.2 * arm, 0, 2 * M_PI);
  drawing_use(cairo, drawing_white);
  cairo_fill(cairo);
  drawing_use(cairo, drawing_black);
  drawing_line(cairo, x - arm, y, x + arm, y);
  drawing_line(cairo, x, y - arm, x, y + arm);
  cairo_new_sub_path(cairo);
  cairo_arc(cairo, x, y, radius, 0, 2 * M_PI);
  cairo_stroke(cairo);
}

/* On the middle line of an overlap, at a quarter and three quarters of its length: the same points of the
 * drawing on both neighbours. */
static void draw_crosses(const elevation *e, drawing_canvas *sheet, int column, int row) {
  cairo_t *const cairo = drawing_canvas_cairo(sheet);
  const double width = printed_width(&e->tiles), height = printed_height(&e->tiles);
  const double right = EDGE + width - OVERLAP / 2, foot = EDGE + height - OVERLAP / 2, near = EDGE + OVERLAP / 2;
  drawing_use(cairo, drawing_black);
  cairo_set_line_width(cairo, 0.15);
  for (double share = 0.25; share < 1; share += 0.5) {
    const double x = EDGE + share * width, y = EDGE + share * height;
    if (column > 0) cross(cairo, near, y);
    if (column + 1 < e->tiles.across) cross(cairo, right, y);
    if (row > 0) cross(cairo, x, near);
    if (row + 1 < e->tiles.down) cross(cairo, x, foot);
  }
}

/* The edge of the overlap, dashed: to cut along, or to see how far the neighbour reaches. */
static void draw_overlap_edges(const elevation *e, drawing_canvas *sheet, int column, int row) {
  cairo_t *const cairo = drawing_canvas_cairo(sheet);
  const double width = printed_width(&e->tiles), height = printed_height(&e->tiles), dash[] = {2, 1.5};
  cairo_save(cairo);
  drawing_use(cairo, drawing_grey);
  cairo_set_line_width(cairo, 0.13);
  cairo_set_dash(cairo, dash, 2, 0);
  if (column > 0) drawing_line(cairo, EDGE, EDGE, EDGE, EDGE + height);
  if (column + 1 < e->tiles.across) drawing_line(cairo, EDGE + width, EDGE, EDGE + width, EDGE + height);
  if (row > 0) drawing_line(cairo, EDGE, EDGE, EDGE + width, EDGE);
  if (row + 1 < e->tiles.down) drawing_line(cairo, EDGE, EDGE + height, EDGE + width, EDGE + height);
  cairo_restore(cairo);
}

static void draw_tile(const elevation *e, drawing_canvas *sheet, cairo_surface_t *drawn, int column, int row) {
  const drawing_rect part = tile_rect(e, column, row);
  paint(sheet, drawn, part, (drawing_rect){EDGE, EDGE, part.width, part.height});
  draw_overlap_edges(e, sheet, column, row);
  draw_crosses(e, sheet, column, row);
  sheet_words(e, sheet, 2 + row * e->tiles.across + column);
}

/* ---- the key ---- */

static void draw_grid(const elevation *e, drawing_canvas *sheet, drawing_rect place, double scale) {
  cairo_t *const cairo = drawing_canvas_cairo(sheet);
  const drawing_type type = {.size = 7, .bold = true, .align = DRAWING_CENTRE, .ink = drawing_black};
  for (int row = 0; row < e->tiles.down; row++)
    for (int column = 0; column < e->tiles.across; column++) {
      const drawing_rect part = tile_rect(e, column, row);
      const double x = place.x + (part.x - e->layout.frame.x) * scale,
                   y = place.y + (part.y - e->layout.frame.y) * scale;
      drawing_use(cairo, drawing_black);
      cairo_set_line_width(cairo, 0.3);
      cairo_rectangle(cairo, x, y, part.width * scale, part.height * scale);
      cairo_stroke(cairo);
      const double middle = x + part.width * scale / 2, centre = y + part.height * scale / 2;
      cairo_new_sub_path(cairo);
      cairo_arc(cairo, middle, centre, 6.5, 0, 2 * M_PI);
      drawing_use(cairo, drawing_white);
      cairo_fill_preserve(cairo);
      drawing_use(cairo, drawing_black);
      cairo_stroke(cairo);
      char number[16];
      snprintf(number, sizeof number, "%d", 2 + row * e->tiles.across + column);
      drawing_text(sheet, &type, middle, centre + 2.45 - drawing_text_measure(&type, number).baseline, number);
    }
}

static void draw_printers_bar(drawing_canvas *sheet, double x, double y) {
  cairo_t *const cairo = drawing_canvas_cairo(sheet);
  const drawing_type type = {.size = 2.6, .ink = drawing_grey};
  drawing_use(cairo, drawing_black);
  cairo_set_line_width(cairo, 0.25);
  drawing_line(cairo, x, y, x + 100, y);
  for (int i = 0; i <= 10; i++) drawing_line(cairo, x + 10 * i, y - (i % 5 == 0 ? 2.5 : 1.5), x + 10 * i, y);
  drawing_text(sheet, &type, x + 102, y - 3, "100 mm");
}

static void draw_key_sheet(const elevation *e, drawing_canvas *sheet, cairo_surface_t *drawn) {
  const elevation_tiles *const tiles = &e->tiles;
  const double left = 20, right = tiles->paper_width - 15, foot = tiles->paper_height - 20;
  const drawing_type title = {.size = 5.5, .ink = drawing_black, .width = right - left};
  const drawing_type plain = {.size = 3.2, .ink = drawing_black, .width = right - left};
  sheet_words(e, sheet, 1);
  double y = 14;
  y += drawing_text(sheet, &title, left, y, _("How the sheets go together")).height + 1;
  y += drawing_text(sheet, &plain, left, y,
                    _("Print all sheets at actual size (100 %), not fitted to the page. Lay each sheet over its "
                      "neighbour so that the crosses meet, and tape them together. Measure the bar on a sheet: if it "
                      "is not 100 mm long, the printer has changed the scale."))
           .height +
       6;
  const double width = elevation_tiles_width(tiles), height = elevation_tiles_height(tiles);
  const double scale = fmin((right - left) / width, (foot - 8 - y) / height);
  const drawing_rect place = {left + (right - left - width * scale) / 2, y, width * scale, height * scale};
  paint(sheet, drawn, e->layout.frame, place);
  draw_grid(e, sheet, place, scale);
  draw_printers_bar(sheet, left, foot + 6);
}

void elevation_draw_tiles(const elevation *e, drawing_canvas *sheet, cairo_surface_t *drawn) {
  draw_key_sheet(e, sheet, drawn);
  for (int row = 0; row < e->tiles.down; row++)
    for (int column = 0; column < e->tiles.across; column++) {
      drawing_canvas_next_sheet(sheet);
      draw_tile(e, sheet, drawn, column, row);
    }
}
