/* SPDX-License-Identifier: MIT */
/* White on white: what is only a little lighter than the bare wall, but lies at a part that surely differs, belongs to
 * it. In: the ground's classes. Out: the same with more of a piece in them. Source of the two thresholds: Canny, "A
 * computational approach to edge detection", IEEE PAMI 8(6), 1986 (hysteresis). docs/method/look.md. */
#include "look_internal.h"

#include <math.h>
#include <stdlib.h>

/* Our choice: about a third of what shows a piece by itself, and never within 4 noises of the wall. */
#define FAINT_L 1.0
#define SMOOTH 2        /* cells to each side over which is averaged */
#define REACH_CM 3.0    /* across which a rounded piece is just as light as the wall, on its way from light to shade */
#define MOST_SHARE 0.03 /* of the wall: a larger faint part is a pool of light */
#define LEAST_SHARE 0.00015

enum {
  DARK = 2, /* a little darker: perhaps a shadow's edge, and perhaps the strip between light and shade */
  OWN = 1,  /* of a piece */
  GATHERED = 128,
  PALE = 255
};
typedef struct work {
  look_ground *ground;
  uint8_t *faint; /* of each cell, as below */
  int32_t *queue;
  int *distance;
  uint8_t *mask;
} work;

/* Mean difference from the bare wall over what is not yet told from it, round a cell: the noise is averaged away. */
static double smooth_difference(const look_ground *g, int x, int y) {
  double sum = 0;
  int count = 0;
  for (int to_y = y - SMOOTH; to_y <= y + SMOOTH; to_y++)
    for (int to_x = x - SMOOTH; to_x <= x + SMOOTH; to_x++) {
      if (to_x < 0 || to_y < 0 || to_x >= g->width || to_y >= g->height) continue;
      const int i = to_y * g->width + to_x;
      if (g->class[i] != LOOK_GROUND) continue;
      sum += (double)g->lab[0][i] - (double)g->model[0][i];
      count++;
    }
  return count ? sum / count : 0;
}

static void mark_faint(work *w) {
  const look_ground *const g = w->ground;
  const double step = fmax(FAINT_L, 4 * g->noise[0] / (2 * SMOOTH + 1));
  for (int i = 0; i < g->width * g->height; i++) {
    const double dl = smooth_difference(g, i % g->width, i / g->width);
    w->faint[i] = g->class[i] != LOOK_GROUND ? 0 : dl > step ? PALE : dl < -step ? DARK : 0;
  }
}

/* One connected faint part into the queue; returns its size. *touches: it lies within reach of a piece. */
static int gather(work *w, int start, double reach, bool *touches) {
  const look_ground *const g = w->ground;
  int first = 0, last = 0;
  *touches = false;
  w->queue[last++] = start;
  w->faint[start] = GATHERED;
  while (first < last) {
    const int at = w->queue[first++], x = at % g->width, y = at / g->width;
    *touches = *touches || w->distance[at] <= 6 * reach; /* thirds of a cell: what closing bridges */
    for (int d = 0; d < 9; d++) {
      const int to_x = x + d % 3 - 1, to_y = y + d / 3 - 1;
      if (to_x < 0 || to_y < 0 || to_x >= g->width || to_y >= g->height) continue;
      const int to = to_y * g->width + to_x;
      if (w->faint[to] != PALE) continue;
      w->faint[to] = GATHERED;
      w->queue[last++] = to;
    }
  }
  return last;
}

static bool accept_parts(work *w, double reach) {
  const look_ground *const g = w->ground;
  const int count = g->width * g->height;
  bool any = false;
  for (int i = 0; i < count; i++) w->mask[i] = g->class[i] != LOOK_GROUND || w->faint[i] == DARK ? 255 : 0;
  look_distances(w->distance, w->mask, true, g->width, g->height, 128);
  for (int i = 0; i < count; i++) {
    if (w->faint[i] != PALE) continue;
    bool touches;
    const int size = gather(w, i, reach, &touches);
    if (!touches || size > MOST_SHARE * count || size < LEAST_SHARE * count) continue;
    for (int k = 0; k < size; k++) w->faint[w->queue[k]] = OWN;
    any = true;
  }
  return any;
}

/* The strip between light and shade, where a rounded piece is as light as the wall: closed, but only beside what was
 * just found, so that two pieces that hang near each other stay two. */
static void close_strips(work *w, double reach) {
  look_ground *const g = w->ground;
  const int count = g->width * g->height;
  for (int i = 0; i < count; i++)
    w->mask[i] = g->class[i] != LOOK_GROUND || w->faint[i] == OWN || w->faint[i] == DARK ? 255 : 0;
  look_distances(w->distance, w->mask, true, g->width, g->height, 128);
  for (int i = 0; i < count; i++) w->mask[i] = w->distance[i] <= 3 * reach ? 255 : 0;
  look_distances(w->distance, w->mask, false, g->width, g->height, 128);
  for (int i = 0; i < count; i++) w->mask[i] = w->faint[i] == OWN ? 255 : w->distance[i] > 3 * reach ? 100 : 0;
  look_distances(w->distance, w->mask, true, g->width, g->height, 200);
  for (int i = 0; i < count; i++)
    if (w->mask[i] == 255 || (w->mask[i] == 100 && w->distance[i] <= 12 * reach && g->class[i] == LOOK_GROUND))
      g->class[i] = LOOK_FAINT;
}

bc_status look_ground_add_faint(look_ground *ground, bc_context *context, double cells_per_cm) {
  const size_t count = (size_t)ground->width * (size_t)ground->height;
  const double reach = REACH_CM * cells_per_cm;
  work w = {.ground = ground};
  w.faint = bc_allocate(count, 1);
  w.mask = bc_allocate(count, 1);
  w.queue = bc_allocate(count, sizeof *w.queue);
  w.distance = bc_allocate(count, sizeof *w.distance);
  const bool room = w.faint && w.mask && w.queue && w.distance;
  if (room) {
    mark_faint(&w);
    if (accept_parts(&w, reach)) close_strips(&w, reach);
  }
  free(w.faint);
  free(w.mask);
  free(w.queue);
  free(w.distance);
  return room ? BC_OK : bc_fail_memory(context);
}
