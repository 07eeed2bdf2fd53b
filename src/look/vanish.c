/* SPDX-License-Identifier: MIT */
/* Where the wall's level, or its upright, lines meet: the point most of the straight edges run towards.
 * Source: Fischler and Bolles, "Random sample consensus", CACM 24(6), 1981; refinement by the smallest eigenvector of
 * the weighted line products: Collins and Weiss, ICCV 1990. */
#include "look_internal.h"

#include <math.h>
#include <stdlib.h>

#define LEAN 35.0 /* degrees from level or upright that still count as such */
#define TRIALS 600
#define AGREES 1.5 /* degrees between a segment and the way to the point */
#define REFINEMENTS 6

typedef struct pencil {
  const look_segment *segment;
  const size_t *of; /* the segments that lean rightly */
  size_t count;
  double cx, cy, half;
  uint64_t seed;
} pencil;

/* xorshift64*: the same photo gives the same answer. Source: Vigna, ACM TOMS 42(4), 2016. */
static double draw(pencil *p) {
  p->seed ^= p->seed >> 12;
  p->seed ^= p->seed << 25;
  p->seed ^= p->seed >> 27;
  return (double)((p->seed * 2685821657736338717ULL) >> 11) / 9007199254740992.0;
}

static void line_of(double line[3], const pencil *p, const look_segment *s) {
  const double a[3] = {(s->x1 - p->cx) / p->half, (s->y1 - p->cy) / p->half, 1};
  const double b[3] = {(s->x2 - p->cx) / p->half, (s->y2 - p->cy) / p->half, 1};
  look_cross(line, a, b);
  const double length = hypot(line[0], line[1]);
  for (int i = 0; i < 3; i++) line[i] /= length;
}

/* Degrees between a segment and the way from its middle to the point. */
static double off_by(const pencil *p, const look_segment *s, const double v[3]) {
  const double x = ((s->x1 + s->x2) / 2 - p->cx) / p->half, y = ((s->y1 + s->y2) / 2 - p->cy) / p->half;
  const double to_x = v[0] - x * v[2], to_y = v[1] - y * v[2], dx = s->x2 - s->x1, dy = s->y2 - s->y1;
  const double across = fabs(dx * to_y - dy * to_x), along = fabs(dx * to_x + dy * to_y);
  return atan2(across, along) * 180 / M_PI;
}

static double support(const pencil *p, const double v[3]) {
  double sum = 0;
  for (size_t i = 0; i < p->count; i++) {
    const look_segment *const s = &p->segment[p->of[i]];
    const double off = off_by(p, s, v) / AGREES;
    if (off < 1) sum += s->length / p->half * (1 - off * off);
  }
  return sum;
}

/* A segment, the longer the likelier. */
static const look_segment *pick(pencil *p, double all) {
  double left = draw(p) * all;
  for (size_t i = 0; i < p->count; i++) {
    left -= p->segment[p->of[i]].length;
    if (left <= 0) return &p->segment[p->of[i]];
  }
  return &p->segment[p->of[p->count - 1]];
}

static bool unit(double v[3]) {
  const double length = sqrt(v[0] * v[0] + v[1] * v[1] + v[2] * v[2]);
  if (!(length > 1e-9)) return false;
  for (int i = 0; i < 3; i++) v[i] /= length;
  return true;
}

static double search(pencil *p, double best[3]) {
  double all = 0, most = 0;
  for (size_t i = 0; i < p->count; i++) all += p->segment[p->of[i]].length;
  for (int trial = 0; trial < TRIALS; trial++) {
    double a[3], b[3], v[3];
    line_of(a, p, pick(p, all));
    line_of(b, p, pick(p, all));
    look_cross(v, a, b);
    if (!unit(v)) continue;
    const double here = support(p, v);
    if (here <= most) continue;
    most = here;
    for (int i = 0; i < 3; i++) best[i] = v[i];
  }
  return most;
}

/* Least squares of the lines' distances from the point, each weighted by its length and its agreement. */
static void refine(const pencil *p, double v[3]) {
  for (int round = 0; round < REFINEMENTS; round++) {
    double a[9] = {0}, next[3];
    for (size_t k = 0; k < p->count; k++) {
      const look_segment *const s = &p->segment[p->of[k]];
      const double off = off_by(p, s, v) / AGREES;
      if (off >= 1) continue;
      double line[3];
      line_of(line, p, s);
      const double w = s->length * s->length * s->length * (1 - off * off) * (1 - off * off); /* a direction's weight */
      for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++) a[3 * i + j] += w * line[i] * line[j];
    }
    look_smallest_eigenvector(next, a, 3);
    if (!unit(next) || support(p, next) < 0.9 * support(p, v)) return;
    for (int i = 0; i < 3; i++) v[i] = next[i];
  }
}

static size_t choose(size_t *of, const look_segment *segment, size_t count, bool level) {
  size_t chosen = 0;
  for (size_t i = 0; i < count; i++) {
    const double from_level = fmin(segment[i].angle, 180 - segment[i].angle);
    if (level ? from_level <= LEAN : from_level >= 90 - LEAN) of[chosen++] = i;
  }
  return chosen;
}

bc_status look_family_find(look_family *out, bc_context *context, const look_segments *segments, bool level) {
  const look_segment *const segment = segments->list;
  *out = (look_family){0};
  size_t *of = bc_allocate(segments->count, sizeof *of);
  out->member = bc_allocate(segments->count, sizeof *out->member);
  if (!of || !out->member) {
    free(of);
    look_family_clear(out);
    return bc_fail_memory(context);
  }
  pencil p = {.segment = segment,
              .of = of,
              .count = choose(of, segment, segments->count, level),
              .cx = segments->width / 2.0,
              .cy = segments->height / 2.0,
              .half = hypot(segments->width, segments->height) / 2,
              .seed = 0x9E3779B97F4A7C15ULL};
  if (p.count >= 2 && search(&p, out->point) > 0) {
    refine(&p, out->point);
    for (size_t i = 0; i < p.count; i++)
      if (off_by(&p, &segment[of[i]], out->point) < AGREES) out->member[out->count++] = of[i];
    out->weight = support(&p, out->point);
  }
  free(of);
  return BC_OK;
}

void look_family_clear(look_family *family) {
  free(family->member);
  *family = (look_family){0};
}
