/* SPDX-License-Identifier: MIT */
/* Between CIELAB planes, linear light and 8-bit sRGB, fast enough for every pixel of a wall. The
 * definitions are the colour stage's; this file only tabulates them. Source: IEC 61966-2-1, CIE 15. */
#include <backcloth/colour.h>

#include "paper.h"

#include <math.h>
#include <pthread.h>

#define CODES 65536

/* With L, a, b chosen so that only one of X/Xn, Y/Yn, Z/Zn is not zero, the colour stage answers
 * with one column of its matrix. f(0) = 16/116 and f(1) = 1 (CIE 15). */
drawing_lab_matrix drawing_lab_matrix_make(void) {
  const double zero = 16.0 / 116.0;
  const bc_lab unit[3] = {
      {0, 500 * (1 - zero), 0}, {100, 500 * (zero - 1), 200 * (1 - zero)}, {0, 0, 200 * (zero - 1)}};
  drawing_lab_matrix matrix;
  for (int j = 0; j < 3; j++) {
    double rgb[3];
    bc_lab_to_linear_srgb(unit[j], rgb);
    for (int i = 0; i < 3; i++) matrix.rgb[i][j] = (float)rgb[i];
  }
  return matrix;
}

/* Inverse of CIELAB's f. */
static inline float cube(float f) {
  return f > 6.0f / 29.0f ? f * f * f : (f - 4.0f / 29.0f) * (108.0f / 841.0f);
}

static inline float clamp01(float value) {
  return value < 0.0f ? 0.0f : value > 1.0f ? 1.0f : value;
}

drawing_v4 drawing_lab_to_linear(const drawing_lab_matrix *matrix, float L, float a, float b) {
  const float fy = (L + 16.0f) / 116.0f;
  const float x = cube(fy + a / 500.0f), y = cube(fy), z = cube(fy - b / 200.0f);
  drawing_v4 out = {0, 0, 0, 1};
  for (int i = 0; i < 3; i++) out[i] = clamp01(matrix->rgb[i][0] * x + matrix->rgb[i][1] * y + matrix->rgb[i][2] * z);
  return out;
}

drawing_v4 drawing_linear_of(bc_colour colour) {
  double rgb[3];
  bc_lab_to_linear_srgb(colour.lab, rgb);
  return (drawing_v4){clamp01((float)rgb[0]), clamp01((float)rgb[1]), clamp01((float)rgb[2]), 1.0f};
}

static uint8_t encode_codes[CODES];
static pthread_once_t encode_once = PTHREAD_ONCE_INIT;

static void encode_fill(void) {
  for (int i = 0; i < CODES; i++) encode_codes[i] = (uint8_t)lrint(255.0 * bc_srgb_encode(i / (double)(CODES - 1)));
}

const uint8_t *drawing_encode_table(void) {
  pthread_once(&encode_once, encode_fill);
  return encode_codes;
}

void drawing_encode_row(uint32_t *out, const drawing_v4 *row, size_t count) {
  const uint8_t *const table = drawing_encode_table();
  for (size_t i = 0; i < count; i++) {
    drawing_v4 pixel = row[i] * 65535.0f + 0.5f;
    uint32_t code[3];
    for (int c = 0; c < 3; c++) {
      const float value = pixel[c] < 0.0f ? 0.0f : pixel[c] > 65535.0f ? 65535.0f : pixel[c];
      code[c] = table[(uint32_t)value];
    }
    out[i] = 0xff000000u | code[0] << 16 | code[1] << 8 | code[2];
  }
}
