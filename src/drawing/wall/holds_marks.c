/* SPDX-License-Identifier: MIT */
/* Marks at the very hook, rod, shelf or panel that does not hold, or of which that is not known: from the findings of
 * the loads, so that the drawing never says other than the notes. */
#include "elevation.h"

#include <math.h>
#include <string.h>

/* A triangle on a white ring, which is seen on any cloth. */
static void mark(const elevation *e, bc_holds holds, double x_cm, double y_cm, double size) {
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  const double radius = size * e->layout.type, x = elevation_x(e, x_cm), y = elevation_y(e, y_cm);
  cairo_new_sub_path(cairo);
  cairo_arc(cairo, x, y, radius * 1.35, 0, 2 * M_PI);
  drawing_use(cairo, drawing_white);
  cairo_fill_preserve(cairo);
  drawing_use(cairo, drawing_black);
  cairo_set_line_width(cairo, 0.2);
  cairo_stroke(cairo);
  drawing_holds_mark(e->canvas, holds, x, y, radius);
}

#define AT_HOOK 1.4 /* mm at type factor 1: the hook's own mark is half as large */
#define AT_CARRIER 2.2
/* Where a carrier has its mark: near its right end, where little hangs. */
#define NEAR_END 0.94

static void mark_points(const elevation *e, const bc_load_finding *finding) {
  for (size_t i = finding->first; i < finding->first + finding->count; i++)
    mark(e, finding->holds, e->loads->points[i].x, e->loads->points[i].y, AT_HOOK);
}

static void mark_grid(const elevation *e, const bc_load_finding *finding) {
  for (size_t i = 0; i < e->plan->grid_count; i++) {
    const bc_grid *grid = &e->plan->grids[i];
    if (strcmp(grid->id, e->loads->grids[finding->first].id) == 0)
      mark(e, finding->holds, grid->x + grid->width * NEAR_END, grid->y + grid->height, AT_CARRIER);
  }
}

static void mark_finding(const elevation *e, const bc_load_finding *finding) {
  const bc_plan *plan = e->plan;
  const size_t i = finding->first;
  if (finding->subject == BC_LOAD_POINTS) mark_points(e, finding);
  if (finding->subject == BC_LOAD_ROD)
    mark(e, finding->holds, plan->rods[i].x + plan->rods[i].length * NEAR_END, plan->rods[i].y, AT_CARRIER);
  if (finding->subject == BC_LOAD_SHELF)
    mark(e, finding->holds, plan->shelves[i].x + plan->shelves[i].width * NEAR_END, plan->shelves[i].y - 1, AT_CARRIER);
  if (finding->subject == BC_LOAD_FIXINGS)
    mark(e, finding->holds, plan->shelves[i].x + plan->shelves[i].width * (1 - NEAR_END), plan->shelves[i].y - 1,
         AT_CARRIER);
  if (finding->subject == BC_LOAD_TABLE)
    mark(e, finding->holds, plan->tables[i].x + plan->tables[i].width * NEAR_END, plan->tables[i].height, AT_CARRIER);
  if (finding->subject == BC_LOAD_GRID) mark_grid(e, finding);
  if (finding->subject == BC_LOAD_FRAME) mark(e, finding->holds, 4, 4, AT_CARRIER);
}

void elevation_draw_holds_marks(const elevation *e) {
  for (size_t i = 0; e->loads && i < e->loads->finding_count; i++)
    if (e->loads->findings[i].holds != BC_HOLDS_YES) mark_finding(e, &e->loads->findings[i]);
}

bool elevation_is_doubtful(const elevation *e, size_t piece) {
  return e->studies && e->studies[piece] && e->studies[piece]->reading &&
         bc_reading_is_doubtful(e->studies[piece]->reading);
}

/* At the upper right of the piece: its number stands at the left where there is room. */
void elevation_draw_doubts(const elevation *e) {
  for (size_t i = 0; i < e->plan->piece_count; i++) {
    const bc_piece *piece = &e->plan->pieces[i];
    if (!piece->placed || piece->unmeasured || !elevation_is_doubtful(e, i)) continue;
    drawing_doubt_mark(e->canvas, elevation_x(e, piece->at.x + piece->width / 2),
                       elevation_y(e, piece->at.y + piece->height / 2), 1.4 * e->layout.type);
  }
}
