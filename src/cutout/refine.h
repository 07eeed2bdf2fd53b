/* SPDX-License-Identifier: MIT */
/* The answer decided again on the fine grid: refine.c. */
#ifndef BC_CUTOUT_DETAIL_H
#define BC_CUTOUT_DETAIL_H

#include "scene.h"

typedef enum cutout_detail_start {
  CUTOUT_FREELY = 0,  /* decides from the scene's answer */
  CUTOUT_IN_BOX,      /* decides from the scene's answer and from the whole box */
  CUTOUT_AFTER_STROKE /* goes on from the scene's answer and the mixtures */
} cutout_detail_start;
/* Decides the scene's answer again with mixtures of Gaussians of the background, of[0], and of the piece, of[1]. */
bc_status cutout_detail(cutout_scene *scene, cutout_mixture of[2], bc_context *context, cutout_detail_start start);

#endif
