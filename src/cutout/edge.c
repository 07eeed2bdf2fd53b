/* SPDX-License-Identifier: MIT */
/* From the answer on the grid to a soft alpha at the image's own size: alpha is a linear function of
 * colour in every small window. Source: He, Sun and Tang, "Guided image filtering", IEEE TPAMI 35(6),
 * 2013; the functions are found on the grid and applied to the pixels, as in He and Sun, "Fast guided
 * filter", arXiv:1505.00996, 2015. */
#include "cutout_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { reach = 2 };                    /* cells each way */
static const float least_variance = 6; /* of a Lab channel: weaker differences are noise */
static const float sharpen = 2.2f;     /* windows blur the step by about this */

/* ---- means over windows ---- */

static void means_along(float *to, const float *from, int count) {
  for (int x = 0; x < count; x++) {
    const int first = x > reach ? x - reach : 0, last = x + reach < count ? x + reach : count - 1;
    float sum = 0;
    for (int i = first; i <= last; i++) sum += from[i];
    to[x] = sum / (float)(last - first + 1);
  }
}

static void means_down(float *restrict to, const float *restrict from, int y, int width, int height) {
  const int first = y > reach ? y - reach : 0, last = y + reach < height ? y + reach : height - 1;
  const float scale = 1.0f / (float)(last - first + 1);
  for (int x = 0; x < width; x++) to[x] = 0;
  for (int i = first; i <= last; i++)
    for (int x = 0; x < width; x++) to[x] += from[i * width + x];
  for (int x = 0; x < width; x++) to[x] *= scale;
}

static void window_means(float *plane, const cutout_grid *grid, float *work) {
  for (int y = 0; y < grid->height; y++) means_along(work + y * grid->width, plane + y * grid->width, grid->width);
  for (int y = 0; y < grid->height; y++) means_down(plane + y * grid->width, work, y, grid->width, grid->height);
}

/* ---- the linear functions ---- */

enum { MEAN = 0, MASK = 3, PRODUCT = 4, MASKED = 10, PLANES = 13 }; /* 3 means, mask, 6 products, 3 with the mask */

typedef struct edge_work {
  const cutout_scene *scene;
  float *plane[PLANES], *work;
} edge_work;

static const int product_of[6][2] = {{0, 0}, {0, 1}, {0, 2}, {1, 1}, {1, 2}, {2, 2}};

static void fill_planes(edge_work *w) {
  const cutout_grid *grid = &w->scene->grid;
  for (size_t i = 0; i < grid->count; i++) {
    const float mask = w->scene->piece[i];
    w->plane[MASK][i] = mask;
    for (int c = 0; c < 3; c++) {
      w->plane[MEAN + c][i] = grid->lab[c][i];
      w->plane[MASKED + c][i] = mask * grid->lab[c][i];
    }
    for (int p = 0; p < 6; p++)
      w->plane[PRODUCT + p][i] = grid->lab[product_of[p][0]][i] * grid->lab[product_of[p][1]][i];
  }
  for (int p = 0; p < PLANES; p++) window_means(w->plane[p], grid, w->work);
}

/* Solves the symmetric 3 x 3 system (S + least_variance) a = v by Cramer's rule. */
static void solve(float a[3], const float s[6], const float v[3]) {
  const float m00 = s[0] + least_variance, m11 = s[3] + least_variance, m22 = s[5] + least_variance;
  const float m01 = s[1], m02 = s[2], m12 = s[4];
  const float c00 = m11 * m22 - m12 * m12, c01 = m02 * m12 - m01 * m22, c02 = m01 * m12 - m02 * m11;
  const float c11 = m00 * m22 - m02 * m02, c12 = m01 * m02 - m00 * m12, c22 = m00 * m11 - m01 * m01;
  const float determinant = m00 * c00 + m01 * c01 + m02 * c02;
  a[0] = (c00 * v[0] + c01 * v[1] + c02 * v[2]) / determinant;
  a[1] = (c01 * v[0] + c11 * v[1] + c12 * v[2]) / determinant;
  a[2] = (c02 * v[0] + c12 * v[1] + c22 * v[2]) / determinant;
}

/* Puts a into planes MASKED.. and b into plane MASK, averaged over windows. */
static void find_functions(edge_work *w) {
  const cutout_grid *grid = &w->scene->grid;
  for (size_t i = 0; i < grid->count; i++) {
    const float mask = w->plane[MASK][i];
    float mean[3], products[6], masked[3], a[3];
    for (int c = 0; c < 3; c++) {
      mean[c] = w->plane[MEAN + c][i];
      masked[c] = w->plane[MASKED + c][i] - mask * mean[c];
    }
    for (int p = 0; p < 6; p++)
      products[p] = w->plane[PRODUCT + p][i] - mean[product_of[p][0]] * mean[product_of[p][1]];
    solve(a, products, masked);
    for (int c = 0; c < 3; c++) w->plane[MASKED + c][i] = a[c];
    w->plane[MASK][i] = mask - a[0] * mean[0] - a[1] * mean[1] - a[2] * mean[2];
  }
  for (int p = 0; p < 4; p++) window_means(w->plane[p == 3 ? MASK : MASKED + p], grid, w->work);
}

