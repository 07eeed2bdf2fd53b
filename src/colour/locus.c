/* SPDX-License-Identifier: MIT */
/* Where whites can be: the line of black-body light in the CIE 1960 diagram, by the rational fit of
 * Krystek, Color Research & Application 10(1), 1985 (good to 8e-5 from 1000 to 15000 K). */
#include "colour_internal.h"

#include <math.h>

static void locus_uv(double mired, double uv[2]) {
  const double T = 1e6 / mired;
  uv[0] = (0.860117757 + 1.54118254e-4 * T + 1.28641212e-7 * T * T) / (1 + 8.42420235e-4 * T + 7.08145163e-7 * T * T);
  uv[1] = (0.317398726 + 4.22806245e-5 * T + 4.20481691e-8 * T * T) / (1 - 2.89741816e-5 * T + 1.61456053e-7 * T * T);
}

void colour_uv_of_xyz(const double xyz[3], double uv[2]) {
  const double sum = xyz[0] + 15 * xyz[1] + 3 * xyz[2];
  uv[0] = 4 * xyz[0] / sum;
  uv[1] = 6 * xyz[1] / sum;
}

/* Unit vector along the line toward warmer light, and the length in uv of one mired. */
static double tangent(double mired, double direction[2]) {
  double before[2], after[2];
  locus_uv(mired - 0.5, before);
  locus_uv(mired + 0.5, after);
  const double du = after[0] - before[0], dv = after[1] - before[1], length = hypot(du, dv);
  direction[0] = du / length;
  direction[1] = dv / length;
  return length;
}

/* The foot of the perpendicular, by Newton's steps along the line. */
void colour_locus_nearest(const double uv[2], double *mired, double *duv) {
  double m = 200, foot[2], direction[2];
  for (int i = 0; i < 40; i++) {
    locus_uv(m, foot);
    const double length = tangent(m, direction);
    const double along = (uv[0] - foot[0]) * direction[0] + (uv[1] - foot[1]) * direction[1];
    const double step = fmax(-100, fmin(100, along / length));
    m = fmax(60, fmin(800, m + step));
    if (fabs(step) < 1e-6) break;
  }
  locus_uv(m, foot);
  (void)tangent(m, direction);
  const double across = -(uv[0] - foot[0]) * direction[1] + (uv[1] - foot[1]) * direction[0];
  *mired = m;
  *duv = across; /* the tangent points to larger u, so + is larger v: greener */
}

/* XYZ, Y = 1, of the white that lies so many mired and duv away from D50's own place. */
void colour_white_shifted(double mired, double duv, double white[3]) {
  double home[2], at[2], foot[2], direction[2], m0, d0;
  colour_uv_of_xyz(colour_white_d50, home);
  colour_locus_nearest(home, &m0, &d0);
  locus_uv(m0 + mired, foot);
  (void)tangent(m0 + mired, direction);
  at[0] = foot[0] - direction[1] * (d0 + duv);
  at[1] = foot[1] + direction[0] * (d0 + duv);
  white[0] = 1.5 * at[0] / at[1];
  white[1] = 1;
  white[2] = (4 - at[0] - 10 * at[1]) / (2 * at[1]);
}
