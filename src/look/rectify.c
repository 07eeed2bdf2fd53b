/* SPDX-License-Identifier: MIT */
/* Straightens a projected plane: each pixel of the result is the mean, in linear light, of what it covers.
 * In: image, projection. Out: image. Source: Heckbert, "Fundamentals of texture mapping and image warping", UCB/CSD
 * 89/516, 1989 (area sampling by the projection's local stretch). */
#include "base/maths.h"
#include "look_internal.h"

#include <math.h>
#include <stdlib.h>

#define MOST_SAMPLES 6 /* a side of a pixel's footprint; a wall is seldom reduced more */

/* Three linear samples a pixel. */
static float *linear_of(const bc_image *image) {
  const size_t count = (size_t)image->width * (size_t)image->height;
  float *linear = bc_allocate(count, 3 * sizeof *linear);
  for (size_t i = 0; linear && i < count; i++) {
    double rgb[3];
    bc_lab_to_linear_srgb((bc_lab){(double)image->L[i], (double)image->a[i], (double)image->b[i]}, rgb);
    for (int c = 0; c < 3; c++) linear[3 * i + (size_t)c] = (float)rgb[c];
  }
  return linear;
}

/* Adds the colour at a place, between its four neighbours; the border goes on outside. */
static void add_sample(double sum[3], const float *linear, const bc_image *image, bc_look_point at) {
  const double x = fmax(-1, fmin(image->width, at.x - 0.5)), y = fmax(-1, fmin(image->height, at.y - 0.5));
  const double left = floor(x), top = floor(y), fx = x - left, fy = y - top;
  const int x0 = base_bounded_int((int)left, 0, image->width - 1),
            x1 = base_bounded_int((int)left + 1, 0, image->width - 1);
  const int y0 = base_bounded_int((int)top, 0, image->height - 1),
            y1 = base_bounded_int((int)top + 1, 0, image->height - 1);
  const float *const a = linear + 3 * ((size_t)y0 * (size_t)image->width + (size_t)x0);
  const float *const b = linear + 3 * ((size_t)y0 * (size_t)image->width + (size_t)x1);
  const float *const c = linear + 3 * ((size_t)y1 * (size_t)image->width + (size_t)x0);
  const float *const d = linear + 3 * ((size_t)y1 * (size_t)image->width + (size_t)x1);
  for (int k = 0; k < 3; k++)
    sum[k] +=
        (1 - fy) * ((1 - fx) * (double)a[k] + fx * (double)b[k]) + fy * ((1 - fx) * (double)c[k] + fx * (double)d[k]);
}

static int samples_for(bc_look_point from, bc_look_point to) {
  return base_bounded_int((int)ceil(hypot(to.x - from.x, to.y - from.y) - 0.25), 0, MOST_SAMPLES);
}

static bc_look_point look_map_at(const look_map *map, double x, double y) {
  return look_bend(bc_homography_apply(&map->straight, (bc_look_point){x, y}), map->width, map->height, map->bend);
}

static void mean_over_pixel(double mean[3], const float *linear, const bc_image *image, const look_map *map, int x,
                            int y) {
  const bc_look_point middle = look_map_at(map, x + 0.5, y + 0.5);
  int nx = samples_for(middle, look_map_at(map, x + 1.5, y + 0.5));
  int ny = samples_for(middle, look_map_at(map, x + 0.5, y + 1.5));
  if (nx < 1) nx = 1;
  if (ny < 1) ny = 1;
  double sum[3] = {0};
  for (int j = 0; j < ny; j++)
    for (int i = 0; i < nx; i++)
      add_sample(sum, linear, image, look_map_at(map, x + (i + 0.5) / nx, y + (j + 0.5) / ny));
  for (int c = 0; c < 3; c++) mean[c] = sum[c] / (nx * ny);
}

bc_status look_rectify(bc_image **out, bc_context *context, const bc_image *image, const look_map *map, int width,
                       int height) {
  bc_status status = look_image_new(out, context, image, width, height);
  if (status != BC_OK) return status;
  float *linear = linear_of(image);
  if (!linear) {
    bc_image_free(*out);
    *out = NULL;
    return bc_fail_memory(context);
  }
  for (int y = 0; y < height; y++)
    for (int x = 0; x < width; x++) {
      double mean[3];
      mean_over_pixel(mean, linear, image, map, x, y);
      const bc_colour colour = bc_colour_from_linear_srgb(mean);
      const size_t i = (size_t)y * (size_t)width + (size_t)x;
      (*out)->L[i] = (float)colour.lab.L;
      (*out)->a[i] = (float)colour.lab.a;
      (*out)->b[i] = (float)colour.lab.b;
      (*out)->Y[i] = (float)colour.luminance;
    }
  free(linear);
  return BC_OK;
}
