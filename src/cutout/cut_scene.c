/* SPDX-License-Identifier: MIT */
/* Cuts a scene, or the undecided part of it. */
#include "scene.h"

static const float most_pull = 1000.0f;

/* The costs of borders from the planes of a scene, which has the way up and right where a raster wants the one down and
 * left. */
static void take_borders(const void *cargo, int y, int left, int right, int16_t *const border[4]) {
  const cutout_scene *scene = cargo;
  const int width = scene->grid.width, row = y * width;
  const bool last = y + 1 == scene->grid.height;
  for (int x = left; x < right; x++) {
    for (int k = 0; k < 3; k++) border[k][x] = cutout_flow_border(scene->stiffness * scene->edge[k][row + x]);
    border[3][x] = x == 0 || last ? 0 : cutout_flow_border(scene->stiffness * scene->edge[3][row + width + x - 1]);
  }
}

static void take_pulls(const void *cargo, int y, int left, int right, int32_t *pull) {
  const cutout_scene *scene = cargo;
  for (int x = left; x < right; x++) pull[x] = cutout_flow_pull(scene->pull[y * scene->grid.width + x], most_pull);
}

bc_status cutout_cut(cutout_scene *scene, bc_context *context, const uint8_t *open) {
  const cutout_raster raster = {.width = scene->grid.width,
                                .height = scene->grid.height,
                                .state = scene->piece,
                                .cargo = scene,
                                .borders = take_borders,
                                .pulls = take_pulls};
  for (size_t i = 0; i < scene->grid.count; i++)
    if (open[i]) scene->piece[i] |= CUTOUT_UNDECIDED;
  return cutout_raster_cut(&raster, context, &scene->flow);
}
