/* SPDX-License-Identifier: MIT */
/* Grid panels: all that hangs on one against the rating of the whole panel. */
#include "loads_internal.h"

#include <stdlib.h>
#include <string.h>

static double load_on(const bc_loads *loads, const bc_grid *grid) {
  double newton = 0;
  for (size_t i = 0; i < loads->point_count; i++)
    if (loads->points[i].on && strcmp(loads->points[i].on, grid->id) == 0) newton += loads->points[i].vertical_n;
  return newton;
}

bc_status loads_find_grids(bc_loads *loads, bc_context *context, const bc_plan *plan) {
  loads->grids = bc_allocate(plan->grid_count, sizeof *loads->grids);
  if (!loads->grids) return bc_fail_memory(context);
  for (size_t i = 0; i < plan->grid_count; i++) {
    const bc_grid *grid = &plan->grids[i];
    bc_load_grid one = {
        .id = grid->id, .load_n = load_on(loads, grid), .rated_n = grid->rated_kg * BC_STANDARD_GRAVITY};
    if (!(one.load_n > 0)) continue;
    one.holds = loads_compare(one.load_n, one.rated_n, loads->design_factor, &one.needed_n, &one.utilisation);
    loads->grids[loads->grid_count++] = one;
  }
  return BC_OK;
}
