/* SPDX-License-Identifier: MIT */
/* The order in which a wall is put up, and where two people or a step ladder are needed. */
#include "loads_internal.h"

#include <math.h>
#include <stdlib.h>

static bool too_heavy_for_one(double mass_g, double height_cm) {
  return mass_g > (height_cm > BC_SHOULDER_CM ? BC_LIFT_HIGH_G : BC_LIFT_LOW_G);
}

static void add(bc_loads *loads, bc_step_kind kind, size_t index, double mass_g, double height_cm, double long_cm) {
  loads->steps[loads->step_count++] =
      (bc_load_step){.kind = kind,
                     .index = index,
                     .mass_g = mass_g,
                     .height_cm = height_cm,
                     .two_people = long_cm > BC_LONG_CM || too_heavy_for_one(mass_g, height_cm),
                     .ladder = height_cm > BC_REACH_CM};
}

/* The highest hanging point; of a piece that stands, where hands hold it. */
static double height_of(const bc_plan *plan, const bc_piece *piece) {
  if (!piece->placed) return NAN;
  if (!bc_mount_hangs(piece->mount.kind)) return piece->at.y;
  double highest = 0;
  for (int i = 0; i < piece->mount.points; i++)
    highest = fmax(highest, bc_plan_hanging_point(plan, piece, piece->at, i).y);
  return highest;
}

static void add_carrier(bc_loads *loads, const bc_carrier *on) {
  static const bc_step_kind steps[BC_CARRIER_KINDS] = {[BC_CARRIER_FRAME] = BC_STEP_FRAME,
                                                       [BC_CARRIER_ROD] = BC_STEP_ROD,
                                                       [BC_CARRIER_SHELF] = BC_STEP_SHELF,
                                                       [BC_CARRIER_TABLE] = BC_STEP_TABLE,
                                                       [BC_CARRIER_GRID] = BC_STEP_GRID};
  const bool stays = on->kind == BC_CARRIER_POST || on->kind == BC_CARRIER_RISER; /* the wall's, the table's */
  if (stays || (on->kind == BC_CARRIER_SHELF && on->lent)) return;
  const double mass_g =
      on->kind == BC_CARRIER_ROD ? loads->rods[on->index].own_weight_n / BC_STANDARD_GRAVITY * 1000 : on->weight_g;
  const double longest = on->kind == BC_CARRIER_FRAME  ? on->height
                         : on->kind == BC_CARRIER_GRID ? fmax(on->width, on->height)
                                                       : on->width;
  add(loads, steps[on->kind], on->index, mass_g, on->y + on->height, longest);
}

static void add_fittings(bc_loads *loads, const bc_plan *plan) {
  for (size_t i = 0; i < bc_plan_carrier_count(plan); i++) {
    const bc_carrier on = bc_plan_carrier(plan, i);
    add_carrier(loads, &on);
  }
  if (plan->cloth.given) add(loads, BC_STEP_CLOTH, 0, loads->cloth_kg * 1000, plan->cloth.top, plan->cloth.width);
}

static void add_pieces(bc_loads *loads, const bc_plan *plan) {
  for (size_t i = 0; i < plan->piece_count; i++) {
    const bc_piece *piece = &plan->pieces[i];
    const bool hangs = bc_mount_hangs(piece->mount.kind);
    add(loads, hangs ? BC_STEP_HANG : BC_STEP_STAND, i, piece->weight_g, height_of(plan, piece),
        fmax(piece->width, piece->height));
  }
}

static int by_figure(double a, double b) { /* greater first; without a place last */
  if (isnan(a) || isnan(b)) return isnan(a) - isnan(b);
  return a > b ? -1 : a < b;
}

static int in_order(const void *first, const void *second) {
  const bc_load_step *a = first, *b = second;
  if (a->kind != b->kind) return a->kind < b->kind ? -1 : 1;
  if (a->two_people != b->two_people) return a->two_people ? -1 : 1;
  const int height = by_figure(a->height_cm, b->height_cm), mass = by_figure(a->mass_g, b->mass_g);
  if (height != 0) return height;
  if (mass != 0) return mass;
  return (a->index > b->index) - (a->index < b->index);
}

bc_status loads_find_order(bc_loads *loads, bc_context *context, const bc_plan *plan) {
  loads->steps = bc_allocate(bc_plan_carrier_count(plan) + plan->piece_count + 1, sizeof *loads->steps);
  if (!loads->steps) return bc_fail_memory(context);
  add_fittings(loads, plan);
  add_pieces(loads, plan);
  qsort(loads->steps, loads->step_count, sizeof *loads->steps, in_order);
  return BC_OK;
}
