/* SPDX-License-Identifier: MIT */
/* Where the kinds of carriers stand in the list of carriers. */
#include "problem.h"

static size_t arr_first_table(const arr_problem *problem) {
  return 1 + problem->plan->rod_count + problem->plan->shelf_count;
}
size_t arr_first_riser(const arr_problem *problem) {
  return arr_first_table(problem) + problem->plan->table_count + 1; /* the floor lies between */
}
size_t arr_first_grid(const arr_problem *problem) {
  return arr_first_riser(problem) + problem->plan->riser_count;
}
size_t arr_first_post(const arr_problem *problem) {
  return arr_first_grid(problem) + problem->plan->grid_count;
}

const bc_table *arr_carrier_table(const arr_problem *problem, int carrier) {
  const bc_plan *plan = problem->plan;
  const size_t c = (size_t)carrier, table = arr_first_table(problem), riser = arr_first_riser(problem);
  if (c >= table && c < table + plan->table_count) return &plan->tables[c - table];
  if (c >= riser && c < riser + plan->riser_count) return bc_plan_riser_table(plan, &plan->risers[c - riser]);
  return NULL;
}
