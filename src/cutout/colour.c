/* SPDX-License-Identifier: MIT */
/* Colour models: smoothed histograms over CIELAB (Parzen windows on a grid), one for the piece and
 * one for the background. Made and asked in a fraction of the time of mixtures of Gaussians. */
#include "base/base.h"
#include "base/vectors.h"
#include "models.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { cells_L = 24, cells_ab = 48, bits = 6, digit = (1 << bits) - 1 };
static const float cell_L = 5, cell_ab = 4;

static int clamp_cell(float value, int most) {
  return value < 2 ? 2 : value > (float)(most - 3) ? most - 3 : (int)value;
}

int32_t cutout_colour_place(float L, float a, float b) {
  enum { half_ab = cells_ab / 2 };
  const int i = clamp_cell(L / cell_L + 2, cells_L);
  const int j = clamp_cell(a / cell_ab + half_ab, cells_ab);
  const int k = clamp_cell(b / cell_ab + half_ab, cells_ab);
  return (i << bits | j) << bits | k;
}

/* ---- the palette: room for the colours that a picture has, and no others ---- */

/* The least and the most of one digit of all places. */
BC_WIDER_VECTORS
static void find_range(int range[2], const int32_t *places, size_t count, int shift) {
  int least = digit, most = 0;
  for (size_t i = 0; i < count; i++) {
    const int at = places[i] >> shift & digit;
    least = at < least ? at : least;
    most = at > most ? at : most;
  }
  range[0] = least;
  range[1] = most;
}

/* Two empty cells end every row and two empty rows every plane, so that a blur, which reaches two cells far, takes
 * nothing from the row or plane beside. Below are two empty planes. Above are four, for shadows fall also from the two
 * planes that a blur fills there; but none lies above white. */
void cutout_palette_fit(cutout_palette *palette) {
  int L[2], a[2], b[2];
  find_range(L, palette->cells, palette->pixels, 2 * bits);
  find_range(a, palette->cells, palette->pixels, bits);
  find_range(b, palette->cells, palette->pixels, 0);
  const int above = cells_L - 1 - L[1] < 4 ? cells_L - 1 - L[1] : 4;
  palette->row = b[1] - b[0] + 1 + 2;
  palette->plane = (a[1] - a[0] + 1 + 2) * palette->row;
  palette->count = (2 + L[1] - L[0] + 1 + above) * palette->plane;
  const int first = (L[0] - 2) * palette->plane + a[0] * palette->row + b[0];
  for (size_t i = 0; i < palette->pixels; i++) {
    const int32_t place = palette->cells[i];
    palette->cells[i] =
        (place >> 2 * bits) * palette->plane + (place >> bits & digit) * palette->row + (place & digit) - first;
  }
}

bool cutout_colour_palette(cutout_palette *palette, const cutout_grid *grid) {
  *palette = (cutout_palette){.pixels = grid->count, .cells = bc_allocate(grid->count, sizeof *palette->cells)};
  if (!palette->cells) return false;
  for (size_t i = 0; i < grid->count; i++)
    palette->cells[i] = cutout_colour_place(grid->lab[0][i], grid->lab[1][i], grid->lab[2][i]);
  cutout_palette_fit(palette);
  return true;
}

/* ---- histograms ---- */

/* The binomial 1 4 6 4 1 along one axis whose neighbours are `step` apart. The two outermost planes are never filled,
 * so the ends may be skipped. */
BC_WIDER_VECTORS
static void blur_axis(float *restrict to, const float *restrict from, int count, int step) {
  const int margin = 2 * step;
  memset(to, 0, (size_t)margin * sizeof *to);
  memset(to + count - margin, 0, (size_t)margin * sizeof *to);
  for (int i = margin; i < count - margin; i++)
    to[i] = 0.375f * from[i] + 0.25f * (from[i - step] + from[i + step]) +
            0.0625f * (from[i - 2 * step] + from[i + 2 * step]);
}

static void blur(float *to, float *from, const cutout_palette *palette) {
  blur_axis(to, from, palette->count, 1);
  blur_axis(from, to, palette->count, palette->row);
  blur_axis(to, from, palette->count, palette->plane);
}

void cutout_cell_sums(float *sums, const cutout_palette *palette, const float *values, float *scratch) {
  memset(scratch, 0, (size_t)palette->count * sizeof *scratch);
  for (size_t i = 0; i < palette->pixels; i++) scratch[palette->cells[i]] += values ? values[i] : 1;
  blur(sums, scratch, palette);
}

BC_WIDER_VECTORS
static void multiply(float *density, int count, float by) {
  for (int i = 0; i < count; i++) density[i] *= by;
}

void cutout_density(float *density, const cutout_palette *palette, const float *weight, bool inverse, float *scratch) {
  memset(scratch, 0, (size_t)palette->count * sizeof *scratch);
  double total = 0;
  for (size_t i = 0; i < palette->pixels; i++) {
    const float w = inverse ? 1 - weight[i] : weight[i];
    scratch[palette->cells[i]] += w;
    total += (double)w;
  }
  blur(density, scratch, palette);
  multiply(density, palette->count, total > 0 ? (float)(1 / total) : 0);
}

void cutout_add_shadows(float *density, const cutout_palette *palette) {
  const float keep = 0.6f; /* of its likelihood, for each cell darker; our choice, measured */
  for (int i = palette->count - palette->plane - 1; i >= 0; i--) {
    const float shaded = keep * density[i + palette->plane];
    if (shaded > density[i]) density[i] = shaded;
  }
}
