/* SPDX-License-Identifier: MIT */
/* What pieces must not touch: posts, no-fix zones, boards of shelves, rods, and the part of the wall
 * that tables hide. Also the list of carriers. */
#include "problem.h"

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
static double hidden_below(const arr_problem *problem, double top, double from_wall, double depth) {
  const double eye = problem->eye_height / ARR_MM, distance = problem->eye_distance / ARR_MM;
  double hidden = 0;
  for (int edge = 0; edge < 2; edge++) {
    const double z = from_wall + edge * depth;
    if (z >= distance) continue; /* the visitor stands within: nothing of it is in the way */
    hidden = fmax(hidden, top - (eye - top) * z / (distance - z));
  }
  return hidden;
}

/* A rectangle of the wall, cm: lower left corner and size. */
typedef struct area {
  double x, y, width, height;
} area;

static void add_block(arr_problem *problem, area a, int clear, unsigned stops, int carrier) {
  problem->blocks[problem->block_count++] = (arr_block){
      .x0 = (int)floor(a.x * ARR_MM) - clear,
      .y0 = (int)floor(a.y * ARR_MM) - clear,
      .x1 = (int)ceil((a.x + a.width) * ARR_MM) + clear,
      .y1 = (int)ceil((a.y + a.height) * ARR_MM) + clear,
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
    add_block(problem, (area){rod->x, rod->y - thick / 2, rod->length, thick}, ROD_CLEAR,
              ARR_HANGING | ARR_SHELF | ARR_FLOOR, carrier);
  }
}

/* What a carrier may carry: the rating over the design factor; 0: not known. */
static double allowed_g(const bc_plan *plan, double rated_kg) {
  return rated_kg > 0 ? rated_kg * 1000 / fmax(1, plan->design_factor) : 0;
}

