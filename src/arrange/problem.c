/* SPDX-License-Identifier: MIT */
/* The plan as a problem of rectangles in whole mm: frame, focus, items. Lanes and blocks have files
 * of their own (lanes.c, blocks.c). */
#include "problem.h"

#include "base/maths.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Table height where a plan has no table: 75 cm, common practice, no source. */
#define USUAL_TABLE 750

/* Limits are rounded so that what keeps within them in mm keeps within them in cm. */
static int down(double cm) {
  return (int)floor(cm * ARR_MM + 1e-6);
}
static int up(double cm) {
  return (int)ceil(cm * ARR_MM - 1e-6);
}

static void frame(arr_problem *problem) {
  const bc_plan *plan = problem->plan;
  problem->width = down(plan->stand.width);
  problem->height = down(plan->stand.wall_height);
  problem->gap = up(plan->gap);
  problem->grid = base_most(1, arr_mm(problem->options.grid));
  problem->region_x1 = problem->width;
  problem->region_y1 = problem->height;
  if (plan->cloth.given) {
    problem->region_x0 = base_most(0, up(plan->cloth.left));
    problem->region_x1 = base_least(problem->width, down(plan->cloth.left + plan->cloth.width));
    problem->region_y1 = base_least(problem->height, down(plan->cloth.top));
  }
  problem->top = base_least(problem->height, down(problem->options.reach + problem->options.step));
  for (size_t i = 0; i < plan->table_count; i++) problem->table = base_most(problem->table, up(plan->tables[i].height));
  if (plan->table_count == 0) problem->table = USUAL_TABLE;
  problem->inset = problem->room <= ARR_ROOM_EASY ? problem->gap / 2 : 0;
  const double hem =
      plan->cloth.given ? plan->cloth.top - plan->cloth.height : 0; /* a short cloth ends above the floor */
  problem->low = base_most(problem->table, plan->cloth.given && plan->cloth.height > 0 ? up(hem) : 0) + problem->inset;
}

static void set_focus(arr_problem *problem) {
  const bc_viewers *viewers = &problem->plan->viewers;
  problem->sight_low = up(viewers->sight_low);
  problem->sight_high = down(viewers->sight_high);
  const bc_point_cm focus = bc_plan_focus(problem->plan);
  problem->eye_height = arr_mm(bc_plan_eye_height(problem->plan));
  problem->eye_distance = arr_mm(viewers->distance);
  problem->focus_x = arr_on_grid(problem, (int)floor(focus.x * ARR_MM + 1e-6));
  const int level = down(focus.y);
  const bc_open_side open = problem->plan->stand.open_side;
  problem->open_way = open == BC_OPEN_LEFT ? -1 : open == BC_OPEN_RIGHT ? 1 : 0;
  problem->focus_y = problem->grid > 1 ? arr_on_grid(problem, level) : level / 5 * 5; /* easy to measure */
}

static arr_where where_of(bc_mount_kind kind) {
  switch (kind) {
  case BC_MOUNT_SHELF:
    return ARR_SHELF;
  case BC_MOUNT_TABLE:
    return ARR_TABLE;
  case BC_MOUNT_FLOOR:
    return ARR_FLOOR;
  default:
    return ARR_HANGING;
  }
}

/* What is left off first when room is short: small pieces, then supporting ones, signs and mirrors,
 * the statement piece last. */
static int importance_of(bc_role role) {
  switch (role) {
  case BC_ROLE_STATEMENT:
    return 64;
  case BC_ROLE_SIGN:
  case BC_ROLE_MIRROR:
    return 8;
  case BC_ROLE_SUPPORT:
    return 4;
  default:
    return 2;
  }
}

/* Numbers groups by first use; a group of one is none. What stands and what hangs cannot be side by side,
 * so a group that does both counts as a group in each place. */
static int group_of(const arr_problem *problem, size_t piece) {
  const bc_plan *plan = problem->plan;
  const bc_piece *own = &plan->pieces[piece];
  if (!own->group) return -1;
  size_t first = piece, members = 0;
  for (size_t i = 0; i < plan->piece_count; i++) {
    const bc_piece *other = &plan->pieces[i];
    if (!other->group || strcmp(other->group, own->group) != 0) continue;
    if (where_of(other->mount.kind) != where_of(own->mount.kind)) continue;
    if (i < first) first = i;
    members++;
  }
  return members > 1 ? (int)first : -1;
}

static bool keeps(const arr_problem *problem, const bc_piece *piece, bool all_placed) {
  if (!piece->placed) return false;
  return piece->pinned || (problem->options.keep == BC_ARRANGE_KEEP_PLACED && !all_placed);
}

static void fill_item(arr_problem *problem, arr_item *item, size_t index, bool all_placed) {
  const bc_piece *piece = &problem->plan->pieces[index];
  const double contrast = problem->options.contrast ? problem->options.contrast[index] : 1;
  *item = (arr_item){.piece = index, .where = where_of(piece->mount.kind), .home = {0, 0, -1}};
  item->half_w = arr_half(piece->width);
  item->half_h = arr_half(piece->height);
  item->area = piece->width * piece->height;
  item->weight = item->area * fmin(1, fmax(0.05, contrast));
  item->importance = importance_of(piece->role);
  item->statement = piece->role == BC_ROLE_STATEMENT;
  item->leader = item->statement;
  item->group = group_of(problem, index);
  item->kept = keeps(problem, piece, all_placed);
  const int rise = bc_mount_hangs(piece->mount.kind) ? (int)ceil(arr_rise_cm(piece) * ARR_MM) : 0;
  item->rise = piece->mount.kind == BC_MOUNT_CORD ? rise : base_most(0, rise - problem->gap);
  item->half_span = bc_mount_hangs(piece->mount.kind) ? (int)ceil(arr_half_span_cm(piece) * ARR_MM) : 0;
  item->reach_up = item->half_h + rise;
  item->reach_w = base_most(item->half_w, item->half_span);
  if (item->kept) {
    item->home = (arr_spot){arr_mm(piece->at.x), arr_mm(piece->at.y), 0};
    item->half_w += arr_rounding(piece->at.x);
    item->half_h += arr_rounding(piece->at.y);
  }
}

