/* SPDX-License-Identifier: MIT */
/* A mask as the first guess: its mean over each cell. */
#include "base/base.h"

#include <backcloth/cutout.h>

/* The mean alpha of the mask over one cell. */
static float cell_mean(const bc_cutout *mask, int x, int y, int width, int height) {
  const int left = (int)((int64_t)x * mask->width / width), top = (int)((int64_t)y * mask->height / height);
  int right = (int)((int64_t)(x + 1) * mask->width / width), bottom = (int)((int64_t)(y + 1) * mask->height / height);
  if (right <= left) right = left + 1;
  if (bottom <= top) bottom = top + 1;
  double sum = 0;
  for (int row = top; row < bottom; row++)
    for (int column = left; column < right; column++)
      sum += mask->alpha[(size_t)row * (size_t)mask->width + (size_t)column];
  return (float)(sum / (255.0 * (right - left) * (bottom - top)));
}

bool bc_cutout_guess_of_mask(void *data, const bc_image *image, int width, int height, float *probability) {
  const bc_cutout *mask = data;
  (void)image;
  for (int y = 0; y < height; y++)
    for (int x = 0; x < width; x++)
      probability[(size_t)y * (size_t)width + (size_t)x] = cell_mean(mask, x, y, width, height);
  return true;
}
