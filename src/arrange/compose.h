/* SPDX-License-Identifier: MIT */
/* Three ways to lay out the pieces that hang free, and what is carried. */
#ifndef BC_SRC_ARRANGE_COMPOSE_H
#define BC_SRC_ARRANGE_COMPOSE_H

#include "problem.h"

/* How a style is laid out, beside the order of its pieces. */
typedef struct arr_form {
  bc_arrange_style style;
  int lines; /* rows, columns per side, or arcs per side */
  int gap;   /* wanted gap, mm */
  int shift; /* rows: which row lies on the leader's centre line (-1 the block is centred) */
  int bend;  /* satellites: how far the wings bulge, mm; group: 1 = a middle column; rows: 1 = groups are slices */
  int tilt;  /* rows: the first row's share of pieces, percent of its fair share */
  int drop;  /* satellites: how much lower each column lies than the one inside it, mm */
} arr_form;
/* Leaders, then standing pieces and rods: the same for all orders. */
void arr_place_leaders(const arr_problem *problem, arr_layout *layout);
void arr_place_carried(const arr_problem *problem, arr_layout *layout, bc_arrange_style style);
/* Free hanging items in this order. */
void arr_compose(const arr_problem *problem, arr_layout *layout, const arr_form *form, const int *order, size_t count);

#endif
