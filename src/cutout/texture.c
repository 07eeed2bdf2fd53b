/* SPDX-License-Identifier: MIT */
/* Texture in its simplest form: how light a small window is, and how much lightness and colour vary
 * in it. Tells a patterned cloth from a plain piece where single colours cannot. */
#include "cutout_internal.h"

#include <math.h>
#include <stdlib.h>

enum { reach = 3 };                 /* cells each way */
static const float spread_cell = 4; /* stretches 1 unit of spread to the 4 units of a colour cell */

/* Sums over a window of 2 reach + 1, along a line of `count` values that are `step` apart; the window
 * is clipped at the ends, so the caller divides by the sum of ones. */
static void window_sums(float *to, const float *from, int count, int step) {
  float sum = 0;
  for (int i = 0; i < reach && i < count; i++) sum += from[i * step];
  for (int i = 0; i < count; i++) {
    if (i + reach < count) sum += from[(i + reach) * step];
    if (i - reach - 1 >= 0) sum -= from[(i - reach - 1) * step];
    to[i * step] = sum;
  }
}

static int window_length(int at, int count) {
  const int first = at > reach ? at - reach : 0, last = at + reach < count ? at + reach : count - 1;
  return last - first + 1;
}

static void window_means(float *values, const cutout_grid *grid, float *work) {
  for (int y = 0; y < grid->height; y++) window_sums(work + y * grid->width, values + y * grid->width, grid->width, 1);
  for (int x = 0; x < grid->width; x++) window_sums(values + x, work + x, grid->height, grid->width);
  for (int y = 0; y < grid->height; y++)
    for (int x = 0; x < grid->width; x++)
      values[y * grid->width + x] /= (float)(window_length(x, grid->width) * window_length(y, grid->height));
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
    cells[i] = cutout_colour_cell(planes[0][i], spread_cell * lightness - 88, spread_cell * colour - 88);
  }
}

bc_status cutout_texture_cells(int32_t **out, bc_context *context, const cutout_grid *grid) {
  float *planes[6] = {0};
  bool ready = (*out = bc_allocate(grid->count, sizeof **out)) != NULL;
  for (int i = 0; i < 6; i++) ready = (planes[i] = bc_allocate(grid->count, sizeof *planes[i])) != NULL && ready;
  if (ready) fill(*out, planes, grid);
  for (int i = 0; i < 6; i++) free(planes[i]);
  if (ready) return BC_OK;
  free(*out);
  *out = NULL;
  return bc_fail_memory(context);
}
