/* SPDX-License-Identifier: MIT */
/* How far an answer can be trusted, from what is known when it is found: how clearly the models speak
 * for it, how well it agrees with the prior, how much of the border it touches, how large it is. */
#include "cutout_internal.h"

#include <math.h>

/* Linear weights for the overlap (intersection over union) to be expected, fitted on composites of
 * which the truth is known; docs/method/cutout.md says how, and how well it is met. */
static const double margin_weight = 0.926, agreement_weight = 0.646, contact_weight = -0.893;
static const double area_weight = 0.732, area_square_weight = -1.085, constant = -0.652;

typedef struct signs {
  double margin;    /* mean of 2 P - 1, P = probability that models and prior give to the answer */
  double agreement; /* overlap of the answer with prior > 1/2 */
  double contact;   /* share of the border that the answer touches */
  double area;      /* share of the picture */
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

double cutout_confidence(const cutout_scene *scene) {
  const signs s = measure(scene);
  const double expected = constant + margin_weight * s.margin + agreement_weight * s.agreement +
                          contact_weight * s.contact + area_weight * s.area + area_square_weight * s.area * s.area;
  return expected < 0 ? 0 : expected > 1 ? 1 : expected;
}
