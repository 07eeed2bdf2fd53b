/* SPDX-License-Identifier: MIT */
/* Linear light to CIELAB D50 and luminance, whole planes at once, in plain float arithmetic that the
 * compiler turns into vectors. Same figures on every machine: no fused multiply-add, no libm call. */
#include "base/vectors.h"
#include "colour_internal.h"

#include <string.h>

/* Pixels worked at a time: three planes of it stay in the first-level cache. */
#define CHUNK 512

#define EPSILON (216.0f / 24389.0f)
#define KAPPA (24389.0f / 27.0f)

/* The cube root of CIELAB's f: a third of the exponent by arithmetic on the bits (within 4 %), then
 * Halley's iteration twice, whose error after e is 2/3 e^3: below float rounding. The straight part
 * below EPSILON covers negative values too. */
static inline float lab_f(float t) {
  const float safe = t > EPSILON ? t : EPSILON;
  int32_t bits;
  memcpy(&bits, &safe, sizeof bits);
  bits = (int32_t)((float)bits * (1.0f / 3.0f)) + 0x2a511cd0;
  float root;
  memcpy(&root, &bits, sizeof root);
  for (int i = 0; i < 2; i++) {
    const float cube = root * root * root;
    root = root * ((cube + safe + safe) / (cube + cube + safe));
  }
  const float straight = (KAPPA * t + 16.0f) * (1.0f / 116.0f);
  return t > EPSILON ? root : straight;
}

BC_WIDER_VECTORS
static void f_of_plane(float *restrict plane, size_t count) {
  for (size_t i = 0; i < count; i++) plane[i] = lab_f(plane[i]);
}

BC_WIDER_VECTORS
static void combine(float *restrict out, const float *restrict p, const float *restrict q, const float *restrict r,
                    const float m[3], size_t count) {
  const float m0 = m[0], m1 = m[1], m2 = m[2];
  for (size_t i = 0; i < count; i++) out[i] = m0 * p[i] + m1 * q[i] + m2 * r[i];
}

BC_WIDER_VECTORS
static void lab_of_f(float *restrict L, float *restrict a, float *restrict b, const float f[3][CHUNK], size_t count) {
  const float *restrict fx = f[0], *restrict fy = f[1], *restrict fz = f[2];
  for (size_t i = 0; i < count; i++) {
    L[i] = 116.0f * fy[i] - 16.0f;
    a[i] = 500.0f * (fx[i] - fy[i]);
    b[i] = 200.0f * (fy[i] - fz[i]);
  }
}

/* Rows 0 to 2: XYZ relative to white; row 3: luminance. */
static void rows_of(const colour_matrix3 *to_xyz, float row[4][3]) {
  for (int c = 0; c < 3; c++) {
    double luminance = 0;
    for (int i = 0; i < 3; i++) {
      row[i][c] = (float)(to_xyz->at[i][c] / colour_white_d50[i]);
      luminance += colour_luminance_from_xyz[i] * to_xyz->at[i][c];
    }
    row[3][c] = (float)luminance;
  }
}

void colour_planes_to_lab(colour_lab_planes out, const float *const channel[3], const colour_matrix3 *to_xyz,
                          size_t count) {
  float row[4][3], f[3][CHUNK];
  rows_of(to_xyz, row);
  for (size_t start = 0; start < count; start += CHUNK) {
    const size_t n = count - start < CHUNK ? count - start : CHUNK;
    const float *const p[3] = {channel[0] + start, channel[1] + start, channel[2] + start};
    for (int i = 0; i < 3; i++) {
      combine(f[i], p[0], p[1], p[2], row[i], n);
      f_of_plane(f[i], n);
    }
    combine(out.Y + start, p[0], p[1], p[2], row[3], n);
    lab_of_f(out.L + start, out.a + start, out.b + start, f, n);
  }
}

/* --- a correction on XYZ, applied to a finished picture ------------------------------------------------ */
static inline float lab_f_inverse(float f) {
  const float cube = f * f * f;
  return cube > EPSILON ? cube : (116.0f * f - 16.0f) * (1.0f / KAPPA);
}

BC_WIDER_VECTORS
static void xyz_of_lab(float xyz[3][CHUNK], const float *restrict L, const float *restrict a, const float *restrict b,
                       size_t count) {
  float *restrict x = xyz[0], *restrict y = xyz[1], *restrict z = xyz[2];
  for (size_t i = 0; i < count; i++) {
    const float fy = (L[i] + 16.0f) * (1.0f / 116.0f);
    x[i] = lab_f_inverse(fy + a[i] * (1.0f / 500.0f));
    y[i] = lab_f_inverse(fy);
    z[i] = lab_f_inverse(fy - b[i] * (1.0f / 200.0f));
  }
}

void colour_lab_planes_correct(bc_image *image, const colour_matrix3 *correction) {
  const size_t count = (size_t)image->width * (size_t)image->height;
  float xyz[3][CHUNK];
  colour_matrix3 matrix = *correction; /* for XYZ relative to white */
  for (int i = 0; i < 3; i++)
    for (int c = 0; c < 3; c++) matrix.at[i][c] *= colour_white_d50[c];
  for (size_t start = 0; start < count; start += CHUNK) {
    const size_t n = count - start < CHUNK ? count - start : CHUNK;
    float *L = image->L + start, *a = image->a + start, *b = image->b + start;
    xyz_of_lab(xyz, L, a, b, n);
    const float *const channel[3] = {xyz[0], xyz[1], xyz[2]};
    colour_planes_to_lab((colour_lab_planes){L, a, b, image->Y + start}, channel, &matrix, n);
  }
}
