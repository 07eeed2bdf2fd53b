/* SPDX-License-Identifier: MIT */
/* Parts of the score that say where pieces are: the leader in the focus and clear, weight in the sight band and about
 * the middle, nothing hidden. docs/method/arrange.md. */
#include "score_pass.h"

#include "base/maths.h"

#include <math.h>
#include <stdlib.h>

/* Whoever has a statement piece and leaves it off has nothing in the focus. */
static bool leader_left_off(const arr_pass *p) {
  for (size_t i = 0; i < p->problem->plan->piece_count; i++)
    if (p->problem->plan->pieces[i].role == BC_ROLE_STATEMENT) return true;
  return false;
}

/* Distance from the focus of the middle of all leaders. A quarter of the wall away counts as lost. */
double arr_part_focus(const arr_pass *p) {
  int x0 = INT32_MAX, x1 = INT32_MIN, y0 = INT32_MAX, y1 = INT32_MIN;
  for (int i = 0; i < p->count; i++) {
    const arr_item *item = &p->problem->items[p->placed[i]];
    const arr_spot *spot = &p->layout->spot[p->placed[i]];
    if (!item->leader) continue;
    x0 = base_least(x0, spot->x - item->half_w);
    x1 = base_most(x1, spot->x + item->half_w);
    y0 = base_least(y0, spot->y - item->half_h);
    y1 = base_most(y1, spot->y + item->half_h);
  }
  if (x0 > x1) return leader_left_off(p) ? 0 : 1;
  const double dx = fabs((x0 + x1) / 2.0 - p->problem->focus_x) / (p->problem->width / 4.0);
  const double y = (y0 + y1) / 2.0, half_band = (p->problem->sight_high - p->problem->sight_low) / 2.0;
  const double dy = half_band > 0 ? fabs(y - p->problem->focus_y) / half_band : 0;
  /* Height matters less than the middle: the eye travels up and down a wall more readily than off it. */
  return base_unit(1 - dx - 0.3 * dy);
}

int arr_moat(const arr_problem *problem, const arr_item *leader, bc_arrange_style style) {
  const int side = 2 * base_least(leader->half_w, leader->half_h);
  switch (style) {
  case BC_ARRANGE_SATELLITES:
    return base_most(5 * problem->gap / 2, side / 4);
  case BC_ARRANGE_LEVEL_ROWS:
    return 2 * problem->gap;
  default:
    return 3 * problem->gap / 2;
  }
}

double arr_part_clear(const arr_pass *p) {
  double worst = 1;
  for (int i = 0; i < p->count; i++) {
    const arr_item *leader = &p->problem->items[p->placed[i]];
    if (!leader->leader) continue;
    const arr_spot *at = &p->layout->spot[p->placed[i]];
    const double wanted = arr_moat(p->problem, leader, p->style);
    for (int j = 0; j < p->count && wanted > 0; j++) {
      const arr_item *item = &p->problem->items[p->placed[j]];
      const arr_spot *spot = &p->layout->spot[p->placed[j]];
      if (item->leader) continue;
      const int across = abs(at->x - spot->x) - leader->half_w - item->half_w;
      const int upright = abs(at->y - spot->y) - leader->half_h - item->half_h;
      worst = fmin(worst, base_most(across, upright) / wanted);
    }
  }
  return base_unit(worst);
}

/* What is smaller than this is looked at from near, and wants the eye's own height: common practice, no source. */
#define SMALL_HALF 75

/* 1 within the band of heights where a piece is looked at, 0 half a metre outside it; a small piece has the band
 * without its lowest quarter, and 20 cm are too far. */
static double in_sight(const arr_problem *problem, const arr_item *item, int y) {
  const bool small = base_most(item->half_w, item->half_h) < SMALL_HALF;
  const int low = problem->sight_low + (small ? (problem->sight_high - problem->sight_low) / 4 : 0);
  const int off = base_most(0, base_most(low - y, y - problem->sight_high));
  return base_unit(1 - off / (small ? 200.0 : 500.0));
}

/* Half by visual weight, half by heads: else a jewel might hang anywhere beside large pieces. */
double arr_part_sight(const arr_pass *p) {
  double weighed = 0, weight = 0, heads = 0;
  int count = 0;
  for (int i = 0; i < p->count; i++) {
    const arr_item *item = &p->problem->items[p->placed[i]];
    if (item->where != ARR_HANGING) continue;
    const double value = in_sight(p->problem, item, p->layout->spot[p->placed[i]].y);
    weighed += item->weight * value;
    weight += item->weight;
    heads += value;
    count++;
  }
  return weight > 0 ? 0.5 * weighed / weight + 0.5 * heads / count : 1;
}

/* The centre of visual weight off the middle; 15 % of the wall's width is plainly lopsided. */
double arr_part_balance(const arr_pass *p) {
  double moment = 0, all = 0;
  for (int i = 0; i < p->count; i++) {
    const arr_item *item = &p->problem->items[p->placed[i]];
    moment += item->weight * (p->layout->spot[p->placed[i]].x - p->problem->focus_x);
    all += item->weight;
  }
  return all > 0 ? base_unit(1 - fabs(moment) / all / (0.15 * p->problem->width)) : 1;
}

/* Share of the visual weight on the wall that a visitor in front of the middle sees past tables and
 * what stands on them. A thing at distance z from the wall and height y hides, on the wall, what lies
 * on the same ray from the eye: scaled from the eye's foot by d / (d - z). */
double arr_part_seen(const arr_pass *p) {
  const arr_problem *problem = p->problem;
  double hidden = 0, all = 0;
  for (int i = 0; i < p->count; i++) {
    const arr_item *item = &problem->items[p->placed[i]];
    if (item->where == ARR_TABLE || item->where == ARR_FLOOR) continue;
    const arr_spot *at = &p->layout->spot[p->placed[i]];
    double covered =
        base_most(0, base_least(problem->table, at->y + item->half_h) - (at->y - item->half_h)) * 2.0 * item->half_w;
    if (problem->plan->table_count == 0) covered = 0;
    for (int j = 0; j < p->count; j++) {
      const arr_item *front = &problem->items[p->placed[j]];
      if (front->where != ARR_TABLE) continue;
      const arr_spot *spot = &p->layout->spot[p->placed[j]];
      const bc_table *table = arr_carrier_table(problem, problem->lanes[spot->lane].carrier);
      const double out = table ? table->from_wall + table->depth / 2 : 0;
      const double z = fmin((problem->options.table_back + out) * ARR_MM, 0.9 * problem->eye_distance);
      const double k = problem->eye_distance / (problem->eye_distance - z);
      const double cx = problem->focus_x + (spot->x - problem->focus_x) * k;
      const double top = problem->eye_height + (spot->y + front->half_h - problem->eye_height) * k;
      const double bottom = problem->eye_height + (spot->y - front->half_h - problem->eye_height) * k;
      const double w =
          fmin(at->x + item->half_w, cx + front->half_w * k) - fmax(at->x - item->half_w, cx - front->half_w * k);
      const double h = fmin(at->y + item->half_h, top) - fmax(at->y - item->half_h, bottom);
      if (w > 0 && h > 0) covered += w * h;
    }
    const double area = 4.0 * item->half_w * item->half_h;
    hidden += item->weight * fmin(1, covered / area);
    all += item->weight;
  }
  return all > 0 ? 1 - hidden / all : 1;
}
