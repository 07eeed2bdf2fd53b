/* SPDX-License-Identifier: MIT */
/* The picture reduced to a grid of cells: grid.c. Rasters are in row order, the top row first; `count` is always
 * width x height. */
#ifndef BC_CUTOUT_GRID_H
#define BC_CUTOUT_GRID_H

#include <backcloth/cutout.h>

typedef struct cutout_grid {
  int width, height;
  size_t count;
  float *lab[3]; /* cell means of L, a, b */
} cutout_grid;
/* Cell x covers the image columns [x W / width, (x+1) W / width), rows likewise. */
static inline int cutout_cell_edge(int cell, int cells, int pixels) {
  return (int)((int64_t)cell * pixels / cells);
}
bc_status cutout_grid_new(cutout_grid *grid, bc_context *context, const bc_image *image, int side);
/* The same from a finer grid of the image: exactly where no fine cell lies in two coarse ones, or else nearly. */
bc_status cutout_grid_coarser(cutout_grid *grid, bc_context *context, const cutout_grid *fine, const bc_image *image,
                              int side);
/* The means of any plane of the image over the cells. */
bc_status cutout_grid_reduce(float *cells, bc_context *context, const cutout_grid *grid, const float *plane,
                             const bc_image *image);
void cutout_grid_clear(cutout_grid *grid);
/* Sets to 1 the cells within `reach` of (x, y), a square, as far as the grid goes. */
void cutout_grid_mark(uint8_t *cells, const cutout_grid *grid, int x, int y, int reach);

/* Directions: 2k and 2k+1 are opposite. */
enum { CUTOUT_DIRECTIONS = 8 };
extern const int cutout_step_x[CUTOUT_DIRECTIONS], cutout_step_y[CUTOUT_DIRECTIONS];

#endif
