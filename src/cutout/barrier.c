/* SPDX-License-Identifier: MIT */
/* How far every pixel is from the photo's border when crossing colours costs: the minimum barrier
 * distance by raster scans. Source: Zhang, Sclaroff, Lin, Shen, Price and Mech, "Minimum barrier
 * salient object detection at 80 FPS", ICCV 2015. */
#include "base/base.h"
#include "prior.h"

#include <math.h>
#include <stdlib.h>

typedef struct barrier {
  float *distance, *high, *low;
  const float *value;
} barrier;

static void relax(const barrier *map, int at, int from) {
  const float value = map->value[at];
  const float high = value > map->high[from] ? value : map->high[from];
  const float low = value < map->low[from] ? value : map->low[from];
  if (high - low >= map->distance[at]) return;
  map->distance[at] = high - low;
  map->high[at] = high;
  map->low[at] = low;
}

static void scan_forward(const barrier *map, int width, int height) {
  for (int y = 1; y < height - 1; y++)
    for (int x = 1; x < width - 1; x++) {
      relax(map, y * width + x, y * width + x - 1);
      relax(map, y * width + x, y * width + x - width);
    }
}

static void scan_backward(const barrier *map, int width, int height) {
  for (int y = height - 2; y > 0; y--)
    for (int x = width - 2; x > 0; x--) {
      relax(map, y * width + x, y * width + x + 1);
      relax(map, y * width + x, y * width + x + width);
    }
}

static void start(const barrier *map, int width, int height, const uint8_t *fixed) {
  for (int y = 0; y < height; y++)
    for (int x = 0; x < width; x++) {
      const int i = y * width + x;
      const bool border = x == 0 || y == 0 || x == width - 1 || y == height - 1 || fixed[i] == CUTOUT_IS_BACKGROUND;
      map->distance[i] = border ? 0 : INFINITY;
      map->high[i] = map->low[i] = map->value[i];
    }
}

bc_status cutout_barrier(float *distance, bc_context *context, const cutout_grid *grid, const uint8_t *fixed) {
  barrier map = {.distance = bc_allocate(grid->count, sizeof(float)),
                 .high = bc_allocate(grid->count, sizeof(float)),
                 .low = bc_allocate(grid->count, sizeof(float))};
  const bool ready = map.distance && map.high && map.low;
  for (size_t i = 0; i < grid->count; i++) distance[i] = 0;
  for (int channel = 0; ready && channel < 3; channel++) {
    map.value = grid->lab[channel];
    start(&map, grid->width, grid->height, fixed);
    scan_forward(&map, grid->width, grid->height);
    scan_backward(&map, grid->width, grid->height);
    scan_forward(&map, grid->width, grid->height);
    for (size_t i = 0; i < grid->count; i++) distance[i] += isinf(map.distance[i]) ? 0 : map.distance[i];
  }
  free(map.distance);
  free(map.high);
  free(map.low);
  return ready ? BC_OK : bc_fail_memory(context);
}
