/* SPDX-License-Identifier: MIT */
/* Piece and background told apart by models of colour and texture and a minimum cut in turn. Source:
 * Rother, Kolmogorov and Blake, "GrabCut", ACM TOG 23(3), 2004; the models here are smoothed histograms. */
#include "scene.h"
#include "base/base.h"
#include "base/parallel.h"
#include "scale.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Our choices; docs/method/cutout.md has the measurements behind them. */
static const float density_floor = 2e-5f;   /* a colour never seen is as likely as this, in both models */
static const float most_colour_pull = 4.0f; /* nats that colour alone may say */
static const float texture_share = 0.5f;    /* texture is less certain than colour near outlines */
static const float prior_share = 0.4f;      /* the prior has been used once to learn the models */

/* ---- making and freeing ---- */

static bool allocate_planes(cutout_scene *scene) {
  const size_t count = scene->grid.count;
  bool ready = (scene->prior = bc_allocate(count, sizeof(float))) != NULL;
  ready = (scene->fixed = bc_allocate(count, 1)) != NULL && ready;
  ready = (scene->piece = bc_allocate(count, 1)) != NULL && ready;
  ready = (scene->pull = bc_allocate(count, sizeof(float))) != NULL && ready;
  ready = (scene->weight = bc_allocate(count, sizeof(float))) != NULL && ready;
  for (int i = 0; i < 4; i++) ready = (scene->edge[i] = bc_allocate(count, sizeof(float))) != NULL && ready;
  return ready;
}

size_t cutout_scene_room(const cutout_scene *scene) {
  return (size_t)(scene->colour.count > scene->texture.count ? scene->colour.count : scene->texture.count);
}

static bool allocate_models(cutout_scene *scene) {
  const size_t room = cutout_scene_room(scene), row = (size_t)scene->grid.width;
  bool ready = (scene->work = bc_allocate(room > row ? room : row, sizeof(float))) != NULL;
  for (int i = 0; i < 4; i++) ready = (scene->model[i] = bc_allocate(room, sizeof(float))) != NULL && ready;
  return ready;
}

typedef struct making {
  cutout_scene *scene;
  bool ready[2];
} making;

/* Textures, and all else that is known from the grid alone. */
static void make_half(void *cargo, int half) {
  making *m = cargo;
  cutout_scene *scene = m->scene;
  if (half) {
    m->ready[1] = cutout_texture_palette(&scene->texture, &scene->grid);
    return;
  }
  m->ready[0] = cutout_colour_palette(&scene->colour, &scene->grid) && allocate_planes(scene);
  if (m->ready[0]) cutout_edges_set(scene);
}

/* All but its grid, which it has. */
static bc_status make(cutout_scene *scene, bc_context *context) {
  making m = {.scene = scene};
  base_do_both(make_half, &m);
  if (m.ready[0] && m.ready[1] && allocate_models(scene)) return BC_OK;
  cutout_scene_clear(scene);
  return bc_fail_memory(context);
}

bc_status cutout_scene_new(cutout_scene *scene, bc_context *context, const bc_image *image, int side) {
  *scene = (cutout_scene){.stiffness = 1};
  const bc_status status = cutout_grid_new(&scene->grid, context, image, side);
  return status == BC_OK ? make(scene, context) : status;
}

bc_status cutout_scene_coarser(cutout_scene *scene, bc_context *context, const bc_image *image, int side,
                               const cutout_scene *fine) {
  *scene = (cutout_scene){.stiffness = 1};
  const bc_status status = cutout_grid_coarser(&scene->grid, context, &fine->grid, image, side);
  return status == BC_OK ? make(scene, context) : status;
}

void cutout_scene_clear(cutout_scene *scene) {
  cutout_grid_clear(&scene->grid);
  free(scene->colour.cells);
  free(scene->texture.cells);
  free(scene->prior);
  free(scene->fixed);
  free(scene->marked);
  free(scene->said);
  free(scene->word);
  free(scene->vote);
  free(scene->piece);
  free(scene->pull);
  free(scene->weight);
  free(scene->work);
  cutout_flow_free(scene->flow);
  for (int i = 0; i < 4; i++) {
    free(scene->edge[i]);
    free(scene->model[i]);
  }
  *scene = (cutout_scene){0};
}

