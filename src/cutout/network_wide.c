/* SPDX-License-Identifier: MIT */
/* One convolution in whole numbers on processors with AVX2: one instruction multiplies 16 pairs of 16-bit numbers and
 * adds them two by two into 32-bit sums. Elsewhere the plain loops of network_layer.c do it. */
#include "network.h"

#if defined(__x86_64__) && defined(__GNUC__)
#include <immintrin.h>
#include <string.h>

enum { OUTS = NETWORK_TOGETHER, STRIP = 4, TWICE = 2 * OUTS };
#define WIDE __attribute__((target("avx2")))
#define INLINED static inline __attribute__((target("avx2"), always_inline))

INLINED __m256i load(const int16_t *from) {
  return _mm256_loadu_si256((const __m256i *)(const void *)from);
}

/* From eight sums to activations, as give() of network_layer.c. */
INLINED void give(int16_t *cell, const network_layer *layer, int first, __m256i sum, network_use use) {
  const __m256i bias = _mm256_loadu_si256((const __m256i *)(const void *)(layer->bias + first));
  const __m256 scale = _mm256_loadu_ps(layer->scale + first);
  const __m256 least = _mm256_set1_ps(use == NETWORK_CUT ? 0 : -32000);
  const __m256 most = _mm256_set1_ps(use == NETWORK_CUT ? NETWORK_MOST : 32000);
  const __m256 value = _mm256_mul_ps(_mm256_cvtepi32_ps(_mm256_add_epi32(sum, bias)), scale);
  const __m256i whole = _mm256_cvttps_epi32(_mm256_min_ps(_mm256_max_ps(value, least), most));
  __m128i *to = (__m128i *)(void *)(cell + first);
  __m128i short_ones = _mm_packs_epi32(_mm256_castsi256_si128(whole), _mm256_extracti128_si256(whole, 1));
  if (use == NETWORK_ADD) { /* saturating: what is there is at most 4095, what comes at most 32000 */
    short_ones = _mm_adds_epi16(short_ones, _mm_loadu_si128(to));
    short_ones = _mm_min_epi16(_mm_max_epi16(short_ones, _mm_setzero_si128()), _mm_set1_epi16(NETWORK_MOST));
  }
  _mm_storeu_si128(to, short_ones);
}

/* ---- dense ones ---- */

typedef struct strip {
  const int16_t *from[STRIP]; /* a strip past the row's end repeats the last place */
  int16_t *to[STRIP];
  const network_layer *layer;
  size_t row; /* numbers from one row of the input to the next */
  network_use use;
} strip;

/* Some octets of outputs beside each other, so that what is loaded of the input serves more than once. */
INLINED void sum_octets(const strip *s, int octet, const int octets) {
  const network_layer *layer = s->layer;
  const size_t whole = (size_t)OUTS * (size_t)(layer->size * layer->size * layer->inputs);
  const int16_t *w = layer->weight + (size_t)octet * whole;
  __m256i total[3][STRIP];
  for (int t = 0; t < octets; t++)
    for (int p = 0; p < STRIP; p++) total[t][p] = _mm256_setzero_si256();
  for (int y = 0; y < layer->size; y++) {
    const size_t ahead = (size_t)y * s->row;
    const int16_t *a = s->from[0] + ahead, *b = s->from[1] + ahead, *c = s->from[2] + ahead, *d = s->from[3] + ahead;
    for (int k = 0; k < layer->size * layer->inputs; k += 2, w += (ptrdiff_t)TWICE) {
      int32_t pair[STRIP];
      memcpy(&pair[0], a + k, sizeof pair[0]);
      memcpy(&pair[1], b + k, sizeof pair[0]);
      memcpy(&pair[2], c + k, sizeof pair[0]);
      memcpy(&pair[3], d + k, sizeof pair[0]);
      __m256i weight[3];
      for (int t = 0; t < octets; t++) weight[t] = load(w + (size_t)t * whole);
#pragma GCC unroll 4
      for (int p = 0; p < STRIP; p++) {
        const __m256i input = _mm256_set1_epi32(pair[p]);
        for (int t = 0; t < octets; t++)
          total[t][p] = _mm256_add_epi32(total[t][p], _mm256_madd_epi16(input, weight[t]));
      }
    }
  }
  for (int p = 0; p < STRIP && s->to[p]; p++)
    for (int t = 0; t < octets; t++) give(s->to[p], layer, (octet + t) * OUTS, total[t][p], s->use);
}

