/* SPDX-License-Identifier: MIT */
/* What the program's own network says of a photo. It looks at the whole, stretched to a square of 256 places; where the
 * piece turns out to be small, it looks once more at its surroundings alone, which it then sees larger. */
#include "network_guess.h"

#include "base/base.h"
#include "network.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { SIDE = 256 };
static const float most_odds = 5.8f; /* its log odds: what it is surest of is wrong once in some hundred photos */

/* ---- in ---- */

typedef struct view { /* what it looks at, in pixels of the image */
  double left, top, width, height;
} view;

/* The pixels of one place along one side. */
static void pixels_of(int place, double start, double length, int most, int *first, int *end) {
  *first = (int)(start + length * place / SIDE);
  *end = (int)ceil(start + length * (place + 1) / SIDE);
  if (*first > most - 1) *first = most - 1;
  if (*end > most) *end = most;
  if (*end <= *first) *end = *first + 1;
}

static uint8_t byte_of(float value) {
  return (uint8_t)(value <= 0 ? 0 : value >= 255 ? 255 : (int)(value + 0.5f));
}

static void take_row(uint8_t *picture, const bc_image *image, const view *of, int y) {
  int top, bottom;
  pixels_of(y, of->top, of->height, image->height, &top, &bottom);
  for (int x = 0; x < SIDE; x++) {
    int left, right;
    pixels_of(x, of->left, of->width, image->width, &left, &right);
    float sum[3] = {0};
    for (int row = top; row < bottom; row++)
      for (int column = left; column < right; column++) {
        const size_t i = (size_t)row * (size_t)image->width + (size_t)column;
        sum[0] += image->L[i];
        sum[1] += image->a[i];
        sum[2] += image->b[i];
      }
    const float count = (float)((right - left) * (bottom - top));
    *picture++ = byte_of(2.55f * sum[0] / count);
    *picture++ = byte_of(128 + sum[1] / count);
    *picture++ = byte_of(128 + sum[2] / count);
  }
}

static bc_status look(float *odds, bc_context *context, const bc_image *image, const view *at) {
  const network *net;
  bc_status status = network_ours(&net, context);
  if (status != BC_OK) return status;
  uint8_t *picture = bc_allocate((size_t)SIDE * SIDE, 3);
  if (!picture) return bc_fail_memory(context);
  for (int y = 0; y < SIDE; y++) take_row(picture + (ptrdiff_t)(3 * y * SIDE), image, at, y);
  status = network_run(odds, context, net, picture, SIDE);
  free(picture);
  return status;
}

/* ---- out ---- */

/* Of one row of pixels, between the places of the view; pixels outside the view keep what they have. */
static void give_row(float *row, int width, int y, const view *at, const float *odds) {
  const double from_top = (y + 0.5 - at->top) * SIDE / at->height - 0.5;
  if (from_top < -0.5 || from_top > SIDE - 0.5) return;
  const double v = from_top < 0 ? 0 : from_top > SIDE - 1 ? SIDE - 1 : from_top;
  const int above = (int)v, below = above + 1 < SIDE ? above + 1 : above;
  const float down = (float)(v - above);
  for (int x = 0; x < width; x++) {
    const double from_left = (x + 0.5 - at->left) * SIDE / at->width - 0.5;
    if (from_left < -0.5 || from_left > SIDE - 0.5) continue;
    const double u = from_left < 0 ? 0 : from_left > SIDE - 1 ? SIDE - 1 : from_left;
    const int one = (int)u, two = one + 1 < SIDE ? one + 1 : one;
    const float over = (float)(u - one);
    const float *high = odds + (ptrdiff_t)(above * SIDE), *low = odds + (ptrdiff_t)(below * SIDE);
    const float first = high[one] + over * (high[two] - high[one]), second = low[one] + over * (low[two] - low[one]);
    row[x] = first + down * (second - first);
  }
}

