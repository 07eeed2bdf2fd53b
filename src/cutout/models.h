/* SPDX-License-Identifier: MIT */
/* What colours and textures piece and background have: colour.c, texture.c (histograms), mixture.c (Gaussians). */
#ifndef BC_CUTOUT_MODELS_H
#define BC_CUTOUT_MODELS_H

#include "grid.h"

/* The cells of a histogram over L, a and b that a picture's colours lie in, and room to blur them. Each of its arrays
 * holds `count` cells; neighbours along L are `plane` apart, along a `row`, along b 1. */
typedef struct cutout_palette {
  int32_t *cells; /* of each pixel */
  size_t pixels;
  int row, plane, count;
} cutout_palette;
/* The palette of the grid's colours, its cells malloc'd; false without memory. */
bool cutout_colour_palette(cutout_palette *palette, const cutout_grid *grid);
/* The same of textures: mean lightness, spread of lightness and spread of colour in a small window. */
bool cutout_texture_palette(cutout_palette *palette, const cutout_grid *grid);
/* Where a colour lies among all that there may be. */
int32_t cutout_colour_place(float L, float a, float b);
/* Makes the palette of the places in `cells`, which become cells. */
void cutout_palette_fit(cutout_palette *palette);
/* Per cell the sum over its pixels of a value (NULL: 1 each), smoothed over neighbouring cells; right where the
 * picture has colours. `scratch` holds as many cells. */
void cutout_cell_sums(float *sums, const cutout_palette *palette, const float *values, float *scratch);
/* A smoothed histogram that sums to one, from pixels weighted 0..1. */
void cutout_density(float *density, const cutout_palette *palette, const float *weight, bool inverse, float *scratch);
/* Lets every colour also stand, less likely, for its own darker shades: a shadow falls on the background. */
void cutout_add_shadows(float *density, const cutout_palette *palette);

/* ---- mixture.c ---- */
enum { CUTOUT_GAUSSIANS = 8 };
typedef struct cutout_gaussian {
  float mean[3], inverse[6], covariance[6]; /* upper triangles, row by row */
  float log_weight;                         /* log of share / sqrt(determinant) */
} cutout_gaussian;
typedef struct cutout_mixture {
  int count;
  float share[CUTOUT_GAUSSIANS];
  cutout_gaussian of[CUTOUT_GAUSSIANS];
} cutout_mixture;
/* Learns from the cells whose side[i] == wanted; `owner` is scratch. */
void cutout_mixture_learn(cutout_mixture *mixture, const cutout_grid *grid, const uint8_t *side, uint8_t wanted,
                          uint8_t *owner, int count);
/* Goes on from what has been learned. */
void cutout_mixture_improve(cutout_mixture *mixture, const cutout_grid *grid, const uint8_t *side, uint8_t wanted,
                            uint8_t *owner, int rounds);
/* Minus the log likelihood of every colour, up to a constant. */
void cutout_mixture_costs(const cutout_mixture *mixture, const float *L, const float *a, const float *b, size_t count,
                          float *cost);

#endif
