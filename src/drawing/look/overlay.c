/* SPDX-License-Identifier: MIT */
/* What is drawn over a photographed wall: heights, sight band, focus, empty areas, the pieces' outlines and numbers.
 * Every line is dark between pale ones, so that it shows on any wall and in grey print. */
#include "look_sheet.h"

#include <math.h>
#include <stdio.h>

static double wall_x(const look_sheet *s, double cm) {
  return s->wall.x + cm / s->look->width_cm * s->wall.width;
}

static double wall_y(const look_sheet *s, double cm) {
  return s->wall.y + s->wall.height - cm / s->look->height_cm * s->wall.height;
}

/* The present path, dark between two pale lines. */
static void stroke_cased(cairo_t *cairo, double width) {
  cairo_set_line_join(cairo, CAIRO_LINE_JOIN_ROUND);
  drawing_use(cairo, (drawing_ink){1, 1, 1, 0.85});
  cairo_set_line_width(cairo, width * 2.6);
  cairo_stroke_preserve(cairo);
  drawing_use(cairo, drawing_black);
  cairo_set_line_width(cairo, width);
  cairo_stroke(cairo);
}

/* ---- heights ---- */

/* Every half metre, or every two feet, at one side of the wall; `side` -1 is the left. */
static void draw_ruler(const look_sheet *s, bc_units units, int side) {
  cairo_t *const cairo = drawing_canvas_cairo(s->canvas);
  const double step = units == BC_UNITS_IMPERIAL ? 2 * 30.48 : 50;
  const double x = side < 0 ? s->wall.x - 1.2 : s->wall.x + s->wall.width + 1.2;
  const drawing_type type = {.size = 2.5, .ink = drawing_grey, .align = side < 0 ? DRAWING_AT_RIGHT : DRAWING_AT_LEFT};
  drawing_use(cairo, drawing_grey);
  cairo_set_line_width(cairo, 0.18);
  drawing_line(cairo, x, wall_y(s, 0), x, wall_y(s, s->look->height_cm));
  for (double cm = 0; cm <= s->look->height_cm + 0.1; cm += step) {
    drawing_use(cairo, drawing_grey);
    drawing_line(cairo, x, wall_y(s, cm), x + 1.6 * side, wall_y(s, cm));
    char words[DRAWING_WORDS];
    base_measure_length(words, cm, units, BC_MEASURE_TAPE);
    drawing_text(s->canvas, &type, x + 2.6 * side, wall_y(s, cm) - 1.7, words);
  }
}

/* The sight band as a strip along the left ruler. */
static void draw_strip(const look_sheet *s) {
  cairo_t *const cairo = drawing_canvas_cairo(s->canvas);
  const double low = s->look->sight_low, high = fmin(s->look->sight_high, s->look->height_cm);
  if (low >= high) return;
  drawing_use(cairo, (drawing_ink){0.66, 0.24, 0.15, 0.22});
  cairo_rectangle(cairo, s->wall.x - 3.4, wall_y(s, high), 2.2, wall_y(s, low) - wall_y(s, high));
  cairo_fill(cairo);
}

static void draw_band(const look_sheet *s) {
  cairo_t *const cairo = drawing_canvas_cairo(s->canvas);
  const double heights[2] = {s->look->sight_low, s->look->sight_high}, dash[2] = {2.4, 1.6};
  cairo_save(cairo);
  cairo_set_dash(cairo, dash, 2, 0);
  for (int i = 0; i < 2; i++) {
    if (heights[i] > s->look->height_cm) continue;
    cairo_move_to(cairo, s->wall.x, wall_y(s, heights[i]));
    cairo_line_to(cairo, s->wall.x + s->wall.width, wall_y(s, heights[i]));
    stroke_cased(cairo, 0.22);
  }
  cairo_restore(cairo);
}

