/* SPDX-License-Identifier: MIT */
/* The search for the best layout of a style. */
#ifndef BC_SRC_ARRANGE_SEARCH_H
#define BC_SRC_ARRANGE_SEARCH_H

#include "problem.h"

typedef struct arr_random {
  uint64_t state;
} arr_random;
/* 0..count-1 */
size_t arr_random_below(arr_random *random, size_t count);
double arr_random_unit(arr_random *random);

/* The best layout of a style that the search finds. */
bc_status arr_search(const arr_problem *problem, bc_context *context, arr_layout *best, bc_arrange_style style);
/* How long is polished, and how readily a loss is accepted at first; heat 0: only gains. */
typedef struct arr_effort {
  size_t tries;
  double heat;
} arr_effort;
/* Moves single pieces, pairs and lines while that helps. */
void arr_polish(const arr_problem *problem, arr_layout *layout, arr_layout *spare, bc_arrange_style style,
                arr_random *random, arr_effort effort);

#endif
