/* SPDX-License-Identifier: MIT */
/* The wall without frame, list and dimensions, for the sheets of another stage: the same layers as the
 * elevation, on a Cairo that is lent. */
#include "elevation.h"

#include <stdlib.h>

#define SPILL_MM 2.0 /* what hangs over the wall's edge is still seen so far */

static void lay_out(elevation *e, const bc_wall_place *place) {
  const double width = e->plan->stand.width * place->mm_per_cm, height = e->plan->stand.wall_height * place->mm_per_cm;
  e->layout.k = place->mm_per_cm;
  e->layout.scale = 10 / place->mm_per_cm;
  e->layout.type = place->type > 0 ? place->type : 1;
  e->layout.wall = (drawing_rect){place->x, place->y, width, height};
  e->layout.frame =
      (drawing_rect){place->x - SPILL_MM, place->y - SPILL_MM, width + 2 * SPILL_MM, height + 2 * SPILL_MM};
}

bc_status bc_drawing_wall(bc_context *context, const bc_plan *plan, bc_study *const *studies, struct _cairo *cairo,
                          const bc_wall_place *place) {
  elevation e = {.context = context, .plan = plan, .studies = studies, .options = bc_elevation_options_default()};
  lay_out(&e, place);
  e.shown = bc_allocate(plan->piece_count, sizeof *e.shown);
  e.outlines = bc_allocate(plan->piece_count, sizeof *e.outlines);
  bc_status status = e.shown && e.outlines ? BC_OK : bc_fail_memory(context);
  if (status == BC_OK) status = elevation_find_points(&e);
  if (status == BC_OK) status = drawing_canvas_borrow(&e.canvas, context, cairo);
  if (status == BC_OK) {
    cairo_save(cairo);
    status = elevation_paint_wall(&e);
    if (status == BC_OK) elevation_draw_fittings(&e);
    if (status == BC_OK && place->type > 0) status = elevation_draw_numbers(&e);
    cairo_restore(cairo);
  }
  drawing_canvas_abandon(e.canvas);
  free(e.points);
  free(e.shown);
  free(e.outlines);
  bc_notes_clear(&e.notes);
  return status;
}