static void draw_focus(const look_sheet *s) {
  cairo_t *const cairo = drawing_canvas_cairo(s->canvas);
  const double x = wall_x(s, s->look->focus.x), y = wall_y(s, s->look->focus.y), r = 3.2;
  for (int i = 0; i < 4; i++) {
    cairo_move_to(cairo, x + (i % 2 ? r : -r), y + (i / 2 ? r : -r) * 0.45);
    cairo_line_to(cairo, x + (i % 2 ? r : -r), y + (i / 2 ? r : -r));
    cairo_line_to(cairo, x + (i % 2 ? r : -r) * 0.45, y + (i / 2 ? r : -r));
    stroke_cased(cairo, 0.3);
  }
}

/* ---- empty areas ---- */

static void hatch(cairo_t *cairo, drawing_rect r) {
  cairo_save(cairo);
  cairo_rectangle(cairo, r.x, r.y, r.width, r.height);
  cairo_clip(cairo);
  drawing_use(cairo, (drawing_ink){0.2, 0.19, 0.18, 0.34});
  cairo_set_line_width(cairo, 0.14);
  for (double at = -r.height; at < r.width; at += 2.6)
    drawing_line(cairo, r.x + at, r.y + r.height, r.x + at + r.height, r.y);
  cairo_restore(cairo);
}

/* Words on a pale patch, so that they can be read over anything. */
static void draw_patch(const look_sheet *s, double x, double y, const char *words) {
  cairo_t *const cairo = drawing_canvas_cairo(s->canvas);
  const drawing_type type = {.size = 2.6, .ink = drawing_black, .align = DRAWING_CENTRE};
  const drawing_extent extent = drawing_text_measure(&type, words);
  drawing_use(cairo, (drawing_ink){1, 1, 1, 0.86});
  cairo_rectangle(cairo, x - extent.width / 2 - 1.2, y - extent.height / 2 - 0.4, extent.width + 2.4,
                  extent.height + 0.8);
  cairo_fill(cairo);
  drawing_text(s->canvas, &type, x, y - extent.height / 2, words);
}

static void draw_gaps(const look_sheet *s) {
  cairo_t *const cairo = drawing_canvas_cairo(s->canvas);
  for (size_t i = 0; i < s->look->gap_count; i++) {
    const bc_look_gap *const g = &s->look->gaps[i];
    const double inset = 0.8;
    const drawing_rect r = {wall_x(s, g->x) + inset, wall_y(s, g->y + g->height) + inset,
                            wall_x(s, g->x + g->width) - wall_x(s, g->x) - 2 * inset,
                            wall_y(s, g->y) - wall_y(s, g->y + g->height) - 2 * inset};
    hatch(cairo, r);
    cairo_save(cairo);
    const double dash[2] = {0.8, 0.8};
    cairo_set_dash(cairo, dash, 2, 0);
    drawing_use(cairo, (drawing_ink){0.2, 0.19, 0.18, 0.6});
    cairo_set_line_width(cairo, 0.18);
    cairo_rectangle(cairo, r.x, r.y, r.width, r.height);
    cairo_stroke(cairo);
    cairo_restore(cairo);
    char words[DRAWING_WORDS];
    base_measure_size_both(words, g->width, g->height, s->units, BC_MEASURE_SEEN);
    const drawing_type type = {.size = 2.6};
    if (drawing_text_measure(&type, words).width + 3 < r.width)
      draw_patch(s, r.x + r.width / 2, r.y + r.height / 2, words);
  }
}

/* ---- pieces ---- */

drawing_rect look_piece_rect(const look_sheet *s, const bc_look_piece *piece, drawing_rect wall) {
  const double mm = wall.width / s->look->wall->width;
  const bc_box box = piece->study->cutout->box;
  return (drawing_rect){wall.x + (piece->left + box.x) * mm, wall.y + (piece->top + box.y) * mm, box.width * mm,
                        box.height * mm};
}

