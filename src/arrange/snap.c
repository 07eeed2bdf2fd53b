/* SPDX-License-Identifier: MIT */
/* What if this piece were here: faults and collisions at a place, and the place a finger probably
 * meant: on a line with a neighbour, at the plan's gap, in the middle, on its carrier. */
#include "rules.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef struct pull {
  int value; /* the centre coordinate it is drawn to */
  int line;  /* the line it then lies on */
  int distance;
} pull;

static void draw_to(pull *best, int now, int value, int line) {
  const int distance = abs(value - now);
  if (distance < best->distance) *best = (pull){value, line, distance};
}

/* A piece along one axis. */
typedef struct extent {
  int at, half;
} extent;

/* Centre, edges, and one gap away from a neighbour. */
static void draw_along(pull *best, extent now, extent other, int gap, bool beside) {
  draw_to(best, now.at, other.at, other.at);
  draw_to(best, now.at, other.at + other.half - now.half, other.at + other.half);
  draw_to(best, now.at, other.at - other.half + now.half, other.at - other.half);
  if (!beside) return; /* a gap only means something to what lies beside */
  draw_to(best, now.at, other.at + other.half + gap + now.half, other.at + other.half + gap);
  draw_to(best, now.at, other.at - other.half - gap - now.half, other.at - other.half - gap);
}

static arr_spot snapped(const arr_problem *problem, const arr_layout *layout, size_t index, arr_spot asked, int within,
                        bc_snap *out) {
  const arr_item *item = &problem->items[index];
  pull x = {asked.x, 0, within + 1}, y = {asked.y, 0, within + 1};
  draw_to(&x, asked.x, problem->focus_x, problem->focus_x);
  draw_to(&y, asked.y, problem->focus_y, problem->focus_y);
  for (size_t i = 0; i < problem->count; i++) {
    const arr_spot *s = &layout->spot[i];
    const arr_item *o = &problem->items[i];
    if (i == index || s->lane < 0) continue;
    const bool level = abs(s->y - asked.y) < o->half_h + item->half_h;
    const bool upright = abs(s->x - asked.x) < o->half_w + item->half_w;
    draw_along(&x, (extent){asked.x, item->half_w}, (extent){s->x, o->half_w}, problem->gap, level);
    draw_along(&y, (extent){asked.y, item->half_h}, (extent){s->y, o->half_h}, problem->gap, upright);
  }
  out->on_vertical = x.distance <= within;
  out->on_level = y.distance <= within;
  out->vertical = x.line / ARR_MM;
  out->level = y.line / ARR_MM;
  return (arr_spot){x.value, y.value, asked.lane};
}

/* The lane whose height is nearest, brought to its height when it is a carrier's. */
static int nearest_lane(const arr_problem *problem, const arr_item *item, int x, int y) {
  int best = -1;
  long best_off = 0;
  for (int l = item->lane_first; l < item->lane_first + item->lane_count; l++) {
    const arr_lane *lane = &problem->lanes[l];
    const long off_y = y < lane->y_lo ? lane->y_lo - y : y > lane->y_hi ? y - lane->y_hi : 0;
    const long off_x = x < lane->x_lo ? lane->x_lo - x : x > lane->x_hi ? x - lane->x_hi : 0;
    if (best >= 0 && off_x + off_y >= best_off) continue;
    best = l;
    best_off = off_x + off_y;
  }
  return best;
}

static unsigned faults_at(const arr_problem *problem, const arr_layout *layout, size_t index, const arr_spot *spot) {
  const arr_item *item = &problem->items[index];
  const arr_lane *lane = &problem->lanes[spot->lane];
  unsigned faults = 0;
  const int top = spot->y + item->half_h, bottom = spot->y - item->half_h;
  if (spot->x - item->half_w < problem->region_x0 || spot->x + item->half_w > problem->region_x1 || bottom < 0 ||
      top > problem->region_y1)
    faults |= BC_SNAP_OFF_WALL;
  if (lane->carrier != 0 && (spot->y != lane->y_lo || spot->x < lane->x_lo || spot->x > lane->x_hi))
    faults |= BC_SNAP_CARRIER;
  if (spot->x != arr_on_mesh(lane, spot->x)) faults |= BC_SNAP_CARRIER;
  if (lane->carrier != 0 && !arr_carries(problem, layout, index, spot->lane)) faults |= BC_SNAP_CARRIER;
  const bc_piece *piece = &problem->plan->pieces[item->piece];
  if (item->where == ARR_HANGING && lane->carrier == 0 &&
      spot->y / ARR_MM + piece->height / 2 + arr_rise_cm(piece) > problem->top / ARR_MM)
    faults |= BC_SNAP_REACH;
  if (item->statement && (spot->y < problem->sight_low || spot->y > problem->sight_high)) faults |= BC_SNAP_SIGHT;
  for (size_t i = 0; i < problem->block_count; i++) {
    const arr_block *b = &problem->blocks[i];
    if (!(b->stops & item->where) || (b->carrier >= 0 && b->carrier == lane->carrier)) continue;
    if (spot->x - item->half_w < b->x1 && b->x0 < spot->x + item->half_w && bottom < b->y1 && b->y0 < top + item->rise)
      faults |= BC_SNAP_BLOCKED;
  }
  if (!arr_clear(problem, layout, index, spot, -1)) faults |= BC_SNAP_OVERLAP;
  return faults;
}

