/* SPDX-License-Identifier: MIT */
/* A photo reduced for searching, straightened by the lens's bend. In: image, bend. Out: planes and their sums.
 * Source of the sums: Crow, "Summed-area tables for texture mapping", SIGGRAPH 1984. */
#include "small.h"

#include "base/maths.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SIDE 1200 /* longer side */

/* Means over what a pixel covers. */
static bool reduce(look_small *s, const bc_image *image) {
  const float *const from[3] = {image->L, image->a, image->b};
  for (int k = 0; k < 3; k++)
    for (int y = 0; y < s->height; y++)
      for (int x = 0; x < s->width; x++) {
        const int x0 = (int)((long)x * image->width / s->width), x1 = (int)((long)(x + 1) * image->width / s->width);
        const int y0 = (int)((long)y * image->height / s->height),
                  y1 = (int)((long)(y + 1) * image->height / s->height);
        double sum = 0;
        for (int row = y0; row < y1; row++)
          for (int column = x0; column < x1; column++)
            sum += (double)from[k][(size_t)row * (size_t)image->width + (size_t)column];
        s->lab[k][(size_t)y * (size_t)s->width + (size_t)x] = (float)(sum / ((x1 - x0) * (y1 - y0)));
      }
  return true;
}

static bool straighten(look_small *s) {
  const size_t count = (size_t)s->width * (size_t)s->height;
  float *bent = bc_allocate(count, sizeof *bent);
  if (!bent) return false;
  for (int k = 0; k < 3; k++) {
    memcpy(bent, s->lab[k], count * sizeof *bent);
    for (int y = 0; y < s->height; y++)
      for (int x = 0; x < s->width; x++) {
        const bc_look_point at = look_bend((bc_look_point){x + 0.5, y + 0.5}, s->width, s->height, s->bend);
        const double px = fmax(0, fmin(s->width - 1.001, at.x - 0.5)),
                     py = fmax(0, fmin(s->height - 1.001, at.y - 0.5));
        const size_t x0 = (size_t)px, y0 = (size_t)py;
        const double fx = px - (double)x0, fy = py - (double)y0;
        const float *const p = bent + y0 * (size_t)s->width + x0;
        s->lab[k][(size_t)y * (size_t)s->width + (size_t)x] =
            (float)((1 - fy) * ((1 - fx) * (double)p[0] + fx * (double)p[1]) +
                    fy * ((1 - fx) * (double)p[s->width] + fx * (double)p[s->width + 1]));
      }
  }
  free(bent);
  return true;
}

static void add_up(look_small *s) {
  const size_t stride = (size_t)s->width + 1;
  for (int k = 0; k < 3; k++)
    for (int y = 0; y < s->height; y++) {
      double row = 0;
      for (int x = 0; x < s->width; x++) {
        row += (double)s->lab[k][(size_t)y * (size_t)s->width + (size_t)x];
        const size_t at = ((size_t)y + 1) * stride + (size_t)x + 1;
        s->sum[k][at] = s->sum[k][at - stride] + row;
      }
    }
}

bc_status look_small_make(look_small *out, bc_context *context, const bc_image *image, double bend) {
  const int longer = base_most(image->width, image->height);
  const double scale = fmin(1, (double)SIDE / longer);
  *out = (look_small){
      .width = (int)lround(image->width * scale), .height = (int)lround(image->height * scale), .bend = bend};
  const size_t count = (size_t)out->width * (size_t)out->height;
  bool room = true;
  for (int k = 0; k < 3; k++) {
    out->lab[k] = bc_allocate(count, sizeof(float));
    out->sum[k] = bc_allocate(((size_t)out->width + 1) * ((size_t)out->height + 1), sizeof(double));
    room = room && out->lab[k] && out->sum[k];
  }
  if (!room || !reduce(out, image) || (bend != 0 && !straighten(out))) {
    look_small_clear(out);
    return bc_fail_memory(context);
  }
  add_up(out);
  return BC_OK;
}

void look_small_clear(look_small *small) {
  for (int k = 0; k < 3; k++) {
    free(small->lab[k]);
    free(small->sum[k]);
  }
  *small = (look_small){0};
}

bool look_small_mean(double lab[3], const look_small *small, double x, double y, bc_look_point reach) {
  if (!(x >= 0 && y >= 0 && x < small->width && y < small->height)) return false;
  const int x0 = base_most(0, (int)lround(x - reach.x)), x1 = base_least(small->width, (int)lround(x + reach.x));
  const int y0 = base_most(0, (int)lround(y - reach.y)), y1 = base_least(small->height, (int)lround(y + reach.y));
  const double area = (double)(x1 - x0) * (y1 - y0);
  if (!(area >= 2 * reach.x * reach.y) || area < 1) return false;
  const size_t stride = (size_t)small->width + 1;
  for (int k = 0; k < 3; k++) {
    const double *const sum = small->sum[k];
    lab[k] = (sum[(size_t)y1 * stride + (size_t)x1] - sum[(size_t)y0 * stride + (size_t)x1] -
              sum[(size_t)y1 * stride + (size_t)x0] + sum[(size_t)y0 * stride + (size_t)x0]) /
             area;
  }
  return true;
}