/* Like things are seen as one (similarity: Wertheimer, Psychologische Forschung 4, 1923) where they are also near. */
#define ALIKE 0.05     /* of width and of height */
#define FAMILY_LEAST 3 /* two are a pair, which may as well hang either side */

static bool alike(const arr_item *a, const arr_item *b) {
  return a->where == b->where && a->importance == b->importance && abs(a->half_w - b->half_w) <= ALIKE * b->half_w &&
         abs(a->half_h - b->half_h) <= ALIKE * b->half_h;
}

static bool may_be_of(const arr_item *item) {
  return item->where == ARR_HANGING && item->group < 0 && !item->kept;
}

/* Hanging pieces that nobody grouped are a group when they are of one size and role, unless all are. */
static void find_families(arr_problem *problem) {
  size_t all = 0;
  for (size_t i = 0; i < problem->count; i++) all += may_be_of(&problem->items[i]);
  for (size_t first = 0; first < problem->count; first++) {
    if (!may_be_of(&problem->items[first])) continue;
    size_t members = 0;
    for (size_t i = first; i < problem->count; i++)
      members += may_be_of(&problem->items[i]) && alike(&problem->items[i], &problem->items[first]);
    if (members < FAMILY_LEAST || members == all) continue;
    const arr_item like = problem->items[first];
    for (size_t i = first; i < problem->count; i++)
      if (may_be_of(&problem->items[i]) && alike(&problem->items[i], &like)) {
        problem->items[i].group = (int)first;
        problem->items[i].family = true;
      }
  }
}

static bc_status items(arr_problem *problem, bc_context *context) {
  const bc_plan *plan = problem->plan;
  problem->items = bc_allocate(plan->piece_count, sizeof *problem->items);
  problem->item_of_piece = bc_allocate(plan->piece_count, sizeof *problem->item_of_piece);
  problem->reason = bc_allocate(plan->piece_count, sizeof *problem->reason);
  problem->unasked = bc_allocate(plan->piece_count, sizeof *problem->unasked);
  if (!problem->items || !problem->item_of_piece || !problem->reason || !problem->unasked)
    return bc_fail_memory(context);
  bool all_placed = true;
  for (size_t i = 0; i < plan->piece_count; i++) all_placed = all_placed && plan->pieces[i].placed;
  for (size_t i = 0; i < plan->piece_count; i++) {
    fill_item(problem, &problem->items[i], i, all_placed);
    problem->item_of_piece[i] = (int)i;
  }
  problem->count = plan->piece_count;
  find_families(problem);
  return BC_OK;
}

/* Without a statement piece the one with the most visual weight among those that hang stands in,
 * when it is clearly the heaviest: a quarter more than the next. */
static void choose_leader(arr_problem *problem) {
  int first = -1, second = -1, hanging = 0;
  for (size_t i = 0; i < problem->count; i++) {
    const arr_item *item = &problem->items[i];
    if (item->statement && (item->kept || item->lane_count > 0)) problem->leader_count++;
    if (item->where != ARR_HANGING || (!item->kept && item->lane_count == 0)) continue;
    hanging++;
    if (first < 0 || item->weight > problem->items[first].weight) {
      second = first;
      first = (int)i;
    } else if (second < 0 || item->weight > problem->items[second].weight) {
      second = (int)i;
    }
  }
  if (problem->leader_count > 0 || hanging < ARR_LED) return;
  if (second >= 0 && problem->items[first].weight < 1.25 * problem->items[second].weight) return;
  problem->items[first].leader = true;
  problem->leader_count = 1;
}

bc_status arr_problem_new(arr_problem **out, bc_context *context, const bc_plan *plan,
                          const bc_arrange_options *options, arr_room room, const bool *left_off) {
  *out = NULL;
  arr_problem *problem = bc_allocate(1, sizeof *problem);
  if (!problem) return bc_fail_memory(context);
  problem->plan = plan;
  problem->options = *options;
  problem->room = room;
  frame(problem);
  set_focus(problem);
  bc_status status = items(problem, context);
  if (status == BC_OK) status = arr_problem_weak(problem, context);
  if (status == BC_OK) status = arr_problem_blocks(problem, context);
  if (status == BC_OK) status = arr_problem_lanes(problem, context, left_off);
  if (status == BC_OK) {
    problem->bars =
        bc_allocate(4 * problem->count + 2 * problem->block_count + problem->unfixed_count + 1, sizeof *problem->bars);
    if (!problem->bars) status = bc_fail_memory(context);
  }
  if (status != BC_OK) {
    arr_problem_free(problem);
    return status;
  }
  choose_leader(problem);
  *out = problem;
  return BC_OK;
}

void arr_problem_free(arr_problem *problem) {
  if (!problem) return;
  for (size_t i = 0; problem->reason && i < problem->plan->piece_count; i++) free(problem->reason[i]);
  free(problem->reason);
  free(problem->unasked);
  free(problem->item_of_piece);
  free(problem->items);
  free(problem->lanes);
  free(problem->carriers);
  free(problem->blocks);
  free(problem->unfixed);
  free(problem->bars);
  free(problem);
}
