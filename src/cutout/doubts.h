/* SPDX-License-Identifier: MIT */
/* Where a finished answer is doubtful: doubts.c. */
#ifndef BC_CUTOUT_DOUBTS_H
#define BC_CUTOUT_DOUBTS_H

#include "scene.h"

/* `cells` is the finished answer on the scene's grid. */
bc_status cutout_doubts_find(bc_cutout_doubts *doubts, bc_context *context, const cutout_scene *scene,
                             const uint8_t *cells, const bc_image *image);

#endif
