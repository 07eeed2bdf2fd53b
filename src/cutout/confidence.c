/* SPDX-License-Identifier: MIT */
/* How far an answer can be trusted, from what is known when it is found. Two uses: ranking the answers of several
 * suppositions while solving, and the overlap with the truth that is told to the user. */
#include "cutout_internal.h"

#include <math.h>

typedef struct signs {
  double margin;    /* mean of 2 P - 1, P = probability that models and prior give to the answer */
  double agreement; /* overlap of the answer with prior > 1/2 */
  double contact;   /* share of the border that the answer touches */
  double area;      /* share of the picture */
  double support;   /* share of the outline's cost that is saved because colours jump there */
  double length;    /* of the outline, in units of the square root of the area */
} signs;

static signs measure(const cutout_scene *scene) {
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
  return (signs){.margin = margin / (double)grid->count,
                 .agreement = either > 0 ? both / either : 0,
                 .contact = contact / (2.0 * (grid->width + grid->height)),
                 .area = area / (double)grid->count};
}

static void measure_outline(signs *s, const cutout_scene *scene) {
  const cutout_grid *grid = &scene->grid;
  double saved = 0, full = 1e-6;
  for (int k = 0; k < 4; k++) {
    const int dx = cutout_step_x[2 * k], dy = cutout_step_y[2 * k];
    const double most = (double)cutout_full_edge(k);
    for (int y = 0; y < grid->height; y++)
      for (int x = 0; x < grid->width; x++) {
        if (x + dx < 0 || y + dy < 0 || x + dx >= grid->width || y + dy >= grid->height) continue;
        const int i = y * grid->width + x;
        if (scene->piece[i] == scene->piece[i + dy * grid->width + dx]) continue;
        full += most;
        saved += most - (double)scene->edge[k][i];
      }
  }
  s->support = saved / full;
  s->length = full / (double)cutout_full_edge(0) / sqrt(1e-6 + s->area * (double)grid->count);
}

/* Linear weights, fitted on composites of which the truth is known; docs/method/cutout.md says how. */
double cutout_trust(const cutout_scene *scene) {
  const signs s = measure(scene);
  return -0.652 + 0.926 * s.margin + 0.646 * s.agreement - 0.893 * s.contact + 0.732 * s.area - 1.085 * s.area * s.area;
}

/* Fitted on finished answers for photos and composites of which the truth is known, automatic and boxed apart;
 * docs/method/cutout.md says how, and what was found on folders left out. */
static double expected_freely(const signs *s, double unanimity, double thin) {
  return 0.058 + 0.290 * s->agreement + 0.132 * unanimity + 0.374 * s->support - 0.106 * thin - 0.434 * s->contact +
         0.585 * sqrt(s->area);
}

static double expected_in_box(const signs *s, double unanimity, double thin, double tightness) {
  const double filled = fmin(tightness / 0.93, 1) * unanimity;
  return 0.259 + 0.096 * s->agreement + 0.100 * unanimity + 0.064 * s->support - 0.028 * thin + 0.329 * tightness +
         0.184 * filled;
}

double cutout_confidence(const cutout_scene *scene, bool in_box) {
  signs s = measure(scene);
  measure_outline(&s, scene);
  const double thin = fmin(s.length, 30) / 10;
  const double expected = in_box ? expected_in_box(&s, scene->unanimity, thin, cutout_tightness(scene))
                                 : expected_freely(&s, scene->unanimity, thin);
  return expected < 0 ? 0 : expected > 1 ? 1 : expected;
}
