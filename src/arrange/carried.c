/* SPDX-License-Identifier: MIT */
/* Leaders into the focus; then what rods, shelves, tables and the floor carry, side by side. */
#include "compose.h"
#include "line.h"
#include "nearest_place.h"
#include "rules.h"
#include "score.h"

#include "base/maths.h"

#include <stdlib.h>

/* Several statement pieces that hang free are one set: a row about the focus. */
void arr_place_leaders(const arr_problem *problem, arr_layout *layout) {
  int *row = malloc((problem->count + 1) * sizeof *row);
  if (!row) return;
  size_t count = 0;
  for (size_t i = 0; i < problem->count; i++) {
    const arr_item *item = &problem->items[i];
    if (item->leader && layout->spot[i].lane < 0 && item->lane_count > 0 && arr_lane_on(problem, item, 0) >= 0)
      row[count++] = (int)i;
  }
  if (count > 1) {
    const arr_line line = {.level = true,
                           .at = problem->focus_y,
                           .lo = 0,
                           .hi = problem->width,
                           .gap = problem->gap,
                           .anchor = problem->focus_x};
    arr_line_fill(problem, layout, &line, row, count);
  }
  for (size_t i = 0; i < problem->count; i++)
    if (problem->items[i].leader && layout->spot[i].lane < 0 && problem->items[i].where == ARR_HANGING)
      layout->spot[i] = arr_nearest(problem, layout, i, problem->focus_x, problem->focus_y);
  free(row);
}

/* --- sharing pieces out over carriers ---------------------------------------------------------------- */

static int taken(const arr_problem *problem, const int *carrier_of, int carrier) {
  int length = 0;
  for (size_t i = 0; i < problem->count; i++)
    if (carrier_of[i] == carrier) length += 2 * problem->items[i].half_w + problem->gap;
  return length;
}

static double load_of(const arr_problem *problem, const int *carrier_of, int carrier) {
  double grams = 0;
  for (size_t i = 0; i < problem->count; i++)
    if (carrier_of[i] == carrier) grams += problem->plan->pieces[problem->items[i].piece].weight_g;
  return grams;
}

/* The carrier that is least full for its length, among those that still have room and strength;
 * members of a group go where the group already is. */
static int choose_carrier(const arr_problem *problem, const int *carrier_of, size_t index) {
  const arr_item *item = &problem->items[index];
  const int length = 2 * item->half_w + problem->gap;
  int best = -1;
  double best_fill = 0;
  for (int l = item->lane_first; l < item->lane_first + item->lane_count; l++) {
    const int c = problem->lanes[l].carrier;
    const arr_carrier *carrier = &problem->carriers[c];
    const double room = carrier->x1 - carrier->x0 + problem->gap;
    const double weight = problem->plan->pieces[item->piece].weight_g;
    if (carrier->rated_g > 0 && load_of(problem, carrier_of, c) + weight > carrier->rated_g) continue;
    double fill = (taken(problem, carrier_of, c) + length) / room;
    if (fill > 1) continue;
    for (size_t i = 0; item->group >= 0 && i < problem->count; i++)
      if (problem->items[i].group == item->group && carrier_of[i] == c) fill -= 1;
    if (best < 0 || fill < best_fill) {
      best = c;
      best_fill = fill;
    }
  }
  return best;
}

/* Largest first, so that what is hard to house is housed first. */
static void share_out(const arr_problem *problem, const arr_layout *layout, int *carrier_of, bool *done) {
  for (size_t i = 0; i < problem->count; i++) {
    carrier_of[i] = layout->spot[i].lane >= 0 ? problem->lanes[layout->spot[i].lane].carrier : -1;
    done[i] = layout->spot[i].lane >= 0 || problem->items[i].lane_count == 0 ||
              problem->lanes[problem->items[i].lane_first].carrier == 0;
  }
  for (;;) {
    int next = -1;
    for (size_t i = 0; i < problem->count; i++)
      if (!done[i] && (next < 0 || problem->items[i].half_w > problem->items[next].half_w)) next = (int)i;
    if (next < 0) return;
    done[next] = true;
    carrier_of[next] = choose_carrier(problem, carrier_of, (size_t)next);
  }
}

/* --- order on a carrier ------------------------------------------------------------------------------- */

