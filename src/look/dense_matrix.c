/* SPDX-License-Identifier: MIT */
/* Small dense matrices: eigenvectors, linear equations, 3 x 3 products.
 * Source: Golub and Van Loan, Matrix Computations, 4th ed. 2013, 8.5 (Jacobi), 3.4 (elimination with pivots). */
#include "look_internal.h"

#include <math.h>

static double off_diagonal(const double *a, int n) {
  double sum = 0;
  for (int i = 0; i < n; i++)
    for (int j = 0; j < n; j++)
      if (i != j) sum += a[i * n + j] * a[i * n + j];
  return sum;
}

static void rotate(double *a, double *v, int n, int p, int q) {
  if (a[p * n + q] == 0) return;
  const double theta = (a[q * n + q] - a[p * n + p]) / (2 * a[p * n + q]);
  const double t = (theta >= 0 ? 1 : -1) / (fabs(theta) + sqrt(theta * theta + 1));
  const double c = 1 / sqrt(t * t + 1), s = t * c;
  for (int k = 0; k < n; k++) {
    const double kp = a[k * n + p], kq = a[k * n + q];
    a[k * n + p] = c * kp - s * kq;
    a[k * n + q] = s * kp + c * kq;
  }
  for (int k = 0; k < n; k++) {
    const double pk = a[p * n + k], qk = a[q * n + k];
    a[p * n + k] = c * pk - s * qk;
    a[q * n + k] = s * pk + c * qk;
  }
  for (int k = 0; k < n; k++) {
    const double kp = v[k * n + p], kq = v[k * n + q];
    v[k * n + p] = c * kp - s * kq;
    v[k * n + q] = s * kp + c * kq;
  }
}

void look_smallest_eigenvector(double *vector, double *a, int n) {
  double v[LOOK_MOST * LOOK_MOST] = {0}, trace = 0;
  for (int i = 0; i < n; i++) {
    v[i * n + i] = 1;
    trace += fabs(a[i * n + i]);
  }
  for (int sweep = 0; sweep < 60 && off_diagonal(a, n) > 1e-34 * trace * trace; sweep++)
    for (int p = 0; p < n - 1; p++)
      for (int q = p + 1; q < n; q++) rotate(a, v, n, p, q);
  int least = 0;
  for (int i = 1; i < n; i++)
    if (a[i * n + i] < a[least * n + least]) least = i;
  for (int k = 0; k < n; k++) vector[k] = v[k * n + least];
}

static bool bring_pivot(double *a, double *b, int n, int column) {
  int best = column;
  for (int row = column + 1; row < n; row++)
    if (fabs(a[row * n + column]) > fabs(a[best * n + column])) best = row;
  if (!(fabs(a[best * n + column]) > 1e-300)) return false;
  for (int k = 0; best != column && k < n; k++) {
    const double keep = a[best * n + k];
    a[best * n + k] = a[column * n + k];
    a[column * n + k] = keep;
  }
  const double keep = b[best];
  b[best] = b[column];
  b[column] = keep;
  return true;
}

bool look_solve(double *a, double *b, int n) {
  for (int column = 0; column < n; column++) {
    if (!bring_pivot(a, b, n, column)) return false;
    for (int row = column + 1; row < n; row++) {
      const double factor = a[row * n + column] / a[column * n + column];
      for (int k = column; k < n; k++) a[row * n + k] -= factor * a[column * n + k];
      b[row] -= factor * b[column];
    }
  }
  for (int row = n - 1; row >= 0; row--) {
    for (int k = row + 1; k < n; k++) b[row] -= a[row * n + k] * b[k];
    b[row] /= a[row * n + row];
  }
  return true;
}

void look_multiply3(double out[9], const double a[9], const double b[9]) {
  for (int i = 0; i < 3; i++)
    for (int j = 0; j < 3; j++) {
      double sum = 0;
      for (int k = 0; k < 3; k++) sum += a[3 * i + k] * b[3 * k + j];
      out[3 * i + j] = sum;
    }
}

void look_cross(double out[3], const double a[3], const double b[3]) {
  const double x = a[1] * b[2] - a[2] * b[1], y = a[2] * b[0] - a[0] * b[2], z = a[0] * b[1] - a[1] * b[0];
  out[0] = x;
  out[1] = y;
  out[2] = z;
}

bool look_invert3(double out[9], const double a[9]) {
  double rows[3][3], scale = 0;
  look_cross(rows[0], a + 3, a + 6);
  look_cross(rows[1], a + 6, a);
  look_cross(rows[2], a, a + 3);
  for (int i = 0; i < 9; i++) scale = fmax(scale, fabs(a[i]));
  const double det = a[0] * rows[0][0] + a[1] * rows[0][1] + a[2] * rows[0][2];
  if (!(fabs(det) > 1e-18 * scale * scale * scale)) return false;
  for (int i = 0; i < 3; i++)
    for (int j = 0; j < 3; j++) out[3 * i + j] = rows[j][i] / det;
  return true;
}
