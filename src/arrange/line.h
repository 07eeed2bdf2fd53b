/* SPDX-License-Identifier: MIT */
/* Rows and columns of pieces on a common centre line. */
#ifndef BC_SRC_ARRANGE_LINE_H
#define BC_SRC_ARRANGE_LINE_H

#include "problem.h"

/* A row (level) or a column of items that share a centre line. */
typedef struct arr_line {
  bool level;
  int at;      /* y of a row, x of a column */
  int lo, hi;  /* extent along the line */
  int gap;     /* wanted gap; less is used when needed, never less than the plan's */
  int anchor;  /* the items gather round this place on the line */
  int moat;    /* clearance from leaders, at least the gap */
  int carrier; /* whose lane the items use: index into carriers */
} arr_line;
/* Lays items (indices, in order) along a line, round whatever is there. Returns how many found a place. */
size_t arr_line_fill(const arr_problem *problem, arr_layout *layout, const arr_line *line, const int *items,
                     size_t count);
/* Free length of a line for things of that thickness either side. */
int arr_line_room(const arr_problem *problem, const arr_layout *layout, const arr_line *line, int before, int after,
                  arr_where where);

#endif
