/* SPDX-License-Identifier: MIT */
/* The layers in their order: down to an eighth of an eighth, and up again. */
#include "network.h"

#include "base/base.h"
#include "base/parallel.h"

#include <stdlib.h>
#include <string.h>

enum { MOST_PLANES = 16 };

typedef struct running {
  const network *net;
  int next; /* layer */
  network_plane plane[MOST_PLANES];
  int planes;
  bool failed;
} running;

/* ---- planes ---- */

static network_plane new_plane(running *run, int width, int height, int channels) {
  network_plane plane = {width, height, channels, NULL};
  const size_t border = 2UL * NETWORK_BORDER;
  /* One place more at the end: pairs are read in steps that must not leave the block. */
  plane.cells =
      bc_allocate(((size_t)height + border) * ((size_t)width + border) + 1, (size_t)channels * sizeof(int16_t));
  if (!plane.cells) run->failed = true;
  run->plane[run->planes++] = plane;
  return plane;
}

static void drop_to(running *run, int planes) {
  while (run->planes > planes) free(run->plane[--run->planes].cells);
}

/* ---- layers ---- */

typedef struct halves {
  const network_plane *out, *in;
  const network_layer *layer;
  network_use use;
} halves;

static void convolve_half(void *cargo, int half) {
  const halves *h = cargo;
  const int middle = h->out->height / 2;
  network_convolve(h->out, h->layer, h->in, h->use, half ? middle : 0, half ? h->out->height : middle);
}

static void convolve(running *run, network_plane *out, const network_plane *in, network_use use) {
  const network_layer *layer = &run->net->layer[run->next++];
  if (run->failed) return;
  halves h = {.out = out, .in = in, .layer = layer, .use = use};
  const double products =
      (double)out->width * out->height * layer->outputs * (layer->each ? 1 : layer->inputs) * layer->size * layer->size;
  const double worth_a_thread = 1.5e6;
  if (products > worth_a_thread)
    base_do_both(convolve_half, &h);
  else
    network_convolve(out, layer, in, use, 0, out->height);
}

static network_plane layer(running *run, const network_plane *in) {
  const network_layer *of = &run->net->layer[run->next];
  network_plane out = new_plane(run, in->width / of->stride, in->height / of->stride, of->outputs);
  convolve(run, &out, in, NETWORK_CUT);
  return out;
}

static void block(running *run, network_plane *x) {
  const int before = run->planes;
  const network_plane wide = layer(run, x), each = layer(run, &wide);
  convolve(run, x, &each, NETWORK_ADD);
  drop_to(run, before);
}

static void add_cut(int16_t *cells, const int16_t *more, int count) {
  for (int c = 0; c < count; c++) {
    const int sum = cells[c] + more[c];
    cells[c] = (int16_t)(sum < 0 ? 0 : sum > NETWORK_MOST ? NETWORK_MOST : sum);
  }
}

static void mean_of(network_plane *mean, const network_plane *x) {
  for (int c = 0; c < x->channels; c++) {
    int64_t sum = 0;
    for (int row = 0; row < x->height; row++)
      for (int column = 0; column < x->width; column++) sum += network_cell(x, column, row)[c];
    network_cell(mean, 0, 0)[c] = (int16_t)(sum / ((int64_t)x->width * x->height));
  }
}

/* Adds what the mean of the whole picture says. */
static void whole(running *run, network_plane *x) {
  const int before = run->planes;
  network_plane mean = new_plane(run, 1, 1, x->channels), said = new_plane(run, 1, 1, x->channels);
  if (!run->failed) mean_of(&mean, x);
  convolve(run, &said, &mean, NETWORK_AS_IS);
  for (int row = 0; !run->failed && row < x->height; row++)
    for (int column = 0; column < x->width; column++)
      add_cut(network_cell(x, column, row), network_cell(&said, 0, 0), x->channels);
  drop_to(run, before);
}

/* Twice as large, onto what was there on the way down. */
static void rise(running *run, network_plane *skip, const network_plane *low) {
  const int before = run->planes;
  network_plane said = new_plane(run, low->width, low->height, skip->channels);
  convolve(run, &said, low, NETWORK_AS_IS);
  for (int row = 0; !run->failed && row < skip->height; row++)
    for (int column = 0; column < skip->width; column++)
      add_cut(network_cell(skip, column, row), network_cell(&said, column / 2, row / 2), skip->channels);
  drop_to(run, before);
}

/* ---- in and out ---- */

/* Every two by two places become one with twelve channels. */
static void take_picture(const network_plane *in, const uint8_t *picture, int side) {
  const int step = NETWORK_STEP / 64;
  for (int y = 0; y < side; y++)
    for (int x = 0; x < side; x++)
      for (int c = 0; c < 3; c++)
        network_cell(in, x / 2, y / 2)[c * 4 + (y & 1) * 2 + (x & 1)] =
            (int16_t)(step * picture[((size_t)y * (size_t)side + (size_t)x) * 3 + (size_t)c]);
}

static void give_answer(float *log_odds, const network_plane *answer, int side) {
  for (int y = 0; y < side; y++)
    for (int x = 0; x < side; x++)
      log_odds[(size_t)y * (size_t)side + (size_t)x] =
          (float)network_cell(answer, x / 2, y / 2)[(y & 1) * 2 + (x & 1)] / NETWORK_STEP;
}

static network_plane down(running *run, const network_plane *x) {
  return layer(run, x);
}

static void all_layers(running *run, float *log_odds, const uint8_t *picture, int side) {
  network_plane in = new_plane(run, side / 2, side / 2, 12);
  if (!run->failed) take_picture(&in, picture, side);
  const network_plane first = layer(run, &in);
  network_plane x1 = layer(run, &first);
  const network_plane half = down(run, &x1);
  network_plane x2 = layer(run, &half), x3 = down(run, &x2);
  block(run, &x3);
  block(run, &x3);
  network_plane x4 = down(run, &x3);
  block(run, &x4);
  block(run, &x4);
  whole(run, &x4);
  block(run, &x4);
  network_plane x5 = down(run, &x4);
  block(run, &x5);
  whole(run, &x5);
  block(run, &x5);
  rise(run, &x4, &x5);
  whole(run, &x4);
  block(run, &x4);
  rise(run, &x3, &x4);
  block(run, &x3);
  rise(run, &x2, &x3);
  const network_plane y2 = layer(run, &x2);
  rise(run, &x1, &y2);
  const network_plane y1 = layer(run, &x1);
  network_plane answer = new_plane(run, side / 2, side / 2, NETWORK_TOGETHER);
  convolve(run, &answer, &y1, NETWORK_AS_IS);
  if (!run->failed) give_answer(log_odds, &answer, side);
}

bc_status network_run(float *log_odds, bc_context *context, const network *net, const uint8_t *picture, int side) {
  running run = {.net = net};
  all_layers(&run, log_odds, picture, side);
  drop_to(&run, 0);
  return run.failed ? bc_fail_memory(context) : BC_OK;
}
