/* SPDX-License-Identifier: MIT */
/* From the answer on the image's pixels to a soft alpha. At an edge the light of piece and background mixes, so alpha
 * is where a pixel's light lies between the two means found round about, which are trusted as far as their spread
 * allows (a maximum a posteriori estimate for Gaussians; two colours as in Chuang, Curless, Salesin and Szeliski, "A
 * Bayesian approach to digital matting", CVPR 2001). */
#include "base/base.h"
#include "base/maths.h"
#include "base/parallel.h"
#include "guess.h"
#include "pixels.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { soft = 2, reach = 5 }; /* pixels: how far the edge may be soft, and where its colours are looked for */
/* Variance of alpha round the hard answer, slightly blurred: away from the outline, and more on it. Our choices. */
static const float least_doubt = 0.02f, most_doubt = 0.1f;
static const float told_doubt = 0.002f;  /* of a guess that tells pixels apart */
static const float least_spread = 0.01f; /* of light, of full light: noise and compression; and as a share of it: */
static const float least_share = 0.05f;

enum { BACKGROUND = 0, PIECE = 1, NEAR = 2 }; /* NEAR is added to either beside the outline */

/* CIEXYZ over the white's, and 1, so that sums of it are counted. */
typedef float light_and_one __attribute__((vector_size(16)));

/* Light is worked out only in the tiles that the outline comes near, and kept of so many rows. */
enum { tile = 16, kept_rows = 16 };

typedef struct colour_sums {
  light_and_one first, second;
} colour_sums;

typedef struct edge_work {
  const bc_image *image;
  const uint8_t *piece;
  const float *guess; /* may be NULL */
  uint8_t *kind;      /* BACKGROUND or PIECE, + NEAR */
  uint8_t *wanted, *alpha;
  int tiles_across, light_rows; /* rows whose light has been worked out, from the top */
  light_and_one *light;
  colour_sums (*columns)[2]; /* of the rows round a pixel: [0] of the background, [1] of the piece */
} edge_work;

/* ---- the neighbourhood of the outline ---- */