static void add_shelves(arr_problem *problem) {
  const bc_plan *plan = problem->plan;
  for (size_t i = 0; i < plan->shelf_count; i++) {
    const bc_shelf *shelf = &plan->shelves[i];
    const int carrier = add_carrier(problem, ARR_SHELF, shelf->id, shelf->x, shelf->width);
    problem->carriers[carrier].rated_g = allowed_g(plan, shelf->rated_kg);
    const double board = BOARD / ARR_MM;
    add_block(problem, (area){shelf->x, shelf->y - board, shelf->width, board}, BOARD_CLEAR,
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
    const double back = problem->options.table_back + table->from_wall;
    const double hidden = fmax(table->height, hidden_below(problem, table->height, back, table->depth));
    add_block(problem, (area){table->x, 0, table->width, hidden}, 0, ARR_HANGING | ARR_FLOOR, -1);
  }
}

/* What stands on the table keeps beside the riser; the wall behind it is hidden like that behind a table. */
static void add_risers(arr_problem *problem) {
  const bc_plan *plan = problem->plan;
  for (size_t i = 0; i < plan->riser_count; i++) {
    const bc_riser *riser = &plan->risers[i];
    const int carrier = add_carrier(problem, ARR_TABLE, riser->id, riser->x, riser->width);
    const bc_table *table = bc_plan_riser_table(plan, riser);
    const double top = bc_plan_riser_top(plan, riser), back = table ? table->from_wall : 0;
    const double hidden = hidden_below(problem, top, problem->options.table_back + back, riser->depth);
    add_block(problem, (area){riser->x, top - riser->height, riser->width, riser->height}, 0, ARR_TABLE, carrier);
    add_block(problem, (area){riser->x, 0, riser->width, fmax(top, hidden)}, 0, ARR_HANGING | ARR_FLOOR, -1);
  }
}

/* A chair hides what hangs low behind it, and nothing is put on the floor where it stands or behind it. */
static void add_chairs(arr_problem *problem) {
  const bc_plan *plan = problem->plan;
  for (size_t i = 0; i < plan->chair_count; i++) {
    const bc_chair *chair = &plan->chairs[i];
    const double hidden = hidden_below(problem, chair->height, chair->from_wall, chair->depth);
    add_block(problem, (area){chair->x, 0, chair->width, hidden}, 0, ARR_HANGING, -1);
    add_block(problem, (area){chair->x, 0, chair->width, chair->height}, 0, ARR_FLOOR, -1);
  }
}

/* What hangs free does not hang behind a panel. */
static void add_grids(arr_problem *problem) {
  const bc_plan *plan = problem->plan;
  for (size_t i = 0; i < plan->grid_count; i++) {
    const bc_grid *grid = &plan->grids[i];
    const int carrier = add_carrier(problem, ARR_HANGING, grid->id, grid->x, grid->width);
    problem->carriers[carrier].rated_g = allowed_g(plan, grid->rated_kg);
    add_block(problem, (area){grid->x, grid->y, grid->width, grid->height}, 0, ARR_HANGING, carrier);
  }
}

/* No nail of the bare wall goes in where the last block is, and no cord crosses it: a cord may take up the gap above
 * its piece, which blocks know nothing of. */
static void add_unfixed(arr_problem *problem) {
  problem->unfixed[problem->unfixed_count++] = problem->blocks[problem->block_count - 1];
}

static void add_posts(arr_problem *problem) {
  const bc_plan *plan = problem->plan;
  for (size_t i = 0; i < plan->post_count; i++) {
    const bc_post *post = &plan->posts[i];
    const int carrier = add_carrier(problem, ARR_HANGING, post->id, post->x, post->width);
    add_block(problem, (area){post->x, post->y, post->width, post->height}, 0, ARR_HANGING | ARR_SHELF | ARR_FLOOR,
              post->hang ? carrier : -1);
    add_unfixed(problem);
  }
}

/* Nothing covers what must be seen or reached; where only nails are forbidden, only hanging points mind. */
static void add_plan_zones(arr_problem *problem) {
  const bc_plan *plan = problem->plan;
  for (size_t i = 0; i < plan->zone_count; i++) {
    const bc_zone *zone = &plan->zones[i];
    const unsigned all = ARR_HANGING | ARR_SHELF | ARR_TABLE | ARR_FLOOR;
    add_block(problem, (area){zone->x, zone->y, zone->width, zone->height}, 0, all, -1);
    add_unfixed(problem);
    if (zone->kind == BC_ZONE_NO_FIX) problem->block_count--;
  }
}

static void add_zones(arr_problem *problem) {
  const bc_arrange_options *options = &problem->options;
  for (size_t i = 0; i < options->zone_count; i++) {
    const bc_arrange_zone *zone = &options->zones[i];
    add_block(problem, (area){zone->x, zone->y, zone->width, zone->height}, 0,
              zone->post ? ARR_HANGING | ARR_SHELF | ARR_FLOOR : ARR_HANGING, -1);
  }
}

bc_status arr_problem_blocks(arr_problem *problem, bc_context *context) {
  const bc_plan *plan = problem->plan;
  const size_t fittings = plan->rod_count + plan->shelf_count + plan->table_count + plan->grid_count + plan->post_count;
  const size_t blocks = fittings + 2 * plan->riser_count + 2 * plan->chair_count + plan->zone_count;
  problem->carriers = bc_allocate(fittings + plan->riser_count + 2, sizeof *problem->carriers);
  problem->blocks = bc_allocate(blocks + problem->options.zone_count, sizeof *problem->blocks);
  problem->unfixed = bc_allocate(plan->zone_count + plan->post_count, sizeof *problem->unfixed);
  if (!problem->carriers || !problem->blocks || !problem->unfixed) return bc_fail_memory(context);
  add_carrier(problem, ARR_HANGING, NULL, 0, plan->stand.width);
  add_rods(problem);
  add_shelves(problem);
  add_tables(problem);
  add_carrier(problem, ARR_FLOOR, NULL, 0, plan->stand.width);
  add_risers(problem);
  add_grids(problem);
  add_posts(problem);
  add_chairs(problem);
  add_plan_zones(problem);
  add_zones(problem);
  return BC_OK;
}
