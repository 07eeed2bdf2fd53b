/* SPDX-License-Identifier: MIT */
/* How probable it is that a cell belongs to the piece, before piece and background have been told
 * apart: what the frame does not have, what hangs together away from it, and what lies in the middle. */
#include "prior.h"
#include "base/base.h"

#include <math.h>
#include <stdlib.h>

/* What speaks for the piece. Each is a plane over the grid. */
enum {
  BARRIER = 0,    /* minimum barrier distance from the frame, 0..1 */
  COLOUR_STRANGE, /* log of how much rarer the cell's colour is in the frame than in the picture */
  TEXTURE_STRANGE,
  INWARD,        /* 0 at the frame, 1 in the middle */
  COLOUR_INWARD, /* mean INWARD of all cells of this colour */
  COLOUR_SPREAD, /* how far apart the cells of this colour lie: 1 when spread evenly over the picture */
  TEXTURE_INWARD,
  TEXTURE_SPREAD,
  FELT_BARRIER, /* the same distance as BARRIER, but as far as it is felt: half of it at 8 CIELAB */
  EVIDENCE
};
_Static_assert((int)EVIDENCE == (int)CUTOUT_PRIOR_SIGNS, "prior.h tells their number");

/* Logistic weights; the last is the constant. Those without a box are what `backcloth-bench prior` fits, those with one
 * were fitted before it existed. docs/method/cutout.md says on what. */
static const float weight_automatic[EVIDENCE + 1] = {0.79f, 0.60f, 0.40f,  2.08f, 7.97f,
                                                     0.76f, 0.78f, -0.13f, 7.86f, -11.97f};
static const float weight_box[EVIDENCE + 1] = {4.78f, 0.94f, 0.34f, 0.15f, 6.46f, 0.0f, 2.79f, 0.03f, 0.0f, -4.4f};

static const float density_floor = 2e-5f;
static const float felt = 8; /* CIELAB, of FELT_BARRIER; our choice, measured */

typedef struct prior_work {
  cutout_scene *scene;
  double left, top, width, height; /* the area looked at, in cells: the whole grid or the user's box */
  bool has_box;
  float *plane[EVIDENCE];
  float *frame;   /* 1 where the background is known or very likely */
  float *sums[6]; /* per colour cell: count, frame, inward, x, y, x^2 + y^2 */
} prior_work;

/* ---- geometry ---- */

static float inwardness(const prior_work *work, int x, int y) {
  const double across = (x + 0.5 - work->left) / work->width, down = (y + 0.5 - work->top) / work->height;
  const double least = fmin(fmin(across, 1 - across), fmin(down, 1 - down));
  return least > 0 ? (float)(2 * least) : 0;
}

/* The frame is what lies outside the box; without a box, or when the box leaves nearly nothing outside,
 * a strip along the border of the picture. */
static void set_frame(prior_work *work) {
  const cutout_grid *grid = &work->scene->grid;
  const int strip = 1 + grid->width / 25;
  size_t outside = 0;
  for (size_t i = 0; i < grid->count; i++) {
    work->frame[i] = work->scene->fixed[i] == CUTOUT_IS_BACKGROUND ? 1.0f : 0.0f;
    outside += work->frame[i] > 0;
  }
  if (work->has_box && outside > grid->count / 12) return;
  for (int y = 0; y < grid->height; y++)
    for (int x = 0; x < grid->width; x++)
      if (x < strip || y < strip || x >= grid->width - strip || y >= grid->height - strip)
        work->frame[y * grid->width + x] = 1;
}

/* ---- what cells of one colour have in common ---- */

static void set_values(prior_work *work, int which, float *values) {
  const cutout_grid *grid = &work->scene->grid;
  for (int y = 0; y < grid->height; y++)
    for (int x = 0; x < grid->width; x++) {
      const float u = (float)((x + 0.5 - work->left) / work->width - 0.5);
      const float v = (float)((y + 0.5 - work->top) / work->height - 0.5);
      float *value = &values[y * grid->width + x];
      if (which == 2) *value = work->plane[INWARD][y * grid->width + x];
      if (which == 3) *value = u;
      if (which == 4) *value = v;
      if (which == 5) *value = u * u + v * v;
    }
}

static float strangeness(const prior_work *work, int cell, float count, float frame_count) {
  const float all = work->sums[0][cell] / count + density_floor;
  const float frame = work->sums[1][cell] / frame_count + density_floor;
  const float ratio = logf(all / frame);
  return ratio < -2 ? -2 : ratio > 4 ? 4 : ratio;
}

static float spread(const prior_work *work, int cell) {
  const float count = work->sums[0][cell] + 1e-6f;
  const float x = work->sums[3][cell] / count, y = work->sums[4][cell] / count;
  return 6 * (work->sums[5][cell] / count - x * x - y * y); /* an even spread over the unit square has 1/6 */
}

