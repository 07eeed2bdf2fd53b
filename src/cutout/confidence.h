/* SPDX-License-Identifier: MIT */
/* How good a finished answer is: confidence.c. */
#ifndef BC_CUTOUT_CONFIDENCE_H
#define BC_CUTOUT_CONFIDENCE_H

#include "scene.h"

/* Signs, 0..1. Another one needs a line here, its name and its measure there; `backcloth-bench confidence` then says
 * what it is worth on photos left out, and fits the weights. */
typedef enum cutout_sign {
  CUTOUT_ONE = 0,   /* the constant of the fit */
  CUTOUT_UNANIMITY, /* overlap of the answers that different suppositions led to */
  CUTOUT_DOUBT,     /* cells whose colour is more likely on the other side, for each cell of the piece */
  CUTOUT_WEAK,      /* share of the outline with hardly any difference across it */
  CUTOUT_MAIN,      /* share of the largest connected part */
  CUTOUT_TIGHTNESS, /* share of the box, or picture, that the box of the answer fills */
  CUTOUT_GUESS,     /* sum of the lesser, over that of the larger, of a guess and the answer; 1 without a guess */
  CUTOUT_SIGNS
} cutout_sign;
extern const char *const cutout_sign_name[CUTOUT_SIGNS];
/* Without and with a box; 0: not in use. */
extern const double cutout_sign_weight[2][CUTOUT_SIGNS];
/* Measures them on the answer on the image's pixels, with the mixtures that it was found with. */
/* The answer on the image's pixels as one on the grid: the pixel in the middle of each cell. */
void cutout_answer_cells(uint8_t *cells, const cutout_grid *grid, const bc_image *image, const uint8_t *pixels);
bc_status cutout_signs(double sign[CUTOUT_SIGNS], bc_context *context, const cutout_scene *scene, const bc_image *image,
                       const uint8_t *pixels, const cutout_mixture of_pixels[2]);
/* The overlap with the truth that is to be expected, 0..1. */
double cutout_confidence(const double sign[CUTOUT_SIGNS], bool in_box);

#endif
