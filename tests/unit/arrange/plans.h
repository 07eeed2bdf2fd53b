/* SPDX-License-Identifier: MIT */
/* Plans made in memory for the tests of arranging: no file is needed. */
#ifndef BC_TESTS_ARRANGE_PLANS_H
#define BC_TESTS_ARRANGE_PLANS_H

#include <backcloth/arrange.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* splitmix64, so that the cases are the same on every machine. */
typedef struct dice {
  uint64_t state;
} dice;

static inline uint64_t dice_next(dice *d) {
  uint64_t z = (d->state += 0x9e3779b97f4a7c15u);
  z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
  z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
  return z ^ (z >> 31);
}
static inline int dice_between(dice *d, int low, int high) {
  return low + (int)(dice_next(d) % (uint64_t)(high - low + 1));
}
static inline double dice_cm(dice *d, int low, int high) {
  return dice_between(d, low * 100, high * 100) / 100.0;
}

/* A stand of 300 x 240 cm as the defaults of the plan file have it, without pieces. */
static inline bc_plan *plan_empty(size_t most_pieces) {
  bc_plan *plan = calloc(1, sizeof *plan);
  plan->title = strdup("Saltmarsh Lane");
  plan->stand = (bc_stand){.width = 300, .depth = 300, .wall_height = 240};
  plan->gap = 8;
  plan->design_factor = 5;
  plan->viewers = (bc_viewers){.distance = 400, .stature = 165, .sight_low = 98, .sight_high = 175};
  plan->pieces = calloc(most_pieces + 1, sizeof *plan->pieces);
  return plan;
}

static inline bc_piece *plan_add(bc_plan *plan, double width, double height) {
  bc_piece *piece = &plan->pieces[plan->piece_count++];
  char id[32];
  snprintf(id, sizeof id, "piece-%zu", plan->piece_count);
  *piece = (bc_piece){.id = strdup(id), .title = strdup(id), .width = width, .height = height, .weight_g = 500};
  piece->count = 1;
  piece->mount = (bc_mount){.given = true, .kind = BC_MOUNT_NAIL, .points = 1, .cord_angle = 60};
  return piece;
}

static inline void plan_table(bc_plan *plan, double x, double width, double depth, double height) {
  plan->tables = realloc(plan->tables, (plan->table_count + 1) * sizeof *plan->tables);
  char id[32];
  snprintf(id, sizeof id, "table-%zu", plan->table_count + 1);
  plan->tables[plan->table_count++] =
      (bc_table){.id = strdup(id), .x = x, .width = width, .depth = depth, .height = height};
}

static inline void plan_shelf(bc_plan *plan, double x, double y, double width, double depth, double rated_kg) {
  plan->shelves = realloc(plan->shelves, (plan->shelf_count + 1) * sizeof *plan->shelves);
  char id[32];
  snprintf(id, sizeof id, "shelf-%zu", plan->shelf_count + 1);
  plan->shelves[plan->shelf_count++] =
      (bc_shelf){.id = strdup(id), .x = x, .y = y, .width = width, .depth = depth, .rated_kg = rated_kg};
}

static inline void plan_rod(bc_plan *plan, double x, double y, double length) {
  plan->rods = realloc(plan->rods, (plan->rod_count + 1) * sizeof *plan->rods);
  char id[32];
  snprintf(id, sizeof id, "rod-%zu", plan->rod_count + 1);
  bc_rod rod = {.id = strdup(id), .x = x, .y = y, .length = length, .material = strdup("steel")};
  rod.outer_mm = 28;
  rod.wall_mm = 2;
  rod.supports[0] = x + 5;
  rod.supports[1] = x + length - 5;
  rod.support_count = 2;
  plan->rods[plan->rod_count++] = rod;
}

/* One of each of these at most. */
static inline bc_grid *plan_grid(bc_plan *plan, double x, double y, double width, double height, double mesh) {
  plan->grids = calloc(1, sizeof *plan->grids);
  plan->grids[0] = (bc_grid){.id = strdup("grid-1"), .x = x, .y = y, .width = width, .height = height, .mesh = mesh};
  plan->grid_count = 1;
  return plan->grids;
}
static inline bc_post *plan_post(bc_plan *plan, double x, double width, bool hang) {
  plan->posts = calloc(1, sizeof *plan->posts);
  plan->posts[0] = (bc_post){.id = strdup("post-1"), .x = x, .width = width, .depth = 10, .hang = hang};
  plan->posts[0].height = plan->stand.wall_height;
  plan->post_count = 1;
  return plan->posts;
}
static inline bc_riser *plan_riser(bc_plan *plan, double x, double width, double height) {
  plan->risers = calloc(1, sizeof *plan->risers);
  plan->risers[0] = (bc_riser){.id = strdup("riser-1"), .x = x, .width = width, .depth = 30, .height = height};
  plan->riser_count = 1;
  return plan->risers;
}
static inline bc_zone *plan_zone(bc_plan *plan, bc_zone_kind kind, double x, double y, double width, double height) {
  plan->zones = calloc(1, sizeof *plan->zones);
  plan->zones[0] = (bc_zone){.id = strdup("zone-1"), .kind = kind, .x = x, .y = y, .width = width, .height = height};
  plan->zone_count = 1;
  return plan->zones;
}
static inline bc_chair *plan_chair(bc_plan *plan, double x, double from_wall) {
  plan->chairs = calloc(1, sizeof *plan->chairs);
  plan->chairs[0] = (bc_chair){.id = strdup("chair-1"), .x = x, .width = 45, .depth = 45, .height = 85, .seat = 45};
  plan->chairs[0].from_wall = from_wall;
  plan->chair_count = 1;
  return plan->chairs;
}

static inline void plan_drop(bc_plan *plan) {
  for (size_t i = 0; i < plan->piece_count; i++) {
    free(plan->pieces[i].id);
    free(plan->pieces[i].title);
    free(plan->pieces[i].group);
    free(plan->pieces[i].mount.on);
  }
  for (size_t i = 0; i < plan->table_count; i++) free(plan->tables[i].id);
  for (size_t i = 0; i < plan->shelf_count; i++) free(plan->shelves[i].id);
  for (size_t i = 0; i < plan->rod_count; i++) {
    free(plan->rods[i].id);
    free(plan->rods[i].material);
  }
  for (size_t i = 0; i < plan->grid_count; i++) free(plan->grids[i].id);
  for (size_t i = 0; i < plan->post_count; i++) free(plan->posts[i].id);
  for (size_t i = 0; i < plan->riser_count; i++) free(plan->risers[i].id);
  for (size_t i = 0; i < plan->zone_count; i++) free(plan->zones[i].id);
  for (size_t i = 0; i < plan->chair_count; i++) free(plan->chairs[i].id);
  free(plan->grids);
  free(plan->posts);
  free(plan->risers);
  free(plan->zones);
  free(plan->chairs);
  for (size_t i = 0; i < plan->sale_count; i++) {
    free(plan->sales[i].id);
    free(plan->sales[i].title);
  }
  free(plan->sales);
  free(plan->pieces);
  free(plan->tables);
  free(plan->shelves);
  free(plan->rods);
  free(plan->title);
  free(plan);
}

#endif
