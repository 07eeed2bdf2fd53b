/* SPDX-License-Identifier: MIT */
/* One pass over the pairs of placed pieces, and the parts of the score that are made from it. */
#ifndef BC_SRC_ARRANGE_SCORE_PASS_H
#define BC_SRC_ARRANGE_SCORE_PASS_H

#include "score.h"

/* One placed piece, side by side in memory, with what the pass over the pairs gathers for it. */
typedef struct arr_note {
  double weight, area;
  double mirror; /* how far from having a mirror image, 0..1 */
  int x, y, half_w, half_h, carrier;
  int right, up;               /* gap to its neighbour to the right and above, INT32_MAX none */
  int near;                    /* to the nearest piece in any direction */
  int line, column;            /* shares a level, an upright: 0 no, 4 an edge, 5 the centre */
  int level_with;              /* how many others hang on its centre line */
  bool leader, hangs, grouped; /* grouped: its group has been looked at */
} arr_note;

typedef struct arr_pass {
  const arr_problem *problem;
  const arr_layout *layout;
  bc_arrange_style style;
  arr_note *notes;
  int *placed; /* items that have a place */
  int count;
  double order_good, order_all;
} arr_pass;

/* pairs.c: what two pieces are to each other goes into their notes. */
void arr_pair(arr_pass *p, arr_note *a, arr_note *b);

/* The parts, each 0..1. Those of place: */
double arr_part_focus(const arr_pass *p);
double arr_part_clear(const arr_pass *p);
double arr_part_sight(const arr_pass *p);
double arr_part_balance(const arr_pass *p);
double arr_part_seen(const arr_pass *p);
/* Those of pieces together: symmetry, lines and spacing at once. */
void arr_part_means(const arr_pass *p, double part[BC_ARRANGE_PARTS]);
double arr_part_gaps(const arr_pass *p);
double arr_part_together(const arr_pass *p);
double arr_part_style(const arr_pass *p, const double part[BC_ARRANGE_PARTS]);

#endif
