/* SPDX-License-Identifier: MIT */
/* What the wall refuses: the same table of pairs as the loads, fixings_in_walls.c, and the same things are asked. */
#include "check_internal.h"

static void refuse(checker *check, const char *piece, const char *name, bc_fixing fixing) {
  const bc_wall_kind wall = check->plan->stand.wall;
  check_add(check, true, piece, _("\"%s\": the wall is \"%s\" and the fixing \"%s\". %s"), name, bc_wall_text(wall),
            bc_fixing_text(fixing), bc_fixing_caution(wall, fixing));
}

static void check_carriers(checker *check) {
  const bc_plan *plan = check->plan;
  for (size_t i = 0; i < plan->rod_count; i++)
    if (!plan->rods[i].lent) refuse(check, NULL, plan->rods[i].id, plan->stand.fixing);
  for (size_t i = 0; i < plan->shelf_count; i++)
    if (!plan->shelves[i].lent) refuse(check, NULL, plan->shelves[i].id, plan->stand.fixing);
  if (plan->cloth.given && !bc_plan_cloth_rod(plan)) refuse(check, NULL, _("the cloth"), plan->stand.fixing);
}

void check_fixings(checker *check) {
  const bc_plan *plan = check->plan;
  if (bc_plan_refuses(plan, plan->stand.fixing)) check_carriers(check);
  for (size_t i = 0; i < plan->piece_count; i++) {
    const bc_piece *piece = &plan->pieces[i];
    bc_carrier on;
    if (!bc_mount_hangs(piece->mount.kind) || !piece->placed || bc_plan_carrier_of(&on, plan, piece)) continue;
    const bc_fixing fixing = bc_plan_fixing_of(plan, piece);
    if (bc_plan_refuses(plan, fixing)) refuse(check, piece->id, piece->title, fixing);
  }
}
