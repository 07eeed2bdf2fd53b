/* SPDX-License-Identifier: MIT */
/* Where the pieces hang: the loads stage says where each hanging point is; this adds where on the
 * piece it takes hold, for drawing cords and hooks. */
#include "elevation_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static bool find_piece(const bc_plan *plan, const char *id, size_t *index) {
  for (size_t i = 0; i < plan->piece_count; i++)
    if (strcmp(plan->pieces[i].id, id) == 0) {
      *index = i;
      return true;
    }
  return false;
}

/* A leg falls at the cord's angle from its point to the piece's top edge; with one point two legs
 * spread from it, with two points each leans towards the piece's middle. */
static void find_attachment(elevation_point *point, const bc_piece *piece) {
  point->attach_x = point->x;
  point->attach_y = piece->at.y + piece->height / 2;
  if (point->kind != BC_MOUNT_CORD) return;
  const double rise = fmax(0, point->y - point->attach_y);
  const double run = rise / tan(piece->mount.cord_angle * M_PI / 180);
  const double towards = piece->mount.points == 1 ? 1 : point->x < piece->at.x ? 1 : -1;
  point->attach_x = point->x + towards * run;
}

bc_status elevation_find_points(elevation *e) {
  bc_loads *own = NULL;
  const bc_loads *loads = e->loads;
  if (!loads) {
    const bc_status status = bc_loads_of(&own, e->context, e->plan);
    if (status != BC_OK) return status;
    loads = own;
  }
  e->points = bc_allocate(loads->point_count, sizeof *e->points);
  bc_status status = e->points ? BC_OK : bc_fail_memory(e->context);
  for (size_t i = 0; status == BC_OK && i < loads->point_count; i++) {
    const bc_load_point *const from = &loads->points[i];
    elevation_point point = {.kind = from->kind, .x = from->x, .y = from->y, .holds = from->holds};
    if (!find_piece(e->plan, from->piece, &point.piece) || !e->plan->pieces[point.piece].placed) continue;
    find_attachment(&point, &e->plan->pieces[point.piece]);
    e->points[e->point_count++] = point;
  }
  bc_loads_free(own);
  return status;
}
