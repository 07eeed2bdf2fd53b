/* SPDX-License-Identifier: MIT */
/* Where each piece may lie at all: the free wall, below its rod, on shelves, tables or the floor
 * that it fits; and, when there is no such place, the sentence that says why. */
#include "problem.h"

#include "base/maths.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* What a hook or clip takes below a rod's underside, cm: common practice, no source. */
#define HOOK_CM 1.0
/* Small pieces may hang this low when nothing else fits, mm: common practice, no source. */
#define LOWEST_SMALL 400
/* Heights tried on a panel or post, at most, and their distance on a post, cm: our choice. */
#define ARR_HEIGHTS 64
#define POST_STEP 5.0

/* The same below its rod, the piece's centre at height y. */
static double span_below(const bc_plan *plan, const bc_piece *piece, double y) {
  double span = 0;
  for (int i = 0; i < piece->mount.points; i++)
    span = fmax(span, fabs(bc_plan_hanging_point(plan, piece, (bc_point_cm){0, y}, i).x));
  return span;
}

static bc_status refuse(arr_problem *problem, bc_context *context, size_t piece, char *sentence) {
  if (!sentence) return bc_fail_memory(context);
  free(problem->reason[piece]);
  problem->reason[piece] = sentence;
  return BC_OK;
}

static void add_lane(arr_problem *problem, arr_item *item, arr_lane lane) {
  if (lane.x_lo > lane.x_hi || lane.y_lo > lane.y_hi) return;
  if (item->lane_count == 0) item->lane_first = (int)problem->lane_count;
  problem->lanes[problem->lane_count++] = lane;
  item->lane_count++;
}

/* Eye heights that a mirror must show, mm: from a median woman's to a median man's, standing
 * (ANSUR II 2012, derived as stature - sitting height + sitting eye height). */
#define EYES_LOW 1517
#define EYES_HIGH 1640

/* Brings the height into [low, high] as far as the lane has it. */
static void narrow(arr_lane *lane, int low, int high) {
  low = base_most(low, lane->y_lo);
  high = base_least(high, lane->y_hi);
  if (low > high) return;
  lane->y_lo = low;
  lane->y_hi = high;
}

/* What would not hold a child's pull first of all goes out of reach. Wherever the height is free, a statement piece
 * keeps its centre in the sight band, and a mirror hangs where most people see their face; while there is room, small
 * pieces, which are looked at from near, keep to the band without its lowest quarter (common practice, no source). */
static void into_band(const arr_problem *problem, const arr_item *item, arr_lane *lane) {
  const int band = problem->sight_high - problem->sight_low;
  if (item->weak && problem->room == ARR_ROOM_HIGH) narrow(lane, arr_above_reach() + item->half_h, lane->y_hi);
  if (item->statement) narrow(lane, problem->sight_low, problem->sight_high);
  if (problem->plan->pieces[item->piece].role == BC_ROLE_SMALL && problem->room <= ARR_ROOM_EASY)
    narrow(lane, problem->sight_low + band / 4, problem->sight_high);
  if (problem->plan->pieces[item->piece].role == BC_ROLE_MIRROR)
    narrow(lane, EYES_HIGH - item->half_h, EYES_LOW + item->half_h);
}

static int lowest_edge(const arr_problem *problem, const bc_piece *piece) {
  const bool may_go_low = problem->room == ARR_ROOM_LOW && piece->role == BC_ROLE_SMALL;
  return may_go_low ? base_least(problem->low, LOWEST_SMALL) : problem->low;
}

