/* SPDX-License-Identifier: MIT */
/* The picture reduced to a grid of cells by area means: what is decided on a large scale is decided
 * on few numbers. */
#include "grid.h"
#include "base/base.h"

#include <stdlib.h>
#include <string.h>

const int cutout_step_x[CUTOUT_DIRECTIONS] = {1, -1, 0, 0, 1, -1, 1, -1};
const int cutout_step_y[CUTOUT_DIRECTIONS] = {0, 0, 1, -1, 1, -1, -1, 1};

static int scaled_side(int side, int longest, int wanted) {
  if (longest <= wanted) return side;
  const int64_t scaled = ((int64_t)side * wanted + longest / 2) / longest;
  return scaled < 1 ? 1 : (int)scaled;
}

static void set_size(cutout_grid *grid, const bc_image *image, int side) {
  const int longest = image->width > image->height ? image->width : image->height;
  *grid = (cutout_grid){.width = scaled_side(image->width, longest, side),
                        .height = scaled_side(image->height, longest, side)};
  grid->count = (size_t)grid->width * (size_t)grid->height;
}

/* One row of cells of one plane: columns are summed down first, so that the inner loop runs along rows. */
static void reduce_row(float *cells, const cutout_grid *grid, const float *plane, const bc_image *image, int row,
                       float *sums) {
  const int width = grid->width, image_width = image->width;
  const int top = cutout_cell_edge(row, grid->height, image->height),
            bottom = cutout_cell_edge(row + 1, grid->height, image->height);
  const float *line = plane + (size_t)top * (size_t)image_width;
  for (int x = 0; x < image_width; x++) sums[x] = line[x];
  for (int y = top + 1; y < bottom; y++) {
    line += image_width;
    for (int x = 0; x < image_width; x++) sums[x] += line[x];
  }
  for (int x = 0; x < width; x++) {
    const int left = cutout_cell_edge(x, width, image_width), right = cutout_cell_edge(x + 1, width, image_width);
    float sum = 0;
    for (int i = left; i < right; i++) sum += sums[i];
    cells[x] = sum / (float)((right - left) * (bottom - top));
  }
}

static void reduce_plane(float *cells, const cutout_grid *grid, const float *plane, const bc_image *image,
                         float *sums) {
  for (int y = 0; y < grid->height; y++)
    reduce_row(cells + (size_t)y * (size_t)grid->width, grid, plane, image, y, sums);
}

/* One side of a picture: its pixels, and the cells of two grids along it. */
typedef struct side_of {
  int pixels, fine, coarse;
} side_of;

/* Adds the fine cells under a coarse one, each times the pixels that they share; returns the pixels of the coarse one.
 * What lies `step` apart in `from` are `length` numbers that go the same way. */
static int add_shared(float *to, const float *from, side_of side, int at, int length, int step) {
  const int left = cutout_cell_edge(at, side.coarse, side.pixels),
            right = cutout_cell_edge(at + 1, side.coarse, side.pixels);
  for (int i = at * side.fine / side.coarse; i < side.fine; i++) {
    const int first = cutout_cell_edge(i, side.fine, side.pixels),
              last = cutout_cell_edge(i + 1, side.fine, side.pixels);
    if (first >= right) break;
    const float shared = (float)((last < right ? last : right) - (first > left ? first : left));
    for (int k = 0; k < length; k++) to[k] += shared * from[(ptrdiff_t)i * step + k];
  }
  return right - left;
}

static void coarsen_plane(float *cells, const float *plane, side_of across, side_of down, float *sums) {
  for (int y = 0; y < down.coarse; y++, cells += across.coarse) {
    memset(sums, 0, (size_t)across.fine * sizeof *sums);
    const int rows = add_shared(sums, plane, down, y, across.fine, across.fine);
    for (int x = 0; x < across.coarse; x++) {
      cells[x] = 0;
      const int columns = add_shared(&cells[x], sums, across, x, 1, 1);
      cells[x] /= (float)(columns * rows);
    }
  }
}

bc_status cutout_grid_coarser(cutout_grid *grid, bc_context *context, const cutout_grid *fine, const bc_image *image,
                              int side) {
  set_size(grid, image, side);
  const side_of across = {image->width, fine->width, grid->width}, down = {image->height, fine->height, grid->height};
  float *sums = bc_allocate((size_t)fine->width, sizeof *sums);
  for (int i = 0; i < 3; i++) {
    grid->lab[i] = bc_allocate(grid->count, sizeof *grid->lab[i]);
    if (sums && grid->lab[i]) coarsen_plane(grid->lab[i], fine->lab[i], across, down, sums);
  }
  free(sums);
  if (sums && grid->lab[0] && grid->lab[1] && grid->lab[2]) return BC_OK;
  cutout_grid_clear(grid);
  return bc_fail_memory(context);
}

bc_status cutout_grid_new(cutout_grid *grid, bc_context *context, const bc_image *image, int side) {
  set_size(grid, image, side);
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

bc_status cutout_grid_reduce(float *cells, bc_context *context, const cutout_grid *grid, const float *plane,
                             const bc_image *image) {
  float *sums = bc_allocate((size_t)image->width, sizeof *sums);
  if (!sums) return bc_fail_memory(context);
  reduce_plane(cells, grid, plane, image, sums);
  free(sums);
  return BC_OK;
}

void cutout_grid_clear(cutout_grid *grid) {
  for (int i = 0; i < 3; i++) free(grid->lab[i]);
  *grid = (cutout_grid){0};
}

void cutout_grid_mark(uint8_t *cells, const cutout_grid *grid, int x, int y, int reach) {
  const int left = x > reach ? x - reach : 0, right = x + reach < grid->width ? x + reach : grid->width - 1;
  for (int row = y > reach ? y - reach : 0; row <= y + reach && row < grid->height; row++)
    memset(cells + (ptrdiff_t)row * grid->width + left, 1, (size_t)right - (size_t)left + 1);
}
