/* SPDX-License-Identifier: MIT */
/* What the user marks: stroke.c. */
#ifndef BC_CUTOUT_STROKES_H
#define BC_CUTOUT_STROKES_H

#include "scene.h"

bc_status cutout_strokes_begin(cutout_scene *scene, bc_context *context);
/* Fixes the cells under a straight stroke; points and `brush` (radius) in pixels of the full photo. */
void cutout_stroke(cutout_scene *scene, const bc_image *image, bc_point_px from, bc_point_px to, int brush, bool keep);
/* Sets `said` from all strokes so far. */
void cutout_strokes_weigh(cutout_scene *scene);

#endif
