/* SPDX-License-Identifier: MIT */
/* What the files about changes during the market share. */
#ifndef BC_SRC_ARRANGE_CHANGE_H
#define BC_SRC_ARRANGE_CHANGE_H

#include "problem.h"

/* A wall that hangs: the plan with what may not move pinned, its layout before and while it changes. */
typedef struct arr_hall {
  bc_plan still; /* strings borrowed from the plan */
  bc_arrange_options options;
  arr_problem *problem;
  arr_layout before, layout, best;
} arr_hall;

/* On failure close it too. */
bc_status arr_hall_open(arr_hall *hall, bc_context *context, const bc_plan *plan, const bc_arrange_options *options);
void arr_hall_close(arr_hall *hall);
double arr_hall_score(const arr_hall *hall, const arr_layout *layout);
arr_spot arr_hall_place(const arr_hall *hall, arr_layout *layout, size_t index, const arr_spot *hole, double *score);
/* Moves the one piece whose move helps most; false, and nothing is changed, when none is worth it. `best` must be a
 * copy of `layout`; `enough` is the score with which the wall looks right. */
bool arr_hall_move_one(arr_hall *hall, const arr_spot *hole, double enough, double *score);
bc_status arr_hall_holds(const arr_hall *hall, bc_context *context, bool *holds);
/* Writes what differs between `before` and `layout` into the plan and the change, in an order in which
 * it can be done. `added`: the item that is new, -1 none. */
bc_status arr_hall_moves(const arr_hall *hall, bc_context *context, bc_plan *plan, bc_change *change, int added);
/* Counts one more of the piece as sold, in the plan. */
bc_status arr_count_sale(bc_context *context, bc_plan *plan, const bc_piece *piece);
/* The list of all that was sold, with what is left. */
bc_status arr_restock(bc_change *change, bc_context *context, const bc_plan *plan);
int arr_find_piece(const bc_plan *plan, const char *id);

#endif
