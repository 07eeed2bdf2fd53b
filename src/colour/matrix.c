/* SPDX-License-Identifier: MIT */
/* 3 x 3 matrices, and linear Bradford adaptation between two whites (ICC.1:2022 annex E). */
#include "colour_internal.h"

#include <math.h>

void colour_matrix3_apply(const colour_matrix3 *matrix, const double in[3], double out[3]) {
  const double x = in[0], y = in[1], z = in[2];
  for (int i = 0; i < 3; i++) out[i] = matrix->at[i][0] * x + matrix->at[i][1] * y + matrix->at[i][2] * z;
}

void colour_matrix3_multiply(const colour_matrix3 *left, const colour_matrix3 *right, colour_matrix3 *out) {
  colour_matrix3 product;
  for (int i = 0; i < 3; i++)
    for (int j = 0; j < 3; j++)
      product.at[i][j] =
          left->at[i][0] * right->at[0][j] + left->at[i][1] * right->at[1][j] + left->at[i][2] * right->at[2][j];
  *out = product;
}

bool colour_matrix3_invert(const colour_matrix3 *matrix, colour_matrix3 *out) {
  const double(*m)[3] = matrix->at;
  colour_matrix3 adjoint;
  for (int i = 0; i < 3; i++)
    for (int j = 0; j < 3; j++) {
      const int a = (j + 1) % 3, b = (j + 2) % 3, c = (i + 1) % 3, d = (i + 2) % 3;
      adjoint.at[i][j] = m[a][c] * m[b][d] - m[a][d] * m[b][c];
    }
  const double determinant = m[0][0] * adjoint.at[0][0] + m[0][1] * adjoint.at[1][0] + m[0][2] * adjoint.at[2][0];
  if (!isfinite(determinant) || fabs(determinant) < 1e-12) return false;
  for (int i = 0; i < 3; i++)
    for (int j = 0; j < 3; j++) out->at[i][j] = adjoint.at[i][j] / determinant;
  return true;
}

static const colour_matrix3 bradford = {
    {{0.8951, 0.2664, -0.1614}, {-0.7502, 1.7135, 0.0367}, {0.0389, -0.0685, 1.0296}}};

bool colour_adaptation(colour_matrix3 *out, const double from_white[3], const double to_white[3]) {
  colour_matrix3 inverse, scaled;
  double from[3], to[3];
  colour_matrix3_apply(&bradford, from_white, from);
  colour_matrix3_apply(&bradford, to_white, to);
  if (!colour_matrix3_invert(&bradford, &inverse)) return false;
  for (int i = 0; i < 3; i++) {
    if (!(from[i] > 1e-6)) return false;
    for (int j = 0; j < 3; j++) scaled.at[i][j] = to[i] / from[i] * bradford.at[i][j];
  }
  colour_matrix3_multiply(&inverse, &scaled, out);
  return true;
}
