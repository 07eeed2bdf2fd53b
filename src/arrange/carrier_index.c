/* SPDX-License-Identifier: MIT */
/* Where the kinds of carriers stand in the list of carriers. */
#include "problem.h"

static size_t arr_first_table(const arr_problem *problem) {
  return 1 + problem->plan->rod_count + problem->plan->shelf_count;
}
static size_t arr_first_riser(const arr_problem *problem) {
  return arr_first_table(problem) + problem->plan->table_count + 1; /* the floor lies between */
}
size_t arr_first_grid(const arr_problem *problem) {
  return arr_first_riser(problem) + problem->plan->riser_count;
}
static size_t arr_first_post(const arr_problem *problem) {
  return arr_first_grid(problem) + problem->plan->grid_count;
}

int arr_carrier_of(const arr_problem *problem, bc_carrier_kind kind, size_t index) {
  const size_t first[BC_CARRIER_KINDS] = {[BC_CARRIER_FRAME] = 0, /* as the wall */
                                          [BC_CARRIER_ROD] = 1,
                                          [BC_CARRIER_SHELF] = 1 + problem->plan->rod_count,
                                          [BC_CARRIER_TABLE] = arr_first_table(problem),
                                          [BC_CARRIER_RISER] = arr_first_riser(problem),
                                          [BC_CARRIER_GRID] = arr_first_grid(problem),
                                          [BC_CARRIER_POST] = arr_first_post(problem)};
  return (int)(first[kind] + index);
}

int arr_floor_carrier(const arr_problem *problem) {
  return (int)arr_first_riser(problem) - 1;
}

const bc_table *arr_carrier_table(const arr_problem *problem, int carrier) {
  const bc_plan *plan = problem->plan;
  const size_t c = (size_t)carrier, table = arr_first_table(problem), riser = arr_first_riser(problem);
  if (c >= table && c < table + plan->table_count) return &plan->tables[c - table];
  if (c >= riser && c < riser + plan->riser_count) return bc_plan_riser_table(plan, &plan->risers[c - riser]);
  return NULL;
}
