/* SPDX-License-Identifier: MIT */
/* Straight edges: neighbouring pixels whose lightness changes in one direction are gathered into a region, the region
 * becomes a segment, and stays only if chance would hardly make it. Source: Grompone von Gioi, Jakubowicz, Morel and
 * Randall, "LSD: a fast line segment detector with a false detection control", IEEE PAMI 32(4), 2010. */
#include "look_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define TOLERANCE (M_PI / 8) /* of direction within a region */
#define CHANCE 0.125         /* that a random direction lies within it */
#define LEAST_STEP 0.7       /* L* a pixel */
#define LEAST_LENGTH 14.0    /* pixels */
#define LEAST_DENSITY 0.55
#define LEVELS 256

typedef struct field {
  int width, height;
  float *step, *angle; /* size of the change; direction of the edge, radians; step 0: none */
  uint8_t *used;
  int32_t *order;  /* pixels from the strongest step down */
  int32_t *region; /* of the growing region */
  size_t order_count;
} field;

static void clear_field(field *f) {
  free(f->step);
  free(f->angle);
  free(f->used);
  free(f->order);
  free(f->region);
}

/* Sobel's weights, which also smooth a little. */
static void take_steps(field *f, const float *L) {
  const int w = f->width;
  for (int y = 1; y + 1 < f->height; y++)
    for (int x = 1; x + 1 < w; x++) {
      const float *const p = L + (size_t)y * (size_t)w + (size_t)x;
      const double gx = ((double)p[1 - w] + 2 * (double)p[1] + (double)p[1 + w] - (double)p[-1 - w] -
                         2 * (double)p[-1] - (double)p[w - 1]) /
                        8;
      const double gy = ((double)p[w - 1] + 2 * (double)p[w] + (double)p[w + 1] - (double)p[-w - 1] -
                         2 * (double)p[-w] - (double)p[-w + 1]) /
                        8;
      const double size = hypot(gx, gy);
      const size_t i = (size_t)y * (size_t)w + (size_t)x;
      if (size < LEAST_STEP) continue;
      f->step[i] = (float)size;
      f->angle[i] = (float)atan2(gx, -gy);
    }
}

static int level_of(float step) {
  const int level = (int)(step * 8);
  return level >= LEVELS ? LEVELS - 1 : level;
}

/* Strongest first, by counting: all that the method asks of the order. */
static void set_order(field *f) {
  size_t start[LEVELS + 1] = {0};
  const size_t count = (size_t)f->width * (size_t)f->height;
  for (size_t i = 0; i < count; i++)
    if (f->step[i] > 0) start[LEVELS - 1 - level_of(f->step[i]) + 1]++;
  for (int k = 0; k < LEVELS; k++) start[k + 1] += start[k];
  f->order_count = start[LEVELS];
  for (size_t i = 0; i < count; i++)
    if (f->step[i] > 0) f->order[start[LEVELS - 1 - level_of(f->step[i])]++] = (int32_t)i;
}

static bool aligned(double first, double second, double tolerance) {
  double off = fabs(first - second);
  if (off > M_PI) off = 2 * M_PI - off;
  return off <= tolerance;
}

static size_t grow(field *f, size_t seed, double tolerance) {
  double direction;
  double sx = cos((double)f->angle[seed]), sy = sin((double)f->angle[seed]);
  size_t count = 0;
  f->region[count++] = (int32_t)seed;
  f->used[seed] = 1;
  direction = (double)f->angle[seed];
  for (size_t k = 0; k < count; k++) {
    const int x = f->region[k] % f->width, y = f->region[k] / f->width;
    for (int dy = -1; dy <= 1; dy++)
      for (int dx = -1; dx <= 1; dx++) {
        const int to_x = x + dx, to_y = y + dy;
        if (to_x < 0 || to_y < 0 || to_x >= f->width || to_y >= f->height) continue;
        const size_t to = (size_t)to_y * (size_t)f->width + (size_t)to_x;
        if (f->used[to] || !(f->step[to] > 0) || !aligned((double)f->angle[to], direction, tolerance)) continue;
        f->used[to] = 1;
        f->region[count++] = (int32_t)to;
        sx += cos((double)f->angle[to]);
        sy += sin((double)f->angle[to]);
        direction = atan2(sy, sx);
      }
  }
  return count;
}

