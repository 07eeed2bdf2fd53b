/* SPDX-License-Identifier: MIT */
/* Before a piece is left off: the nearest place that is still free, and, as the last resort, packing
 * the whole wall tightly. */
#include "nearest_place.h"

#include <limits.h>
#include <stdlib.h>

typedef struct wish {
  int item;
  double key;
} wish;

static int by_key(const void *a, const void *b) {
  const wish *first = a, *second = b;
  if (first->key != second->key) return first->key > second->key ? -1 : 1;
  return first->item - second->item;
}

/* Items without a place, those that matter most and are largest first. */
static size_t waiting(const arr_problem *problem, const arr_layout *layout, wish *list, int trial) {
  size_t count = 0;
  for (size_t i = 0; i < problem->count; i++) {
    const arr_item *item = &problem->items[i];
    if (layout->spot[i].lane >= 0 || item->lane_count == 0) continue;
    double size = item->area;
    if (trial % 3 == 1) size = item->half_h;
    if (trial % 3 == 2) size = item->half_w;
    list[count++] = (wish){(int)i, (item->statement ? 1e9 : 0) + (trial == 0 ? 1e6 * item->importance : 0) + size};
  }
  qsort(list, count, sizeof *list, by_key);
  return count;
}

/* Importance of what has no place anywhere. */
static int lost_anyway(const arr_problem *problem, const arr_layout *layout) {
  int lost = 0;
  for (size_t i = 0; i < problem->count; i++)
    if (layout->spot[i].lane < 0 && problem->items[i].lane_count == 0) lost += problem->items[i].importance;
  return lost;
}

/* Gives up, and returns false, once more is lost than `most`. */
static bool place_waiting(const arr_problem *problem, arr_layout *layout, int trial, int x, int y, int most) {
  wish *list = malloc((problem->count + 1) * sizeof *list);
  if (!list) return false; /* then pieces stay off, which the caller reports */
  const size_t count = waiting(problem, layout, list, trial);
  int lost = lost_anyway(problem, layout);
  for (size_t i = 0; i < count && lost <= most; i++) {
    const size_t item = (size_t)list[i].item;
    const bool leads = problem->items[item].leader;
    layout->spot[item] = arr_nearest(problem, layout, item, leads ? problem->focus_x : x, leads ? problem->focus_y : y);
    if (layout->spot[item].lane < 0) lost += problem->items[item].importance;
  }
  free(list);
  return lost <= most;
}

void arr_repair(const arr_problem *problem, arr_layout *layout) {
  place_waiting(problem, layout, 0, problem->focus_x, problem->focus_y, INT_MAX);
}

/* The wall's upper left corner, then the others, draw the pieces: they end up dense from there. */
bool arr_pack(const arr_problem *problem, arr_layout *layout, int trial, int most) {
  /* From the focus outward: shares of the wall's breadth and of the sight band. */
  static const double places[ARR_LEADER_PLACES][2] = {{0, 0},   {-0.15, 0}, {0.15, 0}, {-0.5, 0},
                                                      {0.5, 0}, {0, 0.5},   {0, -0.5}};
  const double *const at = places[trial / 12 % ARR_LEADER_PLACES];
  const int x = problem->focus_x + (int)(at[0] * problem->width);
  const int y = problem->focus_y + (int)(at[1] * (problem->sight_high - problem->sight_low));
  arr_layout_reset(layout, problem);
  for (size_t i = 0; i < problem->count; i++)
    if (problem->items[i].leader && problem->items[i].where == ARR_HANGING && layout->spot[i].lane < 0)
      layout->spot[i] = arr_nearest(problem, layout, i, x, y);
  const int corner = trial / 3 % 4;
  return place_waiting(problem, layout, trial, corner % 2 == 0 ? 0 : problem->width, corner < 2 ? problem->height : 0,
                       most);
}
