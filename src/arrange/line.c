/* SPDX-License-Identifier: MIT */
/* A row or column of pieces with equal gaps on a common centre line, gathered round an anchor and
 * led round whatever is in the way: pieces, posts, shelves, the leader with its clear space. */
#include "line.h"

#include "rules.h"

#include "base/maths.h"

#include <stdlib.h>

/* Free stretches of a line that are looked at; a line crossed by more things than this uses the first ones. */
#define STRETCHES 48

typedef struct stretch {
  int lo, hi;
} stretch;

typedef struct stretches {
  stretch list[STRETCHES];
  int count;
} stretches;

/* Takes [lo, hi] out of the free stretches. */
static void take_out(stretches *free, int lo, int hi) {
  stretch kept[STRETCHES];
  int count = 0;
  bool touched = false;
  for (int i = 0; i < free->count; i++) touched = touched || (hi > free->list[i].lo && lo < free->list[i].hi);
  if (!touched) return;
  for (int i = 0; i < free->count; i++) {
    const stretch s = free->list[i];
    if (hi <= s.lo || lo >= s.hi) {
      if (count < STRETCHES) kept[count++] = s;
      continue;
    }
    if (lo > s.lo && count < STRETCHES) kept[count++] = (stretch){s.lo, lo};
    if (hi < s.hi && count < STRETCHES) kept[count++] = (stretch){hi, s.hi};
  }
  for (int i = 0; i < count; i++) free->list[i] = kept[i];
  free->count = count;
}

/* Free stretches of the line for things that reach `before` and `after` across it. */
static stretches find_free(const arr_problem *problem, const arr_layout *layout, const arr_line *line, int before,
                           int after, arr_where where) {
  stretches free;
  free.list[0] = (stretch){line->lo, line->hi};
  free.count = line->lo < line->hi;
  const int c0 = line->at - before, c1 = line->at + after;
  for (size_t i = 0; i < problem->block_count; i++) {
    const arr_block *b = &problem->blocks[i];
    if (!(b->stops & where) || (b->carrier >= 0 && b->carrier == line->carrier)) continue;
    const int across0 = line->level ? b->y0 : b->x0, across1 = line->level ? b->y1 : b->x1;
    if (c0 < across1 && across0 < c1) take_out(&free, line->level ? b->x0 : b->y0, line->level ? b->x1 : b->y1);
  }
  for (size_t i = 0; i < problem->count; i++) {
    const arr_spot *spot = &layout->spot[i];
    if (spot->lane < 0) continue;
    const arr_item *item = &problem->items[i];
    const int clear = item->leader ? base_most(line->moat, problem->gap) : problem->gap;
    const int x0 = spot->x - item->half_w - clear, x1 = spot->x + item->half_w + clear;
    const int y0 = spot->y - item->half_h - clear, y1 = spot->y + item->half_h + item->rise + clear;
    if (line->level ? (c0 < y1 && y0 < c1) : (c0 < x1 && x0 < c1))
      take_out(&free, line->level ? x0 : y0, line->level ? x1 : y1);
  }
  return free;
}

int arr_line_room(const arr_problem *problem, const arr_layout *layout, const arr_line *line, int before, int after,
                  arr_where where) {
  const stretches free = find_free(problem, layout, line, before, after, where);
  int room = 0;
  for (int i = 0; i < free.count; i++) room += free.list[i].hi - free.list[i].lo;
  return room;
}

/* Extents of an item along the line, before and after its centre. */
static int ahead(const arr_line *line, const arr_item *item) {
  return line->level ? item->reach_w : item->half_h;
}
static int behind(const arr_line *line, const arr_item *item) {
  return line->level ? item->reach_w : item->half_h + item->rise;
}

/* Some of the items of a line, in order, with one gap between them. */
typedef struct run {
  const int *items;
  size_t count;
  int gap;
} run;

static int length_of(const arr_problem *problem, const arr_line *line, run r) {
  int total = 0;
  for (size_t i = 0; i < r.count; i++) {
    const arr_item *item = &problem->items[r.items[i]];
    total += ahead(line, item) + behind(line, item) + (i > 0 ? r.gap : 0);
  }
  return total;
}

/* Puts one item with its low edge at `edge`; false when a hard rule forbids it. */
static bool put(const arr_problem *problem, arr_layout *layout, const arr_line *line, int index, int edge) {
  const arr_item *item = &problem->items[index];
  const int lane = arr_lane_on(problem, item, line->carrier);
  if (lane < 0) return false;
  const int along = arr_on_grid(problem, edge + ahead(line, item));
  arr_spot spot = {line->level ? along : line->at, line->level ? line->at : along, lane};
  const arr_lane *l = &problem->lanes[lane];
  if (l->y_lo == l->y_hi) spot.y = l->y_lo;
  if (!arr_allowed(problem, layout, (size_t)index, &spot)) return false;
  layout->spot[index] = spot;
  return true;
}

/* Lays all items into one stretch, gathered as near to the anchor as it allows. */
static size_t lay_in(const arr_problem *problem, arr_layout *layout, const arr_line *line, stretch s, run r) {
  const int length = length_of(problem, line, r);
  int edge = base_most(s.lo, base_least(s.hi - length, line->anchor - length / 2));
  size_t placed = 0;
  for (size_t i = 0; i < r.count; i++) {
    const arr_item *item = &problem->items[r.items[i]];
    placed += put(problem, layout, line, r.items[i], edge);
    edge += ahead(line, item) + behind(line, item) + r.gap;
  }
  return placed;
}

