/* SPDX-License-Identifier: MIT */
/* Colours along the soft edge, free of the old background. Source: Forte, "Approximate Fast Foreground
 * Colour Estimation" (blur-fusion, twice), ICIP 2021, in linear light, where edges mix. The first, wide
 * blur is taken on coarse cells, the second, narrow one at the image's own size and near the edge only. */
#include "base/base.h"

#include <backcloth/cutout.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { coarse = 16, narrow = 6 }; /* pixels: the paper's 90 is a box of about three coarse cells each way */

/* Sums of colour and weight on coarse cells; [0] of the piece, [1] of the background. */
typedef struct coarse_cell {
  float sum[2][3], weight[2];
} coarse_cell;

/* A pixel of the neighbourhood of the edge, in linear light. */
typedef struct pixel {
  float rgb[3], piece[3], background[3];
} pixel;

typedef struct edge_work {
  bc_image *image;
  const uint8_t *alpha;
  int width, height, cells_across, cells_down;
  coarse_cell *cells, *blurred;
  int32_t *index; /* of each image pixel in `pixels`, -1 when it is not needed */
  int32_t *at;    /* the image pixel of each entry */
  pixel *pixels;
  size_t count;
} edge_work;

static void linear_of(float rgb[3], const bc_image *image, size_t i) {
  double linear[3];
  bc_lab_to_linear_srgb((bc_lab){(double)image->L[i], (double)image->a[i], (double)image->b[i]}, linear);
  for (int c = 0; c < 3; c++) rgb[c] = (float)linear[c];
}

/* ---- which pixels take part ---- */

static bool is_soft(uint8_t alpha) {
  return alpha > 0 && alpha < 255;
}

static void mark_round(edge_work *work, int x, int y) {
  const int left = x > narrow ? x - narrow : 0, right = x + narrow < work->width ? x + narrow : work->width - 1;
  const int top = y > narrow ? y - narrow : 0, bottom = y + narrow < work->height ? y + narrow : work->height - 1;
  for (int row = top; row <= bottom; row++)
    memset(work->index + (size_t)row * (size_t)work->width + left, 0, (size_t)(right - left + 1) * sizeof *work->index);
}

static bool collect(edge_work *work) {
  const size_t total = (size_t)work->width * (size_t)work->height;
  memset(work->index, 0xff, total * sizeof *work->index);
  for (int y = 0; y < work->height; y++)
    for (int x = 0; x < work->width; x++)
      if (is_soft(work->alpha[(size_t)y * (size_t)work->width + (size_t)x])) mark_round(work, x, y);
  for (size_t i = 0; i < total; i++)
    if (work->index[i] == 0) work->index[i] = (int32_t)work->count++;
  work->at = bc_allocate(work->count, sizeof *work->at);
  work->pixels = bc_allocate(work->count, sizeof *work->pixels);
  if (!work->at || !work->pixels) return false;
  for (size_t i = 0; i < total; i++)
    if (work->index[i] >= 0) work->at[work->index[i]] = (int32_t)i;
  return true;
}

/* ---- the wide blur ---- */

/* Every fourth pixel both ways is enough for means over tens of pixels. */
static void sum_cells(edge_work *work) {
  for (int y = 1; y < work->height; y += 4)
    for (int x = 1; x < work->width; x += 4) {
      const size_t i = (size_t)y * (size_t)work->width + (size_t)x;
      float rgb[3];
      linear_of(rgb, work->image, i);
      coarse_cell *cell = &work->cells[(y / coarse) * work->cells_across + x / coarse];
      const float share = (float)work->alpha[i] / 255.0f;
      const float weight[2] = {share, 1 - share};
      for (int side = 0; side < 2; side++) {
        for (int c = 0; c < 3; c++) cell->sum[side][c] += weight[side] * rgb[c];
        cell->weight[side] += weight[side];
      }
    }
}

static void add_cell(coarse_cell *to, const coarse_cell *from, float factor) {
  for (int side = 0; side < 2; side++) {
    for (int c = 0; c < 3; c++) to->sum[side][c] += factor * from->sum[side][c];
    to->weight[side] += factor * from->weight[side];
  }
}

/* Near cells count in full; the whole picture counts a very little, so that a cell far from any piece
 * still has a colour to start from. */
static void blur_cells(edge_work *work) {
  coarse_cell all = {0};
  const int count = work->cells_across * work->cells_down;
  for (int i = 0; i < count; i++) add_cell(&all, &work->cells[i], 1e-4f);
  for (int y = 0; y < work->cells_down; y++)
    for (int x = 0; x < work->cells_across; x++) {
      coarse_cell *to = &work->blurred[y * work->cells_across + x];
      *to = all;
      for (int down = -2; down <= 2; down++)
        for (int across = -2; across <= 2; across++) {
          const int from_x = x + across, from_y = y + down;
          if (from_x < 0 || from_y < 0 || from_x >= work->cells_across || from_y >= work->cells_down) continue;
          const float factor = abs(across) > 1 || abs(down) > 1 ? 0.05f : 1.0f;
          add_cell(to, &work->cells[from_y * work->cells_across + from_x], factor);
        }
    }
}

