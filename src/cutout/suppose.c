/* SPDX-License-Identifier: MIT */
/* Several suppositions about how much of the picture is piece, each carried through to its cut; the
 * one that is expected to be best stays. The idea of ranking figure-ground cuts: Carreira and
 * Sminchisescu, "Constrained parametric min-cuts for automatic object segmentation", CVPR 2010. */
#include "suppose.h"
#include "base/base.h"
#include "base/parallel.h"
#include "grid_answer.h"

#include <stdlib.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

/* Without a box: how dear borders are, and nats added to the prior, each with each. Our choices, measured. */
static const float stiffnesses[2] = {0.35f, 1.5f};
static const float claims[] = {-0.75f, 1.5f, 3.0f};
enum { free_rounds = 2 };
_Static_assert(CUTOUT_SUPPOSITIONS == COUNT(stiffnesses) * COUNT(claims), "each with each");
/* With a box, as much as it takes for the answer to fill it. */
static const float box_suppositions[] = {0.75f, 2.0f, 3.5f, 5.0f};
static const double tight = 0.93; /* share of the box that counts as filled */
enum { rounds = 4 };

/* The suppositions of each stiffness in a half of their own, with a scene and a context of its own. */
typedef struct supposing {
  cutout_scene *scene[2];
  bc_context *context[2];
  bc_status status[2];
  uint8_t *answers; /* CUTOUT_SUPPOSITIONS x the grid */
  double trust[CUTOUT_SUPPOSITIONS];
} supposing;

bc_status cutout_suppose_one(cutout_scene *scene, bc_context *context, size_t which) {
  scene->stiffness = stiffnesses[which / COUNT(claims)];
  scene->bias = claims[which % COUNT(claims)];
  const bc_status status = cutout_scene_solve(scene, context, free_rounds);
  scene->stiffness = 1;
  scene->bias = 0;
  if (status != BC_OK) return status;
  cutout_scene_learn(scene);
  cutout_scene_pull(scene);
  return BC_OK;
}

static bc_status carry_through(supposing *s, int half, size_t claim) {
  cutout_scene *scene = s->scene[half];
  const size_t which = (size_t)half * COUNT(claims) + claim;
  const bc_status status = cutout_suppose_one(scene, s->context[half], which);
  if (status != BC_OK) return status;
  s->trust[which] = cutout_trust(scene);
  memcpy(s->answers + which * scene->grid.count, scene->piece, scene->grid.count);
  return BC_OK;
}

static void carry_half_through(void *cargo, int half) {
  supposing *s = cargo;
  for (size_t claim = 0; claim < COUNT(claims) && s->status[half] == BC_OK; claim++)
    s->status[half] = carry_through(s, half, claim);
}

static void take_most_trusted(cutout_scene *scene, const supposing *s) {
  const size_t count = scene->grid.count;
  size_t best = 0;
  double overlaps = 0;
  for (size_t k = 1; k < CUTOUT_SUPPOSITIONS; k++)
    if (s->trust[k] > s->trust[best]) best = k;
  memcpy(scene->piece, s->answers + best * count, count);
  for (size_t k = 0; k < CUTOUT_SUPPOSITIONS; k++)
    overlaps += k == best ? 0 : cutout_overlap(s->answers + k * count, scene->piece, count);
  scene->unanimity = overlaps / (CUTOUT_SUPPOSITIONS - 1);
  for (size_t i = 0; i < CUTOUT_SUPPOSITIONS * count; i++)
    scene->vote[i % count] += s->answers[i] ? 1.0f / CUTOUT_SUPPOSITIONS : 0;
}

static bc_status suppose_freely(cutout_scene *scene, bc_context *context) {
  cutout_scene twin;
  supposing s = {.scene = {scene, &twin},
                 .context = {context},
                 .answers = bc_allocate(CUTOUT_SUPPOSITIONS * scene->grid.count, 1)};
  bc_status status = cutout_scene_twin(&twin, context, scene);
  if (status == BC_OK && (!s.answers || bc_context_new(&s.context[1]) != BC_OK)) status = bc_fail_memory(context);
  if (status == BC_OK) {
    base_do_both(carry_half_through, &s);
    status = s.status[1] == BC_OK ? s.status[0] : bc_fail_memory(context);
  }
  if (status == BC_OK) take_most_trusted(scene, &s);
  cutout_scene_untwin(&twin);
  bc_context_free(s.context[1]);
  free(s.answers);
  return status;
}

static bc_status suppose_in_box(cutout_scene *scene, bc_context *context, uint8_t *best) {
  double filled = -1;
  float voters = 0;
  scene->unanimity = 1;
  for (size_t s = 0; s < COUNT(box_suppositions) && filled < tight; s++) {
    scene->bias = box_suppositions[s];
    const bc_status status = cutout_scene_solve(scene, context, rounds);
    if (status != BC_OK) return status;
    const double now = cutout_tightness(scene);
    for (size_t i = 0; i < scene->grid.count; i++) scene->vote[i] += scene->piece[i];
    voters++;
    if (s > 0) scene->unanimity *= cutout_overlap(scene->piece, best, scene->grid.count);
    if (now <= filled + 0.02) continue;
    filled = now;
    memcpy(best, scene->piece, scene->grid.count);
  }
  memcpy(scene->piece, best, scene->grid.count);
  for (size_t i = 0; i < scene->grid.count; i++) scene->vote[i] /= voters;
  return cutout_scene_resolve(scene, context, 1);
}

bc_status cutout_suppose(cutout_scene *scene, bc_context *context, bool in_box) {
  if (!scene->vote) scene->vote = bc_allocate(scene->grid.count, sizeof *scene->vote);
  if (!scene->vote) return bc_fail_memory(context);
  memset(scene->vote, 0, scene->grid.count * sizeof *scene->vote);
  if (!in_box) return suppose_freely(scene, context);
  uint8_t *best = bc_allocate(scene->grid.count, 1);
  if (!best) return bc_fail_memory(context);
  const bc_status status = suppose_in_box(scene, context, best);
  free(best);
  return status;
}
