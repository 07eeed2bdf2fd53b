/* SPDX-License-Identifier: MIT */
/* Made photos: room for them, and their files. */
#include "scene_file.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include <jpeglib.h>

uint32_t bench_chance_state;

double bench_chance(void) {
  bench_chance_state = bench_chance_state * 1664525u + 1013904223u;
  return (double)(bench_chance_state >> 8) / 16777216.0;
}

double bench_between(double least, double most) {
  return least + (most - least) * bench_chance();
}

int bench_scene_new(bench_scene *out, int width, int height) {
  const size_t count = (size_t)width * (size_t)height;
  *out = (bench_scene){width, height, calloc(3 * count, sizeof(double)), calloc(count, sizeof(double)),
                       calloc(count, sizeof(double))};
  return out->rgb && out->alpha && out->shadow;
}

void bench_scene_clear(bench_scene *all) {
  free(all->rgb);
  free(all->alpha);
  free(all->shadow);
}

/* ---- writing ---- */

static uint8_t encoded(double linear) {
  const double grain = bench_between(-0.006, 0.006), clipped = fmin(fmax(linear, 0), 1);
  const double value = clipped <= 0.0031308 ? 12.92 * clipped : 1.055 * pow(clipped, 1 / 2.4) - 0.055; /* sRGB */
  return (uint8_t)(255 * fmin(fmax(value + grain, 0), 1) + 0.5);
}

int bench_scene_write_jpeg(const bench_scene *all, const char *path) {
  FILE *stream = fopen(path, "wb");
  if (!stream) return -1;
  struct jpeg_compress_struct info;
  struct jpeg_error_mgr errors;
  info.err = jpeg_std_error(&errors);
  jpeg_create_compress(&info);
  jpeg_stdio_dest(&info, stream);
  info.image_width = (JDIMENSION)all->width;
  info.image_height = (JDIMENSION)all->height;
  info.input_components = 3;
  info.in_color_space = JCS_RGB;
  jpeg_set_defaults(&info);
  jpeg_set_quality(&info, 88, TRUE);
  jpeg_start_compress(&info, TRUE);
  uint8_t row[3 * bench_scene_widest];
  for (int y = 0; y < all->height; y++) {
    for (int i = 0; i < 3 * all->width; i++) row[i] = encoded(all->rgb[3 * y * all->width + i]);
    JSAMPROW rows[1] = {row};
    (void)jpeg_write_scanlines(&info, rows, 1);
  }
  jpeg_finish_compress(&info);
  jpeg_destroy_compress(&info);
  return fclose(stream);
}

bc_status bench_scene_write_mask(const bench_scene *all, bc_context *context, const char *path) {
  const size_t count = (size_t)all->width * (size_t)all->height;
  uint8_t *alpha = malloc(count);
  if (!alpha) return BC_OUR_FAULT;
  for (size_t i = 0; i < count; i++) alpha[i] = (uint8_t)(255 * fmin(all->alpha[i], 1) + 0.5);
  const bc_cutout mask = {.width = all->width, .height = all->height, .alpha = alpha};
  const bc_image size = {
      .width = all->width, .height = all->height, .full_width = all->width, .full_height = all->height};
  const bc_status status = bc_cutout_write_png(&mask, context, &size, path);
  free(alpha);
  return status;
}
