/* SPDX-License-Identifier: MIT */
/* Reads a photo of a textile: mean, spread, main colours, and its pattern.
 * In: image. Out: bc_textile. Source: docs/method/reading.md. */
#include "reading_internal.h"

#include <backcloth/colour.h>
#include <math.h>
#include <stdlib.h>

#define SIDE READING_PATTERN_SIDE

static double weight_at(const bc_image *image, size_t i) {
  return image->alpha ? image->alpha[i] / 255.0 : 1;
}

static bool mean_and_spread(bc_textile *textile, const bc_image *image) {
  const size_t pixels = (size_t)image->width * (size_t)image->height;
  double weight = 0, L = 0, a = 0, b = 0, Y = 0, squares = 0;
  for (size_t i = 0; i < pixels; i++) {
    const double w = weight_at(image, i);
    weight += w;
    L += w * (double)image->L[i];
    a += w * (double)image->a[i];
    b += w * (double)image->b[i];
    Y += w * (double)image->Y[i];
  }
  if (!(weight > 0)) return false;
  textile->mean = (bc_colour){{L / weight, a / weight, b / weight}, Y / weight};
  for (size_t i = 0; i < pixels; i++) {
    const double off = (double)image->L[i] - textile->mean.lab.L;
    squares += weight_at(image, i) * off * off;
  }
  textile->spread_l = sqrt(squares / weight);
  return true;
}

/* One sample of the middle square, brought to SIDE x SIDE by averaging the pixels that it covers;
 * transparent ones count as `mean`. */
static double sample(const bc_image *image, const float *plane, int x, int y, double mean) {
  const int square = image->width < image->height ? image->width : image->height;
  const int left = (image->width - square) / 2, top = (image->height - square) / 2;
  const int x0 = left + x * square / SIDE, y0 = top + y * square / SIDE;
  const int x1 = left + (x + 1) * square / SIDE, y1 = top + (y + 1) * square / SIDE;
  double sum = 0, count = 0;
  for (int row = y0; row == y0 || row < y1; row++)
    for (int column = x0; column == x0 || column < x1; column++) {
      const size_t i = (size_t)row * (size_t)image->width + (size_t)column;
      const double w = weight_at(image, i);
      sum += w * (double)plane[i] + (1 - w) * mean;
      count++;
    }
  return sum / count;
}

static void square_plane(double *out, const bc_image *image, const float *plane, double mean) {
  for (int y = 0; y < SIDE; y++)
    for (int x = 0; x < SIDE; x++) out[y * SIDE + x] = sample(image, plane, x, y, mean);
}

static bc_status read_pattern(bc_textile *textile, bc_context *context, const bc_image *image) {
  const size_t pixels = (size_t)SIDE * SIDE;
  double *planes = bc_allocate(3 * pixels, sizeof *planes);
  if (!planes) return bc_fail_memory(context);
  square_plane(planes, image, image->L, textile->mean.lab.L);
  square_plane(planes + pixels, image, image->a, textile->mean.lab.a);
  square_plane(planes + 2 * pixels, image, image->b, textile->mean.lab.b);
  const bc_status status = reading_pattern_measure(&textile->pattern_share, &textile->busy_bits, context, planes,
                                                   planes + pixels, planes + 2 * pixels);
  free(planes);
  return status;
}

bc_status bc_textile_of(bc_textile *out, bc_context *context, const bc_image *image, const char *name) {
  *out = (bc_textile){0};
  if (!mean_and_spread(out, image))
    return bc_fail(context, BC_BAD_DATA,
                   _("%s: the picture of the cloth is fully transparent. Use one that shows cloth."), name);
  const bc_status status = reading_main_colours(out->colours, &out->colour_count, context, image, image->alpha);
  return status == BC_OK ? read_pattern(out, context, image) : status;
}

/* Our choice of borders, by looking at woven, striped and printed cloth. */
bc_busy bc_textile_busy(const bc_textile *textile) {
  if (textile->busy_bits < 0.5) return BC_PLAIN;
  if (textile->busy_bits < 1.5) return BC_QUIET;
  return textile->busy_bits < 2.5 ? BC_LIVELY : BC_BUSY;
}

const char *bc_busy_word(bc_busy busy) {
  static const char *const words[] = {"plain", "quiet", "lively", "busy"};
  return words[busy];
}
