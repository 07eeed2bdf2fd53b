/* SPDX-License-Identifier: MIT */
/* One convolution in whole numbers. Products of pairs of 16-bit numbers are added into 32-bit sums, which processors do
 * for 8 pairs in one instruction; the plain loops give the same sums, since whole numbers do not round. */
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

/* Where the strip's places find their inputs for one place of the filter; a strip past the row's end repeats the last. */
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
        const int16_t *a = s->from[p] + (size_t)(place / layer->size) * s->row +
                           (size_t)(place % layer->size * layer->inputs + k);
        for (int o = 0; o < OUTS; o++) sum[p][o] += a[0] * w[2 * o] + a[1] * w[2 * o + 1];
      }
}

#if defined(__x86_64__) && defined(__GNUC__)
#include <immintrin.h>

/* Three octets of outputs beside each other, so that what is loaded of the input serves thrice. */
__attribute__((target("avx2"))) static void sum_three(int32_t sum[3][STRIP][OUTS], const strip *s, int octet) {
  const network_layer *layer = s->layer;
  const size_t whole = (size_t)OUTS * (size_t)(layer->size * layer->size * layer->inputs);
  const int16_t *w = layer->weight + (size_t)octet * whole;
  __m256i total[3][STRIP];
  for (int t = 0; t < 3; t++)
    for (int p = 0; p < STRIP; p++) total[t][p] = _mm256_setzero_si256();
  for (int y = 0; y < layer->size; y++) {
    const size_t ahead = (size_t)y * s->row;
    const int16_t *a = s->from[0] + ahead, *b = s->from[1] + ahead, *c = s->from[2] + ahead, *d = s->from[3] + ahead;
    for (int k = 0; k < layer->size * layer->inputs; k += 2, w += (ptrdiff_t)(2 * OUTS)) {
      int32_t pair[STRIP];
      memcpy(&pair[0], a + k, sizeof pair[0]);
      memcpy(&pair[1], b + k, sizeof pair[0]);
      memcpy(&pair[2], c + k, sizeof pair[0]);
      memcpy(&pair[3], d + k, sizeof pair[0]);
      const __m256i w0 = _mm256_loadu_si256((const __m256i *)(const void *)w);
      const __m256i w1 = _mm256_loadu_si256((const __m256i *)(const void *)(w + whole));
      const __m256i w2 = _mm256_loadu_si256((const __m256i *)(const void *)(w + 2 * whole));
#pragma GCC unroll 4
      for (int p = 0; p < STRIP; p++) {
        const __m256i input = _mm256_set1_epi32(pair[p]);
        total[0][p] = _mm256_add_epi32(total[0][p], _mm256_madd_epi16(input, w0));
        total[1][p] = _mm256_add_epi32(total[1][p], _mm256_madd_epi16(input, w1));
        total[2][p] = _mm256_add_epi32(total[2][p], _mm256_madd_epi16(input, w2));
      }
    }
  }
  for (int t = 0; t < 3; t++)
    for (int p = 0; p < STRIP; p++) _mm256_storeu_si256((__m256i *)(void *)sum[t][p], total[t][p]);
}

static bool has_wide(void) {
  return __builtin_cpu_supports("avx2") != 0;
}
#else
static void sum_three(int32_t sum[3][STRIP][OUTS], const strip *s, int octet) {
  for (int t = 0; t < 3; t++) sum_plainly(sum[t], s, octet + t);
}
static bool has_wide(void) {
  return false;
}
#endif

static void finish_strip(const network_plane *out, const network_layer *layer, network_use use, int x, int y, int octet,
                         int32_t sum[STRIP][OUTS]) {
  for (int p = 0; p < STRIP && x + p < out->width; p++)
    give(network_cell(out, x + p, y) + (ptrdiff_t)(octet * OUTS), layer->scale + (ptrdiff_t)(octet * OUTS),
         layer->bias + (ptrdiff_t)(octet * OUTS), sum[p], use);
}

static void dense_row(const network_plane *out, const network_layer *layer, const network_plane *in, network_use use, int y,
                      bool wide) {
  const int octets = layer->outputs / OUTS, before = layer->size / 2;
  strip s = {.layer = layer,
             .row = ((size_t)in->width + 2 * NETWORK_BORDER) * (size_t)in->channels};
  int32_t sum[3][STRIP][OUTS];
  for (int octet = 0; octet < octets;) {
    const bool three = wide && octet + 3 <= octets;
    for (int x = 0; x < out->width; x += STRIP) {
      for (int p = 0; p < STRIP; p++) {
        const int place = x + p < out->width ? x + p : out->width - 1;
        s.from[p] = network_cell(in, place * layer->stride - before, y * layer->stride - before);
      }
      if (three) sum_three(sum, &s, octet);
      else sum_plainly(sum[0], &s, octet);
      for (int t = 0; t < (three ? 3 : 1); t++) finish_strip(out, layer, use, x, y, octet + t, sum[t]);
    }
    octet += three ? 3 : 1;
  }
}

/* ---- a filter a channel ---- */

BC_WIDER_VECTORS
static void each_row(const network_plane *out, const network_layer *layer, const network_plane *in, network_use use, int y) {
  const int channels = layer->outputs, before = layer->size / 2;
  const size_t row = ((size_t)in->width + 2 * NETWORK_BORDER) * (size_t)in->channels;
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

void network_convolve(const network_plane *out, const network_layer *layer, const network_plane *in, network_use use,
                      int from, int end) {
  const bool wide = has_wide();
  for (int y = from; y < end; y++) {
    if (layer->each) each_row(out, layer, in, use, y);
    else dense_row(out, layer, in, use, y, wide);
  }
}
