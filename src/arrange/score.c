/* SPDX-License-Identifier: MIT */
/* What a composed wall is worth: named parts 0..1 from one pass over the pairs of pieces.
 * docs/method/arrange.md gives each formula and the reason for each constant. */
#include "score_pass.h"

#include <math.h>
#include <stdlib.h>

/* The share of each part; they sum to 1. Our choice: what a visitor sees first weighs most. */
static const double weights[BC_ARRANGE_PARTS] = {
    [BC_PART_FOCUS] = 0.12,    [BC_PART_CLEAR] = 0.07,    [BC_PART_SIGHT] = 0.11, [BC_PART_BALANCE] = 0.11,
    [BC_PART_SYMMETRY] = 0.07, [BC_PART_LINES] = 0.10,    [BC_PART_GAPS] = 0.07,  [BC_PART_SPACING] = 0.09,
    [BC_PART_ORDER] = 0.05,    [BC_PART_TOGETHER] = 0.07, [BC_PART_SEEN] = 0.04,  [BC_PART_STYLE] = 0.10,
};

double bc_arrange_weight(bc_arrange_part part) {
  return part == BC_PART_STYLE ? 0 : weights[part] / (1 - weights[BC_PART_STYLE]);
}

/* A fast pass needs no allocation up to here. */
#define USUAL 64

double arr_weigh(const double part[BC_ARRANGE_PARTS], bool with_style) {
  double sum = 0, all = 0;
  for (int i = 0; i < BC_ARRANGE_PARTS; i++) {
    if (i == BC_PART_STYLE && !with_style) continue;
    sum += weights[i] * part[i];
    all += weights[i];
  }
  return sum / all;
}

static arr_note first_notes(const arr_problem *problem, const arr_spot *spot, const arr_item *item) {
  const int off = 2 * abs(spot->x - problem->focus_x);
  return (arr_note){
      .x = spot->x,
      .y = spot->y,
      .half_w = item->half_w,
      .half_h = item->half_h,
      .carrier = problem->lanes[spot->lane].carrier,
      .leader = item->leader,
      .hangs = item->where == ARR_HANGING,
      .weight = item->weight,
      .area = item->area,
      .right = INT32_MAX,
      .up = INT32_MAX,
      .near = INT32_MAX,
      /* A piece on the wall's axis is its own mirror image and stands on a line. */
      .mirror = fmin(1, off / 400.0),
      .column = off <= 2 ? 5 : 0,
  };
}

double arr_score(const arr_problem *problem, const arr_layout *layout, bc_arrange_style style,
                 double part[BC_ARRANGE_PARTS]) {
  arr_note usual_notes[USUAL];
  int usual_placed[USUAL];
  double own[BC_ARRANGE_PARTS];
  if (!part) part = own;
  const bool many = problem->count > USUAL;
  arr_pass p = {.problem = problem, .layout = layout, .style = style, .notes = usual_notes, .placed = usual_placed};
  if (many) {
    p.notes = malloc(problem->count * sizeof *p.notes);
    p.placed = malloc(problem->count * sizeof *p.placed);
  }
  for (int i = 0; i < BC_ARRANGE_PARTS; i++) part[i] = 0;
  if (!p.notes || !p.placed) { /* a layout that cannot be judged is never chosen */
    free(p.notes);
    free(p.placed);
    return 0;
  }
  for (size_t i = 0; i < problem->count; i++)
    if (layout->spot[i].lane >= 0) p.placed[p.count++] = (int)i;
  if (p.count == 0 && problem->count > 0) { /* an empty wall shows nothing well */
    if (many) {
      free(p.notes);
      free(p.placed);
    }
    return 0;
  }
  for (int i = 0; i < p.count; i++)
    p.notes[i] = first_notes(problem, &layout->spot[p.placed[i]], &problem->items[p.placed[i]]);
  for (int i = 0; i < p.count; i++)
    for (int j = i + 1; j < p.count; j++) arr_pair(&p, &p.notes[i], &p.notes[j]);
  arr_part_means(&p, part);
  part[BC_PART_FOCUS] = arr_part_focus(&p);
  part[BC_PART_CLEAR] = arr_part_clear(&p);
  part[BC_PART_SIGHT] = arr_part_sight(&p);
  part[BC_PART_BALANCE] = arr_part_balance(&p);
  part[BC_PART_GAPS] = arr_part_gaps(&p);
  part[BC_PART_ORDER] = p.order_all > 0 ? p.order_good / p.order_all : 1;
  part[BC_PART_TOGETHER] = arr_part_together(&p);
  part[BC_PART_SEEN] = arr_part_seen(&p);
  part[BC_PART_STYLE] = arr_part_style(&p, part);
  if (many) {
    free(p.notes);
    free(p.placed);
  }
  return arr_weigh(part, true);
}
