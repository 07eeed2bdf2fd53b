/* SPDX-License-Identifier: MIT */
/* The cut-out as a value, made and measured: cutout.c, alpha.c. */
#ifndef BC_CUTOUT_VALUE_H
#define BC_CUTOUT_VALUE_H

#include <backcloth/cutout.h>

/* ---- cutout.c ---- */
/* An empty cut-out of the image's size. */
bc_status cutout_new(bc_cutout **out, bc_context *context, const bc_image *image);
/* Sets the box round alpha >= 128; false when there is no such pixel. */
bool cutout_set_box(bc_cutout *cutout);

/* ---- alpha.c ---- */
/* The photo's own alpha as the cut-out. */
bc_status cutout_take_alpha(bc_cutout *cutout, bc_context *context, const bc_image *image);

#endif