static bc_status hang_free(arr_problem *problem, bc_context *context, arr_item *item) {
  const bc_piece *piece = &problem->plan->pieces[item->piece];
  const int rise = (int)ceil(arr_rise_cm(piece) * ARR_MM);
  const int half_span = base_most(item->half_w, (int)ceil(arr_half_span_cm(piece) * ARR_MM));
  arr_lane lane = {.x_lo = base_most(problem->region_x0 + item->half_w, half_span),
                   .x_hi = base_least(problem->region_x1 - item->half_w, problem->width - half_span)};
  lane.y_hi = base_least(problem->region_y1 - item->half_h, problem->top - rise - item->half_h);
  /* Away from the edges, if its size allows. */
  if (lane.x_lo + problem->inset <= lane.x_hi - problem->inset) {
    lane.x_lo += problem->inset;
    lane.x_hi -= problem->inset;
  }
  if (lane.y_hi - problem->inset >= problem->low + item->half_h &&
      lane.y_hi + item->half_h > problem->region_y1 - problem->inset)
    lane.y_hi -= problem->inset;
  /* What is taller than the wall above the tables hangs as high as it can. */
  lane.y_lo = base_least(lane.y_hi, lowest_edge(problem, piece) + item->half_h);
  if (lane.x_lo > lane.x_hi)
    return refuse(problem, context, item->piece,
                  bc_format(_("It is %s wide; the free wall is %s. It needs a wider wall or cloth."),
                            arr_cm(problem->plan, piece->width),
                            arr_cm(problem->plan, (problem->region_x1 - problem->region_x0) / ARR_MM)));
  if (lane.y_hi < item->half_h)
    return refuse(problem, context, item->piece,
                  bc_format(_("With its cord it is %s high; only %s of the wall can be reached. It needs a "
                              "shorter cord, a higher wall or a taller step."),
                            arr_cm(problem->plan, piece->height + rise / ARR_MM),
                            arr_cm(problem->plan, base_least(problem->region_y1, problem->top) / ARR_MM)));
  into_band(problem, item, &lane);
  add_lane(problem, item, lane);
  return BC_OK;
}

/* On a longer cord what hangs too high for its part comes down: a mirror to where people see their face,
 * a statement piece into the sight band. */
static double lowered(const arr_problem *problem, const bc_piece *piece, double y) {
  if (piece->mount.kind != BC_MOUNT_CORD) return y;
  double highest = y;
  if (piece->role == BC_ROLE_MIRROR) highest = EYES_LOW / ARR_MM + piece->height / 2;
  if (piece->role == BC_ROLE_STATEMENT) highest = problem->sight_high / ARR_MM;
  return fmax(fmin(y, highest), piece->height / 2);
}

static bc_status hang_on_rod(arr_problem *problem, bc_context *context, arr_item *item, const bc_rod *rod) {
  const bc_piece *piece = &problem->plan->pieces[item->piece];
  const double drop = fmax(arr_rise_cm(piece), rod->outer_mm / 20 + HOOK_CM);
  const double y = lowered(problem, piece, rod->y - drop - piece->height / 2);
  const int span = (int)ceil(span_below(problem->plan, piece, y) * ARR_MM - 1e-6);
  const arr_lane lane = {
      .x_lo = base_most(item->half_w, (int)ceil(rod->x * ARR_MM) + span),
      .x_hi = base_least(problem->width - item->half_w, (int)floor((rod->x + rod->length) * ARR_MM) - span),
      .y_lo = arr_mm(y),
      .y_hi = arr_mm(y),
      .y_exact = y,
      .carrier = arr_carrier_of(problem, BC_CARRIER_ROD, (size_t)(rod - problem->plan->rods)),
  };
  item->half_h += arr_rounding(y);
  /* The cord's way up to the rod stays free. */
  const int rise = (int)ceil((rod->y - y - piece->height / 2) * ARR_MM);
  item->rise = piece->mount.kind == BC_MOUNT_CORD ? rise : base_most(0, rise - problem->gap);
  item->reach_w = base_most(item->half_w, span);
  if (lane.x_lo > lane.x_hi)
    return refuse(problem, context, item->piece,
                  bc_format(_("It is too wide for the rod \"%s\". It needs a longer rod."), rod->id));
  if (y - piece->height / 2 < 0)
    return refuse(
        problem, context, item->piece,
        bc_format(_("Hung from \"%s\" it would touch the floor. Raise the rod or shorten the cord."), rod->id));
  add_lane(problem, item, lane);
  return BC_OK;
}

/* On a panel or a post a piece may hang at many heights: a lane each. Those that keep it above the tables, within reach
 * and, a statement piece, in the sight band. */
static void add_height(arr_problem *problem, arr_item *item, int carrier, double point_y, arr_lane lane, bool strict) {
  const bc_piece *piece = &problem->plan->pieces[item->piece];
  const double y = point_y - arr_rise_cm(piece) - piece->height / 2;
  if (point_y * ARR_MM > problem->top || (y - piece->height / 2) * ARR_MM < problem->low) return;
  if ((y + piece->height / 2) * ARR_MM > problem->height) return;
  if (strict && item->statement && (y * ARR_MM < problem->sight_low || y * ARR_MM > problem->sight_high)) return;
  lane.y_lo = lane.y_hi = arr_mm(y);
  lane.y_exact = y;
  lane.carrier = carrier;
  const bool reached = arr_is_weak_in_reach(item, &(arr_spot){.y = lane.y_lo});
  if (strict && problem->room == ARR_ROOM_HIGH && reached) return;
  add_lane(problem, item, lane);
}

