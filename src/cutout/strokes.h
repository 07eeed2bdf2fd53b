/* SPDX-License-Identifier: MIT */
/* What the user marks: stroke.c, tapped.c. */
#ifndef BC_CUTOUT_STROKES_H
#define BC_CUTOUT_STROKES_H

#include "scene.h"

bc_status cutout_strokes_begin(cutout_scene *scene, bc_context *context);
/* Fixes the cells under a straight stroke; points and `brush` (radius) in pixels of the full photo. */
void cutout_stroke(cutout_scene *scene, const bc_image *image, bc_point_px from, bc_point_px to, int brush, bool keep);
/* Sets `said` from all strokes so far. */
void cutout_strokes_weigh(cutout_scene *scene);
/* Marks as background the whole of each part of the scene's answer that a point lies on, if it is smaller than the
 * largest and nothing in it is kept by a stroke. */
bc_status cutout_tapped_drop(cutout_scene *scene, bc_context *context, const bc_image *image, const bc_point_px *points,
                             size_t count);

#endif
