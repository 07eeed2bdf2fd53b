/* SPDX-License-Identifier: MIT */
/* How far an answer can be trusted, from what is known when it is found: how strong the edges under its
 * outline are, how far apart the models, how well it agrees with the prior, how much of the frame it holds. */
#include "cutout_internal.h"

#include <math.h>
#include <stdlib.h>

enum { CONTRAST = 0, OVERLAP, MARGIN, AGREEMENT, CONTACT, AREA, SIGNS };

/* Mean cost of the outline's edges as a share of the full cost: 0 on strong edges, 1 on none. */
static float outline_contrast(const cutout_scene *scene) {
  const cutout_grid *grid = &scene->grid;
  double cost = 0, full = 0;
  for (int k = 0; k < 2; k++)
    for (int y = 0; y < grid->height - (k == 1); y++)
      for (int x = 0; x < grid->width - (k == 0); x++) {
        const int i = y * grid->width + x, other = k ? i + grid->width : i + 1;
        if (scene->piece[i] == scene->piece[other]) continue;
        cost += (double)scene->edge[k][i];
        full += 10;
      }
  return full > 0 ? (float)(cost / full) : 1;
}

/* Bhattacharyya coefficient of the two colour models: 1 when they are the same. */
static float model_overlap(const cutout_scene *scene) {
  double sum = 0;
  for (int i = 0; i < CUTOUT_CELLS; i++) sum += sqrt((double)scene->model[0][i] * (double)scene->model[1][i]);
  return (float)sum;
}

static void measure(float signs[SIGNS], const cutout_scene *scene) {
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
  signs[CONTRAST] = outline_contrast(scene);
  signs[OVERLAP] = model_overlap(scene);
  signs[MARGIN] = (float)(margin / (double)grid->count);
  signs[AGREEMENT] = either > 0 ? (float)(both / either) : 0;
  signs[CONTACT] = (float)(contact / (2.0 * (grid->width + grid->height)));
  signs[AREA] = (float)(area / (double)grid->count);
}
#ifdef CUTOUT_TUNE
#include <stdio.h>
#endif

double cutout_confidence(const cutout_scene *scene) {
  static const float weight[SIGNS + 1] = {-2, -2, 4, 4, -2, 0, -3};
  float signs[SIGNS], sum = weight[SIGNS];
  measure(signs, scene);
  for (int k = 0; k < SIGNS; k++) sum += weight[k] * signs[k];
#ifdef CUTOUT_TUNE
  if (getenv("SIGNS")) {
    printf("signs");
    for (int k = 0; k < SIGNS; k++) printf(" %.4f", (double)signs[k]);
    printf("\n");
  }
#endif
  return 1 / (1 + exp(-(double)sum));
}
