/* SPDX-License-Identifier: MIT */
/* Ranks a scene's answers under several suppositions, for suppose.c. What is told to the user is in confidence.c. */
#include "cutout_internal.h"

#include <math.h>

/* Linear weights of four signs, fitted on composites of which the truth is known; docs/method/cutout.md says how:
 * margin, the mean of 2 P - 1, P = probability that models and prior give to the answer; agreement, the overlap of the
 * answer with prior > 1/2; contact, the share of the border that the answer touches; area, its share of the picture. */
double cutout_trust(const cutout_scene *scene) {
  const cutout_grid *grid = &scene->grid;
  double margin = 0, both = 0, either = 0, contact = 0, area = 0;
  for (int y = 0; y < grid->height; y++)
    for (int x = 0; x < grid->width; x++) {
      const int i = y * grid->width + x;
      const bool piece = scene->piece[i], likely = scene->prior[i] > 0.5f;
      margin += tanh(0.5 * (double)(piece ? scene->pull[i] : -scene->pull[i]));
      both += piece && likely;
      either += piece || likely;
      area += piece;
      contact += piece && (x == 0 || y == 0 || x == grid->width - 1 || y == grid->height - 1);
    }
  margin /= (double)grid->count;
  area /= (double)grid->count;
  contact /= 2.0 * (grid->width + grid->height);
  const double agreement = either > 0 ? both / either : 0;
  return -0.652 + 0.926 * margin + 0.646 * agreement - 0.893 * contact + 0.732 * area - 1.085 * area * area;
}
