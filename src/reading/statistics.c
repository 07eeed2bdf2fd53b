/* SPDX-License-Identifier: MIT */
/* Area means, lightness percentiles and lightness shares of a piece, weighted by the mask.
 * In: image and cut-out. Out: the figures of bc_reading. Source: CIE 15:2004, 8.2.1 (CIELAB and its inverse). */
#include "reading_internal.h"

#include <math.h>
#include <stdlib.h>

#define FINE_LEVELS 4096 /* bins for percentiles: a 40th of a unit of L* */

typedef struct sums {
  double weight, L, a, b, Y, X50, Y50, Z50;
} sums;

/* Inverse of the CIELAB curve: t = f^3, or the straight line near black. */
static double curve_inverse(double f) {
  const double delta = 6.0 / 29.0;
  return f > delta ? f * f * f : 3 * delta * delta * (f - 4.0 / 29.0);
}

static double curve(double t) {
  const double delta = 6.0 / 29.0;
  return t > delta * delta * delta ? cbrt(t) : t / (3 * delta * delta) + 4.0 / 29.0;
}

static size_t level_of(float L, size_t levels) {
  const double position = (double)L * (double)levels / 100.0;
  if (!(position > 0)) return 0;
  return position >= (double)levels ? levels - 1 : (size_t)position;
}

static void add_pixel(sums *sum, const bc_image *image, size_t i, double weight) {
  const double L = (double)image->L[i], a = (double)image->a[i], b = (double)image->b[i];
  const double fy = (L + 16) / 116;
  sum->weight += weight;
  sum->L += weight * L;
  sum->a += weight * a;
  sum->b += weight * b;
  sum->Y += weight * (double)image->Y[i];
  sum->X50 += weight * curve_inverse(fy + a / 500);
  sum->Y50 += weight * curve_inverse(fy);
  sum->Z50 += weight * curve_inverse(fy - b / 200);
}

/* L* below which `share` of the weight lies, straight between the borders of a bin. */
static double percentile(const double *level, double total, double share) {
  const double wanted = share * total;
  double before = 0;
  for (size_t i = 0; i < FINE_LEVELS; i++) {
    if (level[i] > 0 && before + level[i] >= wanted)
      return ((double)i + (wanted - before) / level[i]) * 100.0 / FINE_LEVELS;
    before += level[i];
  }
  return 100;
}

static bc_lab lab_of_mean_light(const sums *sum) {
  const double fx = curve(sum->X50 / sum->weight), fy = curve(sum->Y50 / sum->weight),
               fz = curve(sum->Z50 / sum->weight);
  return (bc_lab){116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)};
}

static void finish(bc_reading *reading, const sums *sum, const double *level) {
  const double weight = sum->weight;
  reading->mean = (bc_colour){{sum->L / weight, sum->a / weight, sum->b / weight}, sum->Y / weight};
  reading->mixed = lab_of_mean_light(sum);
  reading->lightness_p05 = percentile(level, weight, 0.05);
  reading->lightness_p50 = percentile(level, weight, 0.50);
  reading->lightness_p95 = percentile(level, weight, 0.95);
  const size_t step = FINE_LEVELS / BC_READING_LEVELS;
  for (size_t i = 0; i < FINE_LEVELS; i++) reading->lightness_share[i / step] += (float)(level[i] / weight);
}

bc_status reading_statistics(bc_reading *reading, double *area, bc_context *context, const bc_image *image,
                             const bc_cutout *cutout) {
  double *level = bc_allocate(FINE_LEVELS, sizeof *level);
  if (!level) return bc_fail_memory(context);
  const size_t pixels = (size_t)image->width * (size_t)image->height;
  sums sum = {0};
  for (size_t i = 0; i < pixels; i++) {
    if (cutout->alpha[i] == 0) continue;
    const double weight = cutout->alpha[i] / 255.0;
    add_pixel(&sum, image, i, weight);
    level[level_of(image->L[i], FINE_LEVELS)] += weight;
  }
  if (sum.weight > 0) finish(reading, &sum, level);
  free(level);
  *area = sum.weight;
  if (!(sum.weight > 0))
    return bc_fail(
        context, BC_BAD_DATA,
        _("%s: the mask is empty, so there is no piece to read. Give a box round the piece or another mask."),
        reading->photo);
  reading->area_share = sum.weight / (double)pixels;
  return BC_OK;
}
