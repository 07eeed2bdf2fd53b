/* SPDX-License-Identifier: MIT */
/* The hard rules: exact tests on whole mm. No layout that breaks one leaves this stage. */
#include "rules.h"

#include "base/maths.h"

#include <stdlib.h>

/* The hanging points lie on the line from the first to the last; a zone without nails must not touch it. */
static bool fixes_across(const arr_item *item, int y, const arr_block *zone) {
  return y + item->half_h - 2 < zone->y1 && zone->y0 < y + item->reach_up + 1;
}

static bool fixes_in(const arr_item *item, const arr_spot *spot, const arr_block *zone) {
  return spot->x - item->half_span - 1 < zone->x1 && zone->x0 < spot->x + item->half_span + 1 &&
         fixes_across(item, spot->y, zone);
}

/* What the item may cross or touch: blocks of other kinds of pieces, its own carrier, and, for a piece too tall for the
 * wall above the tables, the table behind which it reaches down. */
static bool passes(const arr_problem *problem, const arr_item *item, const arr_lane *lane, int y0,
                   const arr_block *block) {
  if (!(block->stops & item->where)) return true;
  if (block->carrier >= 0 && block->carrier == lane->carrier) return true;
  return block->y0 == 0 && lane->carrier == 0 && lane->y_lo == lane->y_hi && y0 < block->y1 &&
         block->y1 <= problem->low;
}

bool arr_on_its_grid(const arr_problem *problem, const arr_lane *lane, int x, int y) {
  if (lane->mesh > 0) return x == arr_on_mesh(lane, x);
  if (problem->grid <= 1) return true;
  return x % problem->grid == 0 && (lane->carrier != 0 || y % problem->grid == 0);
}

bool arr_fits(const arr_problem *problem, const arr_item *item, const arr_spot *spot) {
  const arr_lane *lane = &problem->lanes[spot->lane];
  if (spot->x < lane->x_lo || spot->x > lane->x_hi || spot->y < lane->y_lo || spot->y > lane->y_hi) return false;
  if (!arr_on_its_grid(problem, lane, spot->x, spot->y)) return false;
  const int x0 = spot->x - item->half_w, x1 = spot->x + item->half_w;
  const int y0 = spot->y - item->half_h, top = spot->y + item->half_h, y1 = top + item->rise;
  for (size_t i = 0; lane->carrier == 0 && item->where == ARR_HANGING && i < problem->unfixed_count; i++)
    if (fixes_in(item, spot, &problem->unfixed[i])) return false;
  for (size_t i = 0; i < problem->block_count; i++) {
    const arr_block *block = &problem->blocks[i];
    if (passes(problem, item, lane, y0, block)) continue;
    if (x0 < block->x1 && block->x0 < x1 && y0 < block->y1 && block->y0 < y1) return false;
    if (item->rise > 0 && spot->x - item->reach_w < block->x1 && block->x0 < spot->x + item->reach_w && /* its cord */
        top < block->y1 && block->y0 < y1)
      return false;
  }
  return true;
}

/* A piece (cord false), or the space that its cord and nails take above it. */
typedef struct extent {
  int half_w, low, high;
} extent;

static extent extent_of(const arr_item *item, const arr_spot *spot, bool cord) {
  const int top = spot->y + item->half_h;
  return cord ? (extent){item->reach_w, top, top + item->rise} : (extent){item->half_w, spot->y - item->half_h, top};
}

/* Neither piece nor cord of one is nearer than the gap to piece or cord of the other: a nail behind a neighbour cannot
 * be driven, and a cord across one is seen. */
bool arr_two_clear(const arr_problem *problem, const arr_item *a, const arr_spot *at, const arr_item *b,
                   const arr_spot *bt) {
  const int across = abs(at->x - bt->x), up = bt->y - at->y;
  if (across >= a->reach_w + b->reach_w + problem->gap) return true;
  if (up >= a->half_h + a->rise + b->half_h + problem->gap) return true;
  if (-up >= b->half_h + b->rise + a->half_h + problem->gap) return true;
  for (int k = 0; k < 4; k++) {
    const extent one = extent_of(a, at, k % 2), other = extent_of(b, bt, k / 2);
    if (one.low == one.high || other.low == other.high) continue;
    if (across < one.half_w + other.half_w + problem->gap && one.low < other.high + problem->gap &&
        other.low < one.high + problem->gap)
      return false;
  }
  return true;
}

bool arr_clear(const arr_problem *problem, const arr_layout *layout, size_t item, const arr_spot *spot, int but) {
  for (size_t i = 0; i < problem->count; i++) {
    if (i == item || (int)i == but || layout->spot[i].lane < 0) continue;
    if (!arr_two_clear(problem, &problem->items[item], spot, &problem->items[i], &layout->spot[i])) return false;
  }
  return true;
}

