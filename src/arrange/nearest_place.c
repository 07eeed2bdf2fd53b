/* SPDX-License-Identifier: MIT */
/* The allowed place nearest to a wish. Such a place touches something on each axis where it isn't the
 * wish itself, so only contact lines and the lane's ends need be tried. */
#include "nearest_place.h"

#include "rules.h"

#include "base/maths.h"

#include <limits.h>
#include <stdlib.h>

/* Contact lines tried an axis; the nearest ones when there are more. */
#define LINES 160

typedef struct lines {
  int at[LINES];
  int count;
  int wish;
  int farthest; /* where the farthest is, once there are LINES of them */
} lines;

static int distance(const lines *l, int value) {
  return abs(value - l->wish);
}

static void find_farthest(lines *l) {
  l->farthest = 0;
  for (int i = 1; i < LINES; i++)
    if (distance(l, l->at[i]) > distance(l, l->at[l->farthest])) l->farthest = i;
}

static void add_line(lines *l, int value, int lo, int hi) {
  if (value < lo || value > hi) return;
  if (l->count < LINES) {
    l->at[l->count++] = value;
    if (l->count == LINES) find_farthest(l);
  } else if (distance(l, value) < distance(l, l->at[l->farthest])) {
    l->at[l->farthest] = value;
    find_farthest(l);
  }
}

/* A contact line moved off the grid goes to the grid line that doesn't touch. */
static void add_contact(const arr_problem *problem, lines *l, int value, int away, int lo, int hi) {
  const int grid = problem->grid;
  if (grid > 1 && value % grid != 0) {
    const int down = (value - ((value % grid) + grid) % grid);
    value = away < 0 ? down : down + grid;
  }
  add_line(l, value, lo, hi);
}

static int by_distance(const void *a, const void *b, void *data) {
  const lines *l = data;
  const int first = distance(l, *(const int *)a), second = distance(l, *(const int *)b);
  if (first != second) return first < second ? -1 : 1;
  return (*(const int *)a > *(const int *)b) - (*(const int *)a < *(const int *)b);
}

static void gather(const arr_problem *problem, const arr_layout *layout, size_t index, const arr_lane *lane, lines *xs,
                   lines *ys) {
  const arr_item *item = &problem->items[index];
  const int up = item->half_h + item->rise;
  add_contact(problem, xs, lane->x_lo, 1, lane->x_lo, lane->x_hi);
  add_contact(problem, xs, lane->x_hi, -1, lane->x_lo, lane->x_hi);
  add_contact(problem, ys, lane->y_lo, 1, lane->y_lo, lane->y_hi);
  add_contact(problem, ys, lane->y_hi, -1, lane->y_lo, lane->y_hi);
  for (size_t i = 0; i < problem->block_count; i++) {
    const arr_block *b = &problem->blocks[i];
    if (!(b->stops & item->where)) continue;
    add_contact(problem, xs, b->x0 - item->half_w, -1, lane->x_lo, lane->x_hi);
    add_contact(problem, xs, b->x1 + item->half_w, 1, lane->x_lo, lane->x_hi);
    add_contact(problem, ys, b->y0 - up, -1, lane->y_lo, lane->y_hi);
    add_contact(problem, ys, b->y1 + item->half_h, 1, lane->y_lo, lane->y_hi);
  }
  for (size_t i = 0; i < problem->count; i++) {
    const arr_spot *spot = &layout->spot[i];
    if (i == index || spot->lane < 0) continue;
    const arr_item *other = &problem->items[i];
    const int aside = item->half_w + other->half_w + problem->gap;
    add_contact(problem, xs, spot->x - aside, -1, lane->x_lo, lane->x_hi);
    add_contact(problem, xs, spot->x + aside, 1, lane->x_lo, lane->x_hi);
    const int wide = item->reach_w + other->reach_w + problem->gap;
    if (wide > aside) {
      add_contact(problem, xs, spot->x - wide, -1, lane->x_lo, lane->x_hi);
      add_contact(problem, xs, spot->x + wide, 1, lane->x_lo, lane->x_hi);
    }
    add_contact(problem, ys, spot->y - other->half_h - problem->gap - up, -1, lane->y_lo, lane->y_hi);
    add_contact(problem, ys, spot->y + other->half_h + other->rise + problem->gap + item->half_h, 1, lane->y_lo,
                lane->y_hi);
  }
}

/* On a mesh there are only so many places. */
static void add_mesh(lines *xs, const arr_lane *lane) {
  for (int i = 0; lane->x_lo + i * lane->mesh < lane->x_hi + lane->mesh; i++)
    add_line(xs, arr_on_mesh(lane, (int)(lane->x_lo + i * lane->mesh)), lane->x_lo, lane->x_hi);
}

