/* SPDX-License-Identifier: MIT */
/* What pieces must not touch: posts, no-fix zones, boards of shelves, rods, and the part of the wall
 * that tables hide. Also the list of carriers. */
#include "arrange_internal.h"

#include <math.h>
#include <stdlib.h>

/* Thickness of a shelf's board with its brackets, and clearance about rods: common practice, no source. */
#define BOARD 30
#define BOARD_CLEAR 20
#define ROD_CLEAR 10

/* Height on the wall below which a table hides it from the eye: the line of sight over each edge of
 * the table top, carried on to the wall. Seen from above the back edge decides, from below the front
 * edge does.
 *
 *   eye o                        at distance d, height e
 *          `-.
 *             `-.___________     table top at height t, its edges at b and f from the wall
 *              f   table   b `-. wall
 *
 *   hidden below t - (e - t) * z / (d - z) for z = b and z = f
 */
static double hidden_below(const arr_problem *problem, const bc_table *table) {
  const double eye = problem->eye_height / ARR_MM, distance = problem->eye_distance / ARR_MM;
  double hidden = 0;
  for (int edge = 0; edge < 2; edge++) {
    const double z = problem->options.table_back + edge * table->depth;
    if (z >= distance) continue; /* the visitor stands within: nothing of it is in the way */
    hidden = fmax(hidden, table->height - (eye - table->height) * z / (distance - z));
  }
  return hidden;
}

static void add_block(arr_problem *problem, double x, double y, double width, double height, int clear, unsigned stops,
                      int carrier) {
  problem->blocks[problem->block_count++] = (arr_block){
      .x0 = (int)floor(x * ARR_MM) - clear,
      .y0 = (int)floor(y * ARR_MM) - clear,
      .x1 = (int)ceil((x + width) * ARR_MM) + clear,
      .y1 = (int)ceil((y + height) * ARR_MM) + clear,
      .stops = stops,
      .carrier = carrier,
  };
}

static int add_carrier(arr_problem *problem, arr_where where, const char *id, double x, double width) {
  problem->carriers[problem->carrier_count] = (arr_carrier){
      .where = where, .id = id, .x0 = (int)ceil(x * ARR_MM - 1e-6), .x1 = (int)floor((x + width) * ARR_MM + 1e-6)};
  return (int)problem->carrier_count++;
}

static void add_rods(arr_problem *problem) {
  const bc_plan *plan = problem->plan;
  for (size_t i = 0; i < plan->rod_count; i++) {
    const bc_rod *rod = &plan->rods[i];
    const int carrier = add_carrier(problem, ARR_HANGING, rod->id, rod->x, rod->length);
    const double thick = rod->outer_mm / 10;
    add_block(problem, rod->x, rod->y - thick / 2, rod->length, thick, ROD_CLEAR, ARR_HANGING | ARR_SHELF | ARR_FLOOR,
              carrier);
  }
}

static void add_shelves(arr_problem *problem) {
  const bc_plan *plan = problem->plan;
  for (size_t i = 0; i < plan->shelf_count; i++) {
    const bc_shelf *shelf = &plan->shelves[i];
    const int carrier = add_carrier(problem, ARR_SHELF, shelf->id, shelf->x, shelf->width);
    problem->carriers[carrier].rated_g =
        shelf->rated_kg > 0 ? shelf->rated_kg * 1000 / fmax(1, plan->design_factor) : 0;
    const double board = BOARD / ARR_MM;
    add_block(problem, shelf->x, shelf->y - board, shelf->width, board, BOARD_CLEAR,
              ARR_HANGING | ARR_SHELF | ARR_FLOOR, carrier);
    /* Nothing hangs in the space a shelf needs for what stands on it, unless nothing stands there:
     * the pieces themselves keep their gap, so no block is needed above the board. */
  }
}

static void add_tables(arr_problem *problem) {
  const bc_plan *plan = problem->plan;
  for (size_t i = 0; i < plan->table_count; i++) {
    const bc_table *table = &plan->tables[i];
    add_carrier(problem, ARR_TABLE, table->id, table->x, table->width);
    const double hidden = fmax(table->height, hidden_below(problem, table));
    add_block(problem, table->x, 0, table->width, hidden, 0, ARR_HANGING | ARR_FLOOR, -1);
  }
}

static void add_zones(arr_problem *problem) {
  const bc_arrange_options *options = &problem->options;
  for (size_t i = 0; i < options->zone_count; i++) {
    const bc_arrange_zone *zone = &options->zones[i];
    add_block(problem, zone->x, zone->y, zone->width, zone->height, 0,
              zone->post ? ARR_HANGING | ARR_SHELF | ARR_FLOOR : ARR_HANGING, -1);
  }
}

bc_status arr_problem_blocks(arr_problem *problem, bc_context *context) {
  const bc_plan *plan = problem->plan;
  const size_t fittings = plan->rod_count + plan->shelf_count + plan->table_count;
  problem->carriers = bc_allocate(fittings + 2, sizeof *problem->carriers);
  problem->blocks = bc_allocate(fittings + problem->options.zone_count, sizeof *problem->blocks);
  if (!problem->carriers || !problem->blocks) return bc_fail_memory(context);
  add_carrier(problem, ARR_HANGING, NULL, 0, plan->stand.width);
  add_rods(problem);
  add_shelves(problem);
  add_tables(problem);
  add_carrier(problem, ARR_FLOOR, NULL, 0, plan->stand.width);
  add_zones(problem);
  return BC_OK;
}