static void list_collisions(const arr_problem *problem, const arr_layout *layout, size_t index, const arr_spot *spot,
                            bc_snap *out) {
  for (size_t i = 0; i < problem->count; i++) {
    if (i == index || layout->spot[i].lane < 0) continue;
    if (arr_two_clear(problem, &problem->items[index], spot, &problem->items[i], &layout->spot[i])) continue;
    if (out->collision_count < BC_SNAP_COLLISIONS) out->collisions[out->collision_count] = problem->items[i].piece;
    out->collision_count++;
  }
}

static void try_place(bc_snap *out, const arr_problem *problem, arr_layout *layout, size_t index, int within) {
  const arr_item *item = &problem->items[index];
  arr_spot spot = {arr_mm(out->asked.x), arr_mm(out->asked.y), 0};
  spot.lane = nearest_lane(problem, item, spot.x, spot.y);
  if (spot.lane < 0) { /* it fits nowhere: its carrier is missing, or it is larger than the wall */
    out->faults = out->faults_asked = BC_SNAP_CARRIER;
    return;
  }
  out->faults_asked = faults_at(problem, layout, index, &spot);
  const arr_lane *lane = &problem->lanes[spot.lane];
  arr_spot to = within > 0 ? snapped(problem, layout, index, spot, within, out) : spot;
  if (within > 0 && lane->carrier != 0) { /* a carrier decides the height, and holds what is near its ends */
    to.y = lane->y_lo;
    to.x = arr_on_mesh(lane, to.x);
    out->on_level = true;
    out->level = lane->y_exact;
    if (to.x < lane->x_lo && lane->x_lo - to.x <= within) to.x = lane->x_lo;
    if (to.x > lane->x_hi && to.x - lane->x_hi <= within) to.x = lane->x_hi;
  }
  out->at = (bc_point_cm){to.x / ARR_MM, lane->carrier != 0 && to.y == lane->y_lo ? lane->y_exact : to.y / ARR_MM};
  out->faults = faults_at(problem, layout, index, &to);
  list_collisions(problem, layout, index, &to, out);
}

bc_status bc_arrange_snap(bc_snap *out, bc_context *context, const bc_plan *plan, const bc_snap_wish *wish,
                          const bc_arrange_options *options) {
  const size_t piece = wish->piece;
  const bc_point_cm at = wish->at;
  const double within = wish->within;
  *out = (bc_snap){.asked = at, .at = at};
  if (piece >= plan->piece_count || !(fabs(at.x) < 1e5) || !(fabs(at.y) < 1e5) || !(within >= 0 && within < 1000))
    return bc_fail(context, BC_BAD_USAGE, _("There is no such piece or place. Choose a piece of the plan."));
  bc_arrange_options checked;
  bc_status status = arr_options(&checked, context, plan, options);
  if (status != BC_OK) return status;
  bc_plan still = *plan;
  still.pieces = arr_pinned_pieces(plan);
  if (!still.pieces) return bc_fail_memory(context);
  still.pieces[piece].placed = still.pieces[piece].pinned = false;
  arr_problem *problem = NULL;
  arr_layout layout = {0};
  status = arr_problem_new(&problem, context, &still, &checked, ARR_ROOM_CLOTH, NULL);
  if (status == BC_OK && !arr_layout_new(&layout, problem)) status = bc_fail_memory(context);
  if (status == BC_OK) try_place(out, problem, &layout, (size_t)problem->item_of_piece[piece], arr_mm(within));
  arr_layout_free(&layout);
  arr_problem_free(problem);
  free(still.pieces);
  return status;
}
