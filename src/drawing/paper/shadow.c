/* SPDX-License-Identifier: MIT */
/* The soft shadow of a sprite: its alpha, reduced, moved away from the light and blurred by three
 * box filters, which together come close to a Gaussian (central limit theorem). */
#include "paper.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* One pass of a running mean over `count` values `step` apart. */
static void blur_line(uint8_t *line, uint8_t *copy, int count, size_t step, int radius) {
  for (int i = 0; i < count; i++) copy[i] = line[(size_t)i * step];
  const int span = 2 * radius + 1;
  int sum = 0;
  for (int i = -radius; i < count + radius; i++) {
    sum += i + radius < count ? copy[i + radius] : 0;
    if (i >= 0 && i < count) line[(size_t)i * step] = (uint8_t)(sum / span);
    sum -= i - radius >= 0 && i - radius < count ? copy[i - radius] : 0;
  }
}

static bool blur(uint8_t *plane, int width, int height, int radius) {
  uint8_t *const copy = bc_allocate((size_t)(width > height ? width : height), 1);
  if (!copy) return false;
  for (int pass = 0; pass < 3; pass++) {
    for (int y = 0; y < height; y++) blur_line(plane + (size_t)y * (size_t)width, copy, width, 1, radius);
    for (int x = 0; x < width; x++) blur_line(plane + x, copy, height, (size_t)width, radius);
  }
  free(copy);
  return true;
}

/* Mean alpha of the step x step pixels of the sprite whose first is at sx, sy of the sprite. */
static uint8_t cell(const drawing_sprite *sprite, int sx, int sy, int step) {
  uint32_t sum = 0;
  for (int y = sy; y < sy + step; y++)
    for (int x = sx; x < sx + step; x++)
      if (x >= 0 && y >= 0 && x < sprite->width && y < sprite->height)
        sum += sprite->pixels[4 * ((size_t)y * (size_t)sprite->width + (size_t)x) + 3] >> 8;
  return (uint8_t)(sum / (uint32_t)(step * step));
}

bc_status drawing_sprite_cast(drawing_sprite *sprite, bc_context *context, double lift, float strength) {
  const double radius = fmax(0.6, 0.33 * lift);
  const int step = (int)fmax(1, floor(radius));
  const int blur_radius = (int)lrint(radius / step);
  const int pad = 3 * blur_radius + 2;
  const int move_x = (int)lrint(0.30 * lift), move_y = (int)lrint(0.55 * lift);
  const int width = (sprite->width + step - 1) / step + 2 * pad, height = (sprite->height + step - 1) / step + 2 * pad;
  uint8_t *const plane = bc_allocate((size_t)width * (size_t)height, 1);
  if (!plane) return bc_fail_memory(context);
  for (int y = pad; y < height - pad; y++)
    for (int x = pad; x < width - pad; x++)
      plane[(size_t)y * (size_t)width + (size_t)x] = cell(sprite, (x - pad) * step, (y - pad) * step, step);
  if (!blur(plane, width, height, blur_radius)) {
    free(plane);
    return bc_fail_memory(context);
  }
  free(sprite->shadow);
  sprite->shadow = plane;
  sprite->shadow_width = width;
  sprite->shadow_height = height;
  sprite->shadow_step = step;
  sprite->shadow_left = sprite->left - pad * step + move_x;
  sprite->shadow_top = sprite->top - pad * step + move_y;
  sprite->shadow_strength = strength;
  return BC_OK;
}
