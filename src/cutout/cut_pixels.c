/* SPDX-License-Identifier: MIT */
/* Cuts the undecided pixels of an image. What cut_scene.c is for a grid, without planes of borders: few pixels are
 * open, so that their borders are worked out as they come. */
#include "base/vectors.h"
#include "pixels.h"

typedef struct pixels {
  const bc_image *image;
  const int16_t *pull;
  float scale, stiffness;
} pixels;

static float difference(const bc_image *image, size_t i, size_t other) {
  const float L = image->L[i] - image->L[other], a = image->a[i] - image->a[other], b = image->b[i] - image->b[other];
  return L * L + a * a + b * b;
}

/* As in edges.c, from every eighth row. */
static float scale_of(const bc_image *image) {
  const size_t width = (size_t)image->width;
  double sum = 0;
  size_t pairs = 0;
  for (size_t y = 0; y + 1 < (size_t)image->height; y += 8) {
    float row = 0;
    for (size_t i = y * width; i + 1 < (y + 1) * width; i++)
      row += difference(image, i, i + 1) + difference(image, i, i + width);
    sum += (double)row;
    pairs += 2 * (width - 1);
  }
  return sum > 0 ? (float)((double)pairs / (2 * sum)) : 1.0f;
}

/* The borders between `count` pixels and those `step` further on. */
BC_WIDER_VECTORS
static void set_borders(int16_t *restrict border, const float *const lab[3], ptrdiff_t step, float scale, float full,
                        ptrdiff_t count) {
  const float *restrict L = lab[0], *restrict a = lab[1], *restrict b = lab[2];
  for (ptrdiff_t i = 0; i < count; i++) {
    const float dL = L[i] - L[i + step], da = a[i] - a[i + step], db = b[i] - b[i + step];
    border[i] = cutout_flow_border(full * cutout_edge_share(scale * (dL * dL + da * da + db * db)));
  }
}

static void give_borders(const void *cargo, int y, int left, int right, int16_t *const border[4]) {
  const pixels *p = cargo;
  const bc_image *image = p->image;
  const int width = image->width, steps[4] = {1, width, width + 1, width - 1};
  for (int k = 0; k < 4; k++) {
    const bool below = k == 0 || y + 1 < image->height;
    const int from = k == 3 && left == 0 ? 1 : left, to = k % 2 == 0 && right == width ? width - 1 : right;
    for (int x = left; x < right; x++)
      if (!below || x < from || x >= to) border[k][x] = 0;
    if (!below || to <= from) continue;
    const size_t i = (size_t)y * (size_t)width + (size_t)from;
    const float *const lab[3] = {image->L + i, image->a + i, image->b + i};
    set_borders(border[k] + from, lab, steps[k], p->scale, p->stiffness * cutout_full_edge(k), to - from);
  }
}

static void give_pulls(const void *cargo, int y, int left, int right, int32_t *pull) {
  const pixels *p = cargo;
  const int16_t *row = p->pull + (size_t)y * (size_t)p->image->width;
  for (int x = left; x < right; x++) pull[x] = row[x];
}

bc_status cutout_cut_pixels(uint8_t *state, bc_context *context, const bc_image *image, const int16_t *pull,
                            float stiffness) {
  const pixels p = {image, pull, scale_of(image), stiffness};
  const cutout_raster raster = {.width = image->width,
                                .height = image->height,
                                .state = state,
                                .cargo = &p,
                                .borders = give_borders,
                                .pulls = give_pulls};
  cutout_flow *flow = NULL;
  const bc_status status = cutout_raster_cut(&raster, context, &flow);
  cutout_flow_free(flow);
  return status;
}
