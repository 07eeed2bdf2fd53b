/* SPDX-License-Identifier: MIT */
/* Shares the weight of a stiff piece over its hanging points. For more than two points statics alone
 * does not decide; springs k_i under a stiff bar do (the elastic bolt-group method):
 *   load_i = W k_i / K + W e k_i (x_i - m) / S,   K = sum k, m = sum k x / K, S = sum k (x - m)^2, e = c - m */
#include <backcloth/loads.h>

#include <math.h>

/* The points that still pull; slack ones have load 0. */
typedef struct group {
  double total, middle, spread;
} group;

static group measure(const double *x, const double *stiffness, const double *load, size_t count) {
  group g = {0};
  for (size_t i = 0; i < count; i++)
    if (load[i] > 0) {
      const double k = stiffness ? stiffness[i] : 1;
      g.total += k;
      g.middle += k * x[i];
    }
  g.middle /= g.total;
  for (size_t i = 0; i < count; i++)
    if (load[i] > 0) g.spread += (stiffness ? stiffness[i] : 1) * (x[i] - g.middle) * (x[i] - g.middle);
  return g;
}

/* One round; returns false when a point came out pushing and was let go. */
static bool share_once(double *load, const double *x, const double *stiffness, size_t count, double weight,
                       double centre) {
  const group g = measure(x, stiffness, load, count);
  const double lever = g.spread > 0 ? (centre - g.middle) / g.spread : 0;
  bool all_pull = true;
  for (size_t i = 0; i < count; i++) {
    if (!(load[i] > 0)) continue;
    load[i] = weight * (stiffness ? stiffness[i] : 1) * (1 / g.total + lever * (x[i] - g.middle));
    if (load[i] <= 0) {
      load[i] = 0;
      all_pull = false;
    }
  }
  return all_pull;
}

bool bc_loads_share_n(double *load_n, const double *x, const double *stiffness, size_t count, double weight_n,
                      double centre) {
  for (size_t i = 0; i < count; i++) load_n[i] = 0;
  if (count == 0) return false;
  if (count == 1) { /* the piece turns until its mass is below the point */
    load_n[0] = weight_n;
    return true;
  }
  if (centre <= x[0] || centre >= x[count - 1]) {
    load_n[centre <= x[0] ? 0 : count - 1] = weight_n;
    return centre == x[0] || centre == x[count - 1];
  }
  if (!(weight_n > 0)) return true;
  if (count == 2) {
    load_n[1] = weight_n * (centre - x[0]) / (x[1] - x[0]);
    load_n[0] = weight_n * (x[1] - centre) / (x[1] - x[0]);
    return true;
  }
  for (size_t i = 0; i < count; i++) load_n[i] = 1; /* all pull at first */
  for (size_t round = 0; round < count; round++)
    if (share_once(load_n, x, stiffness, count, weight_n, centre)) break;
  return true;
}

double bc_loads_most_n(const double *x, size_t count, size_t number, double weight_n, double centre) {
  if (count < 2 || x[number] == centre) return weight_n;
  const double beyond = x[number] < centre ? x[count - 1] : x[0];
  /* Nothing on the other side of the mass: the piece would turn about this point, which then carries all. */
  if ((beyond - centre) * (x[number] - centre) >= 0) return weight_n;
  return weight_n * (beyond - centre) / (beyond - x[number]);
}
