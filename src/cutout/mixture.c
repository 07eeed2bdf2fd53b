/* SPDX-License-Identifier: MIT */
/* Mixtures of Gaussians over CIELAB, learned as in GrabCut: split along the widest axis, then hard
 * assignment and re-estimation in turn. Sources: Rother, Kolmogorov and Blake, "GrabCut", ACM TOG 23(3), 2004;
 * splitting after Orchard and Bouman, "Color quantization of images", IEEE TSP 39(12), 1991. */
#include "base/vectors.h"
#include "models.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Two sums at a time: 1 and L, a and b, L L and L a, L b and a a, a b and b b. */
typedef double pair __attribute__((vector_size(16)));
typedef struct sums {
  pair of[5];
} sums;

static const int row_of[6] = {0, 0, 0, 1, 1, 2}, column_of[6] = {0, 1, 2, 1, 2, 2};
static const double least_variance = 0.6; /* of a Lab channel: rounding and grain of a photo */

static void add(sums *to, double L, double a, double b) {
  to->of[0] += (pair){1, L};
  to->of[1] += (pair){a, b};
  to->of[2] += (pair){L, L} * (pair){L, a};
  to->of[3] += (pair){L, a} * (pair){b, a};
  to->of[4] += (pair){a, b} * (pair){b, b};
}

static void set_component(cutout_gaussian *g, const sums *from, double total) {
  const pair *of = from->of;
  const double weight = of[0][0], first[3] = {of[0][1], of[1][0], of[1][1]};
  double m[6] = {of[2][0], of[2][1], of[3][0], of[3][1], of[4][0], of[4][1]};
  for (int c = 0; c < 3; c++) g->mean[c] = (float)(first[c] / weight);
  for (int p = 0; p < 6; p++) m[p] = m[p] / weight - first[row_of[p]] / weight * (first[column_of[p]] / weight);
  m[0] += least_variance;
  m[3] += least_variance;
  m[5] += least_variance;
  const double c0 = m[3] * m[5] - m[4] * m[4], c1 = m[2] * m[4] - m[1] * m[5], c2 = m[1] * m[4] - m[2] * m[3];
  const double determinant = m[0] * c0 + m[1] * c1 + m[2] * c2;
  const double inverse[6] = {
      c0, c1, c2, m[0] * m[5] - m[2] * m[2], m[1] * m[2] - m[0] * m[4], m[0] * m[3] - m[1] * m[1]};
  for (int p = 0; p < 6; p++) {
    g->inverse[p] = (float)(inverse[p] / determinant);
    g->covariance[p] = (float)m[p];
  }
  g->log_weight = (float)(log(weight / total) - 0.5 * log(determinant));
}

/* Colours looked at together: what is known of them stays in the first-level cache. */
enum { chunk = 1024 };

/* The least cost of each, and which Gaussian it is from. */
typedef struct nearest_so_far {
  float least[chunk];
  int32_t best[chunk];
} nearest_so_far;

BC_WIDER_VECTORS
static void find_nearer(nearest_so_far *now, const cutout_gaussian *g, int number, const float *const lab[3],
                        size_t count) {
  const float *restrict L = lab[0], *restrict a = lab[1], *restrict b = lab[2];
  float *restrict least = now->least;
  int32_t *restrict best = now->best;
  const float m0 = g->mean[0], m1 = g->mean[1], m2 = g->mean[2], w = g->log_weight;
  const float v0 = g->inverse[0], v1 = g->inverse[1], v2 = g->inverse[2], v3 = g->inverse[3], v4 = g->inverse[4],
              v5 = g->inverse[5];
  for (size_t i = 0; i < count; i++) {
    const float x = L[i] - m0, y = a[i] - m1, z = b[i] - m2;
    const float here = 0.5f * (x * (v0 * x + 2 * (v1 * y + v2 * z)) + y * (v3 * y + 2 * v4 * z) + v5 * z * z) - w;
    best[i] = here < least[i] ? number : best[i];
    least[i] = here < least[i] ? here : least[i];
  }
}

/* The Gaussian that each colour is likeliest from. */
static void assign(const cutout_mixture *mixture, const cutout_grid *grid, uint8_t *owner) {
  nearest_so_far now;
  for (size_t from = 0; from < grid->count; from += chunk) {
    const size_t count = from + chunk < grid->count ? chunk : grid->count - from;
    for (size_t i = 0; i < count; i++) {
      now.least[i] = INFINITY;
      now.best[i] = 0;
    }
    const float *const lab[3] = {grid->lab[0] + from, grid->lab[1] + from, grid->lab[2] + from};
    for (int k = 0; k < mixture->count; k++) find_nearer(&now, &mixture->of[k], k, lab, count);
    for (size_t i = 0; i < count; i++) owner[from + i] = (uint8_t)now.best[i];
  }
}