/* All tiles that a pixel near this place looks at: a window is narrower than a tile, so its corners find them. */
static void want_light(edge_work *w, int x, int y) {
  const int width = w->image->width, height = w->image->height, far = soft + reach;
  for (int corner = 0; corner < 4; corner++) {
    const int column = base_bounded_int(x + (corner & 1 ? far : -far), 0, width - 1),
              row = base_bounded_int(y + (corner & 2 ? far : -far), 0, height - 1);
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

static bool same_eight(const uint8_t *first, const uint8_t *second) {
  return memcmp(first, second, 8) == 0;
}

static void set_kinds(edge_work *w) {
  const int width = w->image->width, height = w->image->height;
  memcpy(w->kind, w->piece, (size_t)width * (size_t)height);
  for (int y = 0; y < height; y++) {
    const uint8_t *row = w->piece + (size_t)y * (size_t)width, *next = y + 1 < height ? row + width : row;
    for (int x = 0; x < width; x++) {
      while (x + 8 < width && same_eight(row + x, row + x + 1) && same_eight(row + x, next + x)) x += 8;
      if ((x + 1 < width && row[x] != row[x + 1]) || row[x] != next[x]) mark_near(w, x, y);
    }
  }
}

static float cubed(float f) {
  return f > 6.0f / 29 ? f * f * f : (f - 4.0f / 29) * (108.0f / 841);
}

static light_and_one *light_row(const edge_work *w, int row) {
  return w->light + (size_t)(row % kept_rows) * (size_t)w->image->width;
}

/* Light as far as the given row, where it is wanted. */
static void set_light(edge_work *w, int last) {
  const bc_image *image = w->image;
  for (int row = w->light_rows; row <= last; row++)
    for (int column = 0; column < image->width; column++) {
      if (!w->wanted[row / tile * w->tiles_across + column / tile]) {
        column += tile - 1;
        continue;
      }
      const size_t i = (size_t)row * (size_t)image->width + (size_t)column;
      const float y = (image->L[i] + 16) / 116;
      light_row(w, row)[column] =
          (light_and_one){cubed(y + image->a[i] / 500), cubed(y), cubed(y - image->b[i] / 200), 1};
    }
  w->light_rows = last + 1;
}

/* ---- alpha ---- */

static void add(colour_sums *to, const colour_sums *from) {
  to->first += from->first;
  to->second += from->second;
}

/* The colours of both sides in the columns left <= x < right round row y, away from the outline. */
static void set_columns(edge_work *w, int left, int right, int y) {
  const int top = y > reach ? y - reach : 0, bottom = base_bounded_int(y + reach, 0, w->image->height - 1);
  set_light(w, bottom);
  memset(w->columns + left, 0, (size_t)(right - left) * sizeof *w->columns);
  for (int row = top; row <= bottom; row++) {
    const uint8_t *kind = w->kind + (size_t)row * (size_t)w->image->width;
    const light_and_one *light = light_row(w, row);
    for (int x = left; x < right; x++) {
      if (kind[x] >= NEAR) continue;
      w->columns[x][kind[x]].first += light[x];
      w->columns[x][kind[x]].second += light[x] * light[x];
    }
  }
}

/* The hard answer, slightly blurred. */
static float blurred(const edge_work *w, int x, int y) {
  float weight = 0, inside = 0;
  for (int row = y > 0 ? y - 1 : 0; row <= y + 1 && row < w->image->height; row++)
    for (int column = x > 0 ? x - 1 : 0; column <= x + 1 && column < w->image->width; column++) {
      const float share = (float)((2 - abs(row - y)) * (2 - abs(column - x)));
      weight += share;
      inside += share * (float)w->piece[row * w->image->width + column];
    }
  return inside / weight;
}

static float alpha_at(const edge_work *w, int x, int y) {
  colour_sums sums[2] = {{{0}, {0}}, {{0}, {0}}};
  const bool told = w->guess && cutout_guess_is_sharp(w->guess, w->image, x, y);
  const float hard = told ? w->guess[(size_t)y * (size_t)w->image->width + (size_t)x] : blurred(w, x, y);
  float along = 0, length = 0;
  for (int column = x > reach ? x - reach : 0; column <= x + reach && column < w->image->width; column++)
    for (int side = 0; side < 2; side++) add(&sums[side], &w->columns[column][side]);
  const float count[2] = {sums[0].first[3], sums[1].first[3]};
  if (count[0] < 3 || count[1] < 3) return hard;
  const light_and_one light = light_row(w, y)[x];
  for (int c = 0; c < 3; c++) {
    const float mean[2] = {sums[0].first[c] / count[0], sums[1].first[c] / count[1]};
    const float between = mean[1] - mean[0], here = light[c] - mean[0];
    float noise = least_spread + least_share * light[c];
    noise *= noise;
    for (int k = 0; k < 2; k++) noise += 0.5f * (sums[k].second[c] / count[k] - mean[k] * mean[k]);
    along += between * here / noise;
    length += between * between / noise;
  }
  const float doubt = told ? told_doubt : least_doubt + most_doubt * 4 * hard * (1 - hard);
  return (along + hard / doubt) / (length + 1 / doubt);
}

/* Pixels beside each other that are all near the outline, left <= x < right. */
static void set_run(edge_work *w, uint8_t *alpha, int left, int right, int y) {
  const int last = base_bounded_int(right - 1 + reach, 0, w->image->width - 1);
  set_columns(w, left > reach ? left - reach : 0, last + 1, y);
  for (int x = left; x < right; x++) {
    const float found = alpha_at(w, x, y);
    alpha[x] = found <= 0.02f ? 0 : found >= 0.98f ? 255 : (uint8_t)lroundf(255 * found);
    const float guess = w->guess ? w->guess[(size_t)y * (size_t)w->image->width + (size_t)x] : 0.5f;
    if (cutout_guess_is_sure(guess) &&
        (guess > 0.5f) == (w->piece[(size_t)y * (size_t)w->image->width + (size_t)x] != 0))
      alpha[x] = guess > 0.5f ? 255 : 0;
  }
}

static void set_rows(edge_work *w, int from, int to) {
  const int width = w->image->width;
  for (int y = from; y < to; y++) {
    const uint8_t *kind = w->kind + (size_t)y * (size_t)width, *piece = w->piece + (size_t)y * (size_t)width;
    uint8_t *row = w->alpha + (size_t)y * (size_t)width;
    for (int x = 0; x < width; x++) row[x] = piece[x] ? 255 : 0;
    for (int x = 0, right; x < width; x = right) {
      for (right = x + 1; right < width && (kind[right] >= NEAR) == (kind[x] >= NEAR);) right++;
      if (kind[x] >= NEAR) set_run(w, row, x, right, y);
    }
  }
}

/* The halves have their own rows of light and sums. */
static void set_half(void *cargo, int half) {
  edge_work w = *(const edge_work *)cargo;
  const int middle = w.image->height / 2;
  if (half) {
    w.light += (size_t)w.image->width * kept_rows;
    w.columns += w.image->width;
    w.light_rows = middle > reach ? middle - reach : 0;
  }
  set_rows(&w, half ? middle : 0, half ? w.image->height : middle);
}

bc_status cutout_edge(uint8_t *alpha, bc_context *context, const bc_image *image, const uint8_t *piece,
                      const float *guess) {
  const size_t count = (size_t)image->width * (size_t)image->height;
  edge_work w = {
      .image = image, .piece = piece, .guess = guess, .alpha = alpha, .tiles_across = image->width / tile + 1};
  w.kind = base_allocate_large(count, 1);
  w.wanted = bc_allocate((size_t)w.tiles_across * (size_t)(image->height / tile + 1), 1);
  w.light = bc_allocate(2 * (size_t)image->width * kept_rows, sizeof *w.light);
  w.columns = bc_allocate(2 * (size_t)image->width, sizeof *w.columns);
  const bool ready = w.kind && w.wanted && w.light && w.columns;
  if (ready) {
    set_kinds(&w);
    base_do_both(set_half, &w);
  }
  free(w.columns);
  free(w.light);
  free(w.wanted);
  free(w.kind);
  return ready ? BC_OK : bc_fail_memory(context);
}
