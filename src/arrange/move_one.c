/* SPDX-License-Identifier: MIT */
/* The one piece whose move helps a hanging wall most, and where to: likely places first; every place of a grid over
 * the wall before a second piece is asked to move. */
#include "change.h"
#include "nearest_place.h"
#include "rules.h"

/* A move must earn at least so much, or it isn't worth climbing the step for. Our choice, in points of 100. */
#define WORTH_A_MOVE 1.0
#define SCAN_MM 100

typedef struct wish {
  int x, y;
} wish;

#define WISHES 40

static void add_wish(wish *list, int *count, int x, int y) {
  for (int i = 0; i < *count; i++)
    if (list[i].x == x && list[i].y == y) return;
  if (*count < WISHES) list[(*count)++] = (wish){x, y};
}

/* Places worth trying for an item: the empty place, the focus, its mirror image, lines of others. */
static int wishes_for(const arr_hall *hall, const arr_layout *layout, size_t index, const arr_spot *hole, wish *list) {
  const arr_problem *problem = hall->problem;
  int count = 0;
  if (hole) {
    add_wish(list, &count, hole->x, hole->y);
    add_wish(list, &count, 2 * problem->focus_x - hole->x, hole->y);
  }
  add_wish(list, &count, problem->focus_x, problem->focus_y);
  for (size_t i = 0; i < problem->count; i++) {
    const arr_spot *s = &layout->spot[i];
    if (i == index || s->lane < 0) continue;
    add_wish(list, &count, 2 * problem->focus_x - s->x, s->y); /* opposite it */
    const int aside = problem->items[i].half_w + problem->items[index].half_w + problem->gap;
    add_wish(list, &count, s->x + aside, s->y);
    add_wish(list, &count, s->x - aside, s->y);
  }
  return count;
}

/* Keeps the spot in `best` when the wall scores more with the item there; `layout` is changed back. */
static void keep_better(arr_spot *best, double *score, const arr_hall *hall, arr_layout *layout, size_t index,
                        const arr_spot *spot) {
  layout->spot[index] = *spot;
  const double value = arr_hall_score(hall, layout);
  layout->spot[index].lane = -1;
  if (value <= *score) return;
  *score = value;
  *best = *spot;
}

/* The best place for an item that has none in `layout`, which is changed back; lane -1: none. */
arr_spot arr_hall_place(const arr_hall *hall, arr_layout *layout, size_t index, const arr_spot *hole, double *score) {
  wish list[WISHES];
  const int count = wishes_for(hall, layout, index, hole, list);
  arr_spot best = {0, 0, -1};
  *score = -1;
  for (int i = 0; i < count; i++) {
    const arr_spot spot = arr_nearest(hall->problem, layout, index, list[i].x, list[i].y);
    if (spot.lane < 0) break; /* no place at all, wherever one starts */
    keep_better(&best, score, hall, layout, index, &spot);
  }
  return best;
}

/* Every place on a grid laid over the wall: slower, and asked only when the likely places do not do. */
static arr_spot best_of_all_places(const arr_hall *hall, arr_layout *layout, size_t index, const arr_spot *hole,
                                   double *score) {
  const arr_problem *problem = hall->problem;
  const arr_item *item = &problem->items[index];
  arr_spot best = arr_hall_place(hall, layout, index, hole, score);
  for (int l = item->lane_first; l < item->lane_first + item->lane_count; l++)
    for (int y = 0; y <= problem->height; y += SCAN_MM)
      for (int x = 0; x <= problem->width; x += SCAN_MM) {
        const arr_spot spot = {x, y, l};
        if (arr_fits(problem, item, &spot) && arr_clear(problem, layout, index, &spot, -1))
          keep_better(&best, score, hall, layout, index, &spot);
      }
  return best;
}

/* Moves the one piece whose move helps most; false when none helps enough. */
static bool one_more_move(arr_hall *hall, const arr_spot *hole, bool everywhere, double *score) {
  const arr_problem *problem = hall->problem;
  double best_score = *score + WORTH_A_MOVE;
  int best = -1;
  arr_spot best_spot = {0, 0, -1};
  for (size_t i = 0; i < problem->count; i++) {
    const arr_spot was = hall->layout.spot[i];
    if (problem->items[i].kept || was.lane < 0) continue;
    hall->layout.spot[i].lane = -1;
    double value;
    const arr_spot spot = everywhere ? best_of_all_places(hall, &hall->layout, i, hole, &value)
                                     : arr_hall_place(hall, &hall->layout, i, hole, &value);
    hall->layout.spot[i] = was;
    if (spot.lane < 0 || value <= best_score) continue;
    best_score = value;
    best = (int)i;
    best_spot = spot;
  }
  if (best < 0) return false;
  hall->layout.spot[best] = best_spot;
  *score = best_score;
  return true;
}

bool arr_hall_move_one(arr_hall *hall, const arr_spot *hole, double enough, double *score) {
  const double score_was = *score;
  if (one_more_move(hall, hole, false, score) && *score >= enough) return true;
  arr_layout_copy(&hall->layout, &hall->best, hall->problem);
  *score = score_was;
  return one_more_move(hall, hole, true, score);
}
