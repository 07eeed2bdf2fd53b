/* SPDX-License-Identifier: MIT */
/* The network that gives the cut-out's first guess: what assets/model/train.py makes, read from its bytes and worked
 * out in whole numbers. Activations are 0 .. 4095, which stand for 0 .. 7.998; weights are bytes with one scale a
 * channel; sums are 32-bit integers, and one multiplication of single floats brings each back: the same on every
 * machine that follows IEEE 754. The shape of the network is docs/model.md's. */
#ifndef BC_CUTOUT_NETWORK_H
#define BC_CUTOUT_NETWORK_H

#include <backcloth/base.h>

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum {
  NETWORK_STAGES = 5,
  NETWORK_LAYERS = 44,
  NETWORK_MOST = 4095,
  NETWORK_STEP = 512,  /* to 1.0 */
  NETWORK_TOGETHER = 8 /* outputs worked out together: numbers of channels are filled up to multiples of it */
};

/* A convolution. Weights of a dense one lie in pairs of inputs, eight outputs beside each other:
 * [outputs / 8][size * size][inputs / 2][8][2]; of one on each channel: [size * size][channels]. */
typedef struct network_layer {
  int outputs, inputs, size, stride;
  bool each; /* a filter a channel */
  int16_t *weight;
  float *scale; /* of a sum to an activation's steps */
  int32_t *bias;
} network_layer;

typedef struct network {
  int widths[NETWORK_STAGES];
  network_layer layer[NETWORK_LAYERS];
} network;

/* Reads what the training has written; BC_BAD_DATA when it is cut off, changed, or of another shape. */
bc_status network_read(network **out, bc_context *context, const uint8_t *bytes, size_t size);
void network_free(network *net);
/* The one that comes with the program, read at the first call. */
bc_status network_ours(const network **out, bc_context *context);

/* Planes of a picture inside the network: a border of two zeros on each side, so that no filter need ask where it is.
 */
typedef struct network_plane {
  int width, height, channels;
  int16_t *cells; /* (height + 4) x (width + 4) x channels */
} network_plane;
enum { NETWORK_BORDER = 2 };
static inline int16_t *network_cell(const network_plane *plane, int x, int y) {
  const size_t row = (size_t)plane->width + 2UL * NETWORK_BORDER;
  return plane->cells + (((size_t)(y + NETWORK_BORDER)) * row + (size_t)(x + NETWORK_BORDER)) * (size_t)plane->channels;
}

/* What becomes of a sum. */
typedef enum network_use {
  NETWORK_CUT = 0, /* cut to 0 .. 4095 */
  NETWORK_ADD,     /* added to what is there, then cut */
  NETWORK_AS_IS    /* kept as it is, -32767 .. 32767 */
} network_use;

/* A convolution of rows `from` to `end` of what it gives: network_layer.c. */
void network_convolve_plainly(const network_plane *out, const network_layer *layer, const network_plane *in,
                              network_use use, int from, int end);
/* The same in the widest way that this processor knows: network_wide.c. */
void network_convolve(const network_plane *out, const network_layer *layer, const network_plane *in, network_use use,
                      int from, int end);

/* Log odds of side x side places from the bytes of side x side x 3 (2.55 L*, 128 + a*, 128 + b*); side is a multiple of
 * 32, at most 512. */
bc_status network_run(float *log_odds, bc_context *context, const network *net, const uint8_t *picture, int side);

#endif
