/* SPDX-License-Identifier: MIT */
/* Several suppositions about how much of the picture is piece, each carried through to its cut; the
 * one that is expected to be best stays. The idea of ranking figure-ground cuts: Carreira and
 * Sminchisescu, "Constrained parametric min-cuts for automatic object segmentation", CVPR 2010. */
#include "base/parallel.h"
#include "cutout_internal.h"

#include <stdlib.h>
#include <string.h>

static const float suppositions[2] = {-0.75f, 0.75f}; /* nats added to the prior: little, much */
/* With a box, as much as it takes for the answer to fill it. */
static const float box_suppositions[] = {0.75f, 2.0f, 3.5f, 5.0f};
static const double tight = 0.93; /* share of the box that counts as filled */
enum { rounds = 4, closing_rounds = 2 };

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

/* The share of the box of open cells that the box of the answer fills. Source of the idea that a box
 * is drawn tight: Lempitsky, Kohli, Rother and Sharp, "Image segmentation with a bounding box prior",
 * ICCV 2009. */
double cutout_tightness(const cutout_scene *scene) {
  const cutout_grid *grid = &scene->grid;
  int left[2] = {grid->width, grid->width}, right[2] = {-1, -1}, top[2] = {grid->height, grid->height},
      bottom[2] = {-1, -1};
  for (int y = 0; y < grid->height; y++)
    for (int x = 0; x < grid->width; x++)
      for (int k = 0; k < 2; k++) { /* 0: open or marked as piece, 1: answer */
        const int i = y * grid->width + x;
        if (k == 0 ? scene->fixed[i] == CUTOUT_IS_BACKGROUND : !scene->piece[i]) continue;
        if (x < left[k]) left[k] = x;
        if (x > right[k]) right[k] = x;
        if (y < top[k]) top[k] = y;
        if (y > bottom[k]) bottom[k] = y;
      }
  if (right[0] < 0 || right[1] < 0) return 0;
  return (double)(right[1] - left[1] + 1) * (bottom[1] - top[1] + 1) /
         ((double)(right[0] - left[0] + 1) * (bottom[0] - top[0] + 1));
}

/* The two suppositions at once, each with a scene and a context of its own. */
typedef struct supposing {
  cutout_scene *scene[2];
  bc_context *context[2];
  bc_status status[2];
  double trust[2];
} supposing;

static void suppose_one(void *cargo, int which) {
  supposing *s = cargo;
  s->scene[which]->bias = suppositions[which];
  s->status[which] = cutout_scene_solve(s->scene[which], s->context[which], rounds);
  if (s->status[which] == BC_OK) s->trust[which] = cutout_trust(s->scene[which]);
}

static bc_status suppose_both(cutout_scene *scene, cutout_scene *twin, bc_context *context, bc_context *other) {
  supposing s = {.scene = {scene, twin}, .context = {context, other}};
  bc_do_both(suppose_one, &s);
  if (s.status[0] != BC_OK) return s.status[0];
  if (s.status[1] != BC_OK) return bc_fail_memory(context);
  scene->unanimity = cutout_overlap(scene->piece, twin->piece, scene->grid.count);
  if (s.trust[1] > s.trust[0]) memcpy(scene->piece, twin->piece, scene->grid.count);
  scene->bias = 0; /* a supposition has done its work once colours have been learned from it */
  return cutout_scene_resolve(scene, context, closing_rounds);
}

static bc_status suppose_freely(cutout_scene *scene, bc_context *context) {
  bc_context *other = NULL;
  cutout_scene twin;
  bc_status status = cutout_scene_twin(&twin, context, scene);
  if (status == BC_OK && bc_context_new(&other) != BC_OK) status = bc_fail_memory(context);
  if (status == BC_OK) status = suppose_both(scene, &twin, context, other);
  cutout_scene_untwin(&twin);
  bc_context_free(other);
  return status;
}

static bc_status suppose_in_box(cutout_scene *scene, bc_context *context, uint8_t *best) {
  double filled = -1;
  scene->unanimity = 1;
  for (size_t s = 0; s < COUNT(box_suppositions) && filled < tight; s++) {
    scene->bias = box_suppositions[s];
    const bc_status status = cutout_scene_solve(scene, context, rounds);
    if (status != BC_OK) return status;
    const double now = cutout_tightness(scene);
    if (s > 0) scene->unanimity *= cutout_overlap(scene->piece, best, scene->grid.count);
    if (now <= filled + 0.02) continue;
    filled = now;
    memcpy(best, scene->piece, scene->grid.count);
  }
  memcpy(scene->piece, best, scene->grid.count);
  return cutout_scene_resolve(scene, context, 1);
}

bc_status cutout_suppose(cutout_scene *scene, bc_context *context, bool in_box) {
  if (!in_box) return suppose_freely(scene, context);
  uint8_t *best = bc_allocate(scene->grid.count, 1);
  if (!best) return bc_fail_memory(context);
  const bc_status status = suppose_in_box(scene, context, best);
  free(best);
  return status;
}
