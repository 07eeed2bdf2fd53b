/* SPDX-License-Identifier: MIT */
/* An answer on a grid as a whole: how far it agrees with another, how well it fills its box. */
#include "grid_answer.h"

double cutout_overlap(const uint8_t *first, const uint8_t *second, size_t count) {
  size_t both = 0, either = 0;
  for (size_t i = 0; i < count; i++) {
    both += first[i] && second[i];
    either += first[i] || second[i];
  }
  return either ? (double)both / (double)either : 1;
}

/* The share of the box of open cells that the box of the answer fills. Source of the idea that a box
 * is drawn tight: Lempitsky, Kohli, Rother and Sharp, "Image segmentation with a bounding box prior",
 * ICCV 2009. */
double cutout_tightness(const cutout_scene *scene) {
  const cutout_grid *grid = &scene->grid;
  int left[2] = {grid->width, grid->width}, right[2] = {-1, -1}, top[2] = {grid->height, grid->height},
      bottom[2] = {-1, -1};
  for (int y = 0; y < grid->height; y++)
    for (int x = 0; x < grid->width; x++)
      for (int k = 0; k < 2; k++) { /* 0: open or marked as piece, 1: answer */
        const int i = y * grid->width + x;
        if (k == 0 ? scene->fixed[i] == CUTOUT_IS_BACKGROUND : !scene->piece[i]) continue;
        if (x < left[k]) left[k] = x;
        if (x > right[k]) right[k] = x;
        if (y < top[k]) top[k] = y;
        if (y > bottom[k]) bottom[k] = y;
      }
  if (right[0] < 0 || right[1] < 0) return 0;
  return (double)(right[1] - left[1] + 1) * (bottom[1] - top[1] + 1) /
         ((double)(right[0] - left[0] + 1) * (bottom[0] - top[0] + 1));
}
