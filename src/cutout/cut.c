/* SPDX-License-Identifier: MIT */
/* Turns a scene, or the undecided part of it, into a graph, cuts it, and writes the answer back. */
#include "cutout_internal.h"

#include <stdlib.h>
#include <string.h>

static const float most_pull = 1000.0f;

static int number_nodes(int32_t *node_of, const uint8_t *open, size_t count) {
  int nodes = 0;
  for (size_t i = 0; i < count; i++) node_of[i] = open[i] ? nodes++ : -1;
  return nodes;
}

/* The cost of a border between cell i at (x, y) and its neighbour, 0 outside the grid. */
static int32_t edge_capacity(const cutout_scene *scene, int i, int other, int direction) {
  const int from = direction & 1 ? other : i;
  return (int32_t)(scene->stiffness * scene->edge[direction / 2][from] * CUTOUT_FLOW_SCALE);
}

static void fill_node(cutout_flow *flow, const cutout_scene *scene, const int32_t *node_of, int x, int y) {
  const cutout_grid *grid = &scene->grid;
  const int i = y * grid->width + x, node = node_of[i];
  cutout_node *at = &cutout_flow_nodes(flow)[node];
  int32_t pull = cutout_flow_pull(scene->pull[i], most_pull);
  for (int d = 0; d < CUTOUT_DIRECTIONS; d++) {
    const int to_x = x + cutout_step_x[d], to_y = y + cutout_step_y[d];
    at->neighbour[d] = -1;
    at->capacity[d] = 0;
    if (to_x < 0 || to_y < 0 || to_x >= grid->width || to_y >= grid->height) continue;
    const int other = to_y * grid->width + to_x;
    const int32_t capacity = edge_capacity(scene, i, other, d);
    if (node_of[other] < 0) { /* a decided neighbour pulls with its edge */
      pull += scene->piece[other] ? capacity : -capacity;
      continue;
    }
    at->neighbour[d] = node_of[other];
    at->capacity[d] = capacity;
  }
  cutout_flow_terminals(flow)[node] = pull;
}

static void cut_open(cutout_flow *flow, cutout_scene *scene, const int32_t *node_of, uint8_t *answer) {
  for (int y = 0; y < scene->grid.height; y++)
    for (int x = 0; x < scene->grid.width; x++)
      if (node_of[y * scene->grid.width + x] >= 0) fill_node(flow, scene, node_of, x, y);
  cutout_flow_solve(flow, answer);
  for (size_t i = 0; i < scene->grid.count; i++)
    if (node_of[i] >= 0) scene->piece[i] = answer[node_of[i]];
}

bc_status cutout_cut(cutout_scene *scene, bc_context *context, const uint8_t *open) {
  int32_t *node_of = bc_allocate(scene->grid.count, sizeof *node_of);
  if (!node_of) return bc_fail_memory(context);
  const int nodes = number_nodes(node_of, open, scene->grid.count);
  uint8_t *answer = bc_allocate((size_t)nodes, 1);
  bc_status status = answer ? BC_OK : bc_fail_memory(context);
  if (status == BC_OK && !scene->flow) status = cutout_flow_new(&scene->flow, context, (int)scene->grid.count);
  if (status == BC_OK && nodes > 0) {
    cutout_flow_use(scene->flow, nodes);
    cut_open(scene->flow, scene, node_of, answer);
  }
  free(answer);
  free(node_of);
  return status;
}
