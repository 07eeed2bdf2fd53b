/* SPDX-License-Identifier: MIT */
/* What a border between two neighbouring cells costs: little where colours jump. Source: Boykov and
 * Jolly, "Interactive graph cuts", ICCV 2001; the scale from Rother et al., "GrabCut", 2004, equation 5. */
#include "base/vectors.h"
#include "scene.h"

/* Our choices; docs/method/cutout.md has the measurements behind them. */
static const float smoothness = 10.0f; /* nats between equal neighbours */

float cutout_full_edge(int k) {
  return smoothness * (k < 2 ? 1.0f : 0.70710678f);
}

/* Squared differences to the neighbour in direction 2k, -1 where there is none; returns their sum. */
static double set_differences(cutout_scene *scene, int k, size_t *pairs) {
  const cutout_grid *grid = &scene->grid;
  const int dx = cutout_step_x[k + k], dy = cutout_step_y[k + k], step = dy * grid->width + dx;
  double sum = 0;
  for (int y = 0; y < grid->height; y++) {
    float *edge = scene->edge[k] + (ptrdiff_t)y * grid->width;
    const bool row_ok = y + dy >= 0 && y + dy < grid->height;
    float row_sum = 0;
    for (int x = 0; x < grid->width; x++) {
      edge[x] = -1;
      if (!row_ok || x + dx < 0 || x + dx >= grid->width) continue;
      const int i = y * grid->width + x;
      float difference = 0;
      for (int c = 0; c < 3; c++) {
        const float d = grid->lab[c][i] - grid->lab[c][i + step];
        difference += d * d;
      }
      edge[x] = difference;
      row_sum += difference;
      (*pairs)++;
    }
    sum += (double)row_sum;
  }
  return sum;
}

/* From differences to costs. */
BC_WIDER_VECTORS
static void set_costs(float *edge, float beta, float full, size_t count) {
  for (size_t i = 0; i < count; i++) {
    const float difference = edge[i], cost = full * cutout_edge_share(beta * difference);
    edge[i] = difference < 0 ? 0 : cost;
  }
}

void cutout_edges_set(cutout_scene *scene) {
  size_t pairs = 0;
  double sum = 0;
  for (int k = 0; k < 4; k++) sum += set_differences(scene, k, &pairs);
  const float beta = sum > 0 ? (float)((double)pairs / (2 * sum)) : 1.0f;
  for (int k = 0; k < 4; k++) set_costs(scene->edge[k], beta, cutout_full_edge(k), scene->grid.count);
}
