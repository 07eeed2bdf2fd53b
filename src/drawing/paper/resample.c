/* SPDX-License-Identifier: MIT */
/* Separable resampling of premultiplied linear-light pixels, so that neither edges nor fine
 * highlights darken. Kernel: Catmull-Rom cubic (B = 0, C = 1/2) of Mitchell and Netravali,
 * Computer Graphics 22(4), 1988, widened when the picture shrinks. */
#include "paper.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* The source pixels and their weights for each destination pixel. */
typedef struct taps {
  int most;   /* weights kept a destination pixel */
  int *first; /* first source pixel */
  int *count;
  float *weight; /* most a destination pixel */
} taps;

static double kernel(double x) {
  x = fabs(x);
  if (x < 1) return (1.5 * x - 2.5) * x * x + 1;
  if (x < 2) return ((-0.5 * x + 2.5) * x - 4) * x + 2;
  return 0;
}

static void taps_clear(taps *t) {
  free(t->first);
  free(t->count);
  free(t->weight);
}

/* Weights that fall outside the source are dropped and the rest brought back to a sum of 1 only
 * against the full sum, so that a sprite fades to transparent beyond its own pixels. */
static void taps_at(taps *t, int i, double centre, double reach, int length) {
  const int first = (int)fmax(0, ceil(centre - reach - 0.5));
  const int last = (int)fmin(length - 1, floor(centre + reach - 0.5));
  double sum = 0;
  for (int j = (int)ceil(centre - reach - 0.5); j <= (int)floor(centre + reach - 0.5); j++)
    sum += kernel((j + 0.5 - centre) * 2 / reach);
  float *const weight = t->weight + (size_t)i * (size_t)t->most;
  t->first[i] = first;
  t->count[i] = last < first ? 0 : last - first + 1;
  for (int j = first; j <= last; j++) weight[j - first] = (float)(kernel((j + 0.5 - centre) * 2 / reach) / sum);
}

static bool taps_make(taps *t, drawing_axis axis, int length) {
  const double reach = 2 * fmax(1, 1 / axis.scale);
  const size_t count = (size_t)axis.count;
  t->most = (int)ceil(2 * reach) + 2;
  t->first = bc_allocate(count, sizeof *t->first);
  t->count = bc_allocate(count, sizeof *t->count);
  t->weight = bc_allocate(count, (size_t)t->most * sizeof *t->weight);
  if (!t->first || !t->count || !t->weight) return false;
  for (int i = 0; i < axis.count; i++) taps_at(t, i, (i + 0.5) / axis.scale + axis.offset, reach, length);
  return true;
}

static void filter_row(drawing_v4 *out, const drawing_v4 *row, const taps *t, int count) {
  for (int i = 0; i < count; i++) {
    const float *const weight = t->weight + (size_t)i * (size_t)t->most;
    const drawing_v4 *const source = row + t->first[i];
    drawing_v4 sum = {0, 0, 0, 0};
    for (int k = 0; k < t->count[i]; k++) sum += source[k] * weight[k];
    out[i] = sum;
  }
}

/* The kernel's small negative lobes must not leave colour outside its own coverage. */
static drawing_v4 settle(drawing_v4 pixel) {
  pixel[3] = pixel[3] < 0.0f ? 0.0f : pixel[3] > 1.0f ? 1.0f : pixel[3];
  for (int c = 0; c < 3; c++) pixel[c] = pixel[c] < 0.0f ? 0.0f : pixel[c] > pixel[3] ? pixel[3] : pixel[c];
  return pixel;
}

static void filter_down(drawing_v4 *out, const drawing_v4 *middle, const taps *t, int i, size_t width) {
  const float *const weight = t->weight + (size_t)i * (size_t)t->most;
  const drawing_v4 *row = middle + (size_t)t->first[i] * width;
  memset(out, 0, width * sizeof *out);
  for (int k = 0; k < t->count[i]; k++, row += width)
    for (size_t x = 0; x < width; x++) out[x] += row[x] * weight[k];
  for (size_t x = 0; x < width; x++) out[x] = settle(out[x]);
}

bc_status drawing_resample(drawing_v4 *out, bc_context *context, drawing_pixels source, drawing_axis across,
                           drawing_axis down) {
  const int width = source.width, height = source.height;
  taps x = {0}, y = {0};
  size_t size;
  drawing_v4 *middle = NULL;
  bc_status status = BC_OK;
  const size_t row = (size_t)across.count;
  if (taps_make(&x, across, width) && taps_make(&y, down, height) && base_size_multiply(row, (size_t)height, &size))
    middle = bc_allocate(size, sizeof *middle);
  if (middle) {
    for (size_t j = 0; j < (size_t)height; j++)
      filter_row(middle + j * row, source.at + j * (size_t)width, &x, across.count);
    for (int i = 0; i < down.count; i++) filter_down(out + (size_t)i * row, middle, &y, i, row);
  } else {
    status = bc_fail_memory(context);
  }
  free(middle);
  taps_clear(&x);
  taps_clear(&y);
  return status;
}