static void to_probabilities(float *guess, size_t count) {
  for (size_t i = 0; i < count; i++) {
    const float odds = guess[i] > most_odds ? most_odds : guess[i] < -most_odds ? -most_odds : guess[i];
    guess[i] = 1 / (1 + expf(-odds));
  }
}

/* ---- a closer look ---- */

/* The surroundings of what was found, with a margin; false when that is most of the picture, or nothing. */
static bool closer(view *next, const float *odds, const bc_image *image) {
  const float likely = 0.5f, worth = 0.62f, margin = 0.18f;
  int left = SIDE, right = -1, top = SIDE, bottom = -1;
  for (int y = 0; y < SIDE; y++)
    for (int x = 0; x < SIDE; x++) {
      if (odds[y * SIDE + x] < likely) continue;
      left = x < left ? x : left;
      right = x > right ? x : right;
      top = y < top ? y : top;
      bottom = y > bottom ? y : bottom;
    }
  if (right < left) return false;
  const double across = (double)image->width / SIDE, down = (double)image->height / SIDE;
  double side = fmax((right - left + 1) * across, (bottom - top + 1) * down) * (1 + 2 * (double)margin);
  side = fmax(side, 0.2 * fmax(image->width, image->height));
  const double width = fmin(side, image->width), height = fmin(side, image->height);
  if (width * height > (double)worth * image->width * image->height) return false;
  const double x = 0.5 * (left + right + 1) * across - 0.5 * width, y = 0.5 * (top + bottom + 1) * down - 0.5 * height;
  *next = (view){fmin(fmax(x, 0), image->width - width), fmin(fmax(y, 0), image->height - height), width, height};
  return true;
}

/* Bare grounds were among what it learned from. Here there is a piece: one that it does not see at all is not for it.
 */
static bool sees_something(const float *odds) {
  const int least = SIDE * SIDE / 500;
  int seen = 0;
  for (int i = 0; i < SIDE * SIDE; i++) seen += odds[i] > 0;
  return seen >= least;
}

static void give(float *guess, const bc_image *image, const view *at, const float *odds) {
  for (int y = 0; y < image->height; y++) give_row(guess + (size_t)y * (size_t)image->width, image->width, y, at, odds);
}

bc_status cutout_network_guess(float **out, bc_context *context, const bc_image *image) {
  const size_t count = (size_t)image->width * (size_t)image->height;
  float *guess = base_allocate_large(count, sizeof *guess), *odds = bc_allocate((size_t)SIDE * SIDE, sizeof *odds);
  view at = {0, 0, image->width, image->height}, next;
  bc_status status = guess && odds ? look(odds, context, image, &at) : bc_fail_memory(context);
  const bool sees = status == BC_OK && sees_something(odds);
  if (sees) {
    give(guess, image, &at, odds);
    if (closer(&next, odds, image)) {
      status = look(odds, context, image, &next);
      if (status == BC_OK) give(guess, image, &next, odds);
    }
  }
  free(odds);
  if (sees && status == BC_OK) to_probabilities(guess, count);
  *out = sees && status == BC_OK ? guess : NULL;
  if (!*out) free(guess);
  return status;
}

/* ---- the second voice ---- */

static void join_row(float *guess, int width, const float *prior, int cells) {
  for (int x = 0; x < width; x++) {
    const float said = prior[(int64_t)x * cells / width], sure = 2 * guess[x] - 1;
    const float odds = logf(guess[x] / (1 - guess[x])) + (1 - sure * sure) * logf((said + 0.01f) / (1.01f - said));
    guess[x] = 1 / (1 + expf(-odds));
  }
}

void cutout_network_join(float *guess, const bc_image *image, const cutout_scene *scene) {
  const cutout_grid *grid = &scene->grid;
  for (int y = 0; y < image->height; y++) {
    const int64_t row = (int64_t)y * grid->height / image->height;
    join_row(guess + (size_t)y * (size_t)image->width, image->width, scene->prior + row * grid->width, grid->width);
  }
}
