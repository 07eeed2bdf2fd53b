/* SPDX-License-Identifier: MIT */
/* The picture reduced to a grid of cells by area means: what is decided on a large scale is decided
 * on few numbers. */
#include "cutout_internal.h"

#include <stdlib.h>
#include <string.h>

static int scaled_side(int side, int longest, int wanted) {
  if (longest <= wanted) return side;
  const int64_t scaled = ((int64_t)side * wanted + longest / 2) / longest;
  return scaled < 1 ? 1 : (int)scaled;
}

/* One row of cells of one plane: columns are summed down first, so that the inner loop runs along rows. */
static void reduce_row(float *cells, int width, const float *plane, int image_width, int top, int bottom, float *sums) {
  const float *line = plane + (size_t)top * (size_t)image_width;
  for (int x = 0; x < image_width; x++) sums[x] = line[x];
  for (int y = top + 1; y < bottom; y++) {
    line += image_width;
    for (int x = 0; x < image_width; x++) sums[x] += line[x];
  }
  for (int x = 0; x < width; x++) {
    const int left = (int)((int64_t)x * image_width / width), right = (int)((int64_t)(x + 1) * image_width / width);
    float sum = 0;
    for (int i = left; i < right; i++) sum += sums[i];
    cells[x] = sum / (float)((right - left) * (bottom - top));
  }
}

static void reduce_plane(float *cells, const cutout_grid *grid, const float *plane, const bc_image *image,
                         float *sums) {
  for (int y = 0; y < grid->height; y++) {
    const int top = (int)((int64_t)y * image->height / grid->height);
    const int bottom = (int)((int64_t)(y + 1) * image->height / grid->height);
    reduce_row(cells + (size_t)y * (size_t)grid->width, grid->width, plane, image->width, top, bottom, sums);
  }
}

bc_status cutout_grid_new(cutout_grid *grid, bc_context *context, const bc_image *image, int side) {
  const int longest = image->width > image->height ? image->width : image->height;
  *grid = (cutout_grid){.width = scaled_side(image->width, longest, side),
                        .height = scaled_side(image->height, longest, side)};
  grid->count = (size_t)grid->width * (size_t)grid->height;
  const float *const planes[3] = {image->L, image->a, image->b};
  float *sums = bc_allocate((size_t)image->width, sizeof *sums);
  for (int i = 0; i < 3; i++) {
    grid->lab[i] = bc_allocate(grid->count, sizeof *grid->lab[i]);
    if (sums && grid->lab[i]) reduce_plane(grid->lab[i], grid, planes[i], image, sums);
  }
  free(sums);
  if (sums && grid->lab[0] && grid->lab[1] && grid->lab[2]) return BC_OK;
  cutout_grid_clear(grid);
  return bc_fail_memory(context);
}

void cutout_grid_clear(cutout_grid *grid) {
  for (int i = 0; i < 3; i++) free(grid->lab[i]);
  *grid = (cutout_grid){0};
}

void cutout_grid_mark(uint8_t *cells, const cutout_grid *grid, int x, int y, int reach) {
  const int left = x > reach ? x - reach : 0, right = x + reach < grid->width ? x + reach : grid->width - 1;
  for (int row = y > reach ? y - reach : 0; row <= y + reach && row < grid->height; row++)
    memset(cells + row * grid->width + left, 1, (size_t)(right - left + 1));
}