/* The best spot so far, and what it costs. */
typedef struct found {
  arr_spot spot;
  long cost;
} found;

static int by_value(const void *a, const void *b) {
  return (*(const int *)a > *(const int *)b) - (*(const int *)a < *(const int *)b);
}

/* The first line that is not left of x. */
static int line_from(const lines *xs, int x) {
  int lo = 0, hi = xs->count;
  while (lo < hi) {
    const int middle = (lo + hi) / 2;
    if (xs->at[middle] < x)
      lo = middle + 1;
    else
      hi = middle;
  }
  return lo;
}

/* The bars of the item in this lane, their x turned into numbers of lines: from x0 up to, not including, x1. Returns
 * how many bar any line. */
static size_t bars_on_lines(const arr_problem *problem, const arr_layout *layout, size_t index, int lane,
                            const lines *xs) {
  const size_t all = arr_bars(problem, layout, index, lane);
  size_t count = 0;
  for (size_t i = 0; i < all; i++) {
    arr_block bar = problem->bars[i];
    bar.x0 = line_from(xs, bar.x0 + 1);
    bar.x1 = line_from(xs, bar.x1);
    if (bar.x0 < bar.x1) problem->bars[count++] = bar;
  }
  return count;
}

/* The free line of a level nearest to the wish, the left one of two; INT_MIN: none. */
static int nearest_on_level(const arr_problem *problem, size_t bar_count, const lines *xs, arr_spot at) {
  int begins[LINES + 1] = {0}; /* bars that begin before a line, less those that end there */
  for (size_t i = 0; i < bar_count; i++) {
    const arr_block *bar = &problem->bars[i];
    if (at.y <= bar->y0 || at.y >= bar->y1) continue;
    begins[bar->x0]++;
    begins[bar->x1]--;
  }
  int best = INT_MIN, barred = 0;
  for (int i = 0; i < xs->count; i++) {
    barred += begins[i];
    if (barred > 0 || !arr_on_its_grid(problem, &problem->lanes[at.lane], xs->at[i], at.y)) continue;
    if (best == INT_MIN || distance(xs, xs->at[i]) < distance(xs, best)) best = xs->at[i];
  }
  return best;
}

static void nearest_in_lane(found *best, const arr_problem *problem, const arr_layout *layout, size_t index,
                            arr_spot wish) {
  const int lane_index = wish.lane;
  const arr_lane *lane = &problem->lanes[lane_index];
  if (!arr_carries(problem, layout, index, lane_index)) return;
  const int x = base_most(lane->x_lo, base_least(lane->x_hi, wish.x));
  const int y = base_most(lane->y_lo, base_least(lane->y_hi, wish.y));
  lines xs = {.wish = x, .count = 0}, ys = {.wish = y, .count = 0};
  add_line(&xs, lane->mesh > 0 ? arr_on_mesh(lane, x) : arr_on_grid(problem, x), lane->x_lo, lane->x_hi);
  add_line(&ys, lane->carrier == 0 ? arr_on_grid(problem, y) : y, lane->y_lo, lane->y_hi);
  if (lane->mesh > 0)
    add_mesh(&xs, lane);
  else
    gather(problem, layout, index, lane, &xs, &ys);
  qsort(xs.at, (size_t)xs.count, sizeof *xs.at, by_value);
  qsort_r(ys.at, (size_t)ys.count, sizeof *ys.at, by_distance, &ys);
  const size_t bars = bars_on_lines(problem, layout, index, lane_index, &xs);
  for (int j = 0; j < ys.count; j++) {
    if (j > 0 && ys.at[j] == ys.at[j - 1]) continue;
    /* Off its level costs twice off its column: rows are what the eye reads. */
    if (2L * abs(ys.at[j] - y) >= best->cost) return;
    const int near = nearest_on_level(problem, bars, &xs, (arr_spot){x, ys.at[j], lane_index});
    if (near == INT_MIN) continue;
    const long cost = (long)abs(near - x) + 2L * abs(ys.at[j] - y);
    if (cost < best->cost) *best = (found){{near, ys.at[j], lane_index}, cost};
  }
}

arr_spot arr_nearest(const arr_problem *problem, const arr_layout *layout, size_t item, int x, int y) {
  found best = {{0, 0, -1}, LONG_MAX};
  const arr_item *it = &problem->items[item];
  for (int lane = it->lane_first; lane < it->lane_first + it->lane_count; lane++)
    nearest_in_lane(&best, problem, layout, item, (arr_spot){x, y, lane});
  return best.spot;
}
