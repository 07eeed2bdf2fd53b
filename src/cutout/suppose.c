/* SPDX-License-Identifier: MIT */
/* Several suppositions about how much of the picture is piece, each carried through to its cut; the
 * one that is expected to be best stays. The idea of ranking figure-ground cuts: Carreira and
 * Sminchisescu, "Constrained parametric min-cuts for automatic object segmentation", CVPR 2010. */
#include "cutout_internal.h"

#include <stdlib.h>
#include <string.h>

static const float suppositions[] = {-0.75f, 0.75f}; /* nats added to the prior: little, much */
enum { supposition_count = sizeof suppositions / sizeof suppositions[0], rounds = 4, closing_rounds = 2 };

bc_status cutout_suppose(cutout_scene *scene, bc_context *context, double *confidence) {
  uint8_t *best = bc_allocate(scene->grid.count, 1);
  if (!best) return bc_fail_memory(context);
  bc_status status = BC_OK;
  *confidence = -1;
  for (int s = 0; s < supposition_count && status == BC_OK; s++) {
    scene->bias = suppositions[s];
    status = cutout_scene_solve(scene, context, rounds);
    const double expected = cutout_confidence(scene);
    if (expected <= *confidence) continue;
    *confidence = expected;
    memcpy(best, scene->piece, scene->grid.count);
  }
  memcpy(scene->piece, best, scene->grid.count);
  scene->bias = 0; /* a supposition has done its work once colours have been learned from it */
  if (status == BC_OK) status = cutout_scene_resolve(scene, context, closing_rounds);
  *confidence = cutout_confidence(scene);
  free(best);
  return status;
}
