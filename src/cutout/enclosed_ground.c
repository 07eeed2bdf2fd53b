/* SPDX-License-Identifier: MIT */
/* In a box drawn tight, an answer that had to be claimed boldly may hold ground that the piece only encloses: inside a
 * chain, under a cuff. Such a part looks like what lies outside the box, ends at clear edges, and can be left
 * out while the piece still fills the box. Follows suppose.c; asked again after refine.c, for mixtures that have
 * learned such ground as a colour of the piece (a thin ring), then only of what the answer before
 * had open and the piece encloses. Our own rule. */
#include "base/base.h"
#include "grid_answer.h"

#include <stdlib.h>
#include <string.h>

static const float like_outside = 0.5f; /* of how common a colour is in the box, at least so common outside */
static const double least_share = 0.01; /* of the answer: smaller gaps are left to the minimum cut */
static const double clear_edge = 0.85;  /* support of the gap's border with the rest of the piece */
static const double most_lost = 0.06;   /* of tightness */
/* A chain's edges fade in cells that it fills in part. Where most of an answer is ground, less has to be seen of them.
 */
static const double most_of_answer = 0.5, faint_edge = 0.6, most_lost_faintly = 0.01;
static const float guessed = 1;      /* nats for the piece by a first guess: no ground */
static const double enclosed = 0.98; /* share of a part's border that is the piece */
static const double leak = 0.08;     /* less, for a part that is the whole answer: what is round it is thin */

typedef struct gap {
  double saved, full;        /* along the border with the rest of the piece */
  size_t inner_sides, sides; /* of its cells: those that touch the rest of the piece, and all that touch other cells */
} gap;

/* 1 where the answer is piece, and `given` was not, and its colour is as common outside the box as inside. */
static void find_ground(uint8_t *ground, cutout_scene *scene, const uint8_t *given) {
  float *outside = scene->model[1], *inside = scene->model[0];
  for (size_t i = 0; i < scene->grid.count; i++) scene->weight[i] = scene->fixed[i] == CUTOUT_IS_BACKGROUND ? 0 : 1;
  cutout_density(outside, &scene->colour, scene->weight, true, scene->work);
  cutout_density(inside, &scene->colour, scene->weight, false, scene->work);
  cutout_add_shadows(outside, &scene->colour);
  for (size_t i = 0; i < scene->grid.count; i++)
    ground[i] = scene->piece[i] && !(given && given[i]) &&
                outside[scene->colour.cells[i]] > like_outside * inside[scene->colour.cells[i]] &&
                !(scene->marked && scene->marked[i]) && cutout_scene_word(scene, i) < guessed;
}

static void measure_borders(gap *gaps, const cutout_scene *scene, const cutout_regions *regions) {
  const cutout_grid *grid = &scene->grid;
  for (int k = 0; k < 4; k++) {
    const int dx = cutout_step_x[k + k], dy = cutout_step_y[k + k], step = dy * grid->width + dx;
    const double most = (double)cutout_full_edge(k);
    for (int y = 0; y < grid->height; y++)
      for (int x = 0; x < grid->width; x++) {
        if (x + dx < 0 || y + dy < 0 || x + dx >= grid->width || y + dy >= grid->height) continue;
        const int i = y * grid->width + x, other = i + step;
        const int32_t a = regions->label[i], b = regions->label[other];
        if (regions->part[a].piece == regions->part[b].piece || !scene->piece[i] || !scene->piece[other]) continue;
        gap *of = &gaps[regions->part[a].piece ? a : b];
        of->full += most;
        of->saved += most - (double)scene->edge[k][i];
      }
  }
}

/* Whose sides touch what; corners do not count, as a thin ring's cells may touch by corners. The picture's frame counts
 * as other cells. */
static void count_sides(gap *gaps, const cutout_scene *scene, const cutout_regions *regions) {
  const cutout_grid *grid = &scene->grid;
  for (int y = 0; y < grid->height; y++)
    for (int x = 0; x < grid->width; x++) {
      const int32_t own = regions->label[y * grid->width + x];
      for (int k = 0; k < CUTOUT_DIRECTIONS; k++) {
        const int to_x = x + cutout_step_x[k], to_y = y + cutout_step_y[k];
        const bool inside = to_x >= 0 && to_y >= 0 && to_x < grid->width && to_y < grid->height;
        if (cutout_step_x[k] * cutout_step_y[k] != 0 || (inside && regions->label[to_y * grid->width + to_x] == own))
          continue;
        gaps[own].sides++;
        gaps[own].inner_sides += inside && scene->piece[to_y * grid->width + to_x];
      }
    }
}

static void flip(cutout_scene *scene, const cutout_regions *regions, int32_t label, uint8_t to) {
  for (size_t i = 0; i < scene->grid.count; i++)
    if (regions->label[i] == label) scene->piece[i] = to;
}

static void open_gaps(cutout_scene *scene, const cutout_regions *regions, const gap *gaps, const uint8_t *given) {
  double area = 0;
  for (size_t i = 0; i < scene->grid.count; i++) area += scene->piece[i];
  for (size_t p = 0; p < regions->count; p++) {
    const cutout_part *part = &regions->part[p];
    const bool clear = gaps[p].saved >= clear_edge * gaps[p].full;
    const bool faint = gaps[p].saved >= faint_edge * gaps[p].full && part->area >= most_of_answer * area;
    if (!part->piece || part->area < least_share * area || !(clear || faint)) continue;
    const double inner = (double)gaps[p].inner_sides / (double)(gaps[p].sides ? gaps[p].sides : 1);
    if (given && inner < enclosed - leak * part->area / area) continue;
    const double before = cutout_tightness(scene);
    flip(scene, regions, (int32_t)p, 0);
    if (cutout_tightness(scene) < before - (clear ? most_lost : most_lost_faintly)) flip(scene, regions, (int32_t)p, 1);
  }
}

bc_status cutout_gaps_open(cutout_scene *scene, bc_context *context, const uint8_t *given) {
  uint8_t *ground = bc_allocate(scene->grid.count, 1);
  cutout_regions regions = {0};
  if (!ground) return bc_fail_memory(context);
  find_ground(ground, scene, given);
  bc_status status = cutout_regions_new(&regions, context, ground, scene->grid.width, scene->grid.height);
  gap *gaps = status == BC_OK ? bc_allocate(regions.count, sizeof *gaps) : NULL;
  if (gaps) {
    measure_borders(gaps, scene, &regions);
    count_sides(gaps, scene, &regions);
    open_gaps(scene, &regions, gaps, given);
  } else if (status == BC_OK) {
    status = bc_fail_memory(context);
  }
  cutout_regions_clear(&regions);
  free(gaps);
  free(ground);
  return status;
}
