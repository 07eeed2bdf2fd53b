/* SPDX-License-Identifier: MIT */
/* Small changes to a finished layout: a piece to a line it could share, two pieces exchanged, a row
 * shifted. With heat it accepts losses for a while (annealing), without it only gains. */
#include "rules.h"
#include "score.h"
#include "search.h"

#include <math.h>
#include <stdlib.h>

typedef struct polish {
  const arr_problem *problem;
  arr_layout *layout;
  arr_random *random;
} polish;

static bool movable(const polish *p, size_t i) {
  return !p->problem->items[i].kept && p->problem->items[i].lane_count > 0;
}

static int on_lane_x(const polish *p, const arr_lane *lane, int x) {
  x = arr_on_grid(p->problem, x);
  return x < lane->x_lo || x > lane->x_hi ? INT32_MIN : x;
}

static size_t below(polish *p, size_t count) {
  return arr_random_below(p->random, count);
}

static int random_between(polish *p, int lo, int hi) {
  return lo + (int)below(p, (size_t)(hi - lo) + 1);
}

/* An x that makes sense beside another piece: its column, its mirror image, or in touch with it. */
static int sensible_x(polish *p, const arr_item *item, const arr_item *other, const arr_spot *at) {
  const arr_problem *problem = p->problem;
  const int aside = item->half_w + other->half_w + problem->gap;
  switch (below(p, 6)) {
  case 0:
    return at->x;
  case 1:
    return 2 * problem->focus_x - at->x;
  case 2:
    return at->x + aside;
  case 3:
    return at->x - aside;
  case 4:
    return problem->focus_x;
  default:
    return at->x - other->half_w + item->half_w;
  }
}

/* Down to 5 mm, which a tape shows; on a coarse grid the grid decides. */
static int easy(const polish *p, int y) {
  return p->problem->grid > 1 ? y : y / 5 * 5;
}

static int sensible_y(polish *p, const arr_item *item, const arr_item *other, const arr_spot *at) {
  const int gap = p->problem->gap;
  switch (below(p, 6)) {
  case 0:
  case 1:
    return at->y;
  case 2:
    return at->y + other->half_h - item->half_h;
  case 3:
    return at->y - other->half_h + item->half_h;
  case 4:
    return easy(p, at->y + other->half_h + other->rise + gap + item->half_h + 4);
  default:
    return easy(p, at->y - other->half_h - gap - item->half_h - item->rise);
  }
}

/* One piece to another place; true when the place is allowed. */
static bool move_one(polish *p, size_t i) {
  const arr_problem *problem = p->problem;
  const arr_item *item = &problem->items[i];
  const int lane_index = item->lane_first + (int)below(p, (size_t)item->lane_count);
  const arr_lane *lane = &problem->lanes[lane_index];
  const size_t x_from = below(p, problem->count), y_from = below(p, problem->count);
  arr_spot spot = p->layout->spot[i];
  const bool placed = spot.lane >= 0;
  spot.lane = lane_index;
  const size_t kind = placed ? below(p, 4) : 3;
  if (kind == 0 || kind == 2) spot.x = sensible_x(p, item, &problem->items[x_from], &p->layout->spot[x_from]);
  if (kind == 1 || kind == 2) spot.y = sensible_y(p, item, &problem->items[y_from], &p->layout->spot[y_from]);
  if (kind == 3) {
    spot.x = random_between(p, lane->x_lo, lane->x_hi);
    spot.y = easy(p, random_between(p, lane->y_lo, lane->y_hi));
  }
  spot.x = on_lane_x(p, lane, spot.x);
  if (lane->y_lo == lane->y_hi)
    spot.y = lane->y_lo;
  else
    spot.y = arr_on_grid(problem, spot.y);
  if (spot.x != INT32_MIN) spot.x = arr_on_mesh(lane, spot.x);
  if (spot.x == INT32_MIN || spot.y < lane->y_lo || spot.y > lane->y_hi) return false;
  p->layout->spot[i].lane = -1;
  if (!arr_allowed(problem, p->layout, i, &spot)) return false;
  p->layout->spot[i] = spot;
  return true;
}

