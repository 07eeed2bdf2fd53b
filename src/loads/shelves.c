/* SPDX-License-Identifier: MIT */
/* Shelves: the weight that stands on each against what it is rated for. */
#include "loads_internal.h"

bc_status loads_find_shelves(bc_loads *loads, bc_context *context, const bc_plan *plan) {
  loads->shelves = bc_allocate(plan->shelf_count, sizeof *loads->shelves);
  if (!loads->shelves) return bc_fail_memory(context);
  for (size_t i = 0; i < plan->shelf_count; i++) {
    const bc_shelf *shelf = &plan->shelves[i];
    bc_load_shelf *out = &loads->shelves[loads->shelf_count++];
    *out = (bc_load_shelf){.id = shelf->id, .rated_n = shelf->rated_kg * BC_STANDARD_GRAVITY};
    for (size_t p = 0; p < plan->piece_count; p++) {
      if (bc_plan_shelf_of(plan, &plan->pieces[p]) != shelf) continue;
      out->load_n += loads_newton_of_grams(plan->pieces[p].weight_g);
      if (plan->pieces[p].weight_g > 0) continue;
      const bc_status status =
          bc_note(&loads->notes, context,
                  _("%s stands on shelf \"%s\", but its weight is not given, so its load is missing here. Weigh it and "
                    "give \"weight_g\"."),
                  plan->pieces[p].title, shelf->id);
      if (status != BC_OK) return status;
    }
    out->holds = loads_compare(out->load_n, out->rated_n, loads->design_factor, &out->needed_n, &out->utilisation);
  }
  return BC_OK;
}
