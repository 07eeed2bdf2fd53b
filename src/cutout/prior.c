/* SPDX-License-Identifier: MIT */
/* Where the piece may be, before piece and background have been told apart by colour. */
#include "cutout_internal.h"

#include <math.h>
#include <stdlib.h>

/* 0 at the nearest border, 1 in the middle. */
static float inwardness(const cutout_grid *grid, int x, int y) {
  const float across = fminf((float)x + 0.5f, (float)(grid->width - x) - 0.5f) / (float)grid->width;
  const float down = fminf((float)y + 0.5f, (float)(grid->height - y) - 0.5f) / (float)grid->height;
  return 2 * fminf(across, down);
}

/* 1 in a frame along the border, 0 inside. */
static void mark_frame(float *weight, const cutout_grid *grid) {
  const int frame = 1 + grid->width / 25;
  for (int y = 0; y < grid->height; y++)
    for (int x = 0; x < grid->width; x++) {
      const bool inside = x >= frame && y >= frame && x < grid->width - frame && y < grid->height - frame;
      weight[y * grid->width + x] = inside ? 0.0f : 1.0f;
    }
}

/* How much a colour is the picture's rather than the frame's: 1 for colours the frame does not have. */
static void learn_frame(cutout_scene *scene) {
  mark_frame(scene->weight, &scene->grid);
  cutout_density(scene->of_background, scene->cells, scene->weight, false, scene->grid.count, scene->work);
  for (size_t i = 0; i < scene->grid.count; i++) scene->weight[i] = 1;
  cutout_density(scene->of_piece, scene->cells, scene->weight, false, scene->grid.count, scene->work);
}

static float strangeness(const cutout_scene *scene, int i) {
  const float all = scene->of_piece[scene->cells[i]] + 1e-5f, frame = scene->of_background[scene->cells[i]] + 1e-5f;
  return all / (all + frame);
}

bc_status cutout_prior_automatic(cutout_scene *scene, bc_context *context) {
  const cutout_grid *grid = &scene->grid;
  float *barrier = scene->pull;
  const bc_status status = cutout_barrier(barrier, context, grid);
  if (status != BC_OK) return status;
  learn_frame(scene);
  float most = 1e-6f;
  for (size_t i = 0; i < grid->count; i++) most = fmaxf(most, barrier[i]);
  for (int y = 0; y < grid->height; y++)
    for (int x = 0; x < grid->width; x++) {
      const int i = y * grid->width + x;
      const float evidence =
          4 * (barrier[i] / most - 0.4f) + 4 * (strangeness(scene, i) - 0.45f) + 4 * (inwardness(grid, x, y) - 0.35f);
      scene->prior[i] = 1 / (1 + expf(-evidence));
    }
  return BC_OK;
}

void cutout_prior_box(cutout_scene *scene, const double box[4]) {
  const cutout_grid *grid = &scene->grid;
  for (int y = 0; y < grid->height; y++)
    for (int x = 0; x < grid->width; x++) {
      const int i = y * grid->width + x;
      const bool inside =
          x + 0.5 >= box[0] && x + 0.5 <= box[0] + box[2] && y + 0.5 >= box[1] && y + 0.5 <= box[1] + box[3];
      scene->fixed[i] = inside ? CUTOUT_OPEN : CUTOUT_IS_BACKGROUND;
      scene->prior[i] = inside ? 0.6f : 0;
    }
}
