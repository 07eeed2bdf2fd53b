/* SPDX-License-Identifier: MIT */
/* The plot of the contrast landscape: every place in the colour of a cloth that can be dyed there, hatching where
 * pieces get lost, lines of equal score. */
#include "landscape_sheet.h"

#include <math.h>

#define FINE 3 /* pixels per step of the grid in the picture of the colours */

double drawing_land_x(double hue_deg) {
  return LAND_PLOT_LEFT + LAND_PLOT_WIDTH * hue_deg / 360;
}
double drawing_land_y(double L) {
  return LAND_PLOT_TOP + LAND_PLOT_HEIGHT * (LAND_LIGHTEST - L) / (LAND_LIGHTEST - BC_LANDSCAPE_DARKEST);
}

/* Score between the places of the grid; `column` runs round. */
static double score_at(const land *l, double row, double column) {
  const double r = fmin(BC_LANDSCAPE_ROWS - 1.0, fmax(0, row)),
               c = column - BC_LANDSCAPE_COLUMNS * floor(column / BC_LANDSCAPE_COLUMNS);
  const int r0 = r < BC_LANDSCAPE_ROWS - 1 ? (int)r : BC_LANDSCAPE_ROWS - 2, c0 = (int)c % BC_LANDSCAPE_COLUMNS;
  const int c1 = (c0 + 1) % BC_LANDSCAPE_COLUMNS;
  const double u = r - r0, v = c - floor(c);
  const bc_landscape_place *const darker = l->score->place[r0], *const lighter = l->score->place[r0 + 1];
  return (1 - u) * ((1 - v) * darker[c0].score + v * darker[c1].score) +
         u * ((1 - v) * lighter[c0].score + v * lighter[c1].score);
}

static double score_at_mm(const land *l, double x, double y) {
  const double row = (LAND_LIGHTEST - (y - LAND_PLOT_TOP) / LAND_PLOT_HEIGHT * (LAND_LIGHTEST - BC_LANDSCAPE_DARKEST) -
                      BC_LANDSCAPE_DARKEST) /
                     BC_LANDSCAPE_STEP;
  return score_at(l, row, (x - LAND_PLOT_LEFT) / LAND_PLOT_WIDTH * BC_LANDSCAPE_COLUMNS);
}

static double grey_at_mm(const land *l, double x, double y) {
  (void)x;
  const double row = (1 - (y - LAND_PLOT_TOP) / LAND_PLOT_HEIGHT) * (BC_LANDSCAPE_ROWS - 1);
  const int r = (int)fmin(BC_LANDSCAPE_ROWS - 2.0, fmax(0, row));
  return l->score->grey[r].score + (row - r) * (l->score->grey[r + 1].score - l->score->grey[r].score);
}

/* ---- the colours ---- */

static uint32_t code_of(bc_lab lab) {
  const drawing_v4 linear = drawing_linear_of(bc_colour_from_lab(lab));
  uint32_t code = 0xff000000u;
  for (int i = 0; i < 3; i++) code |= (uint32_t)lrint(255 * bc_srgb_encode((double)linear[i])) << (16 - 8 * i);
  return code;
}

static void paint_image(const land *l, bool grey, double x, double width) {
  const int columns = grey ? 1 : 120, rows = (BC_LANDSCAPE_ROWS - 1) * FINE;
  cairo_t *const cairo = drawing_canvas_cairo(l->canvas);
  cairo_surface_t *const surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, columns, rows);
  if (cairo_surface_status(surface) == CAIRO_STATUS_SUCCESS) {
    uint32_t *const pixels = (uint32_t *)(void *)cairo_image_surface_get_data(surface);
    const int stride = cairo_image_surface_get_stride(surface) / 4;
    for (int i = 0; i < rows; i++)
      for (int k = 0; k < columns; k++) {
        const double L = LAND_LIGHTEST - (i + 0.5) * BC_LANDSCAPE_STEP / FINE, hue = (k + 0.5) * 360 / columns;
        const double chroma = grey ? 0 : 0.75 * bc_match_most_chroma(L, hue);
        pixels[i * stride + k] =
            code_of((bc_lab){L, chroma * cos(hue * (M_PI / 180)), chroma * sin(hue * (M_PI / 180))});
      }
    cairo_surface_mark_dirty(surface);
  }
  cairo_save(cairo);
  cairo_rectangle(cairo, x, LAND_PLOT_TOP, width, LAND_PLOT_HEIGHT);
  cairo_clip(cairo);
  cairo_translate(cairo, x, LAND_PLOT_TOP);
  cairo_scale(cairo, width / columns, LAND_PLOT_HEIGHT / rows);
  cairo_set_source_surface(cairo, surface, 0, 0);
  cairo_pattern_set_extend(cairo_get_source(cairo), CAIRO_EXTEND_PAD);
  cairo_paint(cairo);
  cairo_restore(cairo);
  cairo_surface_destroy(surface);
}

/* ---- hatching ---- */

/* Strokes every line of one direction where the score is below `limit`: dark with a light core, so that it
 * shows on pale and on dark cloth. */