/* ---- applying them ---- */

/* Near the outline: the cells within `reach` of a cell do not agree. 255 / 0 when they do. */
static void set_certain(uint8_t *certain, const cutout_scene *scene) {
  const cutout_grid *grid = &scene->grid;
  enum { OUTLINE = 1 };
  for (size_t i = 0; i < grid->count; i++) certain[i] = scene->piece[i] ? 255 : 0;
  for (int y = 0; y < grid->height; y++)
    for (int x = 0; x < grid->width; x++) {
      const int i = y * grid->width + x;
      const bool right = x + 1 < grid->width && scene->piece[i] != scene->piece[i + 1];
      const bool below = y + 1 < grid->height && scene->piece[i] != scene->piece[i + grid->width];
      if (!right && !below) continue;
      for (int row = y - reach + 1; row <= y + reach; row++)
        for (int column = x - reach + 1; column <= x + reach; column++)
          if (row >= 0 && column >= 0 && row < grid->height && column < grid->width)
            certain[row * grid->width + column] = OUTLINE;
    }
  for (size_t i = 0; scene->marked && i < grid->count; i++) /* the user's word is not smoothed away */
    if (scene->marked[i]) certain[i] = scene->piece[i] ? 255 : 0;
}

typedef struct line {
  int first, second;
  float part;
} line;

/* The two cells between whose middles the middle of pixel `at` lies. */
static line cells_at(int at, int pixels, int cells) {
  const float place = ((float)at + 0.5f) * (float)cells / (float)pixels - 0.5f;
  const float clamped = place < 0 ? 0 : place > (float)(cells - 1) ? (float)(cells - 1) : place;
  const int first = (int)clamped;
  return (line){first, first + 1 < cells ? first + 1 : first, clamped - (float)first};
}

static uint8_t alpha_at(const edge_work *w, const bc_image *image, size_t pixel, line across, line down) {
  const int width = w->scene->grid.width;
  const int corner[4] = {down.first * width + across.first, down.first * width + across.second,
                         down.second * width + across.first, down.second * width + across.second};
  const float share[4] = {(1 - down.part) * (1 - across.part), (1 - down.part) * across.part,
                          down.part * (1 - across.part), down.part * across.part};
  const float colour[3] = {image->L[pixel], image->a[pixel], image->b[pixel]};
  float alpha = 0;
  for (int k = 0; k < 4; k++) {
    float value = w->plane[MASK][corner[k]];
    for (int c = 0; c < 3; c++) value += w->plane[MASKED + c][corner[k]] * colour[c];
    alpha += share[k] * value;
  }
  const float sharp = 0.5f + sharpen * (alpha - 0.5f);
  return sharp <= 0 ? 0 : sharp >= 1 ? 255 : (uint8_t)(255 * sharp + 0.5f);
}

static void apply(const edge_work *w, uint8_t *alpha, const bc_image *image, const uint8_t *certain,
                  const line *across) {
  const cutout_grid *grid = &w->scene->grid;
  for (int y = 0; y < image->height; y++) {
    const line down = cells_at(y, image->height, grid->height);
    const uint8_t *row = certain + (int)((int64_t)y * grid->height / image->height) * grid->width;
    for (int x = 0; x < image->width; x++) {
      const size_t i = (size_t)y * (size_t)image->width + (size_t)x;
      const uint8_t here = row[across[x].part < 0.5f ? across[x].first : across[x].second];
      alpha[i] = here != 1 ? here : alpha_at(w, image, i, across[x], down);
    }
  }
}

bc_status cutout_edge(uint8_t *alpha, bc_context *context, const bc_image *image, const cutout_scene *scene) {
  const cutout_grid *grid = &scene->grid;
  edge_work w = {.scene = scene, .work = bc_allocate(grid->count, sizeof(float))};
  uint8_t *certain = bc_allocate(grid->count, 1);
  line *across = bc_allocate((size_t)image->width, sizeof *across);
  bool ready = w.work && certain && across;
  for (int p = 0; p < PLANES; p++) ready = (w.plane[p] = bc_allocate(grid->count, sizeof(float))) != NULL && ready;
  if (ready) {
    fill_planes(&w);
    find_functions(&w);
    set_certain(certain, scene);
    for (int x = 0; x < image->width; x++) across[x] = cells_at(x, image->width, grid->width);
    apply(&w, alpha, image, certain, across);
  }
  for (int p = 0; p < PLANES; p++) free(w.plane[p]);
  free(w.work);
  free(certain);
  free(across);
  return ready ? BC_OK : bc_fail_memory(context);
}
