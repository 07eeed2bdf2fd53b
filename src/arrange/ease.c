/* SPDX-License-Identifier: MIT */
/* A shelf that a heavy piece near its end would overload may hold the same pieces in another order: tried before
 * anything is left off. */
#include "hold.h"
#include "line.h"
#include "rules.h"
#include "score.h"

#include <backcloth/loads.h>
#include <stdlib.h>
#include <string.h>

enum { MOST = 24 }; /* orders that are tried: all of four pieces */

static bool shelf_fails(const bc_loads *loads, const char *id) {
  for (size_t i = 0; i < loads->shelf_count; i++)
    if (strcmp(loads->shelves[i].id, id) == 0)
      return (loads->shelves[i].shelf_why | loads->shelves[i].fixings_why) & BC_WHY_LOAD;
  return false;
}

static bc_status fails_at(bool *fails, const arr_problem *problem, bc_context *context, const arr_layout *layout,
                          const char *id) {
  bc_loads *loads = NULL;
  const bc_status status = arr_loads_at(&loads, problem, context, layout);
  *fails = status == BC_OK && shelf_fails(loads, id);
  bc_loads_free(loads);
  return status;
}

/* Heaviest first: the next piece goes to the left, the one after to the right, so that weight lies in the middle. */
static void middle_out(const arr_problem *problem, int *row, size_t count) {
  for (size_t i = 1; i < count; i++)
    for (size_t k = i; k > 0; k--) {
      const double a = problem->plan->pieces[problem->items[row[k]].piece].weight_g;
      const double b = problem->plan->pieces[problem->items[row[k - 1]].piece].weight_g;
      if (a <= b) break;
      const int swap = row[k];
      row[k] = row[k - 1];
      row[k - 1] = swap;
    }
  int *const sorted = malloc(count * sizeof *sorted);
  if (!sorted) return;
  memcpy(sorted, row, count * sizeof *sorted);
  size_t left = (count - 1) / 2, right = left + 1;
  for (size_t i = 0; i < count; i++) row[i % 2 == 0 ? left-- : right++] = sorted[i];
  free(sorted);
}

/* The next order in the dictionary's sense (Narayana Pandita's method); false after the last. */
static bool next_order(int *row, size_t count) {
  size_t i = count - 1;
  while (i > 0 && row[i - 1] >= row[i]) i--;
  if (i == 0) return false;
  size_t k = count - 1;
  while (row[k] <= row[i - 1]) k--;
  const int swap = row[i - 1];
  row[i - 1] = row[k];
  row[k] = swap;
  for (size_t a = i, b = count - 1; a < b; a++, b--) {
    const int other = row[a];
    row[a] = row[b];
    row[b] = other;
  }
  return true;
}

static bool lay(const arr_problem *problem, arr_layout *layout, int carrier, const int *row, size_t count) {
  const arr_carrier *const on = &problem->carriers[carrier];
  for (size_t i = 0; i < count; i++) layout->spot[row[i]].lane = -1;
  const int lane = arr_lane_on(problem, &problem->items[row[0]], carrier);
  if (lane < 0) return false;
  const arr_line line = {.level = true,
                         .at = problem->lanes[lane].y_lo,
                         .lo = on->x0,
                         .hi = on->x1,
                         .gap = problem->gap,
                         .anchor = (on->x0 + on->x1) / 2,
                         .moat = problem->gap,
                         .carrier = carrier};
  return arr_line_fill(problem, layout, &line, row, count) == count && arr_broken(problem, layout) == 0;
}

static size_t standing_on(const arr_problem *problem, const arr_layout *layout, int carrier, int *row) {
  size_t count = 0;
  for (size_t i = 0; i < problem->count; i++)
    if (layout->spot[i].lane >= 0 && !problem->items[i].kept && problem->lanes[layout->spot[i].lane].carrier == carrier)
      row[count++] = (int)i;
  return count;
}

/* The best of the orders that hold; the layout stays as it is when none does. */
static bc_status ease_one(const arr_problem *problem, bc_context *context, arr_layout *layout, bc_arrange_style style,
                          int carrier, int *row) {
  const size_t count = standing_on(problem, layout, carrier, row);
  arr_layout trial = {0}, best = {0};
  bc_status status = BC_OK;
  double best_value = 0;
  bool found = false, more = count > 0;
  if (!arr_layout_new(&trial, problem) || !arr_layout_new(&best, problem)) status = bc_fail_memory(context);
  if (more) middle_out(problem, row, count);
  for (int tries = 0; status == BC_OK && more && tries <= MOST; tries++) {
    bool fails = true;
    arr_layout_copy(&trial, layout, problem);
    if (lay(problem, &trial, carrier, row, count))
      status = fails_at(&fails, problem, context, &trial, problem->carriers[carrier].id);
    const double value = fails ? 0 : arr_value(problem, &trial, style);
    if (!fails && (!found || value > best_value)) {
      found = true;
      best_value = value;
      arr_layout_copy(&best, &trial, problem);
    }
    if (tries == 0) standing_on(problem, layout, carrier, row); /* then all orders from the first on */
    more = tries == 0 || next_order(row, count);
  }
  if (found) arr_layout_copy(layout, &best, problem);
  arr_layout_free(&trial);
  arr_layout_free(&best);
  return status;
}

bc_status arr_ease_shelves(const arr_problem *problem, bc_context *context, arr_layout *layout,
                           bc_arrange_style style) {
  int *const row = malloc((problem->count + 1) * sizeof *row);
  if (!row) return bc_fail_memory(context);
  bc_status status = BC_OK;
  for (int c = 1; status == BC_OK && c < (int)problem->carrier_count; c++) {
    bool fails = false;
    if (problem->carriers[c].where != ARR_SHELF || !problem->carriers[c].id) continue;
    status = fails_at(&fails, problem, context, layout, problem->carriers[c].id);
    if (status == BC_OK && fails) status = ease_one(problem, context, layout, style, c, row);
  }
  free(row);
  return status;
}