WIDE static void sum_three(const strip *s, int octet) {
  sum_octets(s, octet, 3);
}
WIDE static void sum_one(const strip *s, int octet) {
  sum_octets(s, octet, 1);
}

WIDE static void dense_row(strip *s, const network_plane *out, const network_plane *in, int y) {
  const network_layer *layer = s->layer;
  const int octets = layer->outputs / OUTS, before = layer->size / 2;
  for (int octet = 0; octet < octets; octet += octet + 3 <= octets ? 3 : 1)
    for (int x = 0; x < out->width; x += STRIP) {
      for (int p = 0; p < STRIP; p++) {
        const int place = x + p < out->width ? x + p : out->width - 1;
        s->from[p] = network_cell(in, place * layer->stride - before, y * layer->stride - before);
        s->to[p] = x + p < out->width ? network_cell(out, x + p, y) : NULL;
      }
      if (octet + 3 <= octets)
        sum_three(s, octet);
      else
        sum_one(s, octet);
    }
}

/* ---- a filter a channel ---- */

/* Two places of the filter at once: their inputs and weights are laid beside each other, channel by channel. */
WIDE static void sum_each(const strip *s, int first) {
  const network_layer *layer = s->layer;
  const int channels = layer->outputs, places = layer->size * layer->size;
  __m256i low[STRIP], high[STRIP];
  for (int p = 0; p < STRIP; p++) low[p] = high[p] = _mm256_setzero_si256();
  for (int place = 0; place < places; place += 2) {
    const bool last = place + 1 == places;
    const int next = last ? place : place + 1;
    const __m256i one = load(layer->weight + (size_t)place * (size_t)channels + first);
    const __m256i two = last ? _mm256_setzero_si256() : load(layer->weight + (size_t)next * (size_t)channels + first);
    const __m256i weight_low = _mm256_unpacklo_epi16(one, two), weight_high = _mm256_unpackhi_epi16(one, two);
    const size_t at = (size_t)(place / layer->size) * s->row + (size_t)(place % layer->size * channels + first);
    const size_t then = (size_t)(next / layer->size) * s->row + (size_t)(next % layer->size * channels + first);
#pragma GCC unroll 4
    for (int p = 0; p < STRIP; p++) {
      const __m256i a = load(s->from[p] + at), b = load(s->from[p] + then);
      low[p] = _mm256_add_epi32(low[p], _mm256_madd_epi16(_mm256_unpacklo_epi16(a, b), weight_low));
      high[p] = _mm256_add_epi32(high[p], _mm256_madd_epi16(_mm256_unpackhi_epi16(a, b), weight_high));
    }
  }
  for (int p = 0; p < STRIP && s->to[p]; p++) {
    give(s->to[p], layer, first, _mm256_permute2x128_si256(low[p], high[p], 0x20), s->use);
    give(s->to[p], layer, first + OUTS, _mm256_permute2x128_si256(low[p], high[p], 0x31), s->use);
  }
}

WIDE static void each_row(strip *s, const network_plane *out, const network_plane *in, int y) {
  const network_layer *layer = s->layer;
  const int before = layer->size / 2;
  for (int x = 0; x < out->width; x += STRIP) {
    for (int p = 0; p < STRIP; p++) {
      const int place = x + p < out->width ? x + p : out->width - 1;
      s->from[p] = network_cell(in, place * layer->stride - before, y * layer->stride - before);
      s->to[p] = x + p < out->width ? network_cell(out, x + p, y) : NULL;
    }
    for (int first = 0; first < layer->outputs; first += TWICE) sum_each(s, first);
  }
}

WIDE static void convolve_wide(const network_plane *out, const network_layer *layer, const network_plane *in,
                               network_use use, int from, int end) {
  strip s = {.layer = layer, .use = use, .row = ((size_t)in->width + 2UL * NETWORK_BORDER) * (size_t)in->channels};
  for (int y = from; y < end; y++) {
    if (layer->each)
      each_row(&s, out, in, y);
    else
      dense_row(&s, out, in, y);
  }
}

void network_convolve(const network_plane *out, const network_layer *layer, const network_plane *in, network_use use,
                      int from, int end) {
  if (__builtin_cpu_supports("avx2"))
    convolve_wide(out, layer, in, use, from, end);
  else
    network_convolve_plainly(out, layer, in, use, from, end);
}
#else
void network_convolve(const network_plane *out, const network_layer *layer, const network_plane *in, network_use use,
                      int from, int end) {
  network_convolve_plainly(out, layer, in, use, from, end);
}
#endif
