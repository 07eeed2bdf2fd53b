/* SPDX-License-Identifier: MIT */
/* An answer on a grid as a whole: measured (grid_answer.c), its connected parts (regions.c), ground that it encloses
 * (enclosed_ground.c). */
#ifndef BC_CUTOUT_ANSWER_H
#define BC_CUTOUT_ANSWER_H

#include "scene.h"

/* ---- grid_answer.c ---- */
/* Overlap of two answers, intersection over union; 1 when both are empty. */
double cutout_overlap(const uint8_t *first, const uint8_t *second, size_t count);
/* The share of the box of open cells that the box of the answer fills, 0..1. */
double cutout_tightness(const cutout_scene *scene);

/* ---- regions.c ---- */
typedef struct cutout_part {
  int area;
  bool piece;
  int left, top, right, bottom; /* inclusive */
} cutout_part;
typedef struct cutout_regions {
  int32_t *label; /* of each cell: an index into part */
  cutout_part *part;
  size_t count;
} cutout_regions;
bc_status cutout_regions_new(cutout_regions *out, bc_context *context, const uint8_t *mask, int width, int height);
void cutout_regions_clear(cutout_regions *regions);
/* Drops specks and fills pin-holes in the scene's answer. */
bc_status cutout_regions_tidy(cutout_scene *scene, bc_context *context);

/* ---- enclosed_ground.c ---- */
/* Takes ground that the piece only encloses out of an answer in a box. `given` may be NULL; else only what that answer
 * had left out and the piece encloses all round. Uses up weights and colour models. */
bc_status cutout_gaps_open(cutout_scene *scene, bc_context *context, const uint8_t *given);

#endif
