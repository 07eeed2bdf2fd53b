/* SPDX-License-Identifier: MIT */
/* The hard rules. */
#ifndef BC_SRC_ARRANGE_RULES_H
#define BC_SRC_ARRANGE_RULES_H

#include "problem.h"

/* The centre lies in the lane, on the grid, and touches no block. */
bool arr_fits(const arr_problem *problem, const arr_item *item, const arr_spot *spot);
/* No placed item (other than `but`, -1 none) overlaps it or is nearer than the gap. */
bool arr_clear(const arr_problem *problem, const arr_layout *layout, size_t item, const arr_spot *spot, int but);
bool arr_two_clear(const arr_problem *problem, const arr_item *a, const arr_spot *at, const arr_item *b,
                   const arr_spot *bt);
/* Whether the centre lies where the lane's mesh or the plan's grid has a place. */
bool arr_on_its_grid(const arr_problem *problem, const arr_lane *lane, int x, int y);
/* Fills problem->bars with the open rectangles (x0 < x < x1, y0 < y < y1) in which the item's centre may not lie in
 * that lane, and returns their number: with the grid and the lane's ends they say what arr_fits and arr_clear say, for
 * all places at once. */
size_t arr_bars(const arr_problem *problem, const arr_layout *layout, size_t item, int lane);
/* The shelf still holds with this item on it. */
bool arr_carries(const arr_problem *problem, const arr_layout *layout, size_t item, int lane);
/* All of them. */
bool arr_allowed(const arr_problem *problem, const arr_layout *layout, size_t item, const arr_spot *spot);
/* How many items break a hard rule; 0 for every layout we hand out, kept items aside. */
size_t arr_broken(const arr_problem *problem, const arr_layout *layout);
/* Importance of what is left off; compared before the score. */
int arr_lost(const arr_problem *problem, const arr_layout *layout);
/* The item's lane on a carrier, or -1. */
int arr_lane_on(const arr_problem *problem, const arr_item *item, int carrier);

#endif
