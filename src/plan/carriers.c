/* SPDX-License-Identifier: MIT */
/* Everything that carries pieces as one kind of thing: what it is called, where it is, what it is rated for, what it
 * weighs. Whoever treats all carriers alike walks through these; each kind's own keys stay in its struct. */
#include "plan_internal.h"

#include <stdio.h>
#include <string.h>

typedef bc_carrier view(const bc_plan *plan, size_t index);

static bc_carrier of_frame(const bc_plan *plan, size_t index) {
  return (bc_carrier){.kind = BC_CARRIER_FRAME,
                      .index = index,
                      .id = "frame",
                      .width = plan->stand.width,
                      .height = plan->stand.wall_height,
                      .top = plan->stand.wall_height,
                      .depth = plan->frame.base_depth,
                      .weight_g = plan->frame.weight_g};
}

static bc_carrier of_rod(const bc_plan *plan, size_t index) {
  const bc_rod *rod = &plan->rods[index];
  return (bc_carrier){.kind = BC_CARRIER_ROD,
                      .index = index,
                      .id = rod->id,
                      .x = rod->x,
                      .y = rod->y,
                      .width = rod->length,
                      .top = rod->y,
                      .rated_kg = rod->rated_kg,
                      .lent = rod->lent};
}

static bc_carrier of_shelf(const bc_plan *plan, size_t index) {
  const bc_shelf *shelf = &plan->shelves[index];
  return (bc_carrier){.kind = BC_CARRIER_SHELF,
                      .index = index,
                      .id = shelf->id,
                      .x = shelf->x,
                      .y = shelf->y,
                      .width = shelf->width,
                      .depth = shelf->depth,
                      .top = shelf->y,
                      .rated_kg = shelf->rated_kg,
                      .weight_g = shelf->weight_g,
                      .lent = shelf->lent};
}

static bc_carrier of_table(const bc_plan *plan, size_t index) {
  const bc_table *table = &plan->tables[index];
  return (bc_carrier){.kind = BC_CARRIER_TABLE,
                      .index = index,
                      .id = table->id,
                      .x = table->x,
                      .width = table->width,
                      .height = table->height,
                      .depth = table->depth,
                      .top = table->height,
                      .from_wall = table->from_wall,
                      .lent = table->lent};
}

static bc_carrier of_grid(const bc_plan *plan, size_t index) {
  const bc_grid *grid = &plan->grids[index];
  return (bc_carrier){.kind = BC_CARRIER_GRID,
                      .index = index,
                      .id = grid->id,
                      .x = grid->x,
                      .y = grid->y,
                      .width = grid->width,
                      .height = grid->height,
                      .top = grid->y + grid->height,
                      .rated_kg = grid->rated_kg,
                      .weight_g = grid->weight_g,
                      .lent = grid->lent};
}

static bc_carrier of_riser(const bc_plan *plan, size_t index) {
  const bc_riser *riser = &plan->risers[index];
  const bc_table *table = bc_plan_riser_table(plan, riser);
  const double top = bc_plan_riser_top(plan, riser);
  return (bc_carrier){.kind = BC_CARRIER_RISER,
                      .index = index,
                      .id = riser->id,
                      .x = riser->x,
                      .y = top - riser->height,
                      .width = riser->width,
                      .height = riser->height,
                      .depth = riser->depth,
                      .top = top,
                      .from_wall = table ? table->from_wall : 0,
                      .lent = riser->lent};
}

static bc_carrier of_post(const bc_plan *plan, size_t index) {
  const bc_post *post = &plan->posts[index];
  return (bc_carrier){.kind = BC_CARRIER_POST,
                      .index = index,
                      .id = post->id,
                      .x = post->x,
                      .y = post->y,
                      .width = post->width,
                      .height = post->height,
                      .depth = post->depth,
                      .top = post->y + post->height,
                      .lent = true}; /* part of the venue's wall */
}

