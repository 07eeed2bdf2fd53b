/* SPDX-License-Identifier: MIT */
/* Masks and maps change size, a row at a time: scale.c. */
#ifndef BC_CUTOUT_SCALE_H
#define BC_CUTOUT_SCALE_H

#include <stdint.h>

/* Row `y` of a mask of width x height scaled to to_width x to_height; `scratch` holds `width` floats. */
void cutout_scale_row(uint8_t *row, int to_width, int to_height, int y, const uint8_t *from, int width, int height,
                      float *scratch);
/* The same for a plane of floats. */
void cutout_scale_row_of_floats(float *row, int to_width, int to_height, int y, const float *from, int width,
                                int height, float *scratch);

#endif
