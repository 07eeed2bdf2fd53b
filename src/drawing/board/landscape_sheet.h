/* SPDX-License-Identifier: MIT */
/* What the contrast landscape's files share: the sheet (landscape_sheet.c) and its plot (landscape_plot.c). */
#ifndef BC_DRAWING_LANDSCAPE_SHEET_H
#define BC_DRAWING_LANDSCAPE_SHEET_H

#include "drawing/paper/paper.h"

#include <backcloth/colour.h>

/* mm */
#define LAND_LEFT 30.0 /* the greys' strip starts here */
#define LAND_GREY_WIDTH 9.0
#define LAND_PLOT_LEFT 43.0
#define LAND_PLOT_WIDTH 168.0
#define LAND_PLOT_TOP 40.0
#define LAND_PLOT_HEIGHT 118.0
#define LAND_LIGHTEST (BC_LANDSCAPE_DARKEST + BC_LANDSCAPE_STEP * (BC_LANDSCAPE_ROWS - 1))

typedef struct land {
  bc_context *context;
  const bc_match *match;
  const bc_landscape *score;
  const bc_cloth *const *cloths;
  drawing_canvas *canvas;
} land;

/* The score at a place of the sheet. */
typedef double (*score_function)(const land *l, double x, double y);

/* What is written on the plot already. */
typedef struct labels {
  drawing_rect taken[96];
  size_t count;
} labels;

/* Where a hue and a lightness stand on the sheet. */
double drawing_land_x(double hue_deg);
double drawing_land_y(double L);
/* Takes the place for a label; false where another is. */
bool drawing_land_take(labels *all, drawing_rect rect);
/* Hatches where a piece is soft, and twice where one gets lost. */
void drawing_land_hatch(const land *l, score_function score, drawing_rect area);
/* Colours, hatching and lines of equal score, for the hues and for the greys. */
void drawing_land_plot(const land *l, labels *all);

#endif
