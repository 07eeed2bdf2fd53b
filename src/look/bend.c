/* SPDX-License-Identifier: MIT */
/* How much a lens bends straight lines: the bend with which the pieces of long edges lie on one straight line again.
 * One radial term about the photo's middle. Source: Devernay and Faugeras, "Straight lines have to be straight",
 * Machine Vision and Applications 13, 2001. docs/method/look.md. */
#include "look_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LONGEST 260 /* segments that are looked at */
#define MOST_BEND 0.12
#define STEPS 24       /* from -MOST_BEND to +MOST_BEND */
#define ON_LINE 0.0011 /* half diagonals: the spread of an edge's pieces about their line */
#define TURN 7.0       /* degrees between two pieces of one edge, at most, as bent */
#define BEHIND 1.02    /* how much better than no bend a bend must be */

bc_look_point look_bend(bc_look_point straight, int width, int height, double bend) {
  const double half = hypot(width, height) / 2;
  const double u = (straight.x - width / 2.0) / half, v = (straight.y - height / 2.0) / half;
  const double k = 1 + bend * (u * u + v * v);
  return (bc_look_point){width / 2.0 + u * k * half, height / 2.0 + v * k * half};
}

bc_look_point look_unbend(bc_look_point bent, int width, int height, double bend) {
  const double half = hypot(width, height) / 2;
  const double u = (bent.x - width / 2.0) / half, v = (bent.y - height / 2.0) / half;
  double x = u, y = v;
  for (int i = 0; i < 12 && bend != 0; i++) { /* a fixed point: the bend is small */
    const double k = 1 + bend * (x * x + y * y);
    x = u / k;
    y = v / k;
  }
  return (bc_look_point){width / 2.0 + x * half, height / 2.0 + y * half};
}

void look_segment_unbend(look_segment *s, int width, int height, double bend) {
  const bc_look_point a = look_unbend((bc_look_point){s->x1, s->y1}, width, height, bend);
  const bc_look_point b = look_unbend((bc_look_point){s->x2, s->y2}, width, height, bend);
  *s = (look_segment){a.x, a.y, b.x, b.y, hypot(b.x - a.x, b.y - a.y), 0};
  s->angle = fmod(atan2(b.y - a.y, b.x - a.x) * 180 / M_PI + 180, 180);
}

static int by_length(const void *first, const void *second) {
  const look_segment *const a = first, *const b = second;
  return a->length > b->length ? -1 : a->length < b->length;
}

/* Two segments that may be pieces of one edge: nearly one direction, end to end. */
static bool may_belong(const look_segment *a, const look_segment *b) {
  const double turn = fabs(a->angle - b->angle);
  if (fmin(turn, 180 - turn) > TURN) return false;
  const double mx = (b->x1 + b->x2 - a->x1 - a->x2) / 2, my = (b->y1 + b->y2 - a->y1 - a->y2) / 2;
  const double apart = hypot(mx, my), dx = (a->x2 - a->x1) / a->length, dy = (a->y2 - a->y1) / a->length;
  const double along = fabs(mx * dx + my * dy), across = fabs(mx * dy - my * dx);
  return along > 0.8 * (a->length + b->length) / 2 && across < 0.08 * along && apart > 1;
}

/* Mean square distance of four ends from the straight line that fits them best, pixels. */
static double off_line(const look_segment *a, const look_segment *b) {
  const double x[4] = {a->x1, a->x2, b->x1, b->x2}, y[4] = {a->y1, a->y2, b->y1, b->y2};
  double mx = 0, my = 0, xx = 0, xy = 0, yy = 0;
  for (int i = 0; i < 4; i++) {
    mx += x[i] / 4;
    my += y[i] / 4;
  }
  for (int i = 0; i < 4; i++) {
    xx += (x[i] - mx) * (x[i] - mx) / 4;
    xy += (x[i] - mx) * (y[i] - my) / 4;
    yy += (y[i] - my) * (y[i] - my) / 4;
  }
  return (xx + yy) / 2 - hypot((xx - yy) / 2, xy);
}

typedef struct pieces {
  look_segment bent[LONGEST], straight[LONGEST];
  int count, width, height;
  uint8_t belongs[LONGEST][LONGEST];
} pieces;

static double straightness(pieces *p, double bend) {
  const double spread = ON_LINE * hypot(p->width, p->height) / 2;
  double sum = 0;
  for (int i = 0; i < p->count; i++) {
    p->straight[i] = p->bent[i];
    look_segment_unbend(&p->straight[i], p->width, p->height, bend);
  }
  for (int i = 0; i < p->count; i++)
    for (int j = i + 1; j < p->count; j++)
      if (p->belongs[i][j])
        sum += sqrt(p->bent[i].length * p->bent[j].length) *
               exp(-off_line(&p->straight[i], &p->straight[j]) / (2 * spread * spread));
  return sum;
}

double look_bend_of(const look_segments *segments) {
  pieces *p = bc_allocate(1, sizeof *p);
  look_segment *list = bc_allocate(segments->count + 1, sizeof *list);
  double best = 0;
  if (p && list) {
    if (segments->count)
      memcpy(list, segments->list, segments->count * sizeof *list); /* nothing is copied from no list */
    qsort(list, segments->count, sizeof *list, by_length);
    p->count = segments->count < LONGEST ? (int)segments->count : LONGEST;
    p->width = segments->width;
    p->height = segments->height;
    memcpy(p->bent, list, (size_t)p->count * sizeof *list);
    for (int i = 0; i < p->count; i++)
      for (int j = i + 1; j < p->count; j++) p->belongs[i][j] = may_belong(&p->bent[i], &p->bent[j]);
    double value[STEPS + 1], most = BEHIND * straightness(p, 0);
    int at = -1;
    for (int i = 0; i <= STEPS; i++) {
      value[i] = straightness(p, MOST_BEND * (2.0 * i / STEPS - 1));
      if (value[i] <= most) continue;
      most = value[i];
      at = i;
    }
    if (at >= 0) best = MOST_BEND * (2.0 * at / STEPS - 1);
    if (at > 0 && at < STEPS) {
      const double a = value[at - 1], b = value[at], c = value[at + 1];
      best += 2 * MOST_BEND / STEPS * 0.5 * (a - c) / (a - 2 * b + c - 1e-12);
    }
  }
  free(p);
  free(list);
  return best;
}
