/* SPDX-License-Identifier: MIT */
/* Turns the open pixels of an image into a graph, cuts it, and writes the answer back. What cut.c is for a grid,
 * without planes of borders: few pixels are open, so that their borders are worked out as they come. */
#include "cutout_internal.h"

#include <stdlib.h>

static const float most_pull = 100.0f; /* nats that colour may say */

typedef struct pixels {
  const bc_image *image;
  const uint8_t *piece;
  const int32_t *node_of;
  float scale, stiffness;
} pixels;

static float difference(const bc_image *image, size_t i, size_t other) {
  const float L = image->L[i] - image->L[other], a = image->a[i] - image->a[other], b = image->b[i] - image->b[other];
  return L * L + a * a + b * b;
}

/* As in edges.c, from every eighth row. */
static float scale_of(const bc_image *image) {
  const size_t width = (size_t)image->width;
  double sum = 0;
  size_t pairs = 0;
  for (size_t y = 0; y + 1 < (size_t)image->height; y += 8) {
    float row = 0;
    for (size_t i = y * width; i + 1 < (y + 1) * width; i++)
      row += difference(image, i, i + 1) + difference(image, i, i + width);
    sum += (double)row;
    pairs += 2 * (width - 1);
  }
  return sum > 0 ? (float)((double)pairs / (2 * sum)) : 1.0f;
}

static int32_t border(const pixels *p, int i, int other, int direction) {
  const float exponent = p->scale * difference(p->image, (size_t)i, (size_t)other);
  return (int32_t)(p->stiffness * cutout_edge_cost(exponent, direction / 2) * CUTOUT_FLOW_SCALE);
}

static void fill_node(const pixels *p, cutout_flow *flow, int n, int i, float pull) {
  cutout_node *node = &cutout_flow_nodes(flow)[n];
  const int width = p->image->width, height = p->image->height, x = i % width, y = i / width;
  int32_t terminal = cutout_flow_pull(pull, most_pull);
  for (int d = 0; d < CUTOUT_DIRECTIONS; d++) {
    const int to_x = x + cutout_step_x[d], to_y = y + cutout_step_y[d], other = to_y * width + to_x;
    node->neighbour[d] = -1;
    if (to_x < 0 || to_y < 0 || to_x >= width || to_y >= height) continue;
    const int32_t to = p->node_of[other];
    node->neighbour[d] = to;
    if (to >= 0 && to < n) continue; /* was set with the neighbour's */
    const int32_t capacity = border(p, i, other, d);
    if (to < 0) { /* a decided neighbour pulls with its border */
      terminal += p->piece[other] ? capacity : -capacity;
      continue;
    }
    node->capacity[d] = capacity;
    cutout_flow_nodes(flow)[to].capacity[d ^ 1] = capacity;
  }
  cutout_flow_terminals(flow)[n] = terminal;
}

bc_status cutout_cut_pixels(uint8_t *piece, bc_context *context, const bc_image *image, const float *pull,
                            float stiffness, const int32_t *node_of, const int32_t *at, int nodes) {
  if (nodes == 0) return BC_OK;
  const pixels p = {image, piece, node_of, scale_of(image), stiffness};
  cutout_flow *flow = NULL;
  uint8_t *answer = bc_allocate((size_t)nodes, 1);
  bc_status status = answer ? cutout_flow_new(&flow, context, nodes) : bc_fail_memory(context);
  if (status == BC_OK) {
    for (int n = 0; n < nodes; n++) fill_node(&p, flow, n, at[n], pull[at[n]]);
    cutout_flow_solve(flow, answer);
    for (int n = 0; n < nodes; n++) piece[at[n]] = answer[n];
  }
  cutout_flow_free(flow);
  free(answer);
  return status;
}