/* The region's axis through its middle, weighted by the steps. Returns its width in pixels. */
static double fit(look_segment *out, const field *f, size_t count) {
  double sum = 0, mx = 0, my = 0, xx = 0, yy = 0, xy = 0;
  for (size_t k = 0; k < count; k++) {
    const double w = (double)f->step[f->region[k]], x = f->region[k] % f->width + 0.5,
                 y = f->region[k] / f->width + 0.5;
    sum += w;
    mx += w * x;
    my += w * y;
  }
  mx /= sum;
  my /= sum;
  for (size_t k = 0; k < count; k++) {
    const double w = (double)f->step[f->region[k]];
    const double x = f->region[k] % f->width + 0.5 - mx, y = f->region[k] / f->width + 0.5 - my;
    xx += w * x * x;
    yy += w * y * y;
    xy += w * x * y;
  }
  const double angle = 0.5 * atan2(2 * xy, xx - yy), c = cos(angle), s = sin(angle);
  double low = 0, high = 0, left = 0, right = 0;
  for (size_t k = 0; k < count; k++) {
    const double x = f->region[k] % f->width + 0.5 - mx, y = f->region[k] / f->width + 0.5 - my;
    low = fmin(low, c * x + s * y);
    high = fmax(high, c * x + s * y);
    left = fmin(left, c * y - s * x);
    right = fmax(right, c * y - s * x);
  }
  *out = (look_segment){mx + low * c, my + low * s, mx + high * c, my + high * s, high - low, 0};
  out->angle = fmod(angle * 180 / M_PI + 180, 180);
  return fmax(1, right - left);
}

/* Natural logarithm of the chance that exactly k of n pixels agree. */
static double log_chance(double n, double k) {
  return lgamma(n + 1) - lgamma(k + 1) - lgamma(n - k + 1) + k * log(CHANCE) + (n - k) * log1p(-CHANCE);
}

/* log10 of the expected number of such regions in a picture of noise: tests x tail of the binomial. */
static double false_alarms(const field *f, double n, double k) {
  const double tests = 2.5 * log10((double)f->width * f->height);
  const double first = log_chance(n, k);
  double tail = 1; /* in units of its first term */
  for (double i = k + 1; i <= n; i++) {
    const double term = exp(log_chance(n, i) - first);
    tail += term;
    if (term < 1e-9 * tail) break;
  }
  return tests + (first + log(tail)) / M_LN10;
}

static bool holds(const field *f, const look_segment *segment, double width, size_t count) {
  const double area = fmax((double)count, segment->length * width);
  if (segment->length < LEAST_LENGTH || (double)count < LEAST_DENSITY * area) return false;
  return false_alarms(f, floor(area), (double)count) < 0;
}

static void let_go(field *f, size_t size) {
  for (size_t i = 0; i < size; i++) f->used[f->region[i]] = 0;
}

/* Where two edges meet at a blunt angle one region takes in both and is no line: it is grown anew more strictly. */
static bool segment_at(look_segment *out, field *f, size_t seed) {
  for (double tolerance = TOLERANCE; tolerance > TOLERANCE / 5; tolerance /= 2) {
    const size_t size = grow(f, seed, tolerance);
    if ((double)size >= LEAST_LENGTH) {
      const double width = fit(out, f, size);
      if (holds(f, out, width, size)) return true;
    }
    if ((double)size < LEAST_LENGTH) return false;
    if (tolerance > TOLERANCE / 4) let_go(f, size);
    f->used[seed] = 1;
  }
  return false;
}

static bool gather(field *f, look_segments *out) {
  size_t room = 0;
  for (size_t k = 0; k < f->order_count; k++) {
    const size_t seed = (size_t)f->order[k];
    look_segment segment;
    if (f->used[seed] || !segment_at(&segment, f, seed)) continue;
    if (out->count == room) {
      look_segment *const more = bc_reallocate(out->list, room = room ? 2 * room : 256, sizeof *out->list);
      if (!more) return false;
      out->list = more;
    }
    out->list[out->count++] = segment;
  }
  return true;
}

bc_status look_segments_find(look_segments *out, bc_context *context, const float *plane, int width, int height) {
  *out = (look_segments){.width = width, .height = height};
  const size_t pixels = (size_t)width * (size_t)height;
  field f = {.width = width,
             .height = height,
             .step = bc_allocate(pixels, sizeof(float)),
             .angle = bc_allocate(pixels, sizeof(float)),
             .used = bc_allocate(pixels, 1),
             .order = bc_allocate(pixels, sizeof(int32_t)),
             .region = bc_allocate(pixels, sizeof(int32_t))};
  bool room = f.step && f.angle && f.used && f.order && f.region;
  if (room) {
    take_steps(&f, plane);
    set_order(&f);
    room = gather(&f, out);
  }
  clear_field(&f);
  if (room) return BC_OK;
  free(out->list);
  *out = (look_segments){0};
  return bc_fail_memory(context);
}
