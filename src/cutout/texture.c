/* SPDX-License-Identifier: MIT */
/* Texture in its simplest form: how light a small window is, and how much lightness and colour vary
 * in it. Tells a patterned cloth from a plain piece where single colours cannot. */
#include "base/base.h"
#include "models.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { reach = 3 };                 /* cells each way */
static const float spread_cell = 4; /* stretches 1 unit of spread to the 4 units of a colour cell */

/* Sums over a window of 2 reach + 1 along a row; the window is clipped at the ends, so the caller divides by the sum of
 * ones. */
static void sum_along(float *to, const float *from, int count) {
  float sum = 0;
  for (int i = 0; i < reach && i < count; i++) sum += from[i];
  for (int i = 0; i < count; i++) {
    if (i + reach < count) sum += from[i + reach];
    if (i - reach - 1 >= 0) sum -= from[i - reach - 1];
    to[i] = sum;
  }
}

static void add_row(float *restrict sums, const float *restrict row, int width) {
  for (int x = 0; x < width; x++) sums[x] += row[x];
}

static void subtract_row(float *restrict sums, const float *restrict row, int width) {
  for (int x = 0; x < width; x++) sums[x] -= row[x];
}

/* The same down the columns, all columns of a row at once. `sums` holds a row. */
static void sum_down(float *to, const float *from, const cutout_grid *grid, float *sums) {
  const int width = grid->width, height = grid->height;
  memset(sums, 0, (size_t)width * sizeof *sums);
  for (int y = 0; y < reach && y < height; y++) add_row(sums, from + (ptrdiff_t)y * width, width);
  for (int y = 0; y < height; y++) {
    if (y + reach < height) add_row(sums, from + (ptrdiff_t)(y + reach) * width, width);
    if (y - reach - 1 >= 0) subtract_row(sums, from + (ptrdiff_t)(y - reach - 1) * width, width);
    memcpy(to + (ptrdiff_t)y * width, sums, (size_t)width * sizeof *sums);
  }
}

static int window_length(int at, int count) {
  const int first = at > reach ? at - reach : 0, last = at + reach < count ? at + reach : count - 1;
  return last - first + 1;
}

/* `work` holds a plane and a row. */
static void window_means(float *values, const cutout_grid *grid, float *work) {
  for (int y = 0; y < grid->height; y++) {
    const ptrdiff_t row = (ptrdiff_t)y * grid->width;
    sum_along(work + row, values + row, grid->width);
  }
  sum_down(values, work, grid, work + grid->count);
  for (int y = 0; y < grid->height; y++) {
    const int rows = window_length(y, grid->height);
    for (int x = 0; x < grid->width; x++) values[y * grid->width + x] /= (float)(window_length(x, grid->width) * rows);
  }
}

/* The variance of one channel over the window, and its mean. */
static void channel_spread(float *mean, float *variance, const float *channel, const cutout_grid *grid, float *work) {
  for (size_t i = 0; i < grid->count; i++) {
    mean[i] = channel[i];
    variance[i] = channel[i] * channel[i];
  }
  window_means(mean, grid, work);
  window_means(variance, grid, work);
  for (size_t i = 0; i < grid->count; i++) variance[i] = fmaxf(0, variance[i] - mean[i] * mean[i]);
}

static void fill(int32_t *cells, float *const planes[6], const cutout_grid *grid) {
  channel_spread(planes[5], planes[1], grid->lab[1], grid, planes[4]);
  channel_spread(planes[5], planes[2], grid->lab[2], grid, planes[4]);
  channel_spread(planes[0], planes[3], grid->lab[0], grid, planes[4]);
  for (size_t i = 0; i < grid->count; i++) {
    const float lightness = sqrtf(planes[3][i]), colour = sqrtf(planes[1][i] + planes[2][i]);
    cells[i] = cutout_colour_place(planes[0][i], spread_cell * lightness - 88, spread_cell * colour - 88);
  }
}

bool cutout_texture_palette(cutout_palette *palette, const cutout_grid *grid) {
  *palette = (cutout_palette){.pixels = grid->count, .cells = bc_allocate(grid->count, sizeof *palette->cells)};
  float *planes[6] = {0};
  bool ready = palette->cells != NULL;
  for (int i = 0; i < 6; i++) {
    const size_t more = i == 4 ? (size_t)grid->width : 0;
    ready = (planes[i] = bc_allocate(grid->count + more, sizeof *planes[i])) != NULL && ready;
  }
  if (ready) fill(palette->cells, planes, grid);
  for (int i = 0; i < 6; i++) free(planes[i]);
  if (ready) cutout_palette_fit(palette);
  return ready;
}
