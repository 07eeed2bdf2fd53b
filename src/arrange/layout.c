/* SPDX-License-Identifier: MIT */
/* Layouts: a place for each item, or none. */
#include "problem.h"

#include <stdlib.h>
#include <string.h>

bool arr_layout_new(arr_layout *layout, const arr_problem *problem) {
  layout->spot = bc_allocate(problem->count, sizeof *layout->spot);
  if (layout->spot) arr_layout_reset(layout, problem);
  return layout->spot != NULL;
}

void arr_layout_free(arr_layout *layout) {
  free(layout->spot);
  layout->spot = NULL;
}

void arr_layout_copy(arr_layout *to, const arr_layout *from, const arr_problem *problem) {
  memcpy(to->spot, from->spot, problem->count * sizeof *to->spot);
}

void arr_layout_reset(arr_layout *layout, const arr_problem *problem) {
  for (size_t i = 0; i < problem->count; i++) layout->spot[i] = problem->items[i].home;
}
