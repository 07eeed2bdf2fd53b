/* SPDX-License-Identifier: MIT */
/* A small image for fuzz targets: a darker square on a light ground. */
#ifndef BC_TESTS_FUZZ_IMAGE_H
#define BC_TESTS_FUZZ_IMAGE_H

#include <backcloth/colour.h>
#include <stdlib.h>

#define PROMISE(condition)                                                                                             \
  if (!(condition)) abort()

/* Its planes lie one after another, as the library's do; free with bc_image_free. `grey` gives L* 0..100 of a pixel. */
static inline bc_image *fuzz_image(int width, int height, float (*grey)(void *data, int x, int y), void *data) {
  bc_image *image = calloc(1, sizeof *image);
  const size_t count = (size_t)width * (size_t)height;
  float *planes = calloc(4 * count, sizeof *planes);
  PROMISE(image && planes);
  image->width = image->full_width = width;
  image->height = image->full_height = height;
  image->L = planes, image->a = planes + count, image->b = planes + 2 * count, image->Y = planes + 3 * count;
  for (size_t i = 0; i < count; i++) {
    image->L[i] = grey(data, (int)(i % (size_t)width), (int)(i / (size_t)width));
    image->Y[i] = image->L[i] / 100 * image->L[i] / 100;
  }
  return image;
}

#endif