static void draw_outline(const look_sheet *s, const bc_look_piece *piece) {
  cairo_t *const cairo = drawing_canvas_cairo(s->canvas);
  const bc_reading *const reading = piece->study->reading;
  const double mm = s->wall.width / s->look->wall->width;
  for (size_t i = 0; i < reading->rim_count; i++) {
    const bc_rim_place *const place = &reading->rim[i];
    const double x = s->wall.x + (piece->left + (double)place->x * piece->study->image->width) * mm;
    const double y = s->wall.y + (piece->top + (double)place->y * piece->study->image->height) * mm;
    const bool starts = i == 0 || place->contour != reading->rim[i - 1].contour;
    if (starts && i > 0) cairo_close_path(cairo);
    if (starts || place->after_gap)
      cairo_move_to(cairo, x, y);
    else
      cairo_line_to(cairo, x, y);
  }
  if (reading->rim_count) cairo_close_path(cairo);
  drawing_use(cairo, (drawing_ink){1, 1, 1, 0.7});
  cairo_set_line_width(cairo, 0.42);
  cairo_stroke_preserve(cairo);
  drawing_use(cairo, drawing_black);
  cairo_set_line_width(cairo, 0.16);
  cairo_stroke(cairo);
}

void look_draw_number(const look_sheet *s, size_t i, drawing_rect wall, bool on_cloth) {
  cairo_t *const cairo = drawing_canvas_cairo(s->canvas);
  const bc_look_piece *const piece = &s->look->pieces[i];
  const drawing_rect r = look_piece_rect(s, piece, wall);
  const double small = wall.width < s->wall.width * 0.9 ? 0.8 : 1, w = 8.2 * small, h = 4.4 * small;
  double x = r.x + r.width / 2 - w / 2, y = r.y + r.height + 0.8; /* under the piece, where there is room */
  if (y + h > wall.y + wall.height) y = r.y - h - 0.8;
  if (y < wall.y) y = r.y + 0.8;
  x = fmax(wall.x + 0.4, fmin(x, wall.x + wall.width - w - 0.4));
  cairo_new_path(cairo);
  cairo_arc(cairo, x + h / 2, y + h / 2, h / 2, M_PI / 2, 3 * M_PI / 2);
  cairo_arc(cairo, x + w - h / 2, y + h / 2, h / 2, -M_PI / 2, M_PI / 2);
  cairo_close_path(cairo);
  drawing_use(cairo, (drawing_ink){1, 1, 1, 0.94});
  cairo_fill_preserve(cairo);
  drawing_use(cairo, drawing_black);
  cairo_set_line_width(cairo, 0.14);
  cairo_stroke(cairo);
  drawing_verdict_mark(cairo, on_cloth ? piece->on_cloth.verdict : piece->pair.verdict, x + h / 2 + 0.1, y + h / 2,
                       1.35 * small, drawing_black);
  char number[24];
  snprintf(number, sizeof number, "%zu", i + 1);
  const drawing_type type = {.size = 3 * small, .bold = true, .ink = drawing_black, .align = DRAWING_CENTRE};
  const drawing_extent extent = drawing_text_measure(&type, number);
  drawing_text(s->canvas, &type, x + w - h / 2 - 0.5 * small, y + h / 2 - extent.height / 2, number);
  if (bc_reading_is_doubtful(piece->study->reading))
    drawing_doubt_mark(s->canvas, x + w + 1.8 * small, y + h / 2, 1.4 * small);
}

void look_draw_overlay(const look_sheet *s) {
  cairo_t *const cairo = drawing_canvas_cairo(s->canvas);
  cairo_save(cairo);
  cairo_rectangle(cairo, s->wall.x, s->wall.y, s->wall.width, s->wall.height);
  cairo_clip(cairo);
  draw_gaps(s);
  draw_band(s);
  draw_focus(s);
  for (size_t i = 0; i < s->look->piece_count; i++) {
    const bc_look_piece *const piece = &s->look->pieces[i];
    draw_outline(s, piece);
    drawing_lost_rim(s->canvas, piece->study->cutout, piece->study->reading, piece->behind,
                     look_piece_rect(s, piece, s->wall));
  }
  for (size_t i = 0; i < s->look->piece_count; i++) look_draw_number(s, i, s->wall, false);
  cairo_restore(cairo);
  draw_strip(s);
  draw_ruler(s, s->units, -1);
  draw_ruler(s, s->units == BC_UNITS_IMPERIAL ? BC_UNITS_METRIC : BC_UNITS_IMPERIAL, 1);
}
