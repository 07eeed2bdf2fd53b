/* SPDX-License-Identifier: MIT */
/* Quadrilaterals that may be the wall, and what speaks for each. */
#ifndef BC_SRC_LOOK_CORNERS_H
#define BC_SRC_LOOK_CORNERS_H

#include "look_internal.h"

enum { LOOK_SIGNS = 11, LOOK_SURE_SIGNS = 8 };

typedef struct look_outline_guess {
  bc_look_point corner[BC_LOOK_CORNERS]; /* pixels of the image */
  double sign[LOOK_SIGNS];               /* what speaks for it and against it; the first is 1 */
  double value;                          /* their weighted sum: the log of the odds that it is the wall */
} look_outline_guess;

typedef struct look_outline_guesses {
  look_outline_guess *list; /* the best first */
  size_t count;
  double bend; /* of the lens */
} look_outline_guesses;

bc_status look_outline_guesses_find(look_outline_guesses *out, bc_context *context, const bc_image *image);
void look_outline_guesses_clear(look_outline_guesses *guesses);
/* What the confidence is made of: 1, the best one's value, how far it is above the best that is another wall, and some
 * of its own signs. */
void look_outline_sure_signs(double sign[LOOK_SURE_SIGNS], const look_outline_guesses *guesses);

#endif
