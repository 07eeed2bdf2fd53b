/* SPDX-License-Identifier: MIT */
/* The stage's entry: points first, since rods carry points, then rods, shelves and a
 * frame, then the order of hanging and the cautions. */
#include "loads_internal.h"

#include <stdlib.h>

static bc_status note_cloth(bc_loads *loads, bc_context *context, const bc_plan *plan) {
  if (!plan->cloth.given || loads->cloth_kg > 0) return BC_OK;
  return bc_note(
      &loads->notes, context,
      _("The cloth's weight is not given, so it is missing here. Weigh it, or give \"grams_per_m2\" from its "
        "label."));
}

/* What has no place yet is counted: it is meant to hang, and too much is the safe side. */
static bc_status note_unplaced(bc_loads *loads, bc_context *context, const bc_plan *plan) {
  size_t count = 0;
  for (size_t i = 0; i < plan->piece_count; i++) {
    const bc_piece *piece = &plan->pieces[i];
    if (!piece->placed && piece->weight_g > 0 && bc_mount_hangs(piece->mount.kind)) count++;
  }
  if (count == 0) return BC_OK;
  return bc_note(
      &loads->notes, context,
      bc_text_plural("%zu piece has no place on the wall yet. It counts in the total, but no rod or shelf is "
                     "checked with it: place it first.",
                     "%zu pieces have no place on the wall yet. They count in the total, but no rod or "
                     "shelf is checked with them: place them first.",
                     count),
      count);
}

static bool any_overload(const bc_loads *loads) {
  for (size_t i = 0; i < loads->point_count; i++)
    if (loads->points[i].holds == BC_HOLDS_NO || loads->points[i].tips) return true;
  for (size_t i = 0; i < loads->rod_count; i++)
    if (loads->rods[i].holds == BC_HOLDS_NO) return true;
  for (size_t i = 0; i < loads->shelf_count; i++)
    if (loads->shelves[i].holds == BC_HOLDS_NO) return true;
  for (size_t i = 0; i < loads->grid_count; i++)
    if (loads->grids[i].holds == BC_HOLDS_NO) return true;
  return loads->frame.given && loads->frame.holds == BC_HOLDS_NO;
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
  if (status == BC_OK) status = note_unplaced(loads, context, plan);
  if (status == BC_OK) status = loads_find_rods(loads, context, plan);
  if (status == BC_OK) status = loads_find_shelves(loads, context, plan);
  if (status == BC_OK) status = loads_find_grids(loads, context, plan);
  if (status == BC_OK) status = loads_find_frame(loads, context, plan);
  if (status == BC_OK) status = loads_find_order(loads, context, plan);
  if (status == BC_OK) status = loads_add_cautions(loads, context, plan);
  if (status != BC_OK) {
    bc_loads_free(loads);
    return status;
  }
  loads->per_metre_kg = loads->total_kg / (plan->stand.width / 100);
  loads->overloaded = any_overload(loads);
  *out = loads;
  return BC_OK;
}

void bc_loads_free(bc_loads *loads) {
  if (!loads) return;
  free(loads->points);
  free(loads->rods);
  free(loads->shelves);
  free(loads->grids);
  free(loads->steps);
  bc_notes_clear(&loads->cautions);
  bc_notes_clear(&loads->notes);
  free(loads);
}
