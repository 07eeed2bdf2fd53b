/* SPDX-License-Identifier: MIT */
/* What a composed wall is worth. */
#ifndef BC_SRC_ARRANGE_SCORE_H
#define BC_SRC_ARRANGE_SCORE_H

#include "problem.h"

/* 0..1 for a style; part may be NULL. */
double arr_score(const arr_problem *problem, const arr_layout *layout, bc_arrange_style style,
                 double part[BC_ARRANGE_PARTS]);
double arr_weigh(const double part[BC_ARRANGE_PARTS], bool with_style);
/* Better = fewer lost, then score. A single figure for searching: score - 10 x lost, less for likeness
 * to other styles' layouts. */
double arr_value(const arr_problem *problem, const arr_layout *layout, bc_arrange_style style);
/* Space wanted round the leader by a style, mm. */
int arr_moat(const arr_problem *problem, const arr_item *leader, bc_arrange_style style);

#endif