static void hatch(const land *l, score_function score, drawing_rect area, double limit, double slope, double apart) {
  cairo_t *const cairo = drawing_canvas_cairo(l->canvas);
  const double step = 0.4;
  /* every line that may cross the area */
  for (double start = area.y - area.width; start < area.y + area.height + area.width; start += apart) {
    bool on = false;
    for (double x = area.x; x <= area.x + area.width; x += step) {
      const double y = start + slope * (x - area.x);
      const bool here = y >= area.y && y <= area.y + area.height && score(l, x, y) < limit;
      if (here && !on) cairo_move_to(cairo, x, y);
      if (here && on) cairo_line_to(cairo, x, y);
      on = here;
    }
  }
  cairo_set_source_rgba(cairo, 1, 1, 1, 0.55);
  cairo_set_line_width(cairo, 0.42);
  cairo_stroke_preserve(cairo);
  cairo_set_source_rgba(cairo, 0, 0, 0, 0.75);
  cairo_set_line_width(cairo, 0.16);
  cairo_stroke(cairo);
}

void drawing_land_hatch(const land *l, score_function score, drawing_rect area) {
  hatch(l, score, area, 200.0 / 3, 1, 3.2);  /* at least one piece is soft or worse */
  hatch(l, score, area, 100.0 / 3, -1, 3.2); /* at least one gets lost: crossed */
}

/* ---- lines of equal score: marching squares ---- */

bool drawing_land_take(labels *all, drawing_rect rect) {
  for (size_t i = 0; i < all->count; i++)
    if (drawing_rects_meet(all->taken[i], rect)) return false;
  if (all->count < sizeof all->taken / sizeof *all->taken) all->taken[all->count++] = rect;
  return true;
}

static void contour(const land *l, labels *all, double level) {
  cairo_t *const cairo = drawing_canvas_cairo(l->canvas);
  const double fine = 0.5;
  bool labelled = false;
  double label_x = 0, label_y = 0;
  for (double row = 0; row < BC_LANDSCAPE_ROWS - 1; row += fine)
    for (double column = 0; column < BC_LANDSCAPE_COLUMNS; column += fine) {
      const double corner[4][2] = {
          {row, column}, {row, column + fine}, {row + fine, column + fine}, {row + fine, column}};
      double value[4], x[4], y[4];
      int crossings = 0;
      for (int i = 0; i < 4; i++) value[i] = score_at(l, corner[i][0], corner[i][1]) - level;
      for (int i = 0; i < 4; i++) {
        const int k = (i + 1) % 4;
        if ((value[i] < 0) == (value[k] < 0)) continue;
        const double t = value[i] / (value[i] - value[k]);
        x[crossings] = drawing_land_x(10 * (corner[i][1] + t * (corner[k][1] - corner[i][1])));
        y[crossings++] = drawing_land_y(BC_LANDSCAPE_DARKEST +
                                        BC_LANDSCAPE_STEP * (corner[i][0] + t * (corner[k][0] - corner[i][0])));
      }
      for (int i = 0; i + 1 < crossings; i += 2) {
        cairo_move_to(cairo, x[i], y[i]);
        cairo_line_to(cairo, x[i + 1], y[i + 1]);
        if (labelled || x[i] < LAND_PLOT_LEFT + 6 || x[i] > LAND_PLOT_LEFT + LAND_PLOT_WIDTH - 6 ||
            y[i] < LAND_PLOT_TOP + 4 || y[i] > LAND_PLOT_TOP + LAND_PLOT_HEIGHT - 4)
          continue;
        if (!drawing_land_take(all, (drawing_rect){x[i] - 7, y[i] - 5, 14, 10})) continue;
        labelled = true;
        label_x = x[i];
        label_y = y[i];
      }
    }
  cairo_set_line_cap(cairo, CAIRO_LINE_CAP_ROUND);
  cairo_set_source_rgba(cairo, 1, 1, 1, 0.8);
  cairo_set_line_width(cairo, 0.75);
  cairo_stroke_preserve(cairo);
  drawing_use(cairo, drawing_black);
  cairo_set_line_width(cairo, 0.3);
  cairo_stroke(cairo);
  if (!labelled) return;
  const drawing_type type = {.size = 2.3, .italic = true, .ink = drawing_black, .align = DRAWING_CENTRE};
  drawing_use(cairo, drawing_white);
  cairo_rectangle(cairo, label_x - 2, label_y - 1.3, 4, 2.6); /* square: not to be taken for a cloth's number */
  cairo_fill(cairo);
  drawing_textf(l->canvas, &type, label_x, label_y - 1.85, "%.0f", level);
}

void drawing_land_plot(const land *l, labels *all) {
  paint_image(l, false, LAND_PLOT_LEFT, LAND_PLOT_WIDTH);
  paint_image(l, true, LAND_LEFT, LAND_GREY_WIDTH);
  drawing_land_hatch(l, score_at_mm, (drawing_rect){LAND_PLOT_LEFT, LAND_PLOT_TOP, LAND_PLOT_WIDTH, LAND_PLOT_HEIGHT});
  drawing_land_hatch(l, grey_at_mm, (drawing_rect){LAND_LEFT, LAND_PLOT_TOP, LAND_GREY_WIDTH, LAND_PLOT_HEIGHT});
  for (double level = 10; level < 100; level += 10) contour(l, all, level);
}
