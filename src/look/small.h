/* SPDX-License-Identifier: MIT */
/* A reduced photo on which the wall is looked for, with the lens's bend taken out, and its sums. */
#ifndef BC_SRC_LOOK_SMALL_H
#define BC_SRC_LOOK_SMALL_H

#include "look_internal.h"

typedef struct look_small {
  int width, height;
  double bend;
  float *lab[3];
  double *sum[3]; /* (width + 1) x (height + 1): of all above and to the left */
} look_small;
bc_status look_small_make(look_small *out, bc_context *context, const bc_image *image, double bend);
void look_small_clear(look_small *small);
/* Mean colour of the rectangle about (x, y) that reaches so far; false where its middle is not in the picture or less
 * than half of it is. */
bool look_small_mean(double lab[3], const look_small *small, double x, double y, bc_look_point reach);

#endif