/* Two pieces change places. */
static bool exchange(polish *p, size_t i, size_t j) {
  const arr_problem *problem = p->problem;
  arr_spot a = p->layout->spot[i], b = p->layout->spot[j];
  if (i == j || a.lane < 0 || b.lane < 0) return false;
  const int lane_i = arr_lane_on(problem, &problem->items[i], problem->lanes[b.lane].carrier);
  const int lane_j = arr_lane_on(problem, &problem->items[j], problem->lanes[a.lane].carrier);
  if (lane_i < 0 || lane_j < 0) return false;
  arr_spot to_i = {b.x, b.y, lane_i}, to_j = {a.x, a.y, lane_j};
  if (problem->lanes[lane_i].y_lo == problem->lanes[lane_i].y_hi) to_i.y = problem->lanes[lane_i].y_lo;
  if (problem->lanes[lane_j].y_lo == problem->lanes[lane_j].y_hi) to_j.y = problem->lanes[lane_j].y_lo;
  p->layout->spot[i].lane = p->layout->spot[j].lane = -1;
  if (!arr_allowed(problem, p->layout, i, &to_i)) return false;
  p->layout->spot[i] = to_i;
  if (!arr_allowed(problem, p->layout, j, &to_j)) return false;
  p->layout->spot[j] = to_j;
  return true;
}

/* All free pieces of a row (or column) shift together. */
static bool shift_line(polish *p, size_t of) {
  const arr_problem *problem = p->problem;
  const arr_spot line = p->layout->spot[of];
  if (line.lane < 0) return false;
  const bool level = below(p, 2) == 0;
  const int step = problem->grid > 1 ? problem->grid * (below(p, 2) ? 1 : -1) : 5 * random_between(p, -8, 8);
  const int dx = below(p, 2) == 0 ? step : 0, dy = dx == 0 ? step : 0;
  const int carrier = problem->lanes[line.lane].carrier;
  bool fits = true;
  for (size_t i = 0; i < problem->count; i++) {
    arr_spot *spot = &p->layout->spot[i];
    if (spot->lane < 0 || !movable(p, i) || problem->lanes[spot->lane].carrier != carrier) continue;
    if (level ? spot->y != line.y : spot->x != line.x) continue;
    spot->x += dx;
    spot->y += dy;
  }
  for (size_t i = 0; fits && i < problem->count; i++)
    if (p->layout->spot[i].lane >= 0 && movable(p, i)) fits = arr_allowed(problem, p->layout, i, &p->layout->spot[i]);
  return fits;
}

void arr_polish(const arr_problem *problem, arr_layout *layout, arr_layout *spare, bc_arrange_style style,
                arr_random *random, arr_effort effort) {
  polish p = {problem, layout, random};
  arr_layout best = {0};
  if (problem->count == 0 || !arr_layout_new(&best, problem)) return;
  double value = arr_value(problem, layout, style), best_value = value;
  arr_layout_copy(&best, layout, problem);
  const double cooling = effort.tries > 1 ? pow(0.01, 1.0 / (double)effort.tries) : 1;
  double heat = effort.heat;
  for (size_t t = 0; t < effort.tries; t++, heat *= cooling) {
    arr_layout_copy(spare, layout, problem);
    const size_t i = below(&p, problem->count), j = below(&p, problem->count);
    if (!movable(&p, i)) continue;
    bool moved;
    switch (below(&p, 8)) {
    case 0:
      moved = shift_line(&p, i);
      break;
    case 1:
    case 2:
      moved = movable(&p, j) && exchange(&p, i, j);
      break;
    default:
      moved = move_one(&p, i);
      break;
    }
    const double tried = moved ? arr_value(problem, layout, style) : -1e9;
    const bool accept =
        moved && (tried >= value || (heat > 0 && arr_random_unit(random) < exp((tried - value) / heat)));
    if (!accept) {
      arr_layout_copy(layout, spare, problem);
      continue;
    }
    value = tried;
    if (value <= best_value + 1e-12) continue;
    best_value = value;
    arr_layout_copy(&best, layout, problem);
  }
  arr_layout_copy(layout, &best, problem);
  arr_layout_free(&best);
}
