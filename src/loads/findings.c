/* SPDX-License-Identifier: MIT */
/* The verdicts, from the bottom up: the frame, what hangs or stands on it, the points on those. What carries something
 * and does not hold, or of which that is not known, passes it on to all above it. Then the one list of findings that
 * words, CSV, JSON, drawings, sheets and the page are made from. */
#include "loads_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SLACK_CM 0.1 /* tapes are read to a millimetre, as in the plan's check */

const char *bc_load_reason_word(int number) {
  static const char *const words[BC_WHY_REASONS] = {"overloaded",
                                                    "tips",
                                                    "lifts",
                                                    "sags",
                                                    "weak",
                                                    "beyond",
                                                    "fixing",
                                                    "carrier_fails",
                                                    "no_weight",
                                                    "no_rating",
                                                    "no_material",
                                                    "no_beam",
                                                    "no_bracket_height",
                                                    "carrier_unknown",
                                                    "childs_pull"};
  return words[number];
}

/* BC_HOLDS_NO, _UNKNOWN or _YES as the reasons say. */
static bc_holds loads_verdict(unsigned why) {
  return why & BC_WHY_FAILS ? BC_HOLDS_NO : why ? BC_HOLDS_UNKNOWN : BC_HOLDS_YES;
}

/* What a carrier's verdict means for what is on it. */
static unsigned passed_on(bc_holds carrier) {
  return carrier == BC_HOLDS_NO ? BC_WHY_CARRIER_FAILS : carrier == BC_HOLDS_UNKNOWN ? BC_WHY_CARRIER_UNKNOWN : 0;
}

static unsigned of_frame(const bc_loads *loads) {
  return loads->frame.given ? passed_on(loads->frame.holds) : 0;
}

static void judge_carriers(bc_loads *loads, const bc_plan *plan) {
  const unsigned wall = bc_plan_refuses(plan, plan->stand.fixing) ? BC_WHY_FIXING : 0;
  loads->frame.holds = loads_verdict(loads->frame.why);
  for (size_t i = 0; i < loads->rod_count; i++) {
    bc_load_rod *rod = &loads->rods[i];
    rod->why |= of_frame(loads) | (plan->rods[i].lent ? 0 : wall);
    rod->holds = loads_verdict(rod->why);
  }
  for (size_t i = 0; i < loads->shelf_count; i++) {
    bc_load_shelf *shelf = &loads->shelves[i];
    shelf->shelf_why |= of_frame(loads);
    shelf->fixings_why |= of_frame(loads) | (plan->shelves[i].lent ? 0 : wall);
    shelf->shelf_holds = loads_verdict(shelf->shelf_why);
    shelf->fixings_hold = loads_verdict(shelf->fixings_why);
    shelf->holds = loads_verdict(shelf->shelf_why | shelf->fixings_why);
  }
  for (size_t i = 0; i < loads->grid_count; i++) {
    loads->grids[i].why |= of_frame(loads);
    loads->grids[i].holds = loads_verdict(loads->grids[i].why);
  }
  for (size_t i = 0; i < loads->table_count; i++) loads->tables[i].holds = loads_verdict(loads->tables[i].why);
}

/* --- points --------------------------------------------------------------------------------------------------- */
static bool outside(double at, double from, double size) {
  return at < from - SLACK_CM || at > from + size + SLACK_CM;
}

/* A rod is where its points are; a panel, a post and the wall must have the point on them. */
static bool is_beyond(const bc_load_point *point, const bc_plan *plan, const bc_carrier *on) {
  if (!on || on->kind == BC_CARRIER_FRAME)
    return outside(point->x, 0, plan->stand.width) || outside(point->y, 0, plan->stand.wall_height);
  if (outside(point->x, on->x, on->width)) return true;
  return on->kind != BC_CARRIER_ROD && outside(point->y, on->y, on->height);
}

