/* SPDX-License-Identifier: MIT */
/* How far a finished answer can be trusted: signs of a good answer, and the overlap with the truth that they let
 * expect. Follows band.c. */
#include "confidence.h"
#include "base/base.h"
#include "grid_answer.h"

#include <math.h>
#include <stdlib.h>

const char *const cutout_sign_name[CUTOUT_SIGNS] = {
    [CUTOUT_ONE] = "one",   [CUTOUT_UNANIMITY] = "unanimity", [CUTOUT_DOUBT] = "doubt", [CUTOUT_WEAK] = "weak",
    [CUTOUT_MAIN] = "main", [CUTOUT_TIGHTNESS] = "tightness", [CUTOUT_GUESS] = "guess",
};

/* Fitted on finished answers for photos and composites of which the truth is known, automatic and boxed apart;
 * docs/method/cutout.md says how, and what was found on folders left out. */
const double cutout_sign_weight[2][CUTOUT_SIGNS] = {
    {[CUTOUT_ONE] = 0.161,
     [CUTOUT_UNANIMITY] = 0.308,
     [CUTOUT_DOUBT] = -0.257,
     [CUTOUT_WEAK] = -0.627,
     [CUTOUT_MAIN] = 0.506},
    {[CUTOUT_ONE] = 0.771, [CUTOUT_DOUBT] = -0.756, [CUTOUT_TIGHTNESS] = 0.241},
};

static const double weak_difference = 6; /* CIELAB: less than this across the outline is hard to see; our choice */
static const int across = 2;             /* pixels from the outline, to both sides, as photos are seldom sharper */

void cutout_answer_cells(uint8_t *cells, const cutout_grid *grid, const bc_image *image, const uint8_t *pixels) {
  const int64_t twice_across = 2 * (int64_t)grid->width, twice_down = 2 * (int64_t)grid->height;
  for (int64_t y = 0; y < grid->height; y++) {
    const uint8_t *row = pixels + (2 * y + 1) * image->height / twice_down * image->width;
    for (int64_t x = 0; x < grid->width; x++)
      cells[y * grid->width + x] = row[(2 * x + 1) * image->width / twice_across];
  }
}

/* Cells whose colour the mixtures would rather see on the other side, for each cell of the piece. */
static double doubt(const cutout_scene *scene, const cutout_mixture of[2], float *const cost[2]) {
  const cutout_grid *g = &scene->grid;
  size_t against = 0, area = 0;
  if (of[0].count == 0 || of[1].count == 0) return 1;
  for (int k = 0; k < 2; k++) cutout_mixture_costs(&of[k], g->lab[0], g->lab[1], g->lab[2], g->count, cost[k]);
  for (size_t i = 0; i < g->count; i++) {
    area += scene->piece[i];
    against += scene->fixed[i] == CUTOUT_OPEN && (cost[0][i] > cost[1][i]) != scene->piece[i];
  }
  return against < area ? (double)against / (double)area : 1;
}

static double agreement(const cutout_scene *scene) {
  double lesser = 0, larger = 1e-9;
  if (!scene->word) return 1;
  for (size_t i = 0; i < scene->grid.count; i++) {
    const double guess = fmax((double)scene->prior[i] - 0.02, 0) / 0.96, answer = scene->piece[i];
    lesser += fmin(guess, answer);
    larger += fmax(guess, answer);
  }
  return lesser / larger;
}

static double squared_difference(const bc_image *image, ptrdiff_t first, ptrdiff_t second) {
  const double L = (double)(image->L[first] - image->L[second]), a = (double)(image->a[first] - image->a[second]),
               b = (double)(image->b[first] - image->b[second]);
  return L * L + a * a + b * b;
}

/* Share of the outline with hardly any difference across it; of every second row. */
static double weak_share(const bc_image *image, const uint8_t *pixels) {
  size_t weak = 0, all = 0;
  for (int y = across; y + across + 1 < image->height; y += 2)
    for (int x = across; x + across + 1 < image->width; x++) {
      const ptrdiff_t i = (ptrdiff_t)y * image->width + x;
      for (int k = 0; k < 2; k++) {
        const ptrdiff_t step = k ? image->width : 1;
        if (pixels[i] == pixels[i + step]) continue;
        const double squared = squared_difference(image, i - across * step, i + (across + 1) * step);
        weak += squared < weak_difference * weak_difference;
        all++;
      }
    }
  return all ? (double)weak / (double)all : 0;
}

/* Share of the largest connected part. */
static bc_status main_share(double *share, bc_context *context, const cutout_scene *scene) {
  cutout_regions regions;
  const bc_status status = cutout_regions_new(&regions, context, scene->piece, scene->grid.width, scene->grid.height);
  if (status != BC_OK) return status;
  int largest = 0, all = 0;
  for (size_t i = 0; i < regions.count; i++) {
    if (!regions.part[i].piece) continue;
    all += regions.part[i].area;
    if (regions.part[i].area > largest) largest = regions.part[i].area;
  }
  *share = all > 0 ? (double)largest / all : 0;
  cutout_regions_clear(&regions);
  return status;
}

/* `finished` has the answer on the grid as its piece. */
static bc_status measure(double sign[CUTOUT_SIGNS], bc_context *context, const cutout_scene *finished,
                         const bc_image *image, const uint8_t *pixels, const cutout_mixture of_pixels[2]) {
  const size_t count = finished->grid.count;
  float *costs = bc_allocate(2 * count, sizeof *costs);
  if (!costs) return bc_fail_memory(context);
  float *const cost[2] = {costs, costs + count};
  sign[CUTOUT_ONE] = 1;
  sign[CUTOUT_UNANIMITY] = finished->unanimity;
  sign[CUTOUT_DOUBT] = doubt(finished, of_pixels, cost);
  sign[CUTOUT_GUESS] = agreement(finished);
  sign[CUTOUT_WEAK] = weak_share(image, pixels);
  sign[CUTOUT_TIGHTNESS] = cutout_tightness(finished);
  free(costs);
  return main_share(&sign[CUTOUT_MAIN], context, finished);
}

bc_status cutout_signs(double sign[CUTOUT_SIGNS], bc_context *context, const cutout_scene *scene, const bc_image *image,
                       const uint8_t *pixels, const cutout_mixture of_pixels[2]) {
  uint8_t *cells = bc_allocate(scene->grid.count, 1);
  if (!cells) return bc_fail_memory(context);
  cutout_scene finished = *scene; /* borrows all but the answer */
  finished.piece = cells;
  cutout_answer_cells(cells, &scene->grid, image, pixels);
  const bc_status status = measure(sign, context, &finished, image, pixels, of_pixels);
  free(cells);
  return status;
}

double cutout_confidence(const double sign[CUTOUT_SIGNS], bool in_box) {
  double expected = 0;
  for (int k = 0; k < CUTOUT_SIGNS; k++) expected += cutout_sign_weight[in_box][k] * sign[k];
  return fmin(fmax(expected, 0), 1);
}
