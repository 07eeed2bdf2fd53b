/* SPDX-License-Identifier: MIT */
/* What the files of the cut-out share. Everything works on small rasters in row order, top row
 * first; `count` is always width x height. */
#ifndef BC_CUTOUT_INTERNAL_H
#define BC_CUTOUT_INTERNAL_H

#include "base/base.h"
#include <backcloth/cutout.h>

/* --- cutout.c ------------------------------------------------------------------------------------ */
/* An empty cut-out of the image's size. */
bc_status cutout_new(bc_cutout **out, bc_context *context, const bc_image *image);
/* Sets the box round alpha >= 128; false when there is no such pixel. */
bool cutout_set_box(bc_cutout *cutout);

/* --- scale.c ------------------------------------------------------------------------------------- */
/* Row `y` of a mask of width x height scaled to to_width x to_height; `scratch` holds `width` floats. */
void cutout_scale_row(uint8_t *row, int to_width, int to_height, int y, const uint8_t *from, int width, int height,
                      float *scratch);

/* --- grid.c: the picture reduced to a grid of cells ------------------------------------------------ */
typedef struct cutout_grid {
  int width, height;
  size_t count;
  float *lab[3]; /* cell means of L, a, b */
} cutout_grid;
/* Cell x covers the image columns [x W / width, (x+1) W / width), rows likewise. */
bc_status cutout_grid_new(cutout_grid *grid, bc_context *context, const bc_image *image, int side);
void cutout_grid_clear(cutout_grid *grid);

/* --- flow.c: the minimum cut ------------------------------------------------------------------------ */
/* Directions: 2k and 2k+1 are opposite. */
enum { CUTOUT_DIRECTIONS = 8 };
extern const int cutout_step_x[CUTOUT_DIRECTIONS], cutout_step_y[CUTOUT_DIRECTIONS];

typedef struct cutout_node {
  int32_t capacity[CUTOUT_DIRECTIONS];  /* to the neighbour; after solving, what is left */
  int32_t neighbour[CUTOUT_DIRECTIONS]; /* -1: none */
} cutout_node;

typedef struct cutout_flow cutout_flow;
bc_status cutout_flow_new(cutout_flow **out, bc_context *context, int count);
void cutout_flow_free(cutout_flow *flow);
/* The nodes, to be filled with neighbours and capacities (both directions of each pair). */
cutout_node *cutout_flow_nodes(cutout_flow *flow);
/* Per node: > 0 pulls to the piece, < 0 to the background. Filled by the caller, used up by solving. */
int32_t *cutout_flow_terminals(cutout_flow *flow);
/* Solves; piece[i] becomes 1 for nodes on the piece's side, 0 for the others. */
void cutout_flow_solve(cutout_flow *flow, uint8_t *piece);

/* --- colour.c: what colours the piece and the background have -------------------------------------- */
enum { CUTOUT_CELLS_L = 24, CUTOUT_CELLS_AB = 48, CUTOUT_CELLS = CUTOUT_CELLS_L * CUTOUT_CELLS_AB * CUTOUT_CELLS_AB };
int cutout_colour_cell(float L, float a, float b);
/* The cell of every pixel. */
bc_status cutout_colour_cells(int32_t **out, bc_context *context, const float *const lab[3], size_t count);
/* A smoothed histogram that sums to one, from pixels weighted 0..1. `density` holds CUTOUT_CELLS. */
void cutout_density(float *density, const int32_t *cells, const float *weight, bool inverse, size_t count,
                    float *scratch);

/* --- barrier.c: how far a pixel is from the border --------------------------------------------------- */
/* Minimum barrier distance to the border, all channels together, scaled to 0..1. */
bc_status cutout_barrier(float *distance, bc_context *context, const cutout_grid *grid);

/* --- scene.c: the reduced picture with its colour models and its graph -------------------------------- */
typedef struct cutout_scene {
  cutout_grid grid;
  int32_t *cells;                         /* colour cell of each grid cell */
  float *prior;                           /* probability of piece before colours are compared, 0..1 */
  uint8_t *fixed;                         /* CUTOUT_OPEN, CUTOUT_IS_PIECE or CUTOUT_IS_BACKGROUND */
  float *weight, *pull;                   /* working planes */
  float *of_piece, *of_background, *work; /* colour densities */
  uint8_t *piece;                         /* 1 = piece */
  cutout_flow *flow;
} cutout_scene;
enum { CUTOUT_OPEN = 0, CUTOUT_IS_PIECE, CUTOUT_IS_BACKGROUND };

bc_status cutout_scene_new(cutout_scene *scene, bc_context *context, const bc_image *image, int side);
void cutout_scene_clear(cutout_scene *scene);
/* Alternates colour models and minimum cuts from the scene's prior until nothing changes. */
void cutout_scene_solve(cutout_scene *scene);

/* --- prior.c --------------------------------------------------------------------------------------- */
bc_status cutout_prior_automatic(cutout_scene *scene, bc_context *context);
/* `box` in grid cells: x, y, width, height. */
void cutout_prior_box(cutout_scene *scene, const double box[4]);

#endif