static bc_holds of_carrier(const bc_loads *loads, const bc_carrier *on) {
  if (on->kind == BC_CARRIER_ROD) return loads->rods[on->index].holds;
  if (on->kind == BC_CARRIER_FRAME) return loads->frame.holds;
  for (size_t i = 0; on->kind == BC_CARRIER_GRID && i < loads->grid_count; i++)
    if (strcmp(loads->grids[i].id, on->id) == 0) return loads->grids[i].holds;
  return BC_HOLDS_YES; /* a post is the wall */
}

static unsigned own_reasons(const bc_load_point *point) {
  unsigned why = 0;
  if (!point->weighed) why |= BC_WHY_NO_WEIGHT;
  if (!(point->rated_n > 0)) why |= BC_WHY_NO_RATING;
  if (point->alone == BC_HOLDS_NO) why |= BC_WHY_OVERLOADED;
  if (point->tips) why |= BC_WHY_TIPS;
  if (point->in_reach && point->pulled == BC_HOLDS_NO) why |= BC_WHY_PULLED;
  return why;
}

static void judge_point(bc_load_point *point, const bc_loads *loads, const bc_plan *plan, const bc_carrier *on,
                        bc_fixing fixing) {
  point->why = own_reasons(point);
  if (is_beyond(point, plan, on)) point->why |= BC_WHY_BEYOND;
  if (on) point->why |= passed_on(of_carrier(loads, on));
  if (!on && bc_plan_refuses(plan, fixing)) point->why |= BC_WHY_FIXING;
  point->holds = loads_verdict(point->why);
}

/* Points lie in the order of the pieces; the cloth's own come last. */
static void judge_points(bc_loads *loads, const bc_plan *plan) {
  size_t next = 0;
  for (size_t i = 0; i < plan->piece_count; i++) {
    const bc_piece *piece = &plan->pieces[i];
    if (!bc_mount_hangs(piece->mount.kind) || !piece->placed) continue;
    bc_carrier on;
    const bool carried = bc_plan_carrier_of(&on, plan, piece);
    for (int k = 0; k < piece->mount.points; k++)
      judge_point(&loads->points[next++], loads, plan, carried ? &on : NULL, bc_plan_fixing_of(plan, piece));
  }
  bc_carrier frame = {.kind = BC_CARRIER_FRAME, .id = "frame"};
  for (; next < loads->point_count; next++)
    judge_point(&loads->points[next], loads, plan, plan->frame.given ? &frame : NULL, plan->stand.fixing);
}

/* --- the list --------------------------------------------------------------------------------------------------- */
/* Points of a piece are told together only when they carry alike and hold alike. */
static bool alike(const bc_load_point *a, const bc_load_point *b) {
  return strcmp(a->piece, b->piece) == 0 && fabs(a->demand_n - b->demand_n) < 0.005 &&
         fabs(a->vertical_n - b->vertical_n) < 0.005 && a->rated_n == b->rated_n && a->holds == b->holds &&
         a->why == b->why;
}

static void list(bc_loads *loads, bc_load_subject subject, size_t first, size_t count, unsigned why) {
  loads->findings[loads->finding_count++] = (bc_load_finding){subject, first, count, loads_verdict(why), why};
}

static void list_all(bc_loads *loads) {
  for (size_t i = 0, count; i < loads->point_count; i += count) {
    for (count = 1; i + count < loads->point_count && alike(&loads->points[i], &loads->points[i + count]);) count++;
    list(loads, BC_LOAD_POINTS, i, count, loads->points[i].why);
  }
  for (size_t i = 0; i < loads->rod_count; i++) list(loads, BC_LOAD_ROD, i, 1, loads->rods[i].why);
  for (size_t i = 0; i < loads->shelf_count; i++) {
    list(loads, BC_LOAD_SHELF, i, 1, loads->shelves[i].shelf_why);
    list(loads, BC_LOAD_FIXINGS, i, 1, loads->shelves[i].fixings_why);
  }
  for (size_t i = 0; i < loads->grid_count; i++) list(loads, BC_LOAD_GRID, i, 1, loads->grids[i].why);
  /* A table of which nobody knows what it carries is a caution, as a chair is: it does not hang. */
  for (size_t i = 0; i < loads->table_count; i++)
    if (loads->tables[i].rated_n > 0) list(loads, BC_LOAD_TABLE, i, 1, loads->tables[i].why);
  if (loads->frame.given) list(loads, BC_LOAD_FRAME, 0, 1, loads->frame.why);
}

