/* SPDX-License-Identifier: MIT */
/* Grid panels: all that hangs on one against the rating of the whole panel. Tables: all that stands on one, with its
 * risers, against what its maker says it may carry. */
#include "loads_internal.h"

#include <stdlib.h>
#include <string.h>

static size_t gather(bc_load_grid *out, const bc_loads *loads) {
  size_t count = 0;
  for (size_t i = 0; i < loads->point_count; i++) {
    const bc_load_point *point = &loads->points[i];
    if (!point->on || strcmp(point->on, out->id) != 0) continue;
    count++;
    out->load_n += point->vertical_n;
    out->unweighed = out->unweighed || !point->weighed;
  }
  return count;
}

static unsigned reasons(bc_holds compared, bool unweighed) {
  const unsigned why = compared == BC_HOLDS_NO        ? BC_WHY_OVERLOADED
                       : compared == BC_HOLDS_UNKNOWN ? BC_WHY_NO_RATING
                                                      : 0;
  return why | (unweighed ? BC_WHY_NO_WEIGHT : 0);
}

bc_status loads_find_grids(bc_loads *loads, bc_context *context, const bc_plan *plan) {
  loads->grids = bc_allocate(plan->grid_count, sizeof *loads->grids);
  if (!loads->grids) return bc_fail_memory(context);
  for (size_t i = 0; i < plan->grid_count; i++) {
    const bc_grid *grid = &plan->grids[i];
    bc_load_grid one = {.id = grid->id, .rated_n = grid->rated_kg * BC_STANDARD_GRAVITY};
    if (gather(&one, loads) == 0) continue;
    one.why = reasons(loads_compare(one.load_n, one.rated_n, loads->design_factor, &one.needed_n, &one.utilisation),
                      one.unweighed);
    loads->grids[loads->grid_count++] = one;
  }
  return BC_OK;
}

bc_status loads_find_tables(bc_loads *loads, bc_context *context, const bc_plan *plan) {
  loads->tables = bc_allocate(plan->table_count, sizeof *loads->tables);
  if (!loads->tables) return bc_fail_memory(context);
  for (size_t i = 0; i < plan->table_count; i++) {
    const bc_table *table = &plan->tables[i];
    bc_load_table one = {.id = table->id, .rated_n = table->rated_kg * BC_STANDARD_GRAVITY};
    for (size_t p = 0; p < plan->piece_count; p++) {
      const bc_piece *piece = &plan->pieces[p];
      if (!piece->placed || bc_plan_table_of(plan, piece) != table) continue;
      one.load_n += loads_newton_of_grams(piece->weight_g);
      one.unweighed = one.unweighed || !(piece->weight_g > 0);
    }
    double needed, used;
    one.why = reasons(loads_compare(one.load_n, one.rated_n, 1, &needed, &used), one.unweighed);
    loads->tables[loads->table_count++] = one;
  }
  return BC_OK;
}
