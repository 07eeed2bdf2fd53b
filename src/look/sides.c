/* SPDX-License-Identifier: MIT */
/* Places the sides of an outline exactly: at many places along each side the steepest change of colour across it, a
 * robust curve through those, and the corners where the curves meet. A slight curve takes up what a lens bends.
 * In: corners within a few pixels. Out: corners within a fraction of one. */
#include "look_internal.h"

#include <math.h>
#include <stdlib.h>

#define PLACES 96
#define TUKEY 2.5 /* pixels: places farther off the curve belong to something else */
#define ROUNDS 8

typedef struct side {
  bc_look_point from;
  double dx, dy, length; /* unit direction; normal is (-dy, dx) */
  double bend[3];        /* offset along the normal: c0 + c1 u + c2 u^2, u = 0..1 along the side */
} side;

static void colour_at(double lab[3], const bc_image *image, double x, double y) {
  const float *const from[3] = {image->L, image->a, image->b};
  const double px = fmax(0, fmin(image->width - 1.001, x - 0.5)), py = fmax(0, fmin(image->height - 1.001, y - 0.5));
  const size_t x0 = (size_t)px, y0 = (size_t)py, i = y0 * (size_t)image->width + x0;
  const double fx = px - (double)x0, fy = py - (double)y0;
  for (int k = 0; k < 3; k++) {
    const float *const p = from[k] + i;
    lab[k] = (1 - fy) * ((1 - fx) * (double)p[0] + fx * (double)p[1]) +
             fy * ((1 - fx) * (double)p[image->width] + fx * (double)p[image->width + 1]);
  }
}

/* Change of colour across a place of the side, `off` pixels along the normal: means of four places to either side,
 * and along the side, so that noise counts less. */
static double change_at(const bc_image *image, const side *s, double u, double off) {
  double sum[3] = {0};
  for (int along = -2; along <= 2; along++)
    for (int k = 0; k < 4; k++) {
      const double at = u * s->length + along, beside = 0.5 + 0.8 * k;
      const double x = s->from.x + at * s->dx - off * s->dy, y = s->from.y + at * s->dy + off * s->dx;
      double in[3], out[3];
      colour_at(in, image, x - beside * s->dy, y + beside * s->dx);
      colour_at(out, image, x + beside * s->dy, y - beside * s->dx);
      for (int c = 0; c < 3; c++) sum[c] += (in[c] - out[c]) / 20;
    }
  return sqrt(sum[0] * sum[0] + sum[1] * sum[1] + sum[2] * sum[2]);
}

/* Where the change is greatest within `reach`; false where there is hardly any. */
static bool steepest(double *off, const bc_image *image, const side *s, double u, double reach) {
  enum { MOST = 81 };
  double change[MOST] = {0};
  const int steps = (int)fmin(MOST / 2, ceil(2 * reach));
  int best = 0;
  for (int i = -steps; i <= steps; i++) {
    change[i + steps] = change_at(image, s, u, 0.5 * i);
    if (change[i + steps] > change[best]) best = i + steps;
  }
  if (change[best] < 2.5 || best == 0 || best == 2 * steps) return false;
  const double a = change[best - 1], b = change[best], c = change[best + 1];
  *off = 0.5 * (best - steps + 0.5 * (a - c) / (a - 2 * b + c - 1e-12));
  return true;
}

/* Tukey-weighted polynomial of two or three terms through the places. */
static void fit(side *s, const double *u, const double *off, int count) {
  const int terms = count >= PLACES / 3 ? 3 : 2;
  double scale = 8;
  s->bend[0] = s->bend[1] = s->bend[2] = 0;
  for (int round = 0; round < ROUNDS; round++) {
    const int now = round < 3 ? 2 : terms;
    double a[9] = {0}, b[3] = {0};
    for (int i = 0; i < count; i++) {
      const double t[3] = {1, u[i], u[i] * u[i]};
      const double miss = (off[i] - s->bend[0] - s->bend[1] * u[i] - s->bend[2] * u[i] * u[i]) / scale;
      const double w = fabs(miss) < 1 ? (1 - miss * miss) * (1 - miss * miss) : 0;
      for (int r = 0; r < now; r++) {
        for (int c = 0; c < now; c++) a[r * now + c] += w * t[r] * t[c];
        b[r] += w * t[r] * off[i];
      }
    }
    if (!look_solve(a, b, now)) return;
    for (int k = 0; k < 3; k++) s->bend[k] = k < now ? b[k] : 0;
    scale = fmax(TUKEY, 0.6 * scale);
  }
}

static void place_side(side *s, const bc_image *image, double reach) {
  double u[PLACES], off[PLACES];
  int count = 0;
  for (int i = 0; i < PLACES; i++) {
    u[count] = 0.02 + 0.96 * (i + 0.5) / PLACES;
    if (steepest(&off[count], image, s, u[count], reach)) count++;
  }
  if (count >= PLACES / 6) fit(s, u, off, count);
}

/* The place of a side at u, and its direction there. */
static bc_look_point point_at(double *dx, double *dy, const side *s, double u) {
  const double off = s->bend[0] + s->bend[1] * u + s->bend[2] * u * u;
  const double slope = (s->bend[1] + 2 * s->bend[2] * u) / s->length;
  *dx = s->dx - slope * s->dy;
  *dy = s->dy + slope * s->dx;
  return (bc_look_point){s->from.x + u * s->length * s->dx - off * s->dy,
                         s->from.y + u * s->length * s->dy + off * s->dx};
}

/* Where the end of one side meets the start of the next. */
static bc_look_point meet(const side *one, const side *next) {
  double u = 1, v = 0;
  bc_look_point at = next->from;
  for (int round = 0; round < 6; round++) {
    double ax, ay, bx, by;
    const bc_look_point p = point_at(&ax, &ay, one, u), q = point_at(&bx, &by, next, v);
    const double det = ax * by - ay * bx;
    if (fabs(det) < 1e-6) return at;
    const double t = ((q.x - p.x) * by - (q.y - p.y) * bx) / det;
    at = (bc_look_point){p.x + t * ax, p.y + t * ay};
    u = ((at.x - one->from.x) * one->dx + (at.y - one->from.y) * one->dy) / one->length;
    v = ((at.x - next->from.x) * next->dx + (at.y - next->from.y) * next->dy) / next->length;
  }
  return at;
}

void look_place_sides(bc_look_point corner[BC_LOOK_CORNERS], const bc_image *image, double reach) {
  for (int pass = 0; pass < 2; pass++) {
    side sides[BC_LOOK_CORNERS];
    for (int i = 0; i < BC_LOOK_CORNERS; i++) {
      const bc_look_point a = corner[i], b = corner[(i + 1) % BC_LOOK_CORNERS];
      const double length = hypot(b.x - a.x, b.y - a.y);
      sides[i] = (side){.from = a, .dx = (b.x - a.x) / length, .dy = (b.y - a.y) / length, .length = length};
      place_side(&sides[i], image, pass ? fmax(3, reach / 2) : reach);
    }
    for (int i = 0; i < BC_LOOK_CORNERS; i++)
      corner[i] = meet(&sides[(i + BC_LOOK_CORNERS - 1) % BC_LOOK_CORNERS], &sides[i]);
  }
}
