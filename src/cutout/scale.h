/* SPDX-License-Identifier: MIT */
/* Masks and maps change size, a row at a time: scale.c. */
#ifndef BC_CUTOUT_SCALE_H
#define BC_CUTOUT_SCALE_H

#include <stdint.h>

/* From what size to what size. */
typedef struct cutout_scaling {
  int width, height, to_width, to_height;
} cutout_scaling;

/* Row `y` of a mask at its new size; `scratch` holds `width` floats. */
void cutout_scale_row(uint8_t *row, int y, const uint8_t *from, cutout_scaling sizes, float *scratch);
/* The same for a plane of floats. */
void cutout_scale_row_of_floats(float *row, int y, const float *from, cutout_scaling sizes, float *scratch);

#endif