/* How many items from the front (or end) of the list fit into a length. */
static size_t fitting(const arr_problem *problem, const arr_line *line, run r, int room, bool from_end) {
  size_t n = 0;
  int used = 0;
  while (n < r.count) {
    const arr_item *item = &problem->items[r.items[from_end ? r.count - 1 - n : n]];
    used += ahead(line, item) + behind(line, item) + (n > 0 ? r.gap : 0);
    if (used > room) break;
    n++;
  }
  return n;
}

/* Lays a side outward from the anchor: stretches in `free` beyond it, nearest first. */
static size_t lay_side(const arr_problem *problem, arr_layout *layout, const arr_line *line, const stretches *free,
                       run r, bool upward) {
  size_t placed = 0;
  for (int k = 0; k < free->count && r.count > 0; k++) {
    const stretch s = free->list[upward ? k : free->count - 1 - k];
    if (upward ? s.lo < line->anchor : s.hi > line->anchor) continue;
    const size_t n = fitting(problem, line, r, s.hi - s.lo, !upward);
    const int *part = upward ? r.items : r.items + (r.count - n);
    placed += lay_in(problem, layout, line, s, (run){part, n, r.gap});
    r.count -= n;
    if (upward) r.items += n;
  }
  return placed;
}

/* The cut of the list that leaves both sides equally long, as far as both sides hold them. */
static size_t cut_of(const arr_problem *problem, const arr_line *line, run r, int room_before, int room_after) {
  size_t best = 0;
  long best_cost = -1;
  for (size_t cut = 0; cut <= r.count; cut++) {
    const int before = length_of(problem, line, (run){r.items, cut, r.gap});
    const int after = length_of(problem, line, (run){r.items + cut, r.count - cut, r.gap});
    const long over = base_most(0, before - room_before) + base_most(0, after - room_after);
    const long cost = labs((long)before - after) + 100 * over;
    if (best_cost < 0 || cost < best_cost) {
      best_cost = cost;
      best = cut;
    }
  }
  return best;
}

/* A stretch that holds the anchor counts for both sides: it is cut there. */
static void cut_at_anchor(const arr_problem *problem, const arr_line *line, stretches *free, int *before, int *after) {
  const int half = problem->gap / 2;
  for (int i = 0; i < free->count && free->count < STRETCHES; i++) {
    const stretch s = free->list[i];
    if (s.lo >= line->anchor || s.hi <= line->anchor) continue;
    for (int k = free->count; k > i + 1; k--) free->list[k] = free->list[k - 1];
    free->list[i] = (stretch){s.lo, line->anchor - half};
    free->list[i + 1] = (stretch){line->anchor + problem->gap - half, s.hi};
    free->count++;
    break;
  }
  *before = *after = 0;
  for (int i = 0; i < free->count; i++) {
    const int length = base_most(0, free->list[i].hi - free->list[i].lo);
    *(free->list[i].lo < line->anchor ? before : after) += length;
  }
}

/* The greatest gap up to the wanted one at which the items still fit a length. */
static int gap_for(const arr_problem *problem, const arr_line *line, const int *items, size_t count, int room) {
  if (count < 2) return base_most(line->gap, problem->gap);
  const int bare = length_of(problem, line, (run){items, count, 0});
  const int fits = (room - bare) / (int)(count - 1);
  return base_most(problem->gap, base_least(line->gap, fits));
}

size_t arr_line_fill(const arr_problem *problem, arr_layout *layout, const arr_line *line, const int *items,
                     size_t count) {
  if (count == 0) return 0;
  int before = 0, after = 0;
  for (size_t i = 0; i < count; i++) {
    const arr_item *item = &problem->items[items[i]];
    before = base_most(before, line->level ? item->half_h : item->half_w);
    after = base_most(after, line->level ? item->half_h + item->rise : item->half_w);
  }
  stretches free = find_free(problem, layout, line, before, after, problem->items[items[0]].where);
  for (int i = 0; i < free.count; i++) {
    const stretch s = free.list[i];
    if (s.lo > line->anchor || s.hi < line->anchor) continue;
    const int gap = gap_for(problem, line, items, count, s.hi - s.lo);
    if (length_of(problem, line, (run){items, count, gap}) <= s.hi - s.lo)
      return lay_in(problem, layout, line, s, (run){items, count, gap});
  }
  int room_before, room_after;
  cut_at_anchor(problem, line, &free, &room_before, &room_after);
  int gap = gap_for(problem, line, items, count, room_before + room_after);
  const size_t cut = cut_of(problem, line, (run){items, count, gap}, room_before, room_after);
  /* The side that is tighter sets the gap of both, so that the gaps stay equal. */
  const int gap_before = gap_for(problem, line, items, cut, room_before);
  const int gap_after = gap_for(problem, line, items + cut, count - cut, room_after);
  gap = base_least(gap_before, gap_after);
  return lay_side(problem, layout, line, &free, (run){items, cut, gap}, false) +
         lay_side(problem, layout, line, &free, (run){items + cut, count - cut, gap}, true);
}
