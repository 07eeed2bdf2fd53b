/* SPDX-License-Identifier: MIT */
/* From the answer on the image's pixels to a soft alpha. At an edge the light of piece and background mixes, so alpha
 * is where a pixel's light lies between the two means found round about, which are trusted as far as their spread
 * allows (a maximum a posteriori estimate for Gaussians; two colours as in Chuang, Curless, Salesin and Szeliski, "A
 * Bayesian approach to digital matting", CVPR 2001). */
#include "cutout_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { soft = 2, reach = 5 }; /* pixels: how far the edge may be soft, and where its colours are looked for */
/* Variance of alpha round the hard answer, slightly blurred: away from the outline, and more on it. Our choices. */
static const float least_doubt = 0.02f, most_doubt = 0.1f;
static const float least_spread = 0.01f; /* of light, of full light: noise and compression; and as a share of it: */
static const float least_share = 0.05f;

enum { BACKGROUND = 0, PIECE = 1, NEAR = 2 }; /* NEAR is added to either beside the outline */

/* CIEXYZ over the white's, and 1, so that sums of it are counted. */
typedef float light_and_one __attribute__((vector_size(16)));

/* Light is worked out only in the tiles that the outline comes near. */
enum { tile = 16 };

typedef struct edge_work {
  const bc_image *image;
  const uint8_t *piece;
  uint8_t *kind; /* BACKGROUND or PIECE, + NEAR */
  uint8_t *wanted;
  int tiles_across;
  light_and_one *light;
} edge_work;

typedef struct colour_sums {
  light_and_one first, second;
} colour_sums;

/* ---- the neighbourhood of the outline ---- */

static int within(int value, int end) {
  return value < 0 ? 0 : value < end ? value : end - 1;
}

/* All tiles that a pixel near this place looks at: a window is narrower than a tile, so its corners find them. */
static void want_light(edge_work *w, int x, int y) {
  const int width = w->image->width, height = w->image->height, far = soft + reach;
  for (int corner = 0; corner < 4; corner++) {
    const int column = within(x + (corner & 1 ? far : -far), width),
              row = within(y + (corner & 2 ? far : -far), height);
    w->wanted[row / tile * w->tiles_across + column / tile] = 1;
  }
}

static void mark_near(edge_work *w, int x, int y) {
  const int width = w->image->width, height = w->image->height;
  want_light(w, x, y);
  for (int row = y - soft + 1; row <= y + soft; row++)
    for (int column = x - soft + 1; column <= x + soft; column++)
      if (row >= 0 && column >= 0 && row < height && column < width) w->kind[row * width + column] |= NEAR;
}

static void set_kinds(edge_work *w) {
  const int width = w->image->width, height = w->image->height;
  memcpy(w->kind, w->piece, (size_t)width * (size_t)height);
  for (int y = 0; y < height; y++)
    for (int x = 0; x < width; x++) {
      const int i = y * width + x;
      const bool right = x + 1 < width && w->piece[i] != w->piece[i + 1];
      const bool below = y + 1 < height && w->piece[i] != w->piece[i + width];
      if (right || below) mark_near(w, x, y);
    }
}

static float cubed(float f) {
  return f > 6.0f / 29 ? f * f * f : (f - 4.0f / 29) * (108.0f / 841);
}

static void set_light_in(edge_work *w, int left, int top) {
  const bc_image *image = w->image;
  for (int row = top; row < top + tile && row < image->height; row++)
    for (int column = left; column < left + tile && column < image->width; column++) {
      const size_t i = (size_t)row * (size_t)image->width + (size_t)column;
      const float y = (image->L[i] + 16) / 116;
      w->light[i] = (light_and_one){cubed(y + image->a[i] / 500), cubed(y), cubed(y - image->b[i] / 200), 1};
    }
}

static void set_light(edge_work *w) {
  for (int top = 0; top < w->image->height; top += tile)
    for (int left = 0; left < w->image->width; left += tile)
      if (w->wanted[top / tile * w->tiles_across + left / tile]) set_light_in(w, left, top);
}

/* ---- alpha ---- */

static void add(colour_sums *to, const edge_work *w, int i) {
  const light_and_one v = w->light[i];
  to->first += v;
  to->second += v * v;
}

/* The colours of both sides round a pixel: [0] of the background, [1] of the piece, away from the outline. */
static void gather(colour_sums sums[2], float *hard, const edge_work *w, int x, int y) {
  const int width = w->image->width, height = w->image->height;
  const int left = x > reach ? x - reach : 0, right = x + reach < width ? x + reach : width - 1;
  const int top = y > reach ? y - reach : 0, bottom = y + reach < height ? y + reach : height - 1;
  float weight = 0, inside = 0;
  for (int row = top; row <= bottom; row++)
    for (int column = left; column <= right; column++) {
      const int i = row * width + column;
      if (w->kind[i] < NEAR) add(&sums[w->kind[i]], w, i);
      if (abs(row - y) > 1 || abs(column - x) > 1) continue;
      const float share = (float)((2 - abs(row - y)) * (2 - abs(column - x)));
      weight += share;
      inside += share * (float)w->piece[i];
    }
  *hard = inside / weight;
}

static float alpha_at(const edge_work *w, int x, int y) {
  colour_sums sums[2] = {{{0}, {0}}, {{0}, {0}}};
  float hard = 0, along = 0, length = 0;
  gather(sums, &hard, w, x, y);
  const float count[2] = {sums[0].first[3], sums[1].first[3]};
  if (count[0] < 3 || count[1] < 3) return hard;
  const int i = y * w->image->width + x;
  for (int c = 0; c < 3; c++) {
    const float mean[2] = {sums[0].first[c] / count[0], sums[1].first[c] / count[1]};
    const float between = mean[1] - mean[0], here = w->light[i][c] - mean[0];
    float noise = least_spread + least_share * w->light[i][c];
    noise *= noise;
    for (int k = 0; k < 2; k++) noise += 0.5f * (sums[k].second[c] / count[k] - mean[k] * mean[k]);
    along += between * here / noise;
    length += between * between / noise;
  }
  const float doubt = least_doubt + most_doubt * 4 * hard * (1 - hard);
  return (along + hard / doubt) / (length + 1 / doubt);
}

bc_status cutout_edge(uint8_t *alpha, bc_context *context, const bc_image *image, const uint8_t *piece) {
  const size_t count = (size_t)image->width * (size_t)image->height;
  edge_work w = {.image = image, .piece = piece, .tiles_across = image->width / tile + 1};
  w.kind = bc_allocate(count, 1);
  w.wanted = bc_allocate((size_t)w.tiles_across * (size_t)(image->height / tile + 1), 1);
  w.light = bc_allocate(count, sizeof *w.light);
  const bool ready = w.kind && w.wanted && w.light;
  if (ready) {
    set_kinds(&w);
    set_light(&w);
  }
  for (int y = 0; ready && y < image->height; y++)
    for (int x = 0; x < image->width; x++) {
      const size_t i = (size_t)y * (size_t)image->width + (size_t)x;
      if (w.kind[i] < NEAR) {
        alpha[i] = piece[i] ? 255 : 0;
        continue;
      }
      const float found = alpha_at(&w, x, y);
      alpha[i] = found <= 0.02f ? 0 : found >= 0.98f ? 255 : (uint8_t)(255 * found + 0.5f);
    }
  free(w.light);
  free(w.wanted);
  free(w.kind);
  return ready ? BC_OK : bc_fail_memory(context);
}