/* Half the span of the hooks on the panel, cm, which its wires decide: the larger of a middle on a wire and between. */
static double span_on_grid(const bc_plan *plan, const bc_piece *piece, const bc_grid *grid) {
  double span = 0;
  for (int phase = 0; phase < 2; phase++)
    for (int i = 0; i < piece->mount.points; i++) {
      const double x = grid->x + grid->mesh * phase / 2;
      span = fmax(span, fabs(bc_plan_hanging_point(plan, piece, (bc_point_cm){x, 0}, i).x - x));
    }
  return span;
}

static bc_status hang_on_grid(arr_problem *problem, bc_context *context, arr_item *item, size_t number) {
  const bc_grid *grid = &problem->plan->grids[number];
  const bc_piece *piece = &problem->plan->pieces[item->piece];
  const int carrier = arr_carrier_of(problem, BC_CARRIER_GRID, number);
  const double span = span_on_grid(problem->plan, piece, grid);
  /* Where two hooks would share one wire, the piece's middle goes between two wires. */
  const bool narrow = bc_plan_points_coincide(problem->plan, piece, (bc_point_cm){grid->x, 0});
  const arr_lane lane = {
      .x_lo = base_most(item->half_w, (int)ceil((grid->x + span) * ARR_MM - 0.5)),
      .x_hi = base_least(problem->width - item->half_w, (int)floor((grid->x + grid->width - span) * ARR_MM + 0.5)),
      .mesh = grid->mesh * ARR_MM / (piece->mount.points > 1 && !narrow ? 2 : 1),
      .mesh_x = (grid->x + (narrow ? grid->mesh / 2 : 0)) * ARR_MM};
  item->half_h += 1; /* wires may lie at heights that aren't whole mm, and hooks at such places */
  item->half_w += 1;
  item->reach_w = base_most(item->half_w, item->reach_w);
  const int rows = base_least(ARR_HEIGHTS - 1, (int)floor(grid->height / grid->mesh + 1e-9));
  for (int strict = 1; strict >= 0 && item->lane_count == 0; strict--)
    for (int row = 0; row <= rows; row++) add_height(problem, item, carrier, grid->y + row * grid->mesh, lane, strict);
  if (item->lane_count > 0) return BC_OK;
  return refuse(
      problem, context, item->piece,
      bc_format(_("It does not fit on the panel \"%s\" between the tables and what can be reached. It needs a "
                  "larger panel, or another place."),
                grid->id));
}

static bc_status hang_on_post(arr_problem *problem, bc_context *context, arr_item *item, size_t number) {
  const bc_post *post = &problem->plan->posts[number];
  const bc_piece *piece = &problem->plan->pieces[item->piece];
  problem->unasked[item->piece] = !post->hang;
  if (!post->hang)
    return refuse(problem, context, item->piece,
                  bc_format(_("Nothing may be fixed to the post \"%s\". Hang it elsewhere, or ask the venue and note "
                              "in the plan that things may hang there."),
                            post->id));
  const double span = arr_half_span_cm(piece);
  const arr_lane lane = {
      .x_lo = base_most(item->half_w, (int)ceil((post->x + span) * ARR_MM)),
      .x_hi = base_least(problem->width - item->half_w, (int)floor((post->x + post->width - span) * ARR_MM))};
  item->half_h += 1;
  const double high = fmin(post->y + post->height, problem->top / ARR_MM);
  for (int strict = 1; strict >= 0 && item->lane_count == 0; strict--)
    for (int i = 0; i < ARR_HEIGHTS && high - i * POST_STEP >= post->y; i++)
      add_height(problem, item, arr_carrier_of(problem, BC_CARRIER_POST, number), high - i * POST_STEP, lane, strict);
  if (item->lane_count > 0) return BC_OK;
  return refuse(problem, context, item->piece,
                bc_format(_("Its hanging points do not fit on the post \"%s\". Hang it from one point, or elsewhere."),
                          post->id));
}

