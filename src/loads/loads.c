/* SPDX-License-Identifier: MIT */
/* The stage's entry: points first, since rods carry points, then rods, shelves and a
 * frame, then the order of hanging and the cautions. */
#include "loads_internal.h"

#include <stdlib.h>

static bc_status note_cloth(bc_loads *loads, bc_context *context, const bc_plan *plan) {
  if (!plan->cloth.given || loads->cloth_kg > 0) return BC_OK;
  return bc_note(
      &loads->notes, context,
      bc_text_safety("The cloth's weight is not given and is missing here: the real load is higher. Weigh it, or take "
                     "the weight per square metre from its label; write it into the plan as \"grams_per_m2\"."));
}

static bc_status note_unplaced(bc_loads *loads, bc_context *context) {
  if (loads->unplaced == 0) return BC_OK;
  return bc_note(
      &loads->notes, context,
      bc_text_plural(
          "%zu piece has no place yet. Its load is missing here and nothing is said about it: place it first.",
          "%zu pieces have no place yet. Their loads are missing here and nothing is said about them: place them "
          "first.",
          loads->unplaced),
      loads->unplaced);
}

bc_status bc_loads_of(bc_loads **out, bc_context *context, const bc_plan *plan) {
  *out = NULL;
  bc_loads *loads = bc_allocate(1, sizeof *loads);
  if (!loads) return bc_fail_memory(context);
  loads->design_factor = plan->design_factor;
  loads->cloth_kg = loads_cloth_grams(&plan->cloth) / 1000;
  loads->total_kg = loads->cloth_kg;
  bc_status status = note_cloth(loads, context, plan);
  if (status == BC_OK) status = loads_find_points(loads, context, plan);
  if (status == BC_OK) status = note_unplaced(loads, context);
  if (status == BC_OK) status = loads_find_rods(loads, context, plan);
  if (status == BC_OK) status = loads_find_shelves(loads, context, plan);
  if (status == BC_OK) status = loads_find_grids(loads, context, plan);
  if (status == BC_OK) status = loads_find_tables(loads, context, plan);
  if (status == BC_OK) status = loads_find_frame(loads, context, plan);
  if (status == BC_OK) status = loads_find_order(loads, context, plan);
  if (status == BC_OK) status = loads_find_findings(loads, context, plan);
  if (status == BC_OK) status = loads_add_cautions(loads, context, plan);
  if (status != BC_OK) {
    bc_loads_free(loads);
    return status;
  }
  loads->per_metre_kg = loads->total_kg / (plan->stand.width / 100);
  *out = loads;
  return BC_OK;
}

void bc_loads_free(bc_loads *loads) {
  if (!loads) return;
  free(loads->points);
  free(loads->rods);
  free(loads->shelves);
  free(loads->grids);
  free(loads->tables);
  free(loads->findings);
  free(loads->steps);
  bc_notes_clear(&loads->cautions);
  bc_notes_clear(&loads->notes);
  free(loads);
}
