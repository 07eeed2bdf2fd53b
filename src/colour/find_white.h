/* SPDX-License-Identifier: MIT */
/* The search for a white sheet or grey card in a converted picture. */
#ifndef BC_SRC_COLOUR_FIND_WHITE_H
#define BC_SRC_COLOUR_FIND_WHITE_H

#include "colour_internal.h"

typedef struct colour_found_white {
  double confidence; /* 0: none found */
  bool grey;         /* a grey card: tells the cast, not the exposure */
  bc_box box;        /* inside it, in pixels of the full photo */
  bc_lab lab;        /* its colour in the picture */
} colour_found_white;

/* Fails only for lack of memory. Pictures with alpha are cut out already and are not searched. */
bc_status colour_find_white(colour_found_white *out, bc_context *context, const bc_image *image);

/* Another sheet that lies outside `first` (in pixels of the full photo), whatever its tint. */
bc_status colour_find_second_white(colour_found_white *out, bc_context *context, const bc_image *image, bc_box first);

#endif
