/* SPDX-License-Identifier: MIT */
/* The colour appearance model CAM16 and its adaptation CAT16: C. Li et al., "Comprehensive color
 * solutions: CAM16, CAT16, and CAM16-UCS", Color Research & Application 42(6), 703-718, 2017. */
#ifndef BC_SRC_COLOUR_CAM16_H
#define BC_SRC_COLOUR_CAM16_H

#include "colour_internal.h"

typedef enum colour_surround { COLOUR_SURROUND_AVERAGE, COLOUR_SURROUND_DIM, COLOUR_SURROUND_DARK } colour_surround;

/* Viewing conditions, worked out once. Units: XYZ on the scale white Y = 100, LA in cd/m2. */
typedef struct colour_cam16 {
  double D_RGB[3]; /* adaptation of each cone channel */
  double F_L, n, z, N_bb, N_cb, A_w;
  double c, N_c;
} colour_cam16;

typedef struct colour_appearance {
  double J, Q, C, M, s, h, H; /* H by the unique-hue table to 380.14 degrees */
} colour_appearance;

colour_cam16 colour_cam16_conditions(const double white[3], double LA, double Yb, colour_surround surround);
colour_appearance colour_cam16_forward(const colour_cam16 *conditions, const double xyz[3]);
/* XYZ of a lightness, chroma and hue. */
void colour_cam16_inverse(const colour_cam16 *conditions, double J, double C, double h, double xyz[3]);

/* CAT16 with complete adaptation: XYZ seen under one white to the corresponding XYZ under another. */
void colour_cat16(const double xyz[3], const double from_white[3], const double to_white[3], double out[3]);

#endif
