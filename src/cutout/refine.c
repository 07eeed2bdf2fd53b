/* SPDX-License-Identifier: MIT */
/* The answer decided again by mixtures of Gaussians and cuts in turn, as in GrabCut: on the fine grid, from the answer
 * and from the whole box. Follows suppose.c and scene.c; band.c goes on from here to the image's pixels.
 * Source: Rother, Kolmogorov and Blake, "GrabCut", ACM TOG 23(3), 2004. */
#include "refine.h"
#include "base/base.h"
#include "grid_answer.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const float most_pull = 100.0f; /* nats that colour may say */
enum { components = 5, rounds_from_answer = 3, rounds_from_box = 5, rounds_of_growth = 2, rounds_of_stroke = 2 };
/* Our choices, measured. */
static const double tight = 0.93;      /* share of the box that counts as filled */
static const double most_growth = 1.3; /* of the area, by claiming more */
static const double spare = 1.05;      /* by which it may grow more than its box */
static const double loose = 0.85;      /* filled less than this, a part was lost */
static const double clearly = 1.05;    /* times the other answer's energy */

typedef struct work {
  cutout_scene *scene;
  cutout_mixture *of;  /* background, piece */
  cutout_grid samples; /* the cells that the mixtures learn from */
  uint8_t *side, *owner, *open, *before;
  float *cost;
} work;

/* ---- models ---- */

/* Half of the cells are enough to learn from, as on a draughts board. */
static void take_samples(work *w) {
  const cutout_grid *grid = &w->scene->grid;
  size_t n = 0;
  for (int y = 0; y < grid->height; y++)
    for (int x = y & 1; x < grid->width; x += 2) {
      for (int c = 0; c < 3; c++) w->samples.lab[c][n] = grid->lab[c][y * grid->width + x];
      n++;
    }
  w->samples.count = n;
}

static void learn(work *w, bool anew) {
  const cutout_grid *grid = &w->scene->grid;
  size_t n = 0;
  for (int y = 0; y < grid->height; y++)
    for (int x = y & 1; x < grid->width; x += 2) w->side[n++] = w->scene->piece[y * grid->width + x];
  for (int side = 0; side < 2; side++) {
    if (anew || w->of[side].count == 0)
      cutout_mixture_learn(&w->of[side], &w->samples, w->side, (uint8_t)side, w->owner, components);
    else
      cutout_mixture_improve(&w->of[side], &w->samples, w->side, (uint8_t)side, w->owner, 1);
  }
}

static void pull(work *w) {
  cutout_scene *s = w->scene;
  const cutout_grid *grid = &s->grid;
  cutout_mixture_costs(&w->of[0], grid->lab[0], grid->lab[1], grid->lab[2], grid->count, s->pull);
  cutout_mixture_costs(&w->of[1], grid->lab[0], grid->lab[1], grid->lab[2], grid->count, w->cost);
  for (size_t i = 0; i < grid->count; i++) {
    const float more = s->pull[i] - w->cost[i] + s->bias + (s->said ? s->stiffness * s->said[i] : 0) +
                       s->stiffness * cutout_scene_word(s, i);
    const uint8_t known = cutout_scene_known(s, i);
    s->pull[i] = known == CUTOUT_IS_BACKGROUND ? -1000
                 : known                       ? 1000
                 : more > most_pull            ? most_pull
                 : more < -most_pull           ? -most_pull
                                               : more;
  }
}

/* ---- cuts ---- */

/* Open: what the pull contradicts, and cells near the outline. */
static void open_cells(work *w, bool everywhere) {
  const cutout_scene *s = w->scene;
  const int width = s->grid.width, height = s->grid.height;
  memset(w->open, everywhere, s->grid.count);
  for (int y = 0; !everywhere && y < height; y++)
    for (int x = 0; x < width; x++) {
      const int i = y * width + x;
      const bool edge =
          (x + 1 < width && s->piece[i] != s->piece[i + 1]) || (y + 1 < height && s->piece[i] != s->piece[i + width]);
      if (edge)
        cutout_grid_mark(w->open, &s->grid, x, y, 3);
      else if ((s->pull[i] > 0) != (s->piece[i] != 0))
        cutout_grid_mark(w->open, &s->grid, x, y, 1);
    }
  for (size_t i = 0; i < s->grid.count; i++) {
    const uint8_t known = cutout_scene_known(s, i);
    if (known == CUTOUT_OPEN) continue;
    w->open[i] = 0;
    s->piece[i] = known == CUTOUT_IS_PIECE;
  }
}

/* Models and cuts in turn until nothing moves. */
static bc_status solve(work *w, bc_context *context, int rounds, bool anew) {
  bc_status status = BC_OK;
  for (int round = 0; status == BC_OK && round < rounds; round++) {
    learn(w, anew && round == 0);
    pull(w);
    open_cells(w, anew && round == 0);
    memcpy(w->before, w->scene->piece, w->scene->grid.count);
    status = cutout_cut(w->scene, context, w->open);
    if (memcmp(w->before, w->scene->piece, w->scene->grid.count) == 0) break;
  }
  return status;
}

/* What the answer costs: colours and borders. For comparing answers to one scene. */
static double energy_of(const cutout_scene *scene) {
  const cutout_grid *grid = &scene->grid;
  double sum = 0, borders = 0;
  for (int y = 0; y < grid->height; y++)
    for (int x = 0; x < grid->width; x++) {
      const int i = y * grid->width + x;
      if (cutout_scene_known(scene, (size_t)i) == CUTOUT_OPEN && scene->piece[i]) sum -= (double)scene->pull[i];
      for (int k = 0; k < 4; k++) {
        const int to_x = x + cutout_step_x[k + k], to_y = y + cutout_step_y[k + k];
        if (to_x < 0 || to_y < 0 || to_x >= grid->width || to_y >= grid->height) continue;
        if (scene->piece[i] != scene->piece[to_y * grid->width + to_x]) borders += (double)scene->edge[k][i];
      }
    }
  return sum + (double)scene->stiffness * borders;
}

