/* SPDX-License-Identifier: MIT */
/* Places for what has none. */
#ifndef BC_SRC_ARRANGE_NEAREST_H
#define BC_SRC_ARRANGE_NEAREST_H

#include "problem.h"

/* Places what has no place yet, nearest to where it would look right; keeps hard rules. */
void arr_repair(const arr_problem *problem, arr_layout *layout);
/* Packs tightly, without regard for looks: the last resort before leaving pieces off. Every twelve trials the statement
 * piece goes elsewhere: it moves before anything is left off. Gives up, and returns false, once what is lost matters
 * more than `most` (arr_lost). */
#define ARR_LEADER_PLACES 7
bool arr_pack(const arr_problem *problem, arr_layout *layout, int trial, int most);
/* The allowed place nearest to (x, y); lane -1 when there is none. */
arr_spot arr_nearest(const arr_problem *problem, const arr_layout *layout, size_t item, int x, int y);

#endif
