/* SPDX-License-Identifier: MIT */
/* Finding places for labels so that none covers another. Used by the elevation; knows no drawing. */
#include "elevation.h"

#include <math.h>
#include <stdlib.h>

/* Everything a candidate place is judged against. */
typedef struct field {
  const drawing_label *labels;
  size_t placed; /* labels before this one */
  drawing_rects hard, soft;
  drawing_rect bounds;
  bool spare_small; /* a piece that a label would hide is not covered at all */
} field;

/* A piece that is not at least so many labels wide and high is hidden by one: jewellery at 1:20. */
#define SMALL 2.2

static bool hides_a_small_one(const field *f, drawing_rect place) {
  for (size_t i = 0; i < f->soft.count; i++)
    if (fmin(f->soft.rect[i].width, f->soft.rect[i].height) < SMALL * place.width &&
        drawing_rects_meet(place, f->soft.rect[i]))
      return true;
  return false;
}

static bool inside(drawing_rect inner, drawing_rect outer) {
  return inner.x >= outer.x && inner.y >= outer.y && inner.x + inner.width <= outer.x + outer.width &&
         inner.y + inner.height <= outer.y + outer.height;
}

static bool is_free(const field *f, drawing_rect place) {
  if (!inside(place, f->bounds)) return false;
  for (size_t i = 0; i < f->placed; i++)
    if (f->labels[i].placed.width > 0 && drawing_rects_meet(place, f->labels[i].placed)) return false;
  for (size_t i = 0; i < f->hard.count; i++)
    if (drawing_rects_meet(place, f->hard.rect[i])) return false;
  return true;
}

static double shared_area(drawing_rect first, drawing_rect second) {
  const double width = fmin(first.x + first.width, second.x + second.width) - fmax(first.x, second.x);
  const double height = fmin(first.y + first.height, second.y + second.height) - fmax(first.y, second.y);
  return width > 0 && height > 0 ? width * height : 0;
}

static double gap_between(drawing_rect first, drawing_rect second) {
  const double across = fmax(0, fmax(first.x - second.x - second.width, second.x - first.x - first.width));
  const double down = fmax(0, fmax(first.y - second.y - second.height, second.y - first.y - first.height));
  return hypot(across, down);
}

/* Covering a photo costs its covered share of the label; distance costs a little; so does being
 * anywhere but at the upper left, where the eye looks first, or as close to another piece as to the own. */
static double cost(const field *f, const drawing_label *label, drawing_rect place) {
  double covered = 0;
  for (size_t i = 0; i < f->soft.count; i++) covered += shared_area(place, f->soft.rect[i]);
  double near_other = INFINITY;
  for (size_t i = 0; i < f->soft.count; i++) {
    const drawing_rect other = f->soft.rect[i], own = label->anchor;
    if (other.x == own.x && other.y == own.y && other.width == own.width && other.height == own.height) continue;
    near_other = fmin(near_other, gap_between(place, other));
  }
  const double doubt = fmax(0, 1 - near_other / label->width);
  const double off_left = fabs(place.x + place.width - label->anchor.x) / (label->anchor.width + label->width);
  const double off_top = fabs(place.y - label->anchor.y) / (label->anchor.height + label->height);
  return 6 * covered / (label->width * label->height) + gap_between(place, label->anchor) / label->width +
         0.2 * off_left + 0.3 * off_top + 0.8 * doubt;
}

static void consider(const field *f, drawing_label *label, double x, double y, double *best) {
  const drawing_rect place = {x, y, label->width, label->height};
  if (!is_free(f, place) || (f->spare_small && hides_a_small_one(f, place))) return;
  const double price = cost(f, label, place);
  if (price >= *best) return;
  *best = price;
  label->placed = place;
}

/* Places along a ring round the anchor, `out` away from it; negative values lie inside its edge. */
static void consider_ring(const field *f, drawing_label *label, double out, double *best) {
  const drawing_rect a = label->anchor;
  const double left = a.x - label->width - out, right = a.x + a.width + out;
  const double top = a.y - label->height - out, bottom = a.y + a.height + out;
  const double step = label->width / 4;
  const int across = (int)fmin(400, ceil((right - left) / step)), down = (int)fmin(400, ceil((bottom - top) / step));
  for (int i = 0; i <= across; i++) {
    const double x = left + (right - left) * i / (across > 0 ? across : 1);
    consider(f, label, x, top, best);
    consider(f, label, x, bottom, best);
  }
  for (int i = 0; i <= down; i++) {
    const double y = top + (bottom - top) * i / (down > 0 ? down : 1);
    consider(f, label, left, y, best);
    consider(f, label, right, y, best);
  }
}

static bool place_one(const field *f, drawing_label *label) {
  double best = INFINITY;
  const double near = label->width * 0.12;
  label->placed = (drawing_rect){0, 0, 0, 0};
  consider_ring(f, label, near, &best);
  consider_ring(f, label, -label->width * 1.06, &best); /* inside the own picture's edge */
  label->away = false;
  if (best < INFINITY) return true;
  label->away = true;
  const double reach = fmax(f->bounds.width, f->bounds.height);
  for (double out = label->width * 0.5; out < reach && best == INFINITY; out += label->width * 0.5)
    consider_ring(f, label, out, &best);
  return best < INFINITY;
}

size_t drawing_labels_place(drawing_label *labels, size_t count, drawing_rects hard, drawing_rects soft,
                            drawing_rect bounds) {
  size_t homeless = 0;
  for (size_t i = 0; i < count; i++) {
    field f = {labels, i, hard, soft, bounds, true};
    if (place_one(&f, &labels[i])) continue;
    f.spare_small = false;
    if (!place_one(&f, &labels[i])) homeless++;
  }
  return homeless;
}

/* ---- one dimension ---- */

typedef struct pool {
  double sum; /* of wanted positions, each less its own offset in the row */
  size_t count;
} pool;

/* With y(i) = x(i) - i gap the condition is that y never falls; the least-squares answer is the
 * isotonic regression of the wanted y. Barlow and others, 1972. */
static size_t pool_all(pool *pools, const double *wanted, size_t count, double gap) {
  size_t used = 0;
  for (size_t i = 0; i < count; i++) {
    pools[used++] = (pool){wanted[i] - (double)i * gap, 1};
    while (used > 1 &&
           pools[used - 2].sum / (double)pools[used - 2].count > pools[used - 1].sum / (double)pools[used - 1].count) {
      pools[used - 2].sum += pools[used - 1].sum;
      pools[used - 2].count += pools[used - 1].count;
      used--;
    }
  }
  return used;
}

bool drawing_spread(double *out, const double *wanted, size_t count, double gap, double low, double high) {
  if (count == 0) return true;
  const double last = high - (double)(count - 1) * gap;
  pool *const pools = last < low ? NULL : bc_allocate(count, sizeof *pools);
  if (!pools) return false;
  const size_t used = pool_all(pools, wanted, count, gap);
  size_t i = 0;
  for (size_t p = 0; p < used; p++) {
    const double level = fmin(last, fmax(low, pools[p].sum / (double)pools[p].count));
    for (size_t n = 0; n < pools[p].count; n++, i++) out[i] = level + (double)i * gap;
  }
  free(pools);
  return true;
}
