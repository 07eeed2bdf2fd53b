/* SPDX-License-Identifier: MIT */
/* The search for a white sheet or grey card in a converted picture. */
#ifndef BC_SRC_COLOUR_FIND_WHITE_H
#define BC_SRC_COLOUR_FIND_WHITE_H

#include "colour_internal.h"

typedef struct colour_found_white {
  double confidence; /* 0: none found */
  bool grey;         /* a grey card: tells the cast, not the exposure */
  bc_box box;        /* inside it, in pixels of the full photo */
} colour_found_white;

/* Fails only for lack of memory. Pictures with alpha are cut out already and are not searched. */
bc_status colour_find_white(colour_found_white *out, bc_context *context, const bc_image *image);

#endif
