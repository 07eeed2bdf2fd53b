/* SPDX-License-Identifier: MIT */
/* Grid panels: all that hangs on one against the rating of the whole panel. */
#include "loads_internal.h"

#include <math.h>
#include <string.h>

double loads_grid_n(const bc_loads *loads, const bc_grid *grid) {
  double newton = 0;
  for (size_t i = 0; i < loads->point_count; i++)
    if (loads->points[i].on && strcmp(loads->points[i].on, grid->id) == 0) newton += loads->points[i].vertical_n;
  return newton;
}

bc_holds loads_grid_holds(const bc_loads *loads, const bc_grid *grid, double *needed_n, double *utilisation) {
  return loads_compare(loads_grid_n(loads, grid), grid->rated_kg * BC_STANDARD_GRAVITY, loads->design_factor, needed_n,
                       utilisation);
}

bool loads_any_grid_overloaded(const bc_loads *loads, const bc_plan *plan) {
  double needed, utilisation;
  for (size_t i = 0; i < plan->grid_count; i++)
    if (loads_grid_holds(loads, &plan->grids[i], &needed, &utilisation) == BC_HOLDS_NO) return true;
  return false;
}
