/* SPDX-License-Identifier: MIT */
/* Piece and background told apart by colour models and a minimum cut in turn. Source: Rother,
 * Kolmogorov and Blake, "GrabCut", ACM TOG 23(3), 2004; the models here are smoothed histograms. */
#include "cutout_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Our choices; docs/method/cutout.md has the measurements behind them. */
static const float smoothness = 10.0f;       /* weight of an edge between equal neighbours, in nats */
static const float least_smoothness = 0.03f; /* its share that stays across the strongest edge */
static const float density_floor = 2e-5f;    /* a colour never seen is as likely as this, in both models */
static const float most_colour_pull = 4.0f;  /* nats that colour alone may say */
static const float flow_scale = 256.0f;      /* nats to integers: the same cut on every machine */
static const float hard_pull = 4000.0f;
enum { most_rounds = 4 };

static bool allocate_planes(cutout_scene *scene) {
  const size_t count = scene->grid.count;
  scene->prior = bc_allocate(count, sizeof *scene->prior);
  scene->fixed = bc_allocate(count, sizeof *scene->fixed);
  scene->weight = bc_allocate(count, sizeof *scene->weight);
  scene->pull = bc_allocate(count, sizeof *scene->pull);
  scene->piece = bc_allocate(count, sizeof *scene->piece);
  scene->of_piece = bc_allocate(CUTOUT_CELLS, sizeof *scene->of_piece);
  scene->of_background = bc_allocate(CUTOUT_CELLS, sizeof *scene->of_background);
  scene->work = bc_allocate(CUTOUT_CELLS, sizeof *scene->work);
  return scene->prior && scene->fixed && scene->weight && scene->pull && scene->piece && scene->of_piece &&
         scene->of_background && scene->work;
}

bc_status cutout_scene_new(cutout_scene *scene, bc_context *context, const bc_image *image, int side) {
  *scene = (cutout_scene){0};
  bc_status status = cutout_grid_new(&scene->grid, context, image, side);
  if (status == BC_OK)
    status = cutout_colour_cells(&scene->cells, context, (const float *const *)scene->grid.lab, scene->grid.count);
  if (status == BC_OK && !allocate_planes(scene)) status = bc_fail_memory(context);
  if (status == BC_OK) status = cutout_flow_new(&scene->flow, context, (int)scene->grid.count);
  if (status != BC_OK) cutout_scene_clear(scene);
  return status;
}

void cutout_scene_clear(cutout_scene *scene) {
  cutout_grid_clear(&scene->grid);
  free(scene->cells);
  free(scene->prior);
  free(scene->fixed);
  free(scene->weight);
  free(scene->pull);
  free(scene->piece);
  free(scene->of_piece);
  free(scene->of_background);
  free(scene->work);
  cutout_flow_free(scene->flow);
  *scene = (cutout_scene){0};
}

/* ---- edges of the graph ---- */

static float squared_difference(const cutout_grid *grid, int i, int j) {
  float sum = 0;
  for (int c = 0; c < 3; c++) {
    const float difference = grid->lab[c][i] - grid->lab[c][j];
    sum += difference * difference;
  }
  return sum;
}

static int neighbour_of(const cutout_grid *grid, int x, int y, int direction) {
  const int to_x = x + cutout_step_x[direction], to_y = y + cutout_step_y[direction];
  if (to_x < 0 || to_y < 0 || to_x >= grid->width || to_y >= grid->height) return -1;
  return to_y * grid->width + to_x;
}

/* beta = 1 / (2 <difference squared>), GrabCut equation 5. */
static float contrast_scale(const cutout_grid *grid) {
  double sum = 0;
  size_t pairs = 0;
  for (int y = 0; y < grid->height; y++)
    for (int x = 0; x < grid->width; x++)
      for (int d = 0; d < CUTOUT_DIRECTIONS; d += 2) {
        const int other = neighbour_of(grid, x, y, d);
        if (other < 0) continue;
        sum += (double)squared_difference(grid, y * grid->width + x, other);
        pairs++;
      }
  return pairs && sum > 0 ? (float)(1 / (2 * sum / (double)pairs)) : 1.0f;
}

static void set_edges(cutout_scene *scene) {
  const cutout_grid *grid = &scene->grid;
  const float beta = contrast_scale(grid);
  cutout_node *nodes = cutout_flow_nodes(scene->flow);
  for (int y = 0; y < grid->height; y++)
    for (int x = 0; x < grid->width; x++)
      for (int d = 0; d < CUTOUT_DIRECTIONS; d++) {
        const int i = y * grid->width + x, other = neighbour_of(grid, x, y, d);
        nodes[i].neighbour[d] = other;
        if (other < 0) continue;
        const float similarity = expf(-beta * squared_difference(grid, i, other));
        const float length = d < 4 ? 1.0f : 0.70710678f;
        const float weight = smoothness * length * (least_smoothness + (1 - least_smoothness) * similarity);
        nodes[i].capacity[d] = (int32_t)(weight * flow_scale);
      }
}

/* ---- pulls to either side ---- */

static float bounded(float value, float most) {
  return value > most ? most : value < -most ? -most : value;
}

static void set_pulls(cutout_scene *scene) {
  int32_t *terminals = cutout_flow_terminals(scene->flow);
  for (size_t i = 0; i < scene->grid.count; i++) {
    const int cell = scene->cells[i];
    const float colour = logf((scene->of_piece[cell] + density_floor) / (scene->of_background[cell] + density_floor));
    const float prior = scene->prior[i];
    float pull = bounded(colour, most_colour_pull) + logf((prior + 0.01f) / (1.01f - prior));
    if (scene->fixed[i] != CUTOUT_OPEN) pull = scene->fixed[i] == CUTOUT_IS_PIECE ? hard_pull : -hard_pull;
    scene->pull[i] = pull;
    terminals[i] = (int32_t)(pull * flow_scale);
  }
}

static void learn_colours(cutout_scene *scene) {
  const size_t count = scene->grid.count;
  cutout_density(scene->of_piece, scene->cells, scene->weight, false, count, scene->work);
  cutout_density(scene->of_background, scene->cells, scene->weight, true, count, scene->work);
}

/* true when the cut changed the weights. */
static bool take_over(cutout_scene *scene) {
  bool changed = false;
  for (size_t i = 0; i < scene->grid.count; i++) {
    const float weight = scene->piece[i] ? 1.0f : 0.0f;
    changed = changed || scene->weight[i] != weight;
    scene->weight[i] = weight;
  }
  return changed;
}

void cutout_scene_solve(cutout_scene *scene) {
  for (size_t i = 0; i < scene->grid.count; i++)
    scene->weight[i] = scene->fixed[i] == CUTOUT_IS_BACKGROUND ? 0 : scene->fixed[i] ? 1 : scene->prior[i];
  for (int round = 0; round < most_rounds; round++) {
    learn_colours(scene);
    set_edges(scene);
    set_pulls(scene);
    cutout_flow_solve(scene->flow, scene->piece);
    if (!take_over(scene)) break;
  }
}
