/* SPDX-License-Identifier: MIT */
/* The first guess, a probability of each cell: barrier.c, prior.c. */
#ifndef BC_CUTOUT_PRIOR_H
#define BC_CUTOUT_PRIOR_H

#include "scene.h"

/* ---- barrier.c ---- */
/* Minimum barrier distance to the border and to cells fixed as background, summed over L, a, b. */
bc_status cutout_barrier(float *distance, bc_context *context, const cutout_grid *grid, const uint8_t *fixed);

/* ---- prior.c ---- */
/* Sets the scene's prior. `box` in grid cells: left, top, width, height; NULL without one. */
bc_status cutout_prior(cutout_scene *scene, bc_context *context, const double *box);
/* The same without a box; also gives the signs that it weighs, of one cell after the other, for fitting the weights:
 * `backcloth-bench prior`. */
enum { CUTOUT_PRIOR_SIGNS = 9 };
bc_status cutout_prior_signs(float (*signs)[CUTOUT_PRIOR_SIGNS], cutout_scene *scene, bc_context *context);
/* Fixes everything outside the box as background. */
void cutout_fix_box(cutout_scene *scene, const double box[4]);

#endif
