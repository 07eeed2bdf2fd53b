/* SPDX-License-Identifier: MIT */
/* Samples to linear light, reduced by area averaging: each output pixel is the mean of the light that
 * falls on it, edges counted by the share they cover. Alpha weighs the colours (premultiplied). */
#include "base/base.h"
#include "base/parallel.h"
#include "base/vectors.h"
#include "colour_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A clear pixel keeps this weight, so that where all is clear the colours are still averaged. */
#define CLEAR_WEIGHT 1e-6f

/* --- one row to linear light ---------------------------------------------------------------------------- */
static void row_by_tables8(const colour_linear *l, const uint8_t *restrict in, float *const plane[3], int width) {
  float *restrict p = plane[0], *restrict q = plane[1], *restrict r = plane[2];
  const float *restrict t0 = l->table[0], *restrict t1 = l->table[1], *restrict t2 = l->table[2];
  if (l->channels == 1)
    for (int x = 0; x < width; x++) p[x] = t0[in[x]], q[x] = t1[in[x]], r[x] = t2[in[x]];
  else
    for (int x = 0; x < width; x++, in += 3) p[x] = t0[in[0]], q[x] = t1[in[1]], r[x] = t2[in[2]];
}

static void row_by_tables16(const colour_linear *l, const uint16_t *restrict in, float *const plane[3], int width) {
  const int step = l->channels == 1 ? 0 : 1;
  for (int c = 0; c < 3; c++)
    for (int x = 0; x < width; x++) plane[c][x] = l->table[c][in[x * l->channels + c * step]];
}

/* A direct-mapped memory of colours already asked, because LittleCMS takes a fraction of a microsecond
 * for each and neighbours in photos repeat. What it returns is LittleCMS's own figure. */
#define MEMORY_BITS 15
typedef struct remembered {
  uint64_t key; /* the samples; the first slot test uses `known` */
  float xyz[3];
  bool known;
} remembered;

static void row_by_engine(const colour_linear *l, const uint8_t *in, float *const plane[3], int width,
                          remembered *memory) {
  const size_t bytes = (size_t)l->channels * (l->bits == 16 ? 2 : 1);
  for (int x = 0; x < width; x++, in += bytes) {
    uint64_t key = 0;
    memcpy(&key, in, bytes);
    remembered *slot = &memory[key * UINT64_C(0x9E3779B97F4A7C15) >> (64 - MEMORY_BITS)];
    if (!slot->known || slot->key != key) {
      cmsDoTransform(l->transform, in, slot->xyz, 1);
      for (int c = 0; c < 3; c++)
        if (!isfinite(slot->xyz[c])) slot->xyz[c] = 0;
      slot->key = key;
      slot->known = true;
    }
    for (int c = 0; c < 3; c++) plane[c][x] = slot->xyz[c];
  }
}

/* --- averaging -------------------------------------------------------------------------------------------- */
BC_WIDER_VECTORS
static void add_weighted(float *restrict sum, const float *restrict row, float weight, size_t count) {
  for (size_t i = 0; i < count; i++) sum[i] += weight * row[i];
}

BC_WIDER_VECTORS
static void multiply(float *restrict row, const float *restrict by, size_t count) {
  for (size_t i = 0; i < count; i++) row[i] *= by[i];
}

/* Where an output pixel falls on the input: `count` inputs from `first`; all weigh 1/ratio but the
 * first and the last, which it may cover in part. */
typedef struct span {
  int first, count;
  float first_weight, last_weight; /* last_weight counts when count > 1 */
} span;

static span span_of(int output, int out_size, int in_size) {
  const double ratio = (double)in_size / out_size;
  const double start = output * ratio, end = output + 1 == out_size ? in_size : (output + 1) * ratio;
  span s = {.first = (int)start};
  int last = (int)ceil(end) - 1;
  if (last >= in_size) last = in_size - 1;
  if (last < s.first) last = s.first;
  s.count = last - s.first + 1;
  s.first_weight = (float)((fmin(end, s.first + 1) - start) / ratio);
  s.last_weight = (float)((end - last) / ratio);
  return s;
}

static void average_row(const float *restrict in, float *restrict out, const span *spans, int out_width, float inner) {
  for (int x = 0; x < out_width; x++) {
    const float *p = in + spans[x].first;
    float sum = spans[x].first_weight * p[0];
    const int last = spans[x].count - 1;
    for (int i = 1; i < last; i++) sum += inner * p[i];
    if (last > 0) sum += spans[x].last_weight * p[last];
    out[x] = sum; // NOLINT(clang-analyzer-core.NullDereference): there is a plane for each that is summed
  }
}

/* Everything a reduction needs besides its result. `row` and `sum` hold 3 or 4 planes of the input's
 * width, `result` as many of the output's. */