/* Only what carries it speaks against it: told after the cause. */
static bool is_passed_on(const bc_load_finding *finding) {
  return finding->why && !(finding->why & ~(unsigned)(BC_WHY_CARRIER_FAILS | BC_WHY_CARRIER_UNKNOWN));
}

/* Failing first, then not known, then holding; of each the causes first; otherwise as they come. */
static void sort(bc_loads *loads, bc_load_finding *aside) {
  static const bc_holds order[] = {BC_HOLDS_NO, BC_HOLDS_UNKNOWN, BC_HOLDS_YES};
  size_t count = 0;
  for (size_t k = 0; k < 6; k++)
    for (size_t i = 0; i < loads->finding_count; i++)
      if (loads->findings[i].holds == order[k / 2] && is_passed_on(&loads->findings[i]) == (k % 2 == 1))
        aside[count++] = loads->findings[i];
  memcpy(loads->findings, aside, count * sizeof *aside);
}

bool loads_place_nothing(const bc_loads *loads, const bc_plan *plan) {
  return loads->unplaced > 0 && loads->unplaced == plan->piece_count;
}

bc_status loads_find_findings(bc_loads *loads, bc_context *context, const bc_plan *plan) {
  judge_carriers(loads, plan);
  judge_points(loads, plan);
  const size_t most =
      loads->point_count + loads->rod_count + 2 * loads->shelf_count + loads->grid_count + loads->table_count + 1;
  loads->findings = bc_allocate(most, sizeof *loads->findings);
  bc_load_finding *aside = bc_allocate(most, sizeof *aside);
  const bool room = loads->findings && aside;
  if (room) {
    list_all(loads);
    sort(loads, aside);
    for (size_t i = 0; i < loads->finding_count; i++) {
      loads->overloaded = loads->overloaded || loads->findings[i].holds == BC_HOLDS_NO;
      loads->uncertain = loads->uncertain || loads->findings[i].holds == BC_HOLDS_UNKNOWN;
    }
  }
  loads->uncertain = loads->uncertain || loads_place_nothing(loads, plan);
  free(aside);
  return room ? BC_OK : bc_fail_memory(context);
}

/* --- asked for one piece ------------------------------------------------------------------------------------------ */
static bool worse(bc_holds than, bc_holds it) {
  return it == BC_HOLDS_NO || (it == BC_HOLDS_UNKNOWN && than == BC_HOLDS_YES);
}

bool bc_loads_of_piece(bc_holds *out, const bc_loads *loads, const bc_plan *plan, size_t number) {
  const bc_piece *piece = &plan->pieces[number];
  const bc_shelf *shelf = bc_plan_shelf_of(plan, piece);
  const bc_table *table = bc_plan_table_of(plan, piece);
  bool any = false;
  *out = BC_HOLDS_YES;
  if (!piece->placed) return false;
  for (size_t i = 0; i < loads->point_count; i++) {
    if (strcmp(loads->points[i].piece, piece->id) != 0) continue;
    any = true;
    if (worse(*out, loads->points[i].holds)) *out = loads->points[i].holds;
  }
  if (shelf) *out = loads->shelves[shelf - plan->shelves].holds;
  const bool rated = table && loads->tables[table - plan->tables].rated_n > 0;
  if (rated) *out = loads->tables[table - plan->tables].holds;
  return any || shelf || rated;
}
