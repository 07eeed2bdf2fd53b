/* SPDX-License-Identifier: MIT */
/* Contrast ratio as W3C WCAG 2.2 (2023) defines it: (L1 + 0.05) / (L2 + 0.05), L1 the lighter. */
#include "colour_internal.h"

#include <math.h>

double bc_contrast_ratio(double first_luminance, double second_luminance) {
  const double first = fmax(0.0, first_luminance) + 0.05;
  const double second = fmax(0.0, second_luminance) + 0.05;
  return first > second ? first / second : second / first;
}
