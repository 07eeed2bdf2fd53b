/* SPDX-License-Identifier: MIT */
/* Ranks the answers that several suppositions led to, by what can be seen of each without knowing the truth. The idea
 * of ranking figure-ground cuts: Carreira and Sminchisescu, "Constrained parametric min-cuts for automatic object
 * segmentation", CVPR 2010; the signs are ours. Used by suppose.c. */
#include "cutout_internal.h"

#include <math.h>

typedef struct signs {
  double margin;    /* mean of 2 P - 1, P = probability that models and prior give to the answer */
  double contact;   /* share of the picture's border that the answer touches */
  double left_over; /* mean prior of what is not in the answer */
  double weak;      /* share of the outline that lies where hardly any edge is */
  double mirror;    /* share of the answer that is there again when its box is mirrored left to right */
  double side;      /* square root of the share of the picture */
  double off;       /* distance of its centre of area from the picture's middle, in sides of the picture */
} signs;

typedef struct extent {
  int left, right, top, bottom; /* inclusive */
  double area, x, y;            /* sums */
} extent;

static void measure_cells(signs *s, extent *e, const cutout_scene *scene) {
  const cutout_grid *grid = &scene->grid;
  double outside = 0;
  *e = (extent){.left = grid->width, .right = -1, .top = grid->height, .bottom = -1};
  for (int y = 0; y < grid->height; y++)
    for (int x = 0; x < grid->width; x++) {
      const int i = y * grid->width + x;
      const bool piece = scene->piece[i];
      s->margin += tanh(0.5 * (double)(piece ? scene->pull[i] : -scene->pull[i]));
      if (!piece) {
        outside++;
        s->left_over += (double)scene->prior[i];
        continue;
      }
      e->area++;
      e->x += x + 0.5;
      e->y += y + 0.5;
      if (x < e->left) e->left = x;
      if (x > e->right) e->right = x;
      if (y < e->top) e->top = y;
      if (y > e->bottom) e->bottom = y;
      s->contact += x == 0 || y == 0 || x == grid->width - 1 || y == grid->height - 1;
    }
  s->left_over /= fmax(outside, 1);
}

static double weak_share(const cutout_scene *scene) {
  const cutout_grid *grid = &scene->grid;
  double all = 1e-6, weak = 0;
  for (int k = 0; k < 4; k++) {
    const int dx = cutout_step_x[2 * k], dy = cutout_step_y[2 * k];
    const float most = cutout_full_edge(k);
    for (int y = 0; y < grid->height; y++)
      for (int x = 0; x < grid->width; x++) {
        if (x + dx < 0 || y + dy < 0 || x + dx >= grid->width || y + dy >= grid->height) continue;
        const int i = y * grid->width + x;
        if (scene->piece[i] == scene->piece[i + dy * grid->width + dx]) continue;
        all += (double)most;
        if (scene->edge[k][i] > 0.7f * most) weak += (double)most;
      }
  }
  return weak / all;
}

static double mirror_share(const cutout_scene *scene, const extent *e) {
  double both = 0;
  for (int y = e->top; y <= e->bottom; y++)
    for (int x = e->left; x <= e->right; x++) {
      const uint8_t *row = scene->piece + y * scene->grid.width;
      both += row[x] && row[e->left + e->right - x];
    }
  return e->area > 0 ? both / e->area : 0;
}

static signs measure(const cutout_scene *scene) {
  const double width = scene->grid.width, height = scene->grid.height, count = (double)scene->grid.count;
  signs s = {0};
  extent e;
  measure_cells(&s, &e, scene);
  s.margin /= count;
  s.contact /= 2 * (width + height);
  s.weak = weak_share(scene);
  s.mirror = mirror_share(scene, &e);
  s.side = sqrt(e.area / count);
  s.off = e.area > 0 ? hypot(e.x / e.area / width - 0.5, e.y / e.area / height - 0.5) : 1;
  return s;
}

/* Fitted by least squares on the differences between the answers to one photo, on composites and photos of which the
 * truth is known; docs/method/cutout.md says how. A symmetric piece is no rule, but what is thrown, turned, woven or
 * worn mostly is, and a shadow, or a neighbour that was taken along, is not. */
double cutout_trust(const cutout_scene *scene) {
  const signs s = measure(scene);
  return 0.492 * s.margin * s.margin - 0.064 * s.margin - 1.314 * s.contact + 0.546 * s.contact * s.contact -
         6.691 * s.left_over * s.left_over - 0.294 * s.weak + 0.559 * s.mirror - 0.199 * s.side - 0.461 * s.off;
}