bc_status cutout_scene_twin(cutout_scene *twin, bc_context *context, const cutout_scene *scene) {
  const size_t count = scene->grid.count;
  *twin = *scene;
  twin->flow = NULL;
  bool ready = (twin->piece = bc_allocate(count, 1)) != NULL;
  ready = (twin->pull = bc_allocate(count, sizeof(float))) != NULL && ready;
  ready = (twin->weight = bc_allocate(count, sizeof(float))) != NULL && ready;
  ready = allocate_models(twin) && ready;
  return ready ? BC_OK : bc_fail_memory(context);
}

void cutout_scene_untwin(cutout_scene *twin) {
  free(twin->piece);
  free(twin->pull);
  free(twin->weight);
  free(twin->work);
  for (int i = 0; i < 4; i++) free(twin->model[i]);
  cutout_flow_free(twin->flow);
}

/* ---- models and pulls ---- */

void cutout_scene_learn(cutout_scene *scene) {
  for (int i = 0; i < 4; i++)
    cutout_density(scene->model[i], i < 2 ? &scene->colour : &scene->texture, scene->weight, i & 1, scene->work);
  cutout_add_shadows(scene->model[1], &scene->colour);
}

static float log_ratio(const float *piece, const float *background, int cell) {
  const float ratio = logf((piece[cell] + density_floor) / (background[cell] + density_floor));
  return ratio > most_colour_pull ? most_colour_pull : ratio < -most_colour_pull ? -most_colour_pull : ratio;
}

void cutout_scene_pull(cutout_scene *scene) {
  const float certain = 1000;
  for (size_t i = 0; i < scene->grid.count; i++) {
    const float colour = log_ratio(scene->model[0], scene->model[1], scene->colour.cells[i]);
    const float texture = log_ratio(scene->model[2], scene->model[3], scene->texture.cells[i]);
    const float prior = logf((scene->prior[i] + 0.01f) / (1.01f - scene->prior[i]));
    scene->pull[i] = colour + texture_share * texture + prior_share * (prior + scene->bias);
    if (scene->said) scene->pull[i] += scene->said[i];
    scene->pull[i] += cutout_scene_word(scene, i);
    const uint8_t known = cutout_scene_known(scene, i);
    if (known != CUTOUT_OPEN) scene->pull[i] = known == CUTOUT_IS_PIECE ? certain : -certain;
  }
}

/* ---- solving ---- */

static void weigh_by_prior(cutout_scene *scene) {
  const float odds = expf(scene->bias);
  for (size_t i = 0; i < scene->grid.count; i++) {
    const float prior = scene->prior[i], biased = prior * odds / (prior * odds + 1 - prior);
    scene->weight[i] = scene->fixed[i] == CUTOUT_IS_BACKGROUND ? 0 : scene->fixed[i] ? 1 : biased;
  }
}

/* true when the cut changed the weights. */
static bool weigh_by_answer(cutout_scene *scene) {
  bool changed = false;
  for (size_t i = 0; i < scene->grid.count; i++) {
    const float weight = scene->piece[i] ? 1.0f : 0.0f;
    changed = changed || scene->weight[i] != weight;
    scene->weight[i] = weight;
  }
  return changed;
}

static void open_unfixed(uint8_t *open, cutout_scene *scene) {
  for (size_t i = 0; i < scene->grid.count; i++) {
    const uint8_t known = cutout_scene_known(scene, i);
    open[i] = known == CUTOUT_OPEN;
    if (!open[i]) scene->piece[i] = known == CUTOUT_IS_PIECE;
  }
}

static bc_status alternate(cutout_scene *scene, bc_context *context, int rounds) {
  uint8_t *open = bc_allocate(scene->grid.count, 1);
  bc_status status = open ? BC_OK : bc_fail_memory(context);
  if (open) open_unfixed(open, scene);
  for (int round = 0; status == BC_OK && round < rounds; round++) {
    cutout_scene_learn(scene);
    cutout_scene_pull(scene);
    status = cutout_cut(scene, context, open);
    if (!weigh_by_answer(scene)) break;
  }
  free(open);
  return status;
}

