/* SPDX-License-Identifier: MIT */
/* Rated loads as a hard rule. */
#ifndef BC_SRC_ARRANGE_HOLD_H
#define BC_SRC_ARRANGE_HOLD_H

#include "problem.h"

#include <backcloth/loads.h>

/* Why pieces are out already, one entry a piece; NULL: not out. Owned. */
typedef struct arr_out {
  bool *out;
  char **why;
  size_t count;
} arr_out;
bool arr_out_new(arr_out *out, size_t count);
void arr_out_free(arr_out *out);
/* Checks the loads of a layout (bc_loads_of). What does not hold puts pieces into `out`, least
 * important first; *changed says whether any was added. Faults of kept pieces go to `cautions` (may
 * be NULL). */
bc_status arr_check_loads(const arr_problem *problem, bc_context *context, const arr_layout *layout, arr_out *out,
                          bool *changed, bc_notes *cautions);

/* The loads of a layout; their words are borrowed from the plan. */
bc_status arr_loads_at(bc_loads **out, const arr_problem *problem, bc_context *context, const arr_layout *layout);
/* Changes the order on shelves that would fail, where another order holds. */
bc_status arr_ease_shelves(const arr_problem *problem, bc_context *context, arr_layout *layout, bc_arrange_style style);

#endif
