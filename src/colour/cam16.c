/* SPDX-License-Identifier: MIT */
/* CAM16 forward and backward; names and steps as in Li et al. 2017, appendices A and B. */
#include "cam16.h"

#include <math.h>

static const colour_matrix3 M16 = {
    {{0.401288, 0.650173, -0.051461}, {-0.250268, 1.204414, 0.045854}, {-0.002079, 0.048952, 0.953127}}};

static void from_cones(const double rgb[3], double xyz[3]) {
  colour_matrix3 inverse;
  (void)colour_matrix3_invert(&M16, &inverse); /* a constant, and not singular */
  colour_matrix3_apply(&inverse, rgb, xyz);
}

void colour_cat16(const double xyz[3], const double from_white[3], const double to_white[3], double out[3]) {
  double rgb[3], from[3], to[3];
  colour_matrix3_apply(&M16, xyz, rgb);
  colour_matrix3_apply(&M16, from_white, from);
  colour_matrix3_apply(&M16, to_white, to);
  for (int i = 0; i < 3; i++) rgb[i] *= to[i] / from[i];
  from_cones(rgb, out);
}

/* Post-adaptation compression, odd-symmetric, and its inverse. */
static double compress(double F_L, double v) {
  const double p = pow(F_L * fabs(v) / 100, 0.42);
  return copysign(400 * p / (27.13 + p), v) + 0.1;
}

static double expand(double F_L, double v) {
  const double p = fmin(fabs(v - 0.1), 399.9999); /* 400 would be infinite light */
  return copysign(100 / F_L * pow(27.13 * p / (400 - p), 1 / 0.42), v - 0.1);
}

colour_cam16 colour_cam16_conditions(const double white[3], double LA, double Yb, colour_surround surround) {
  static const struct { double F, c, N_c; } surrounds[] = {{1.0, 0.69, 1.0}, {0.9, 0.59, 0.9}, {0.8, 0.525, 0.8}};
  const double F = surrounds[surround].F;
  colour_cam16 v = {.c = surrounds[surround].c, .N_c = surrounds[surround].N_c};
  double rgb_w[3], adapted[3];
  colour_matrix3_apply(&M16, white, rgb_w);
  const double D = fmin(1, fmax(0, F * (1 - 1 / 3.6 * exp((-LA - 42) / 92))));
  const double k = 1 / (5 * LA + 1), k4 = k * k * k * k;
  v.F_L = 0.2 * k4 * 5 * LA + 0.1 * (1 - k4) * (1 - k4) * cbrt(5 * LA);
  v.n = Yb / white[1];
  v.z = 1.48 + sqrt(v.n);
  v.N_bb = v.N_cb = 0.725 * pow(1 / v.n, 0.2);
  for (int i = 0; i < 3; i++) {
    v.D_RGB[i] = D * white[1] / rgb_w[i] + 1 - D;
    adapted[i] = compress(v.F_L, v.D_RGB[i] * rgb_w[i]);
  }
  v.A_w = (2 * adapted[0] + adapted[1] + adapted[2] / 20 - 0.305) * v.N_bb;
  return v;
}

static double eccentricity(double h) {
  return 0.25 * (cos(h * M_PI / 180 + 2) + 3.8);
}

/* Li et al., table A2: hue angles, eccentricities and quadratures of red, yellow, green, blue, red. */
static double hue_quadrature(double h) {
  static const double h_i[] = {20.14, 90, 164.25, 237.53, 380.14};
  static const double e_i[] = {0.8, 0.7, 1.0, 1.2, 0.8};
  const double angle = h < h_i[0] ? h + 360 : h;
  int i = 0;
  while (i < 3 && angle >= h_i[i + 1]) i++;
  const double before = (angle - h_i[i]) / e_i[i], after = (h_i[i + 1] - angle) / e_i[i + 1];
  return 100 * i + 100 * before / (before + after);
}

colour_appearance colour_cam16_forward(const colour_cam16 *v, const double xyz[3]) {
  double rgb[3];
  colour_matrix3_apply(&M16, xyz, rgb);
  for (int i = 0; i < 3; i++) rgb[i] = compress(v->F_L, v->D_RGB[i] * rgb[i]);
  const double a = rgb[0] - 12 * rgb[1] / 11 + rgb[2] / 11;
  const double b = (rgb[0] + rgb[1] - 2 * rgb[2]) / 9;
  colour_appearance out = {.h = atan2(b, a) * 180 / M_PI};
  if (out.h < 0) out.h += 360;
  const double A = fmax(0, (2 * rgb[0] + rgb[1] + rgb[2] / 20 - 0.305) * v->N_bb);
  out.H = hue_quadrature(out.h);
  out.J = 100 * pow(A / v->A_w, v->c * v->z);
  out.Q = 4 / v->c * sqrt(out.J / 100) * (v->A_w + 4) * pow(v->F_L, 0.25);
  const double t =
      50000.0 / 13 * v->N_c * v->N_cb * eccentricity(out.h) * hypot(a, b) / (rgb[0] + rgb[1] + 21 * rgb[2] / 20);
  const double alpha = pow(fmax(0, t), 0.9) * pow(1.64 - pow(0.29, v->n), 0.73);
  out.C = alpha * sqrt(out.J / 100);
  out.M = out.C * pow(v->F_L, 0.25);
  out.s = out.Q > 0 ? 100 * sqrt(out.M / out.Q) : 0;
  return out;
}

void colour_cam16_inverse(const colour_cam16 *v, double J, double C, double h, double xyz[3]) {
  xyz[0] = xyz[1] = xyz[2] = 0;
  if (!(J > 0)) return;
  const double t = pow(fmax(0, C) / (sqrt(J / 100) * pow(1.64 - pow(0.29, v->n), 0.73)), 1 / 0.9);
  const double p1 = 50000.0 / 13 * v->N_c * v->N_cb * eccentricity(h);
  const double p2 = v->A_w * pow(J / 100, 1 / (v->c * v->z)) / v->N_bb + 0.305;
  const double sine = sin(h * M_PI / 180), cosine = cos(h * M_PI / 180);
  /* Solves t for the radius r of (a, b) = r (cos h, sin h), which enters the denominator of t too. */
  const double r = 23 * p2 * t / (23 * p1 + 11 * t * cosine + 108 * t * sine);
  const double a = r * cosine, b = r * sine;
  double rgb[3] = {(460 * p2 + 451 * a + 288 * b) / 1403, (460 * p2 - 891 * a - 261 * b) / 1403,
                   (460 * p2 - 220 * a - 6300 * b) / 1403};
  for (int i = 0; i < 3; i++) rgb[i] = expand(v->F_L, rgb[i]) / v->D_RGB[i];
  from_cones(rgb, xyz);
}
