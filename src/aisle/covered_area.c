/* SPDX-License-Identifier: MIT */
/* The area that several outlines cover together within a rectangle. Between two neighbouring heights at
 * which an edge bends, two edges cross or an edge crosses the rectangle's side, the covered length is a
 * linear function of the height: its value in the middle times the height is the area. */
#include "aisle_internal.h"
#include "base/maths.h"

#include <math.h>
#include <stdlib.h>

/* An edge, or a side of the rectangle, across one strip of heights. */
typedef struct edge {
  double below, above; /* x at the strip's lower and upper end */
} edge;

typedef struct strip {
  edge *edges; /* left and right of each outline there, then the two sides */
  double *cuts;
  size_t active;
} strip;

static int by_size(const void *first, const void *second) {
  const double a = *(const double *)first, b = *(const double *)second;
  return (a > b) - (a < b);
}

static bool edges_at(const aisle_outline *outline, double low, double high, edge *left, edge *right) {
  for (int i = 0; i + 1 < outline->count; i++) {
    const aisle_knot *const from = &outline->knots[i], *const to = from + 1;
    if (!(from->y <= low && to->y >= high && to->y > from->y)) continue;
    const double first = (low - from->y) / (to->y - from->y), last = (high - from->y) / (to->y - from->y);
    *left = (edge){from->left + (to->left - from->left) * first, from->left + (to->left - from->left) * last};
    *right = (edge){from->right + (to->right - from->right) * first, from->right + (to->right - from->right) * last};
    return true;
  }
  return false;
}

/* Length of the union of the strip's stretches at the share t of its height, within left..right. */
static double covered_length(const strip *s, double t, double left, double right) {
  double total = 0, at = left;
  /* Few stretches: take again and again the one that begins first of those that reach further. */
  while (at < right) {
    double start = right, end = at;
    for (size_t i = 0; i < s->active; i++) {
      const edge l = s->edges[2 * i], r = s->edges[2 * i + 1];
      const double from = fmax(at, l.below + (l.above - l.below) * t), to = r.below + (r.above - r.below) * t;
      if (to <= at || to <= from) continue;
      if (from < start || (from == start && to > end)) {
        start = from;
        end = to;
      }
    }
    if (start >= right) break;
    end = fmin(end, right);
    total += end - start;
    at = end;
  }
  return total;
}

/* Shares of the strip's height at which two edges cross. */
static size_t find_cuts(const strip *s, size_t edge_count) {
  size_t cuts = 0;
  s->cuts[cuts++] = 0;
  s->cuts[cuts++] = 1;
  for (size_t i = 0; i < edge_count; i++)
    for (size_t k = i + 1; k < edge_count; k++) {
      const double below = s->edges[i].below - s->edges[k].below, above = s->edges[i].above - s->edges[k].above;
      if ((below < 0) == (above < 0) || below == above) continue;
      s->cuts[cuts++] = base_unit(below / (below - above));
    }
  qsort(s->cuts, cuts, sizeof *s->cuts, by_size);
  return cuts;
}

static double strip_area(strip *s, aisle_rect area, const aisle_outline *outlines, int count, double low, double high) {
  s->active = 0;
  for (int i = 0; i < count; i++)
    if (edges_at(&outlines[i], low, high, &s->edges[2 * s->active], &s->edges[2 * s->active + 1])) s->active++;
  if (s->active == 0) return 0;
  s->edges[2 * s->active] = (edge){area.left, area.left};
  s->edges[2 * s->active + 1] = (edge){area.right, area.right};
  const size_t cuts = find_cuts(s, 2 * s->active + 2);
  double sum = 0;
  for (size_t i = 0; i + 1 < cuts; i++) {
    const double height = s->cuts[i + 1] - s->cuts[i];
    if (height > 0) sum += height * covered_length(s, (s->cuts[i] + s->cuts[i + 1]) / 2, area.left, area.right);
  }
  return sum * (high - low);
}

double aisle_union_area(aisle_rect area, const aisle_outline *outlines, int count) {
  if (count == 0) return 0;
  const size_t edge_most = 2 * (size_t)count + 2;
  double *const bends = bc_allocate((size_t)count * AISLE_KNOTS + 2, sizeof *bends);
  strip s = {.edges = bc_allocate(edge_most, sizeof *s.edges),
             .cuts = bc_allocate(edge_most * edge_most / 2 + 2, sizeof *s.cuts)};
  double sum = -1;
  if (bends && s.edges && s.cuts) {
    size_t bend_count = 0;
    for (int i = 0; i < count; i++)
      for (int k = 0; k < outlines[i].count; k++)
        bends[bend_count++] = base_bounded(outlines[i].knots[k].y, area.bottom, area.top);
    qsort(bends, bend_count, sizeof *bends, by_size);
    sum = 0;
    for (size_t i = 0; i + 1 < bend_count; i++)
      if (bends[i + 1] > bends[i]) sum += strip_area(&s, area, outlines, count, bends[i], bends[i + 1]);
  }
  free(bends);
  free(s.edges);
  free(s.cuts);
  return sum;
}