/* The costs of all colours, a row of floats at a time so that the compiler can go four by four, or eight. */
BC_WIDER_VECTORS
void cutout_mixture_costs(const cutout_mixture *mixture, const float *restrict L, const float *restrict a,
                          const float *restrict b, size_t count, float *restrict cost) {
  for (size_t i = 0; i < count; i++) cost[i] = 1e6f;
  for (size_t from = 0; from < count; from += chunk) {
    const size_t to = from + chunk < count ? from + chunk : count;
    for (int k = 0; k < mixture->count; k++) {
      const cutout_gaussian *g = &mixture->of[k];
      const float m0 = g->mean[0], m1 = g->mean[1], m2 = g->mean[2], w = g->log_weight;
      const float v0 = 0.5f * g->inverse[0], v1 = g->inverse[1], v2 = g->inverse[2], v3 = 0.5f * g->inverse[3],
                  v4 = g->inverse[4], v5 = 0.5f * g->inverse[5];
      for (size_t i = from; i < to; i++) {
        const float x = L[i] - m0, y = a[i] - m1, z = b[i] - m2;
        const float here = x * (v0 * x + v1 * y + v2 * z) + y * (v3 * y + v4 * z) + v5 * z * z - w;
        cost[i] = here < cost[i] ? here : cost[i];
      }
    }
  }
}

/* The widest axis by power iteration. */
static double widest(const cutout_gaussian *g, double axis[3]) {
  const float *m = g->covariance;
  double v[3] = {1, 0.7, 0.4}, length = 0;
  for (int i = 0; i < 12; i++) {
    const double w[3] = {m[0] * v[0] + m[1] * v[1] + m[2] * v[2], m[1] * v[0] + m[3] * v[1] + m[4] * v[2],
                         m[2] * v[0] + m[4] * v[1] + m[5] * v[2]};
    length = sqrt(w[0] * w[0] + w[1] * w[1] + w[2] * w[2]);
    for (int c = 0; c < 3; c++) v[c] = w[c] / (length + 1e-12);
  }
  memcpy(axis, v, sizeof v);
  return length;
}

static void split_widest(uint8_t *owner, cutout_mixture *mixture, const cutout_grid *grid, const uint8_t *side,
                         uint8_t wanted) {
  int which = 0;
  double most = -1, axis[3] = {0}, here[3];
  for (int k = 0; k < mixture->count; k++) {
    const double spread = widest(&mixture->of[k], here) * (double)mixture->share[k];
    if (spread <= most) continue;
    most = spread;
    which = k;
    memcpy(axis, here, sizeof axis);
  }
  const float *mean = mixture->of[which].mean;
  for (size_t i = 0; i < grid->count; i++) {
    if (side[i] != wanted || owner[i] != which) continue;
    double along = 0;
    for (int c = 0; c < 3; c++) along += axis[c] * (double)(grid->lab[c][i] - mean[c]);
    if (along > 0) owner[i] = (uint8_t)mixture->count;
  }
  mixture->count++;
}

static void estimate(cutout_mixture *mixture, const cutout_grid *grid, const uint8_t *side, uint8_t wanted,
                     const uint8_t *owner) {
  sums of[CUTOUT_GAUSSIANS] = {0};
  double total = 0;
  for (size_t i = 0; i < grid->count; i++) {
    if (side[i] != wanted) continue;
    add(&of[owner[i]], (double)grid->lab[0][i], (double)grid->lab[1][i], (double)grid->lab[2][i]);
  }
  for (int k = 0; k < mixture->count; k++) total += of[k].of[0][0];
  int kept = 0;
  for (int k = 0; k < mixture->count; k++) {
    if (of[k].of[0][0] < 1) continue;
    mixture->share[kept] = (float)(of[k].of[0][0] / total);
    set_component(&mixture->of[kept++], &of[k], total);
  }
  mixture->count = kept;
}

void cutout_mixture_improve(cutout_mixture *mixture, const cutout_grid *grid, const uint8_t *side, uint8_t wanted,
                            uint8_t *owner, int rounds) {
  for (int round = 0; round < rounds; round++) {
    assign(mixture, grid, owner);
    estimate(mixture, grid, side, wanted, owner);
  }
}

void cutout_mixture_learn(cutout_mixture *mixture, const cutout_grid *grid, const uint8_t *side, uint8_t wanted,
                          uint8_t *owner, int count) {
  *mixture = (cutout_mixture){.count = 1};
  for (size_t i = 0; i < grid->count; i++) owner[i] = 0;
  estimate(mixture, grid, side, wanted, owner);
  while (mixture->count > 0 && mixture->count < count) {
    const int before = mixture->count;
    split_widest(owner, mixture, grid, side, wanted);
    estimate(mixture, grid, side, wanted, owner);
    if (mixture->count <= before) break;
  }
  cutout_mixture_improve(mixture, grid, side, wanted, owner, 2);
}