bc_status cutout_scene_solve(cutout_scene *scene, bc_context *context, int rounds) {
  weigh_by_prior(scene);
  return alternate(scene, context, rounds);
}

bc_status cutout_scene_resolve(cutout_scene *scene, bc_context *context, int rounds) {
  for (size_t i = 0; i < scene->grid.count; i++)
    if (scene->fixed[i] != CUTOUT_OPEN) scene->piece[i] = scene->fixed[i] == CUTOUT_IS_PIECE;
  weigh_by_answer(scene);
  return alternate(scene, context, rounds);
}

/* ---- from a coarser scene ---- */

static size_t coarse_cell_of(const cutout_scene *scene, const cutout_scene *coarse, int x, int y) {
  const int from_x = (2 * x + 1) * coarse->grid.width / (2 * scene->grid.width);
  const int from_y = (2 * y + 1) * coarse->grid.height / (2 * scene->grid.height);
  return (size_t)from_y * (size_t)coarse->grid.width + (size_t)from_x;
}

void cutout_scene_hear(cutout_scene *scene, const cutout_scene *coarse) {
  for (int y = 0; y < scene->grid.height; y++)
    for (int x = 0; x < scene->grid.width; x++) {
      float *said = &scene->said[y * scene->grid.width + x];
      const float there = coarse->said[coarse_cell_of(scene, coarse, x, y)];
      if (*said > 0 && *said > there) *said = there > 0 ? there : 0;
    }
}

static void take_coarse(cutout_scene *scene, const cutout_scene *coarse) {
  for (int y = 0; y < scene->grid.height; y++) {
    if (!scene->word) /* a guess has told the finer grid more */
      cutout_scale_row_of_floats(
          scene->prior + (ptrdiff_t)y * scene->grid.width, y, coarse->prior,
          (cutout_scaling){coarse->grid.width, coarse->grid.height, scene->grid.width, scene->grid.height},
          scene->work);
    for (int x = 0; x < scene->grid.width; x++) {
      const size_t i = (size_t)y * (size_t)scene->grid.width + (size_t)x, from = coarse_cell_of(scene, coarse, x, y);
      if (scene->vote && coarse->vote) scene->vote[i] = coarse->vote[from];
      const uint8_t known = cutout_scene_known(scene, i);
      scene->piece[i] = known ? known == CUTOUT_IS_PIECE : coarse->piece[from];
      scene->weight[i] = scene->piece[i];
    }
  }
}

/* Open: a band along the outline, and every place where the pull contradicts the answer clearly. */
static void open_doubtful(uint8_t *open, const cutout_scene *scene) {
  const cutout_grid *grid = &scene->grid;
  const float clear = 3;
  for (int y = 0; y < grid->height; y++)
    for (int x = 0; x < grid->width; x++) {
      const int i = y * grid->width + x;
      const bool outline = (x + 1 < grid->width && scene->piece[i] != scene->piece[i + 1]) ||
                           (y + 1 < grid->height && scene->piece[i] != scene->piece[i + grid->width]);
      if (outline) cutout_grid_mark(open, grid, x, y, 3);
      if (scene->piece[i] ? scene->pull[i] < -clear : scene->pull[i] > clear) cutout_grid_mark(open, grid, x, y, 1);
    }
  for (size_t i = 0; i < grid->count; i++)
    if (cutout_scene_known(scene, i) != CUTOUT_OPEN) open[i] = 0;
}

bc_status cutout_scene_refine(cutout_scene *scene, bc_context *context, const cutout_scene *coarse) {
  uint8_t *open = bc_allocate(scene->grid.count, 1);
  if (coarse->vote && !scene->vote) scene->vote = bc_allocate(scene->grid.count, sizeof *scene->vote);
  if (!open || (coarse->vote && !scene->vote)) {
    free(open);
    return bc_fail_memory(context);
  }
  take_coarse(scene, coarse);
  scene->bias = coarse->bias;
  scene->unanimity = coarse->unanimity;
  cutout_scene_learn(scene);
  cutout_scene_pull(scene);
  open_doubtful(open, scene);
  const bc_status status = cutout_cut(scene, context, open);
  free(open);
  return status;
}