/* Puts a falling list into a row whose tallest stand in the middle (peak) or at the ends (valley). */
static void shape(int *row, int count, bool valley) {
  int *sorted = malloc((size_t)(count + 1) * sizeof *sorted);
  if (!sorted) return;
  for (int i = 0; i < count; i++) sorted[i] = row[valley ? i : count - 1 - i];
  int left = 0, right = count - 1;
  for (int i = 0; i < count; i++) row[i % 2 == 0 ? left++ : right--] = sorted[i];
  free(sorted);
}

static bool taller(const arr_problem *problem, int a, int b) {
  const arr_item *first = &problem->items[a], *second = &problem->items[b];
  if (first->half_h != second->half_h) return first->half_h > second->half_h;
  if (first->half_w != second->half_w) return first->half_w > second->half_w;
  return a < b;
}

/* Members of a group stand side by side: the row is sorted by group again, each group in the order in
 * which its middle came. */
static void gather_groups(const arr_problem *problem, int *row, int count) {
  for (int i = 0; i < count; i++) {
    const int group = problem->items[row[i]].group;
    if (group < 0) continue;
    int to = i + 1;
    for (int j = i + 1; j < count; j++) {
      if (problem->items[row[j]].group != group) continue;
      const int moved = row[j];
      for (int k = j; k > to; k--) row[k] = row[k - 1];
      row[to++] = moved;
    }
    i = to - 1;
  }
}

static void fill_carrier(const arr_problem *problem, arr_layout *layout, const int *carrier_of, int carrier,
                         bc_arrange_style style, int *row) {
  int count = 0, bare = 0, high = 0;
  for (size_t i = 0; i < problem->count; i++) {
    if (carrier_of[i] != carrier || layout->spot[i].lane >= 0) continue;
    int k = count++;
    for (; k > 0 && taller(problem, (int)i, row[k - 1]); k--) row[k] = row[k - 1];
    row[k] = (int)i;
    bare += 2 * problem->items[i].half_w;
    high = base_most(high, problem->items[i].half_h);
  }
  if (count == 0) return;
  const arr_carrier *on = &problem->carriers[carrier];
  /* A panel or a post has many heights to hang at: each piece goes where it is nearest to the focus. */
  if ((size_t)carrier >= arr_first_grid(problem)) return;
  const int lane = arr_lane_on(problem, &problem->items[row[0]], carrier);
  /* A hung leader shows above a valley; without one the middle of the row leads. */
  const bool valley = on->where == ARR_TABLE && problem->leader_count > 0;
  if (!(valley && style == BC_ARRANGE_LEVEL_ROWS)) shape(row, count, valley);
  gather_groups(problem, row, count);
  int moat = problem->gap;
  for (size_t i = 0; i < problem->count; i++)
    if (problem->items[i].leader && on->where == ARR_HANGING)
      moat = base_most(moat, arr_moat(problem, &problem->items[i], style));
  const int spread = (on->x1 - on->x0 - bare) / (count + 1);
  const arr_line line = {.level = true,
                         .at = problem->lanes[lane].y_lo,
                         .lo = base_most(0, on->x0),
                         .hi = base_least(problem->width, on->x1),
                         .gap = base_most(problem->gap, base_least(spread, 3 * problem->gap)),
                         .anchor = on->where == ARR_FLOOR || on->where == ARR_HANGING ? problem->focus_x
                                                                                      : (on->x0 + on->x1) / 2,
                         .moat = moat,
                         .carrier = carrier};
  arr_line_fill(problem, layout, &line, row, (size_t)count);
}

void arr_place_carried(const arr_problem *problem, arr_layout *layout, bc_arrange_style style) {
  int *carrier_of = malloc((problem->count + 1) * sizeof *carrier_of);
  int *row = malloc((problem->count + 1) * sizeof *row);
  bool *done = malloc((problem->count + 1) * sizeof *done);
  if (carrier_of && row && done) {
    share_out(problem, layout, carrier_of, done);
    for (int c = 1; c < (int)problem->carrier_count; c++) fill_carrier(problem, layout, carrier_of, c, style, row);
    for (size_t i = 0; i < problem->count; i++) { /* what the row could not take */
      if (layout->spot[i].lane >= 0 || problem->items[i].lane_count == 0) continue;
      if (problem->lanes[problem->items[i].lane_first].carrier == 0) continue;
      layout->spot[i] = arr_nearest(problem, layout, i, problem->focus_x, problem->focus_y);
    }
  }
  free(carrier_of);
  free(row);
  free(done);
}
