/* SPDX-License-Identifier: MIT */
/* What colours the pixels of piece and background have: mixtures of Gaussians from every sixteenth pixel. Where a guess
 * doubts far from anything that it has for sure piece, something thinner than the guess can tell may be there: what the
 * background's own colours would hardly make counts as the piece. */
#include "base/base.h"
#include "base/parallel.h"
#include "pixels.h"

#include <math.h>
#include <stdlib.h>

enum { components = 5, step = 4 }; /* every fourth pixel of every fourth row is enough to learn from */
enum { UNKNOWN = 2, THIN = 3 };    /* besides 0 and 1: not learned from; to be told by its colour */
enum { near_cells = 5 };           /* round sure piece: doubt is about its outline */
static const float sure_of_piece = 0.9f, sure_of_ground = 0.03f; /* of a guess, to learn from */
static const float odd = 3; /* standard deviations of the background's costs; our choice, measured */

typedef struct learning {
  const cutout_band_input *from;
  cutout_mixture *of;
  cutout_grid samples;
  uint8_t *side, *owner[2], *near_piece; /* the last of cells */
  float *cost;
} learning;

static void learn_side(void *cargo, int side) {
  const learning *l = cargo;
  cutout_mixture_learn(&l->of[side], &l->samples, l->side, (uint8_t)side, l->owner[side], components);
}

/* ---- what a guess says of a sample ---- */

static void set_near_piece(learning *l) {
  const cutout_scene *s = l->from->scene;
  for (int y = 0; y < s->grid.height; y++)
    for (int x = 0; x < s->grid.width; x++)
      if (s->prior[y * s->grid.width + x] >= sure_of_piece) cutout_grid_mark(l->near_piece, &s->grid, x, y, near_cells);
}

static uint8_t side_by_guess(const learning *l, int x, int y, uint8_t piece) {
  const bc_image *image = l->from->image;
  const cutout_grid *grid = &l->from->scene->grid;
  const float guess = l->from->guess[(size_t)y * (size_t)image->width + (size_t)x];
  if (guess >= sure_of_piece || guess <= sure_of_ground) return guess > 0.5f;
  const int64_t column = (int64_t)x * grid->width / image->width, row = (int64_t)y * grid->height / image->height;
  return l->near_piece[row * grid->width + column] ? piece : THIN;
}

/* Tells thin samples apart by what the background alone makes of them. */
static void tell_thin(learning *l) {
  const size_t count = l->samples.count;
  double sum = 0, squares = 0, n = 1e-9;
  learn_side(l, 0);
  if (l->of[0].count == 0) return;
  cutout_mixture_costs(&l->of[0], l->samples.lab[0], l->samples.lab[1], l->samples.lab[2], count, l->cost);
  for (size_t i = 0; i < count; i++) {
    if (l->side[i] != 0) continue;
    sum += (double)l->cost[i];
    squares += (double)l->cost[i] * (double)l->cost[i];
    n++;
  }
  const double mean = sum / n, most = mean + (double)odd * sqrt(fmax(squares / n - mean * mean, 0));
  for (size_t i = 0; i < count; i++)
    if (l->side[i] == THIN) l->side[i] = (double)l->cost[i] > most ? 1 : UNKNOWN;
}

/* ---- the whole ---- */

static void take_samples(learning *l, const uint8_t *piece) {
  const bc_image *image = l->from->image;
  size_t n = 0;
  for (int y = 0; y < image->height; y += step)
    for (int x = y / step % 2 * step / 2; x < image->width; x += step) {
      const size_t i = (size_t)y * (size_t)image->width + (size_t)x;
      l->samples.lab[0][n] = image->L[i];
      l->samples.lab[1][n] = image->a[i];
      l->samples.lab[2][n] = image->b[i];
      l->side[n++] = l->from->guess ? side_by_guess(l, x, y, piece[i]) : piece[i];
    }
  l->samples.count = n;
}

static bool allocate(learning *l) {
  const size_t across = (size_t)l->from->image->width / step + 1, down = (size_t)l->from->image->height / step + 1;
  const size_t room = across * down;
  bool ready = (l->side = bc_allocate(room, 1)) != NULL;
  ready = (l->near_piece = bc_allocate(l->from->scene->grid.count, 1)) != NULL && ready;
  ready = (l->cost = bc_allocate(l->from->guess ? room : 1, sizeof(float))) != NULL && ready;
  for (int k = 0; k < 2; k++) ready = (l->owner[k] = bc_allocate(room, 1)) != NULL && ready;
  for (int c = 0; c < 3; c++) ready = (l->samples.lab[c] = bc_allocate(room, sizeof(float))) != NULL && ready;
  return ready;
}

bc_status cutout_band_learn(cutout_mixture of[2], bc_context *context, const uint8_t *piece,
                            const cutout_band_input *from) {
  learning l = {.from = from, .of = of};
  const bool ready = allocate(&l);
  if (ready) {
    if (from->guess) set_near_piece(&l);
    take_samples(&l, piece);
    if (from->guess) tell_thin(&l);
    base_do_both(learn_side, &l);
  }
  free(l.side);
  free(l.near_piece);
  free(l.cost);
  for (int k = 0; k < 2; k++) free(l.owner[k]);
  for (int c = 0; c < 3; c++) free(l.samples.lab[c]);
  return ready ? BC_OK : bc_fail_memory(context);
}
