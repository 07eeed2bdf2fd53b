/* SPDX-License-Identifier: MIT */
/* The projection between two planes from pairs of points. Source: Hartley and Zisserman, Multiple View Geometry,
 * 2nd ed. 2004: algorithm 4.2 (normalised direct linear transform), A6.1 (Levenberg-Marquardt). */
#include "look_internal.h"

#include <math.h>
#include <string.h>

bc_look_point bc_homography_apply(const bc_homography *h, bc_look_point p) {
  const double *const m = h->m;
  const double w = m[6] * p.x + m[7] * p.y + m[8];
  return (bc_look_point){(m[0] * p.x + m[1] * p.y + m[2]) / w, (m[3] * p.x + m[4] * p.y + m[5]) / w};
}

bool bc_homography_invert(bc_homography *out, const bc_homography *h) {
  return look_invert3(out->m, h->m);
}

/* x' = (x - cx) s, y' = (y - cy) s: mean at the origin, mean distance the root of 2. */
typedef struct normal {
  double cx, cy, s;
} normal;

/* The pairs of points, and how each side is brought to the origin. */
typedef struct pairs {
  const bc_look_point *from, *to;
  size_t count;
  normal nf, nt;
} pairs;

static normal normal_of(const bc_look_point *point, size_t count) {
  normal n = {0, 0, 0};
  for (size_t i = 0; i < count; i++) {
    n.cx += point[i].x / (double)count;
    n.cy += point[i].y / (double)count;
  }
  double mean = 0;
  for (size_t i = 0; i < count; i++) mean += hypot(point[i].x - n.cx, point[i].y - n.cy) / (double)count;
  n.s = mean > 0 ? M_SQRT2 / mean : 0;
  return n;
}

static bc_look_point normalised(normal n, bc_look_point p) {
  return (bc_look_point){(p.x - n.cx) * n.s, (p.y - n.cy) * n.s};
}

/* Adds row' row to the normal matrix. */
static void add_row(double a[81], const double row[9]) {
  for (int i = 0; i < 9; i++)
    for (int j = 0; j < 9; j++) a[9 * i + j] += row[i] * row[j];
}

static void linear_fit(bc_homography *out, const pairs *p) {
  double sums[81] = {0};
  for (size_t i = 0; i < p->count; i++) {
    const bc_look_point a = normalised(p->nf, p->from[i]), q = normalised(p->nt, p->to[i]);
    add_row(sums, (double[9]){0, 0, 0, -a.x, -a.y, -1, q.y * a.x, q.y * a.y, q.y});
    add_row(sums, (double[9]){a.x, a.y, 1, 0, 0, 0, -q.x * a.x, -q.x * a.y, -q.x});
  }
  look_smallest_eigenvector(out->m, sums, 9);
}

/* ---- refinement: nine entries of length one; the step is held across the present entries, which only scale ---- */

static double error_of(const bc_homography *h, const pairs *p) {
  double sum = 0;
  for (size_t i = 0; i < p->count; i++) {
    const bc_look_point got = bc_homography_apply(h, normalised(p->nf, p->from[i])), q = normalised(p->nt, p->to[i]);
    sum += (got.x - q.x) * (got.x - q.x) + (got.y - q.y) * (got.y - q.y);
  }
  return isfinite(sum) ? sum : HUGE_VAL;
}

static void normal_equations(double jj[81], double jr[9], const bc_homography *h, const pairs *p) {
  memset(jj, 0, 81 * sizeof *jj);
  memset(jr, 0, 9 * sizeof *jr);
  for (size_t i = 0; i < p->count; i++) {
    const bc_look_point a = normalised(p->nf, p->from[i]), q = normalised(p->nt, p->to[i]);
    const bc_look_point got = bc_homography_apply(h, a);
    const double w = 1 / (h->m[6] * a.x + h->m[7] * a.y + h->m[8]);
    const double rows[2][9] = {{a.x * w, a.y * w, w, 0, 0, 0, -got.x * a.x * w, -got.x * a.y * w, -got.x * w},
                               {0, 0, 0, a.x * w, a.y * w, w, -got.y * a.x * w, -got.y * a.y * w, -got.y * w}};
    const double off[2] = {q.x - got.x, q.y - got.y};
    for (int k = 0; k < 2; k++) {
      add_row(jj, rows[k]);
      for (int c = 0; c < 9; c++) jr[c] += rows[k][c] * off[k];
    }
  }
  add_row(jj, h->m); /* no step along the entries themselves */
}

static bool try_step(bc_homography *h, const double jj[81], const double jr[9], double damping) {
  double a[81], step[9], length = 0;
  memcpy(a, jj, sizeof a);
  memcpy(step, jr, sizeof step);
  for (size_t i = 0; i < 9; i++) a[10 * i] += damping * (jj[10 * i] + 1e-12);
  if (!look_solve(a, step, 9)) return false;
  for (int i = 0; i < 9; i++) {
    h->m[i] += step[i];
    length += h->m[i] * h->m[i];
  }
  for (int i = 0; i < 9; i++) h->m[i] /= sqrt(length);
  return true;
}

static void refine(bc_homography *h, const pairs *p) {
  double error = error_of(h, p), damping = 1e-3;
  for (int round = 0; round < 60 && error > 0 && damping < 1e12; round++) {
    double jj[81], jr[9];
    normal_equations(jj, jr, h, p);
    bc_homography next = *h;
    const double then = try_step(&next, jj, jr, damping) ? error_of(&next, p) : HUGE_VAL;
    if (then < error) {
      const bool done = error - then < 1e-14 * error;
      *h = next;
      error = then;
      damping /= 10;
      if (done) break;
    } else {
      damping *= 10;
    }
  }
}

bool bc_homography_fit(bc_homography *out, const bc_look_point *from, const bc_look_point *to, size_t count) {
  if (count < 4) return false;
  const normal nf = normal_of(from, count), nt = normal_of(to, count);
  const pairs p = {from, to, count, nf, nt};
  if (!(nf.s > 0) || !(nt.s > 0) || !isfinite(nf.s) || !isfinite(nt.s)) return false;
  bc_homography h;
  linear_fit(&h, &p);
  if (count > 4) refine(&h, &p);
  const double in[9] = {nf.s, 0, -nf.s * nf.cx, 0, nf.s, -nf.s * nf.cy, 0, 0, 1};
  const double back[9] = {1 / nt.s, 0, nt.cx, 0, 1 / nt.s, nt.cy, 0, 0, 1};
  double half[9], inverse[9];
  if (!look_invert3(inverse, h.m)) return false;
  double size = 0, inverse_size = 0; /* a line squeezed to a point shows as a wild condition */
  for (int i = 0; i < 9; i++) {
    size = fmax(size, fabs(h.m[i]));
    inverse_size = fmax(inverse_size, fabs(inverse[i]));
  }
  if (size * inverse_size > 1e6) return false;
  look_multiply3(half, h.m, in);
  look_multiply3(out->m, back, half);
  double length = 0;
  for (int i = 0; i < 9; i++) length += out->m[i] * out->m[i];
  const double scale = (out->m[8] < 0 ? -1 : 1) / sqrt(length);
  for (int i = 0; i < 9; i++) out->m[i] *= scale;
  return true;
}
