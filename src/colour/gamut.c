/* SPDX-License-Identifier: MIT */
/* The nearest colour a screen can show: chroma is lowered at constant CIELAB lightness and hue until
 * the colour fits sRGB, so that a strong red stays a red of the same lightness. */
#include "colour_internal.h"

#include <math.h>
#include <stdio.h>

/* Half a step of 8 bits near white would be 0.002; this keeps grey and the sRGB surface untouched. */
#define SLACK 1e-4

static bool fits(bc_lab lab, double rgb[3]) {
  bc_lab_to_linear_srgb(lab, rgb);
  for (int i = 0; i < 3; i++)
    if (!(rgb[i] >= -SLACK && rgb[i] <= 1.0 + SLACK)) return false;
  return true;
}

/* Bisects the largest share of the chroma that fits; 20 halvings leave less than 0.001 of a unit. */
static void lower_chroma(bc_lab lab, double rgb[3]) {
  double low = 0.0, high = 1.0;
  for (int i = 0; i < 20; i++) {
    const double middle = 0.5 * (low + high);
    if (fits((bc_lab){lab.L, middle * lab.a, middle * lab.b}, rgb))
      low = middle;
    else
      high = middle;
  }
  (void)fits((bc_lab){lab.L, low * lab.a, low * lab.b}, rgb);
}

static unsigned code(double linear) {
  return (unsigned)lround(255.0 * bc_srgb_encode(fmin(1.0, fmax(0.0, linear))));
}

void bc_lab_to_hex(bc_lab lab, char hex[8]) {
  if (!isfinite(lab.L) || !isfinite(lab.a) || !isfinite(lab.b)) lab = (bc_lab){0, 0, 0};
  lab.L = fmin(100.0, fmax(0.0, lab.L));
  double rgb[3];
  if (!fits(lab, rgb)) lower_chroma(lab, rgb);
  snprintf(hex, 8, "#%02x%02x%02x", code(rgb[0]), code(rgb[1]), code(rgb[2]));
}