/* ---- with a box ---- */

static size_t area_of(const cutout_scene *scene) {
  size_t area = 0;
  for (size_t i = 0; i < scene->grid.count; i++) area += scene->piece[i];
  return area;
}

/* An answer that leaves a strip of the box free is asked to claim more, step by step. The last answer stays that grew
 * no more than the box round it did: what a strip of the box adds. */
static bc_status grow(work *w, bc_context *context) {
  static const float more[] = {1, 2, 4, 7, 12};
  cutout_scene *s = w->scene;
  const double first_area = (double)area_of(s), first_box = cutout_tightness(s);
  uint8_t *kept = bc_allocate(s->grid.count, 1);
  cutout_mixture known[2];
  float bias = s->bias;
  if (!kept) return bc_fail_memory(context);
  bc_status status = BC_OK;
  memcpy(kept, s->piece, s->grid.count);
  memcpy(known, w->of, sizeof known);
  for (size_t k = 0; status == BC_OK && k < sizeof more / sizeof *more && cutout_tightness(s) < tight; k++) {
    s->bias = more[k];
    status = solve(w, context, rounds_of_growth, false);
    const double area = (double)area_of(s) / first_area;
    if (area > most_growth) break;
    if (area * first_box > spare * cutout_tightness(s)) continue;
    memcpy(kept, s->piece, s->grid.count);
    memcpy(known, w->of, sizeof known);
    bias = more[k];
  }
  memcpy(s->piece, kept, s->grid.count);
  memcpy(w->of, known, sizeof known);
  s->bias = bias;
  free(kept);
  return status;
}

/* An answer with its models, kept aside. */
typedef struct candidate {
  uint8_t *piece;
  cutout_mixture of[2];
  double energy, tightness;
} candidate;

static void keep(candidate *to, const work *w) {
  memcpy(to->piece, w->scene->piece, w->scene->grid.count);
  memcpy(to->of, w->of, sizeof to->of);
  to->energy = energy_of(w->scene);
  to->tightness = cutout_tightness(w->scene);
}

static void take(work *w, const candidate *from) {
  memcpy(w->scene->piece, from->piece, w->scene->grid.count);
  memcpy(w->of, from->of, sizeof from->of);
}

static void claim_box(cutout_scene *scene) {
  for (size_t i = 0; i < scene->grid.count; i++) scene->piece[i] = cutout_scene_known(scene, i) != CUTOUT_IS_BACKGROUND;
}

/* From the answer, and from the whole box; the second stays when it costs clearly less. When the first answer filled
 * the box and neither does any more, the piece shows its surroundings (polished metal does), so that colours mislead:
 * the first answer stays, as it knows more than colours. */
static bc_status choose(work *w, bc_context *context, candidate *given, candidate *first) {
  keep(given, w);
  bc_status status = solve(w, context, rounds_from_answer, true);
  keep(first, w);
  if (status != BC_OK) return status;
  claim_box(w->scene);
  status = solve(w, context, rounds_from_box, true);
  if (energy_of(w->scene) >= (first->energy < 0 ? clearly : 1 / clearly) * first->energy) take(w, first);
  if (given->tightness < tight || cutout_tightness(w->scene) >= loose) return status;
  take(w, given);
  learn(w, true);
  return status;
}

static bc_status decide_in_box(work *w, bc_context *context) {
  const size_t count = w->scene->grid.count;
  candidate given = {.piece = bc_allocate(count, 1)}, first = {.piece = bc_allocate(count, 1)};
  bc_status status = given.piece && first.piece ? choose(w, context, &given, &first) : bc_fail_memory(context);
  free(given.piece);
  free(first.piece);
  return status == BC_OK ? grow(w, context) : status;
}

/* ---- the face to the session ---- */

static bool prepare(work *w) {
  const size_t count = w->scene->grid.count;
  bool ready = (w->side = bc_allocate(count, 1)) != NULL;
  ready = (w->owner = bc_allocate(count, 1)) != NULL && ready;
  ready = (w->open = bc_allocate(count, 1)) != NULL && ready;
  ready = (w->before = bc_allocate(count, 1)) != NULL && ready;
  ready = (w->cost = bc_allocate(count, sizeof(float))) != NULL && ready;
  for (int c = 0; c < 3; c++) ready = (w->samples.lab[c] = bc_allocate(count, sizeof(float))) != NULL && ready;
  if (ready) take_samples(w);
  return ready;
}

static void finish(work *w) {
  free(w->side);
  free(w->owner);
  free(w->open);
  free(w->before);
  free(w->cost);
  for (int c = 0; c < 3; c++) free(w->samples.lab[c]);
}

bc_status cutout_detail(cutout_scene *scene, cutout_mixture of[2], bc_context *context, cutout_detail_start start) {
  work w = {.scene = scene, .of = of};
  bc_status status = prepare(&w) ? BC_OK : bc_fail_memory(context);
  scene->stiffness = 5; /* 50 nats between equal neighbours, as the source has it */
  scene->bias = start == CUTOUT_AFTER_STROKE ? scene->bias : 0;
  if (status == BC_OK && start == CUTOUT_IN_BOX) status = decide_in_box(&w, context);
  if (status == BC_OK && start == CUTOUT_FREELY) status = solve(&w, context, rounds_from_answer, true);
  if (status == BC_OK && start == CUTOUT_AFTER_STROKE) status = solve(&w, context, rounds_of_stroke, false);
  finish(&w);
  return status;
}
