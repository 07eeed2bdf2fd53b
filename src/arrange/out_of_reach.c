/* SPDX-License-Identifier: MIT */
/* What would not hold a child's pull: such pieces hang out of a child's reach while there is room. The loads stage
 * judges each of them at the foot of the wall, where a child is sure to reach it. */
#include "problem.h"

#include <backcloth/loads.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Just above what a child reaches (a lower edge at that height still counts as reached), mm. */
int arr_above_reach(void) {
  return (int)floor(BC_CHILD_REACH_CM * ARR_MM) + 1;
}

bool arr_is_weak_in_reach(const arr_item *item, const arr_spot *spot) {
  return item->weak && spot->lane >= 0 && spot->y - item->half_h < arr_above_reach();
}

static void mark(arr_problem *problem, const char *id) {
  for (size_t i = 0; i < problem->count; i++) {
    arr_item *item = &problem->items[i];
    if (strcmp(problem->plan->pieces[item->piece].id, id) != 0) continue;
    item->weak = true;
    problem->any_weak = problem->any_weak || !item->kept;
  }
}

bc_status arr_problem_weak(arr_problem *problem, bc_context *context) {
  bc_plan plan = *problem->plan;
  bc_loads *loads = NULL;
  plan.pieces = bc_allocate(plan.piece_count, sizeof *plan.pieces);
  if (!plan.pieces) return bc_fail_memory(context);
  for (size_t i = 0; i < plan.piece_count; i++) {
    plan.pieces[i] = problem->plan->pieces[i];
    plan.pieces[i].placed = true;
    plan.pieces[i].at = (bc_point_cm){plan.stand.width / 2, plan.pieces[i].height / 2};
  }
  const bc_status status = bc_loads_of(&loads, context, &plan);
  for (size_t i = 0; status == BC_OK && i < loads->point_count; i++) {
    const bc_load_point *point = &loads->points[i];
    if (point->piece && point->in_reach && point->pulled == BC_HOLDS_NO) mark(problem, point->piece);
  }
  bc_loads_free(loads);
  free(plan.pieces);
  return status;
}