/* Where the centre of `a` may not be because of `b`: the same tests as arr_two_clear, turned round. */
static size_t bars_about(const arr_problem *problem, const arr_item *a, const arr_item *b, const arr_spot *bt,
                         arr_block *bars) {
  size_t count = 0;
  const arr_spot origin = {0, 0, -1};
  for (int k = 0; k < 4; k++) {
    const extent one = extent_of(a, &origin, k % 2), other = extent_of(b, bt, k / 2);
    if (one.low == one.high || other.low == other.high) continue;
    const int half = base_least(one.half_w + other.half_w, a->reach_w + b->reach_w) + problem->gap;
    bars[count++] = (arr_block){.x0 = bt->x - half,
                                .x1 = bt->x + half,
                                .y0 = other.low - problem->gap - one.high,
                                .y1 = other.high + problem->gap - one.low};
  }
  return count;
}

static size_t bars_of_blocks(const arr_problem *problem, const arr_item *item, const arr_lane *lane, arr_block *bars) {
  size_t count = 0;
  for (size_t i = 0; lane->carrier == 0 && item->where == ARR_HANGING && i < problem->unfixed_count; i++) {
    const arr_block *zone = &problem->unfixed[i];
    bars[count++] = (arr_block){.x0 = zone->x0 - item->half_span - 1,
                                .x1 = zone->x1 + item->half_span + 1,
                                .y0 = zone->y0 - item->reach_up - 1,
                                .y1 = zone->y1 - item->half_h + 2};
  }
  for (size_t i = 0; i < problem->block_count; i++) {
    const arr_block *b = &problem->blocks[i];
    const int up = item->half_h + item->rise;
    if (passes(problem, item, lane, lane->y_lo - item->half_h, b)) continue;
    bars[count++] = (arr_block){
        .x0 = b->x0 - item->half_w, .x1 = b->x1 + item->half_w, .y0 = b->y0 - up, .y1 = b->y1 + item->half_h};
    if (item->rise > 0) /* its cord */
      bars[count++] = (arr_block){
          .x0 = b->x0 - item->reach_w, .x1 = b->x1 + item->reach_w, .y0 = b->y0 - up, .y1 = b->y1 - item->half_h};
  }
  return count;
}

size_t arr_bars(const arr_problem *problem, const arr_layout *layout, size_t index, int lane) {
  const arr_item *item = &problem->items[index];
  size_t count = bars_of_blocks(problem, item, &problem->lanes[lane], problem->bars);
  for (size_t i = 0; i < problem->count; i++) {
    const arr_spot *spot = &layout->spot[i];
    if (i == index || spot->lane < 0) continue;
    count += bars_about(problem, item, &problem->items[i], spot, problem->bars + count);
  }
  return count;
}

bool arr_carries(const arr_problem *problem, const arr_layout *layout, size_t item, int lane) {
  const int carrier = problem->lanes[lane].carrier;
  const double rated = problem->carriers[carrier].rated_g;
  if (!(rated > 0)) return true;
  double total = problem->plan->pieces[problem->items[item].piece].weight_g;
  for (size_t i = 0; i < problem->count; i++) {
    if (i == item || layout->spot[i].lane < 0) continue;
    if (problem->lanes[layout->spot[i].lane].carrier == carrier)
      total += problem->plan->pieces[problem->items[i].piece].weight_g;
  }
  return total <= rated;
}

bool arr_allowed(const arr_problem *problem, const arr_layout *layout, size_t item, const arr_spot *spot) {
  return arr_fits(problem, &problem->items[item], spot) && arr_clear(problem, layout, item, spot, -1) &&
         arr_carries(problem, layout, item, spot->lane);
}

size_t arr_broken(const arr_problem *problem, const arr_layout *layout) {
  size_t broken = 0;
  for (size_t i = 0; i < problem->count; i++)
    if (layout->spot[i].lane >= 0 && !problem->items[i].kept)
      broken += !arr_allowed(problem, layout, i, &layout->spot[i]);
  return broken;
}

int arr_lost(const arr_problem *problem, const arr_layout *layout) {
  int lost = 0;
  for (size_t i = 0; i < problem->count; i++)
    if (layout->spot[i].lane < 0) lost += problem->items[i].importance;
  return lost;
}

int arr_lane_on(const arr_problem *problem, const arr_item *item, int carrier) {
  for (int i = item->lane_first; i < item->lane_first + item->lane_count; i++)
    if (problem->lanes[i].carrier == carrier) return i;
  return -1;
}
