/* SPDX-License-Identifier: MIT */
/* Colour models: smoothed histograms over CIELAB (Parzen windows on a grid), one for the piece and
 * one for the background. Made and asked in a fraction of the time of mixtures of Gaussians. */
#include "base/vectors.h"
#include "cutout_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const float cell_L = 5, cell_ab = 4;

static int clamp_cell(float value, int most) {
  return value < 2 ? 2 : value > (float)(most - 3) ? most - 3 : (int)value;
}

int cutout_colour_cell(float L, float a, float b) {
  const int i = clamp_cell(L / cell_L + 2, CUTOUT_CELLS_L);
  const int j = clamp_cell(a / cell_ab + CUTOUT_CELLS_AB / 2, CUTOUT_CELLS_AB);
  const int k = clamp_cell(b / cell_ab + CUTOUT_CELLS_AB / 2, CUTOUT_CELLS_AB);
  return (i * CUTOUT_CELLS_AB + j) * CUTOUT_CELLS_AB + k;
}

bool cutout_colour_cells(int32_t **out, const float *const lab[3], size_t count) {
  int32_t *cells = bc_allocate(count, sizeof *cells);
  *out = cells;
  if (!cells) return false;
  for (size_t i = 0; i < count; i++) cells[i] = cutout_colour_cell(lab[0][i], lab[1][i], lab[2][i]);
  return true;
}

/* The binomial 1 4 6 4 1 along one axis whose neighbours are `step` apart. The two outermost cells of
 * every axis are never filled, so the ends may be skipped. */
BC_WIDER_VECTORS
static void blur_axis(float *restrict to, const float *restrict from, int step) {
  const int margin = 2 * step;
  memset(to, 0, (size_t)margin * sizeof *to);
  memset(to + CUTOUT_CELLS - margin, 0, (size_t)margin * sizeof *to);
  for (int i = margin; i < CUTOUT_CELLS - margin; i++)
    to[i] = 0.375f * from[i] + 0.25f * (from[i - step] + from[i + step]) +
            0.0625f * (from[i - 2 * step] + from[i + 2 * step]);
}

static void blur(float *density, float *scratch) {
  blur_axis(scratch, density, 1);
  blur_axis(density, scratch, CUTOUT_CELLS_AB);
  blur_axis(scratch, density, CUTOUT_CELLS_AB * CUTOUT_CELLS_AB);
  memcpy(density, scratch, CUTOUT_CELLS * sizeof *density);
}

void cutout_cell_sums(float *sums, const int32_t *cells, const float *values, size_t count, float *scratch) {
  memset(sums, 0, CUTOUT_CELLS * sizeof *sums);
  for (size_t i = 0; i < count; i++) sums[cells[i]] += values ? values[i] : 1;
  blur(sums, scratch);
}

BC_WIDER_VECTORS
static void multiply(float *density, float by) {
  for (int i = 0; i < CUTOUT_CELLS; i++) density[i] *= by;
}

void cutout_density(float *density, const int32_t *cells, const float *weight, bool inverse, size_t count,
                    float *scratch) {
  memset(density, 0, CUTOUT_CELLS * sizeof *density);
  double total = 0;
  for (size_t i = 0; i < count; i++) {
    const float w = inverse ? 1 - weight[i] : weight[i];
    density[cells[i]] += w;
    total += (double)w;
  }
  blur(density, scratch);
  multiply(density, total > 0 ? (float)(1 / total) : 0);
}

void cutout_add_shadows(float *density) {
  const int step = CUTOUT_CELLS_AB * CUTOUT_CELLS_AB;
  const float keep = 0.6f; /* of its likelihood, for each cell darker; our choice, measured */
  for (int i = CUTOUT_CELLS - step - 1; i >= 0; i--) {
    const float shaded = keep * density[i + step];
    if (shaded > density[i]) density[i] = shaded;
  }
}
