/* SPDX-License-Identifier: MIT */
/* What a layout is worth to the search: its score, less what is left off, less likeness to layouts of other styles. */
#include "score.h"

#include "base/maths.h"
#include "rules.h"

#include <stdlib.h>

/* How like another layout it is: 1 when every free piece lies where some piece lies there, 0 when they
 * lie 20 cm off or more on average. Which piece it is doesn't matter: the eye sees the pattern. */
static double likeness(const arr_problem *problem, const arr_layout *layout, const arr_spot *other) {
  double sum = 0;
  int count = 0;
  for (size_t i = 0; i < problem->count; i++) {
    const arr_spot *a = &layout->spot[i];
    if (problem->items[i].kept || problem->items[i].leader || a->lane < 0) continue;
    if (problem->lanes[a->lane].carrier != 0) continue;
    int nearest = 400;
    for (size_t j = 0; j < problem->count; j++)
      if (other[j].lane >= 0) nearest = base_least(nearest, abs(a->x - other[j].x) + abs(a->y - other[j].y));
    sum += nearest;
    count++;
  }
  return count > 0 ? base_unit(1 - sum / count / 200) : 0;
}

/* What likeness may cost: as much as being true to a way of composing is worth. */
#define LIKENESS_COST 0.1

/* What a piece may cost that would not hold a child's pull where a child reaches it: more than any part of the score is
 * worth, and less than leaving a piece off. */
#define REACH_COST 0.3

double arr_value(const arr_problem *problem, const arr_layout *layout, bc_arrange_style style) {
  double value = arr_score(problem, layout, style, NULL) - 10 * arr_lost(problem, layout);
  for (int i = 0; i < problem->unlike_count; i++)
    value -= LIKENESS_COST * likeness(problem, layout, problem->unlike[i]);
  for (size_t i = 0; problem->any_weak && i < problem->count; i++)
    if (arr_is_weak_in_reach(&problem->items[i], &layout->spot[i])) value -= REACH_COST;
  return value;
}
