/* SPDX-License-Identifier: MIT */
/* Reasons and cautions of a layout. */
#ifndef BC_SRC_ARRANGE_EXPLAIN_H
#define BC_SRC_ARRANGE_EXPLAIN_H

#include "problem.h"

bc_status arr_explain(const arr_problem *problem, bc_context *context, const arr_layout *layout,
                      bc_arrangement *arrangement);
bc_status arr_caution(const arr_problem *problem, bc_context *context, const arr_layout *layout,
                      bc_arrangement *arrangement);

#endif
