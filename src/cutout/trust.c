/* SPDX-License-Identifier: MIT */
/* Ranks the answers that several suppositions led to, by what can be seen of each without knowing the truth. The idea
 * of ranking figure-ground cuts: Carreira and Sminchisescu, "Constrained parametric min-cuts for automatic object
 * segmentation", CVPR 2010; the signs are ours. Used by suppose.c. */
#include "suppose.h"

#include <math.h>

const char *const cutout_trust_name[CUTOUT_TRUST_SIGNS] = {
    [CUTOUT_TRUST_MARGIN] = "margin",
    [CUTOUT_TRUST_MARGIN_SQUARED] = "margin_squared",
    [CUTOUT_TRUST_CONTACT] = "contact",
    [CUTOUT_TRUST_CONTACT_SQUARED] = "contact_squared",
    [CUTOUT_TRUST_LEFT_OVER_SQUARED] = "left_over_squared",
    [CUTOUT_TRUST_WEAK] = "weak",
    [CUTOUT_TRUST_MIRROR] = "mirror",
    [CUTOUT_TRUST_SIDE] = "side",
    [CUTOUT_TRUST_OFF] = "off",
};

/* Fitted by least squares on the differences between the answers to one photo, on composites and photos of which the
 * truth is known; `backcloth-bench trust` fits them again, docs/method/cutout.md says what came of it. A symmetric
 * piece is no rule, but what is thrown, turned, woven or worn mostly is, and a shadow, or a neighbour that was taken
 * along, is not. */
const double cutout_trust_weight[CUTOUT_TRUST_SIGNS] = {
    [CUTOUT_TRUST_MARGIN] = -0.064,
    [CUTOUT_TRUST_MARGIN_SQUARED] = 0.492,
    [CUTOUT_TRUST_CONTACT] = -1.314,
    [CUTOUT_TRUST_CONTACT_SQUARED] = 0.546,
    [CUTOUT_TRUST_LEFT_OVER_SQUARED] = -6.691,
    [CUTOUT_TRUST_WEAK] = -0.294,
    [CUTOUT_TRUST_MIRROR] = 0.559,
    [CUTOUT_TRUST_SIDE] = -0.199,
    [CUTOUT_TRUST_OFF] = -0.461,
};

typedef struct extent {
  int left, right, top, bottom; /* inclusive */
  double area, x, y;            /* sums */
} extent;

static void measure_cells(double *sign, extent *e, const cutout_scene *scene) {
  const cutout_grid *grid = &scene->grid;
  double margin = 0, contact = 0, left_over = 0;
  *e = (extent){.left = grid->width, .right = -1, .top = grid->height, .bottom = -1};
  for (int y = 0; y < grid->height; y++)
    for (int x = 0; x < grid->width; x++) {
      const int i = y * grid->width + x;
      const bool piece = scene->piece[i];
      margin += tanh(0.5 * (double)(piece ? scene->pull[i] : -scene->pull[i]));
      if (!piece) {
        left_over += (double)scene->prior[i];
        continue;
      }
      e->area++;
      e->x += x + 0.5;
      e->y += y + 0.5;
      if (x < e->left) e->left = x;
      if (x > e->right) e->right = x;
      if (y < e->top) e->top = y;
      if (y > e->bottom) e->bottom = y;
      contact += x == 0 || y == 0 || x == grid->width - 1 || y == grid->height - 1;
    }
  margin /= (double)grid->count;
  contact /= 2.0 * (grid->width + grid->height);
  left_over /= fmax((double)grid->count - e->area, 1);
  sign[CUTOUT_TRUST_MARGIN] = margin;
  sign[CUTOUT_TRUST_MARGIN_SQUARED] = margin * margin;
  sign[CUTOUT_TRUST_CONTACT] = contact;
  sign[CUTOUT_TRUST_CONTACT_SQUARED] = contact * contact;
  sign[CUTOUT_TRUST_LEFT_OVER_SQUARED] = left_over * left_over;
}

static double weak_share(const cutout_scene *scene) {
  const cutout_grid *grid = &scene->grid;
  double all = 1e-6, weak = 0;
  for (int k = 0; k < 4; k++) {
    const int dx = cutout_step_x[k + k], dy = cutout_step_y[k + k], step = dy * grid->width + dx;
    const float most = cutout_full_edge(k);
    for (int y = 0; y < grid->height; y++)
      for (int x = 0; x < grid->width; x++) {
        if (x + dx < 0 || y + dy < 0 || x + dx >= grid->width || y + dy >= grid->height) continue;
        const int i = y * grid->width + x;
        if (scene->piece[i] == scene->piece[i + step]) continue;
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
      const uint8_t *row = scene->piece + (ptrdiff_t)y * scene->grid.width;
      both += row[x] && row[e->left + e->right - x];
    }
  return e->area > 0 ? both / e->area : 0;
}

void cutout_trust_measure(double sign[CUTOUT_TRUST_SIGNS], const cutout_scene *scene) {
  const double width = scene->grid.width, height = scene->grid.height;
  extent e;
  measure_cells(sign, &e, scene);
  sign[CUTOUT_TRUST_WEAK] = weak_share(scene);
  sign[CUTOUT_TRUST_MIRROR] = mirror_share(scene, &e);
  sign[CUTOUT_TRUST_SIDE] = sqrt(e.area / (double)scene->grid.count);
  sign[CUTOUT_TRUST_OFF] = e.area > 0 ? hypot(e.x / e.area / width - 0.5, e.y / e.area / height - 0.5) : 1;
}

double cutout_trust(const cutout_scene *scene) {
  double sign[CUTOUT_TRUST_SIGNS], sum = 0;
  cutout_trust_measure(sign, scene);
  for (int k = 0; k < CUTOUT_TRUST_SIGNS; k++) sum += cutout_trust_weight[k] * sign[k];
  return sum;
}