static void compare(prior_work *work, const cutout_palette *palette, int strange, int inward, int spread_plane) {
  const size_t count = work->scene->grid.count;
  const int32_t *cells = palette->cells;
  float frame_count = 1e-6f;
  for (size_t i = 0; i < count; i++) frame_count += work->frame[i];
  for (int which = 0; which < 6; which++) {
    if (which > 1) set_values(work, which, work->scene->weight);
    const float *values = which == 0 ? NULL : which == 1 ? work->frame : work->scene->weight;
    cutout_cell_sums(work->sums[which], palette, values, work->scene->work);
  }
  if (strange == COLOUR_STRANGE) cutout_add_shadows(work->sums[1], palette);
  for (size_t i = 0; i < count; i++) {
    work->plane[strange][i] = strangeness(work, cells[i], (float)count, frame_count);
    work->plane[inward][i] = work->sums[2][cells[i]] / (work->sums[0][cells[i]] + 1e-6f);
    work->plane[spread_plane][i] = spread(work, cells[i]);
  }
}

/* ---- the whole ---- */

static void set_inward(prior_work *work) {
  const cutout_grid *grid = &work->scene->grid;
  for (int y = 0; y < grid->height; y++)
    for (int x = 0; x < grid->width; x++) work->plane[INWARD][y * grid->width + x] = inwardness(work, x, y);
}

static bc_status set_barrier(prior_work *work, bc_context *context) {
  float *barrier = work->plane[BARRIER], most = 1e-6f;
  const cutout_grid *grid = &work->scene->grid;
  const bc_status status = cutout_barrier(barrier, context, grid, work->scene->fixed);
  for (size_t i = 0; i < grid->count; i++) most = fmaxf(most, barrier[i]);
  for (size_t i = 0; i < grid->count; i++) {
    work->plane[FELT_BARRIER][i] = barrier[i] / (barrier[i] + felt);
    barrier[i] /= most;
  }
  return status;
}

static void combine(const prior_work *work) {
  const float *weights = work->has_box ? weight_box : weight_automatic;
  for (size_t i = 0; i < work->scene->grid.count; i++) {
    float sum = weights[EVIDENCE];
    for (int k = 0; k < EVIDENCE; k++) sum += weights[k] * work->plane[k][i];
    work->scene->prior[i] = work->scene->fixed[i] == CUTOUT_IS_BACKGROUND ? 0 : 1 / (1 + expf(-sum));
  }
}

static bool allocate(prior_work *work) {
  const size_t count = work->scene->grid.count, room = cutout_scene_room(work->scene);
  bool ready = (work->frame = bc_allocate(count, sizeof(float))) != NULL;
  for (int k = 0; k < EVIDENCE; k++) ready = (work->plane[k] = bc_allocate(count, sizeof(float))) != NULL && ready;
  for (int k = 0; k < 6; k++) ready = (work->sums[k] = bc_allocate(room, sizeof(float))) != NULL && ready;
  return ready;
}

static bc_status weigh(prior_work *work, bc_context *context) {
  if (!allocate(work)) return bc_fail_memory(context);
  set_inward(work);
  set_frame(work);
  const bc_status status = set_barrier(work, context);
  if (status != BC_OK) return status;
  compare(work, &work->scene->colour, COLOUR_STRANGE, COLOUR_INWARD, COLOUR_SPREAD);
  compare(work, &work->scene->texture, TEXTURE_STRANGE, TEXTURE_INWARD, TEXTURE_SPREAD);
  combine(work);
  return BC_OK;
}

static void give_signs(float (*signs)[CUTOUT_PRIOR_SIGNS], const prior_work *work) {
  for (size_t i = 0; i < work->scene->grid.count; i++)
    for (int k = 0; k < EVIDENCE; k++) signs[i][k] = work->plane[k][i];
}

static bc_status find_prior(float (*signs)[CUTOUT_PRIOR_SIGNS], cutout_scene *scene, bc_context *context,
                            const double *box) {
  prior_work work = {.scene = scene, .width = scene->grid.width, .height = scene->grid.height, .has_box = box != NULL};
  if (box) {
    work.left = box[0];
    work.top = box[1];
    work.width = box[2];
    work.height = box[3];
  }
  const bc_status status = weigh(&work, context);
  if (status == BC_OK && signs) give_signs(signs, &work);
  free(work.frame);
  for (int k = 0; k < EVIDENCE; k++) free(work.plane[k]);
  for (int k = 0; k < 6; k++) free(work.sums[k]);
  return status;
}

bc_status cutout_prior(cutout_scene *scene, bc_context *context, const double *box) {
  return find_prior(NULL, scene, context, box);
}

bc_status cutout_prior_signs(float (*signs)[CUTOUT_PRIOR_SIGNS], cutout_scene *scene, bc_context *context) {
  return find_prior(signs, scene, context, NULL);
}

void cutout_fix_box(cutout_scene *scene, const double box[4]) {
  const cutout_grid *grid = &scene->grid;
  for (int y = 0; y < grid->height; y++)
    for (int x = 0; x < grid->width; x++) { /* a cell that the box only touches stays open */
      const bool outside = x + 1 <= box[0] || x >= box[0] + box[2] || y + 1 <= box[1] || y >= box[1] + box[3];
      if (outside) scene->fixed[y * grid->width + x] = CUTOUT_IS_BACKGROUND;
    }
}