/* The lane of a piece that stands at height `base` (cm) on a carrier, if it is deep enough. */
static void stand_on(arr_problem *problem, arr_item *item, int carrier, double base, double depth) {
  const bc_piece *piece = &problem->plan->pieces[item->piece];
  if (piece->depth > 0 && depth > 0 && piece->depth > depth) return;
  const double y = base + piece->height / 2;
  if (y + piece->height / 2 > problem->plan->stand.wall_height) return;
  const arr_carrier *on = &problem->carriers[carrier];
  item->half_h = arr_half(piece->height) + 1; /* shelves may have heights that aren't whole mm */
  if (on->rated_g > 0 && piece->weight_g > on->rated_g) return;
  add_lane(problem, item,
           (arr_lane){.x_lo = base_most(0, on->x0) + item->half_w,
                      .x_hi = base_least(problem->width, on->x1) - item->half_w,
                      .y_lo = arr_mm(y),
                      .y_hi = arr_mm(y),
                      .y_exact = y,
                      .carrier = carrier});
}

static bc_status stand_anywhere(arr_problem *problem, bc_context *context, arr_item *item) {
  const bc_plan *plan = problem->plan;
  const bc_piece *piece = &plan->pieces[item->piece];
  for (size_t n = 0; n < bc_plan_carrier_count(plan); n++) {
    const bc_carrier on = bc_plan_carrier(plan, n);
    if (!bc_carrier_takes(on.kind, piece->mount.kind)) continue;
    if (!piece->mount.on || (on.id && strcmp(piece->mount.on, on.id) == 0))
      stand_on(problem, item, arr_carrier_of(problem, on.kind, on.index), on.top, on.depth);
  }
  if (item->where == ARR_FLOOR) stand_on(problem, item, arr_floor_carrier(problem), 0, plan->stand.depth);
  if (item->lane_count > 0) return BC_OK;
  if (item->where == ARR_SHELF)
    return refuse(problem, context, item->piece,
                  bc_copy_text(_("No shelf is wide, deep and strong enough for it. Put it on a table, or bring a "
                                 "larger shelf.")));
  if (item->where == ARR_TABLE)
    return refuse(problem, context, item->piece,
                  bc_copy_text(_("No table is wide and deep enough for it. Bring another table.")));
  return refuse(problem, context, item->piece, bc_copy_text(_("It does not fit within the stand.")));
}

/* A kept piece has one lane: where it is, on what carries it. */
static void keep(arr_problem *problem, arr_item *item) {
  const bc_plan *plan = problem->plan;
  const bc_piece *piece = &plan->pieces[item->piece];
  bc_carrier on;
  int carrier = 0;
  if (item->where == ARR_FLOOR)
    carrier = arr_floor_carrier(problem);
  else if (bc_plan_carrier_of(&on, plan, piece))
    carrier = arr_carrier_of(problem, on.kind, on.index);
  add_lane(problem, item,
           (arr_lane){.x_lo = item->home.x,
                      .x_hi = item->home.x,
                      .y_lo = item->home.y,
                      .y_hi = item->home.y,
                      .carrier = carrier,
                      .y_exact = piece->at.y});
  item->home.lane = item->lane_first;
}

bc_status arr_problem_lanes(arr_problem *problem, bc_context *context, const bool *left_off) {
  const bc_plan *plan = problem->plan;
  const size_t heights = plan->grid_count + plan->post_count > 0 ? ARR_HEIGHTS : 0;
  problem->lanes =
      bc_allocate(problem->count * (1 + plan->shelf_count + plan->table_count + plan->riser_count + heights),
                  sizeof *problem->lanes);
  if (!problem->lanes) return bc_fail_memory(context);
  for (size_t i = 0; i < problem->count; i++) {
    arr_item *item = &problem->items[i];
    const bc_piece *piece = &plan->pieces[item->piece];
    const bc_rod *rod = bc_plan_rod_of(plan, piece);
    const bc_grid *grid = bc_plan_grid_of(plan, piece);
    const bc_post *post = bc_plan_post_of(plan, piece);
    bc_status status = BC_OK;
    if (item->kept)
      keep(problem, item);
    else if (left_off && left_off[item->piece])
      continue;
    else if (item->where != ARR_HANGING)
      status = stand_anywhere(problem, context, item);
    else if (grid)
      status = hang_on_grid(problem, context, item, (size_t)(grid - plan->grids));
    else if (post)
      status = hang_on_post(problem, context, item, (size_t)(post - plan->posts));
    else if (rod)
      status = hang_on_rod(problem, context, item, rod);
    else
      status = hang_free(problem, context, item);
    if (status != BC_OK) return status;
  }
  return BC_OK;
}
