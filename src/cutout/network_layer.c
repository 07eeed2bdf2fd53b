/* SPDX-License-Identifier: MIT */
/* One convolution in whole numbers. The plain loops; network_wide.c has the same for processors that do more at once,
 * and gives the same sums, since whole numbers do not round. */
#include "network.h"

#include "base/vectors.h"

#include <string.h>

enum { OUTS = NETWORK_TOGETHER, STRIP = 4 }; /* outputs, and places of a row, that are worked out together */

/* ---- from sums to activations ---- */

static void give(int16_t *restrict cell, const float *restrict scale, const int32_t *restrict bias,
                 const int32_t *restrict sum, network_use use) {
  const float least = use == NETWORK_CUT ? 0 : -32000, most = use == NETWORK_CUT ? NETWORK_MOST : 32000;
  for (int o = 0; o < OUTS; o++) {
    const float value = (float)(sum[o] + bias[o]) * scale[o];
    int whole = (int)(value < least ? least : value > most ? most : value);
    if (use == NETWORK_ADD) {
      whole += cell[o];
      whole = whole < 0 ? 0 : whole > NETWORK_MOST ? NETWORK_MOST : whole;
    }
    cell[o] = (int16_t)whole;
  }
}

/* ---- dense ones ---- */

/* Where the strip's places find their inputs for one place of the filter; a strip past the row's end repeats the last.
 */
typedef struct strip {
  const int16_t *from[STRIP];
  const network_layer *layer;
  size_t row; /* numbers from one row of the input to the next */
} strip;

static void sum_plainly(int32_t sum[STRIP][OUTS], const strip *s, int octet) {
  const network_layer *layer = s->layer;
  const int16_t *w = layer->weight + (size_t)octet * OUTS * (size_t)(layer->size * layer->size * layer->inputs);
  memset(sum, 0, sizeof(int32_t[STRIP][OUTS]));
  for (int place = 0; place < layer->size * layer->size; place++)
    for (int k = 0; k < layer->inputs; k += 2, w += (ptrdiff_t)(2 * OUTS))
      for (int p = 0; p < STRIP; p++) {
        const int16_t *a =
            s->from[p] + (size_t)(place / layer->size) * s->row + (size_t)(place % layer->size * layer->inputs + k);
        for (size_t o = 0; o < OUTS; o++) sum[p][o] += a[0] * w[2 * o] + a[1] * w[2 * o + 1];
      }
}

/* Where a strip's sums belong. */
typedef struct strip_place {
  int x, y, octet;
} strip_place;

static void finish_strip(const network_plane *out, const network_layer *layer, network_use use, strip_place at,
                         int32_t sum[STRIP][OUTS]) {
  const ptrdiff_t first = (ptrdiff_t)at.octet * OUTS;
  for (int p = 0; p < STRIP && at.x + p < out->width; p++)
    give(network_cell(out, at.x + p, at.y) + first, layer->scale + first, layer->bias + first, sum[p], use);
}

static void dense_row(const network_plane *out, const network_layer *layer, const network_plane *in, network_use use,
                      int y) {
  const int before = layer->size / 2;
  strip s = {.layer = layer, .row = ((size_t)in->width + 2UL * NETWORK_BORDER) * (size_t)in->channels};
  int32_t sum[STRIP][OUTS];
  for (int octet = 0; octet < layer->outputs / OUTS; octet++)
    for (int x = 0; x < out->width; x += STRIP) {
      for (int p = 0; p < STRIP; p++) {
        const int place = x + p < out->width ? x + p : out->width - 1;
        s.from[p] = network_cell(in, place * layer->stride - before, y * layer->stride - before);
      }
      sum_plainly(sum, &s, octet);
      finish_strip(out, layer, use, (strip_place){x, y, octet}, sum);
    }
}

/* ---- a filter a channel ---- */

BC_WIDER_VECTORS
static void each_row(const network_plane *out, const network_layer *layer, const network_plane *in, network_use use,
                     int y) {
  const int channels = layer->outputs, before = layer->size / 2;
  const size_t row = ((size_t)in->width + 2UL * NETWORK_BORDER) * (size_t)in->channels;
  for (int x = 0; x < out->width; x++)
    for (int first = 0; first < channels; first += OUTS) {
      const int16_t *from = network_cell(in, x * layer->stride - before, y * layer->stride - before) + first;
      const int16_t *w = layer->weight + first;
      int32_t sum[OUTS] = {0};
      for (int place = 0; place < layer->size * layer->size; place++) {
        const int16_t *a = from + (size_t)(place / layer->size) * row + (size_t)(place % layer->size * channels);
        for (int o = 0; o < OUTS; o++) sum[o] += a[o] * w[o];
        w += channels;
      }
      give(network_cell(out, x, y) + first, layer->scale + first, layer->bias + first, sum, use);
    }
}

void network_convolve_plainly(const network_plane *out, const network_layer *layer, const network_plane *in,
                              network_use use, int from, int end) {
  for (int y = from; y < end; y++) {
    if (layer->each)
      each_row(out, layer, in, use, y);
    else
      dense_row(out, layer, in, use, y);
  }
}
