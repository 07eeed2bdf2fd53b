/* SPDX-License-Identifier: MIT */
/* CIEDE2000. Variables are named as in Sharma, Wu and Dalal, "The CIEDE2000 Color-Difference Formula:
 * Implementation Notes, Supplementary Test Data, and Mathematical Observations", 2005, eqs (2) to (22). */
#include "colour_internal.h"

#include <math.h>

#define DEGREES (180.0 / M_PI)
/* Two hues exactly opposite must take the plain mean (eq. 14); rounding of atan2 must not flip that. */
#define OPPOSITE (180.0 + 1e-9)

static double power7(double v) {
  const double v2 = v * v;
  return v2 * v2 * v2 * v;
}

static double hue_degrees(double b, double a_prime) {
  if (a_prime == 0.0 && b == 0.0) return 0.0;
  const double h = atan2(b, a_prime) * DEGREES;
  return h < 0.0 ? h + 360.0 : h;
}

/* eq. (10) */
static double hue_difference(double h1, double h2, double chroma_product) {
  if (chroma_product == 0.0) return 0.0;
  const double d = h2 - h1;
  if (fabs(d) <= OPPOSITE) return d;
  return d > 0.0 ? d - 360.0 : d + 360.0;
}

/* eq. (14) */
static double hue_mean(double h1, double h2, double chroma_product) {
  const double sum = h1 + h2;
  if (chroma_product == 0.0) return sum;
  if (fabs(h1 - h2) <= OPPOSITE) return 0.5 * sum;
  return sum < 360.0 ? 0.5 * (sum + 360.0) : 0.5 * (sum - 360.0);
}

/* The rotation term R_T of eqs (16) to (18) and (21). */
static double rotation(double h_mean, double C_mean) {
  const double theta = 30.0 * exp(-((h_mean - 275.0) / 25.0) * ((h_mean - 275.0) / 25.0));
  const double c7 = power7(C_mean);
  const double R_C = 2.0 * sqrt(c7 / (c7 + power7(25.0)));
  return -sin(2.0 * theta / DEGREES) * R_C;
}

/* eq. (15) */
static double hue_weight(double h_mean) {
  return 1.0 - 0.17 * cos((h_mean - 30.0) / DEGREES) + 0.24 * cos(2.0 * h_mean / DEGREES) +
         0.32 * cos((3.0 * h_mean + 6.0) / DEGREES) - 0.20 * cos((4.0 * h_mean - 63.0) / DEGREES);
}

double bc_delta_e00(bc_lab first, bc_lab second) {
  const double C_ab = 0.5 * (hypot(first.a, first.b) + hypot(second.a, second.b)); /* (2), (3) */
  const double c7 = power7(C_ab);
  const double G = 0.5 * (1.0 - sqrt(c7 / (c7 + power7(25.0))));              /* (4) */
  const double a1 = (1.0 + G) * first.a, a2 = (1.0 + G) * second.a;           /* (5) */
  const double C1 = hypot(a1, first.b), C2 = hypot(a2, second.b);             /* (6) */
  const double h1 = hue_degrees(first.b, a1), h2 = hue_degrees(second.b, a2); /* (7) */

  const double dL = second.L - first.L, dC = C2 - C1;                                           /* (8), (9) */
  const double dH = 2.0 * sqrt(C1 * C2) * sin(0.5 * hue_difference(h1, h2, C1 * C2) / DEGREES); /* (11) */

  const double L_mean = 0.5 * (first.L + second.L), C_mean = 0.5 * (C1 + C2); /* (12), (13) */
  const double h_mean = hue_mean(h1, h2, C1 * C2);
  const double l50 = (L_mean - 50.0) * (L_mean - 50.0);
  const double S_L = 1.0 + 0.015 * l50 / sqrt(20.0 + l50);      /* (18) */
  const double S_C = 1.0 + 0.045 * C_mean;                      /* (19) */
  const double S_H = 1.0 + 0.015 * C_mean * hue_weight(h_mean); /* (20) */
  const double l = dL / S_L, c = dC / S_C, h = dH / S_H;
  return sqrt(fmax(0.0, l * l + c * c + h * h + rotation(h_mean, C_mean) * c * h)); /* (22) */
}
