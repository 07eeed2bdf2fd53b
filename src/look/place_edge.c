/* SPDX-License-Identifier: MIT */
/* Puts a cut-out's edge where the light says: each pixel near it is a mix of what lies a little inside and a little
 * outside, and mixes are linear in light. Sizes hang on it. Source: Smith and Blinn, "Blue screen matting", SIGGRAPH
 * 1996, section 3 (the mix of two known colours). */
#include "look_internal.h"

#include <math.h>
#include <stdlib.h>

#define REACH 5     /* pixels about a place from which both colours are taken */
#define CLEAR 6     /* thirds of a pixel from the edge at which a pixel is wholly one or the other */
#define NEAR 8      /* thirds of a pixel: so near the edge an alpha is found anew */
#define LEAST 0.015 /* difference in linear light that tells a mix */

/* Distance to the nearest pixel with `value`, chamfer 3-4 (Borgefors, CVGIP 34, 1986), in thirds of a pixel. */
void look_distances(int *d, const uint8_t *alpha, bool to_piece, int width, int height, int threshold) {
  for (int i = 0; i < width * height; i++) d[i] = (alpha[i] >= threshold) == to_piece ? 0 : 1 << 20;
  for (int pass = 0; pass < 2; pass++)
    for (int k = 0; k < width * height; k++) {
      const int i = pass ? width * height - 1 - k : k, x = i % width, y = i / width, s = pass ? 1 : -1;
      const bool side = pass ? x + 1 < width : x > 0, other = pass ? x > 0 : x + 1 < width;
      const bool row = pass ? y + 1 < height : y > 0;
      if (side && d[i + s] + 3 < d[i]) d[i] = d[i + s] + 3;
      if (!row) continue;
      const int r = i + s * width;
      if (d[r] + 3 < d[i]) d[i] = d[r] + 3;
      if (side && d[r + s] + 4 < d[i]) d[i] = d[r + s] + 4;
      if (other && d[r - s] + 4 < d[i]) d[i] = d[r - s] + 4;
    }
}

typedef struct edge_work {
  const bc_image *image;
  int *in, *out; /* distance from the nearest pixel of the ground, of the piece */
  int width, height;
} edge_work;

static void linear_at(double rgb[3], const bc_image *image, int i) {
  bc_lab_to_linear_srgb((bc_lab){(double)image->L[i], (double)image->a[i], (double)image->b[i]}, rgb);
}

/* Means of the sure pixels about a place; false when there are too few of either. */
static bool both_colours(double piece[3], double ground[3], const edge_work *w, int x, int y) {
  int pieces = 0, grounds = 0;
  for (int k = 0; k < 3; k++) piece[k] = ground[k] = 0;
  for (int row = y - REACH; row <= y + REACH; row++)
    for (int column = x - REACH; column <= x + REACH; column++) {
      if (row < 0 || column < 0 || row >= w->height || column >= w->width) continue;
      const int i = row * w->width + column;
      const bool is_piece = w->in[i] >= CLEAR, is_ground = w->out[i] >= CLEAR;
      if (!is_piece && !is_ground) continue;
      double rgb[3];
      linear_at(rgb, w->image, i);
      for (int k = 0; k < 3; k++) *(is_piece ? &piece[k] : &ground[k]) += rgb[k];
      pieces += is_piece;
      grounds += is_ground;
    }
  for (int k = 0; k < 3; k++) {
    piece[k] /= pieces ? pieces : 1;
    ground[k] /= grounds ? grounds : 1;
  }
  return pieces >= 4 && grounds >= 4;
}

static bool mix_at(double *share, const edge_work *w, int x, int y) {
  double piece[3], ground[3], here[3], along = 0, length = 0;
  if (!both_colours(piece, ground, w, x, y)) return false;
  linear_at(here, w->image, y * w->width + x);
  for (int k = 0; k < 3; k++) {
    along += (here[k] - ground[k]) * (piece[k] - ground[k]);
    length += (piece[k] - ground[k]) * (piece[k] - ground[k]);
  }
  if (length < LEAST * LEAST) return false;
  *share = fmax(0, fmin(1, along / length));
  return true;
}

bc_status look_place_edge(bc_cutout *cutout, bc_context *context, const bc_image *image) {
  const size_t count = (size_t)cutout->width * (size_t)cutout->height;
  edge_work w = {image, bc_allocate(count, sizeof(int)), bc_allocate(count, sizeof(int)), cutout->width,
                 cutout->height};
  const bool room = w.in && w.out;
  if (room) {
    look_distances(w.in, cutout->alpha, false, w.width, w.height, 128);
    look_distances(w.out, cutout->alpha, true, w.width, w.height, 128);
  }
  for (int y = 0; room && y < w.height; y++)
    for (int x = 0; x < w.width; x++) {
      const int i = y * w.width + x;
      double share;
      if ((w.in[i] < NEAR && w.out[i] < NEAR) && mix_at(&share, &w, x, y))
        cutout->alpha[i] = (uint8_t)lrint(255 * share);
    }
  free(w.in);
  free(w.out);
  return room ? BC_OK : bc_fail_memory(context);
}