typedef struct work {
  const bc_raster *raster;
  const colour_linear *linear;
  int width, height; /* of the output */
  colour_row_sink *sink;
  void *cargo;
  float *row, *sum, *result;
  span *spans;
  remembered *memory;
  size_t planes;
  int row_ready; /* which input row `row` holds; -1 none: neighbours share an edge row */
} work;

static void linearise(work *w, int y) {
  if (w->row_ready == y) return;
  w->row_ready = y;
  const bc_raster *raster = w->raster;
  const size_t width = (size_t)raster->width;
  const uint8_t *in = (const uint8_t *)raster->samples + (size_t)y * raster->row_bytes;
  float *const plane[3] = {w->row, w->row + width, w->row + 2 * width};
  if (w->linear->kind == COLOUR_LINEAR_ENGINE)
    row_by_engine(w->linear, in, plane, raster->width, w->memory);
  else if (raster->bits == 16)
    row_by_tables16(w->linear, (const uint16_t *)(const void *)in, plane, raster->width);
  else
    row_by_tables8(w->linear, in, plane, raster->width);
  if (w->linear->scene_light) colour_show_scene(w->linear, plane, width);
  if (w->planes < 4) return;
  float *alpha = w->row + 3 * width;
  const uint8_t *a = raster->alpha + (size_t)y * width;
  for (size_t x = 0; x < width; x++) alpha[x] = (float)a[x] * (1.0f / 255.0f) + CLEAR_WEIGHT;
  for (int c = 0; c < 3; c++) multiply(plane[c], alpha, width);
}

static void sum_rows(work *w, span s, float inner) {
  const size_t count = w->planes * (size_t)w->raster->width;
  memset(w->sum, 0, count * sizeof *w->sum);
  for (int i = 0; i < s.count; i++) {
    linearise(w, s.first + i);
    const float weight = i == 0 ? s.first_weight : i == s.count - 1 ? s.last_weight : inner;
    add_weighted(w->sum, w->row, weight, count);
  }
}

static void unweigh(float *restrict plane[4], size_t count) {
  for (size_t i = 0; i < count; i++) {
    const float weight = plane[3][i];
    for (int c = 0; c < 3; c++) plane[c][i] /= weight;
    plane[3][i] = weight - CLEAR_WEIGHT;
  }
}

static void reduce_rows(work *w, int from, int to) {
  const bc_raster *raster = w->raster;
  const int width = w->width;
  const float inner_x = (float)((double)width / raster->width);
  const float inner_y = (float)((double)w->height / raster->height);
  float *plane[4] = {0};
  for (size_t c = 0; c < w->planes; c++) plane[c] = w->result + c * (size_t)width;
  for (int x = 0; x < width; x++) w->spans[x] = span_of(x, width, raster->width);
  for (int y = from; y < to; y++) {
    sum_rows(w, span_of(y, w->height, raster->height), inner_y);
    for (size_t c = 0; c < w->planes; c++)
      average_row(w->sum + c * (size_t)raster->width, plane[c], w->spans, width, inner_x);
    if (w->planes == 4) unweigh(plane, (size_t)width);
    w->sink(w->cargo, y, (const float *const *)plane);
  }
}

static bool prepare(work *w) {
  const size_t row = w->planes * (size_t)w->raster->width;
  const bool engine = w->linear->kind == COLOUR_LINEAR_ENGINE;
  w->row = bc_allocate(row, sizeof *w->row);
  w->sum = bc_allocate(row, sizeof *w->sum);
  w->result = bc_allocate(w->planes * (size_t)w->width, sizeof *w->result);
  w->spans = bc_allocate((size_t)w->width, sizeof *w->spans);
  if (engine) w->memory = bc_allocate((size_t)1 << MEMORY_BITS, sizeof *w->memory);
  return w->row && w->sum && w->result && w->spans && (!engine || w->memory);
}

static void finish(work *w) {
  free(w->row);
  free(w->sum);
  free(w->result);
  free(w->spans);
  free(w->memory);
}

static void reduce_half(void *cargo, int half) {
  work *w = (work *)cargo + half;
  reduce_rows(w, half ? w->height / 2 : 0, half ? w->height : w->height / 2);
}

bc_status colour_reduce(bc_context *context, const bc_raster *raster, const colour_linear *linear,
                        const colour_reduction *wanted) {
  const work one = {.raster = raster,
                    .linear = linear,
                    .width = wanted->width,
                    .height = wanted->height,
                    .sink = wanted->sink,
                    .cargo = wanted->cargo,
                    .planes = raster->alpha ? 4 : 3,
                    .row_ready = -1};
  work halves[2] = {one, one};
  const bool ready = prepare(&halves[0]) && prepare(&halves[1]);
  if (ready) base_do_both(reduce_half, halves);
  for (int half = 0; half < 2; half++) finish(&halves[half]);
  return ready ? BC_OK : bc_fail_memory(context);
}