static void start_pixels(edge_work *work) {
  for (size_t p = 0; p < work->count; p++) {
    const int at = work->at[p], x = at % work->width, y = at / work->width;
    pixel *here = &work->pixels[p];
    linear_of(here->rgb, work->image, (size_t)at);
    const coarse_cell *cell = &work->blurred[(y / coarse) * work->cells_across + x / coarse];
    const float share = (float)work->alpha[at] / 255.0f;
    for (int c = 0; c < 3; c++) {
      const float piece = cell->sum[0][c] / (cell->weight[0] + 1e-9f);
      const float background = cell->sum[1][c] / (cell->weight[1] + 1e-9f);
      const float rest = here->rgb[c] - share * piece - (1 - share) * background;
      here->piece[c] = piece + share * rest; /* equation of the paper's section 3 */
      here->background[c] = background + (1 - share) * rest;
    }
  }
}

/* ---- the narrow blur ---- */

typedef struct means {
  float piece[3], background[3], piece_weight, background_weight;
} means;

static void add_pixel(means *sum, const pixel *from, float share) {
  for (int c = 0; c < 3; c++) {
    sum->piece[c] += share * from->piece[c];
    sum->background[c] += (1 - share) * from->background[c];
  }
  sum->piece_weight += share;
  sum->background_weight += 1 - share;
}

static means means_round(const edge_work *work, int x, int y) {
  means sum = {0};
  const int left = x > narrow ? x - narrow : 0, right = x + narrow < work->width ? x + narrow : work->width - 1;
  const int top = y > narrow ? y - narrow : 0, bottom = y + narrow < work->height ? y + narrow : work->height - 1;
  for (int row = top; row <= bottom; row++)
    for (int column = left; column <= right; column++) {
      const size_t i = (size_t)row * (size_t)work->width + (size_t)column;
      add_pixel(&sum, &work->pixels[work->index[i]], (float)work->alpha[i] / 255.0f);
    }
  return sum;
}

/* The piece's colour of one soft pixel. Where the piece's share is so small that the estimate would
 * shoot far over, it is kept within what light can be. */
static void write_pixel(const edge_work *work, int at) {
  const means sum = means_round(work, at % work->width, at / work->width);
  const pixel *here = &work->pixels[work->index[at]];
  const float share = (float)work->alpha[at] / 255.0f;
  double rgb[3];
  for (int c = 0; c < 3; c++) {
    const float piece = sum.piece[c] / (sum.piece_weight + 1e-6f);
    const float background = sum.background[c] / (sum.background_weight + 1e-6f);
    const float value = piece + share * (here->rgb[c] - share * piece - (1 - share) * background);
    rgb[c] = (double)fminf(fmaxf(value, fminf(0, piece)), fmaxf(1, piece));
  }
  const bc_colour colour = bc_colour_from_linear_srgb(rgb);
  work->image->L[at] = (float)colour.lab.L;
  work->image->a[at] = (float)colour.lab.a;
  work->image->b[at] = (float)colour.lab.b;
  work->image->Y[at] = (float)colour.luminance;
}

static bc_status clean(edge_work *work, bc_context *context) {
  const size_t total = (size_t)work->width * (size_t)work->height;
  const size_t cells = (size_t)work->cells_across * (size_t)work->cells_down;
  work->index = bc_allocate(total, sizeof *work->index);
  work->cells = bc_allocate(cells, sizeof *work->cells);
  work->blurred = bc_allocate(cells, sizeof *work->blurred);
  if (!work->index || !work->cells || !work->blurred || !collect(work)) return bc_fail_memory(context);
  sum_cells(work);
  blur_cells(work);
  start_pixels(work);
  for (size_t p = 0; p < work->count; p++)
    if (is_soft(work->alpha[work->at[p]])) write_pixel(work, work->at[p]);
  return BC_OK;
}

bc_status bc_cutout_clean_edge(const bc_cutout *cutout, bc_context *context, bc_image *image) {
  if (cutout->width != image->width || cutout->height != image->height)
    return bc_fail(context, BC_OUR_FAULT, _("The cut-out does not have the size of its image."));
  edge_work work = {.image = image,
                    .alpha = cutout->alpha,
                    .width = image->width,
                    .height = image->height,
                    .cells_across = (image->width + coarse - 1) / coarse,
                    .cells_down = (image->height + coarse - 1) / coarse};
  const bc_status status = clean(&work, context);
  free(work.index);
  free(work.at);
  free(work.pixels);
  free(work.cells);
  free(work.blurred);
  return status;
}
