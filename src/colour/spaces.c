/* SPDX-License-Identifier: MIT */
/* Between linear sRGB, XYZ D50, CIELAB D50 and WCAG relative luminance.
 * Sources: IEC 61966-2-1, ICC.1 (D50, Bradford), CIE 15, WCAG 2.2; docs/method/colour.md derives the matrices. */
#include "colour_internal.h"

#include <math.h>

const double colour_white_d50[3] = {0.9642, 1.0, 0.8249};

/* From the BT.709 primaries, D65 at x .3127 y .3290 and the Bradford matrix of ICC.1 annex E, worked
 * in exact fractions; never from the rounded matrices in print. */
const colour_matrix3 colour_xyz_from_srgb = {{{0.436041251616051, 0.3851129107981554, 0.14304583758579356},
                                              {0.22248454022947745, 0.7169050786084573, 0.06061038116206526},
                                              {0.013920187471375392, 0.09706723869712401, 0.7139125738315006}}};
const colour_matrix3 colour_srgb_from_xyz = {{{3.134186364236819, -1.6172089589982748, -0.49069406400638393},
                                              {-0.9787485041906944, 1.9161300967735873, 0.03343339915999554},
                                              {0.07196392780224674, -0.22899387345320327, 1.4057537328964445}}};

/* .2126 .7152 .0722 times colour_srgb_from_xyz. */
const double colour_luminance_from_xyz[3] = {-0.028477113573114693, 1.0100642628661152, 0.021085428586594873};

/* CIE 15: the exact fractions. */
#define EPSILON (216.0 / 24389.0)
#define KAPPA (24389.0 / 27.0)

static double lab_f(double t) {
  return t > EPSILON ? cbrt(t) : (KAPPA * t + 16.0) / 116.0;
}

static double lab_f_inverse(double f) {
  const double cube = f * f * f;
  return cube > EPSILON ? cube : (116.0 * f - 16.0) / KAPPA;
}

bc_lab colour_lab_from_xyz(const double xyz[3]) {
  double f[3];
  for (int i = 0; i < 3; i++) f[i] = lab_f(xyz[i] / colour_white_d50[i]);
  return (bc_lab){116.0 * f[1] - 16.0, 500.0 * (f[0] - f[1]), 200.0 * (f[1] - f[2])};
}

void colour_lab_to_xyz(bc_lab lab, double xyz[3]) {
  const double fy = (lab.L + 16.0) / 116.0;
  const double f[3] = {fy + lab.a / 500.0, fy, fy - lab.b / 200.0};
  for (int i = 0; i < 3; i++) xyz[i] = colour_white_d50[i] * lab_f_inverse(f[i]);
}

bc_colour colour_from_xyz(const double xyz[3]) {
  const double *w = colour_luminance_from_xyz;
  return (bc_colour){colour_lab_from_xyz(xyz), w[0] * xyz[0] + w[1] * xyz[1] + w[2] * xyz[2]};
}

void bc_lab_to_linear_srgb(bc_lab lab, double rgb[3]) {
  double xyz[3];
  colour_lab_to_xyz(lab, xyz);
  colour_matrix3_apply(&colour_srgb_from_xyz, xyz, rgb);
}

bc_colour bc_colour_from_linear_srgb(const double rgb[3]) {
  double xyz[3];
  colour_matrix3_apply(&colour_xyz_from_srgb, rgb, xyz);
  bc_colour colour = colour_from_xyz(xyz);
  colour.luminance = 0.2126 * rgb[0] + 0.7152 * rgb[1] + 0.0722 * rgb[2];
  return colour;
}

bc_colour bc_colour_from_lab(bc_lab lab) {
  double xyz[3];
  colour_lab_to_xyz(lab, xyz);
  bc_colour colour = colour_from_xyz(xyz);
  colour.lab = lab; /* as given: no rounding on the way there and back */
  return colour;
}

double bc_srgb_encode(double linear) {
  const double v = fabs(linear);
  const double encoded = v <= 0.0031308 ? 12.92 * v : 1.055 * pow(v, 1.0 / 2.4) - 0.055;
  return copysign(encoded, linear);
}

double bc_srgb_decode(double encoded) {
  const double v = fabs(encoded);
  const double linear = v <= 0.04045 ? v / 12.92 : pow((v + 0.055) / 1.055, 2.4);
  return copysign(linear, encoded);
}

bc_colour bc_colour_mixed(bc_colour front, bc_colour behind, double share) {
  if (!(share > 0)) return front;
  double first[3], second[3];
  colour_lab_to_xyz(front.lab, first);
  colour_lab_to_xyz(behind.lab, second);
  for (int i = 0; i < 3; i++) first[i] += share * (second[i] - first[i]);
  return (bc_colour){colour_lab_from_xyz(first), front.luminance + share * (behind.luminance - front.luminance)};
}