static const struct {
  view *of;
  const char *list;          /* the plan's key */
  const char *alone, *named; /* "the rod", "the rod "left"" */
} kinds[BC_CARRIER_KINDS] = {
    [BC_CARRIER_FRAME] = {of_frame, "frame", N_("the frame"), NULL},
    [BC_CARRIER_ROD] = {of_rod, "rods", N_("the rod"), N_("the rod \"%.90s\"")},
    [BC_CARRIER_SHELF] = {of_shelf, "shelves", N_("the shelf"), N_("the shelf \"%.90s\"")},
    [BC_CARRIER_TABLE] = {of_table, "tables", N_("the table"), N_("the table \"%.90s\"")},
    [BC_CARRIER_GRID] = {of_grid, "grids", N_("the grid panel"), N_("the grid panel \"%.90s\"")},
    [BC_CARRIER_RISER] = {of_riser, "risers", N_("the riser"), N_("the riser \"%.90s\"")},
    [BC_CARRIER_POST] = {of_post, "posts", N_("the post"), N_("the post \"%.90s\"")},
};

static size_t count_of(const bc_plan *plan, bc_carrier_kind kind) {
  const size_t counts[BC_CARRIER_KINDS] = {
      [BC_CARRIER_FRAME] = plan->frame.given, [BC_CARRIER_ROD] = plan->rod_count,
      [BC_CARRIER_SHELF] = plan->shelf_count, [BC_CARRIER_TABLE] = plan->table_count,
      [BC_CARRIER_GRID] = plan->grid_count,   [BC_CARRIER_RISER] = plan->riser_count,
      [BC_CARRIER_POST] = plan->post_count};
  return counts[kind];
}

size_t bc_plan_carrier_count(const bc_plan *plan) {
  size_t count = 0;
  for (int kind = 0; kind < BC_CARRIER_KINDS; kind++) count += count_of(plan, (bc_carrier_kind)kind);
  return count;
}

bc_carrier bc_plan_carrier(const bc_plan *plan, size_t number) {
  int kind = 0;
  while (number >= count_of(plan, (bc_carrier_kind)kind)) number -= count_of(plan, (bc_carrier_kind)kind++);
  return kinds[kind].of(plan, number);
}

bool bc_plan_carrier_of(bc_carrier *out, const bc_plan *plan, const bc_piece *piece) {
  const bc_rod *rod = bc_plan_rod_of(plan, piece);
  const bc_grid *grid = bc_plan_grid_of(plan, piece);
  const bc_post *post = bc_plan_post_of(plan, piece);
  const bc_shelf *shelf = bc_plan_shelf_of(plan, piece);
  const bc_riser *riser = bc_plan_riser_of(plan, piece);
  const bc_table *table = bc_plan_table_of(plan, piece);
  if (rod) *out = of_rod(plan, (size_t)(rod - plan->rods));
  if (grid) *out = of_grid(plan, (size_t)(grid - plan->grids));
  if (post) *out = of_post(plan, (size_t)(post - plan->posts));
  if (shelf) *out = of_shelf(plan, (size_t)(shelf - plan->shelves));
  if (table) *out = of_table(plan, (size_t)(table - plan->tables));
  if (riser) *out = of_riser(plan, (size_t)(riser - plan->risers));
  if (rod || grid || post || shelf || table || riser) return true;
  if (!plan->frame.given || !bc_mount_hangs(piece->mount.kind)) return false;
  *out = of_frame(plan, 0);
  return true;
}

bool bc_carrier_takes(bc_carrier_kind carrier, bc_mount_kind mount) {
  if (mount == BC_MOUNT_SHELF) return carrier == BC_CARRIER_SHELF;
  if (mount == BC_MOUNT_TABLE) return carrier == BC_CARRIER_TABLE || carrier == BC_CARRIER_RISER;
  if (!bc_mount_hangs(mount)) return false;
  if (carrier == BC_CARRIER_GRID) return mount != BC_MOUNT_NAIL && mount != BC_MOUNT_PIN; /* wire takes no nail */
  return carrier == BC_CARRIER_ROD || carrier == BC_CARRIER_POST;
}

const char *bc_carrier_list(bc_carrier_kind kind) {
  return kinds[kind].list;
}

void bc_carrier_name(char *out, size_t size, const bc_plan *plan, const bc_carrier *carrier) {
  if (count_of(plan, carrier->kind) == 1)
    snprintf(out, size, "%s", _(kinds[carrier->kind].alone));
  else
    snprintf(out, size, _(kinds[carrier->kind].named), carrier->id);
}
