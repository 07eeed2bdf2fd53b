/* SPDX-License-Identifier: MIT */
/* The hanging points of all placed pieces, as the plan stage places them. */
#include "elevation.h"

#include <stdlib.h>

static bool hangs(const bc_piece *piece) {
  return piece->placed && bc_mount_hangs(piece->mount.kind);
}

bc_status elevation_find_points(elevation *e) {
  const bc_plan *const plan = e->plan;
  size_t count = 0;
  for (size_t i = 0; i < plan->piece_count; i++)
    if (hangs(&plan->pieces[i])) count += (size_t)plan->pieces[i].mount.points;
  e->points = bc_allocate(count, sizeof *e->points);
  if (!e->points) return bc_fail_memory(e->context);
  for (size_t i = 0; i < plan->piece_count; i++) {
    const bc_piece *const piece = &plan->pieces[i];
    if (!hangs(piece)) continue;
    for (int n = 0; n < piece->mount.points; n++)
      e->points[e->point_count++] =
          (elevation_point){i, piece->mount.kind, bc_plan_hanging_point(plan, piece, piece->at, n)};
  }
  return BC_OK;
}
