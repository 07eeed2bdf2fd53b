/* SPDX-License-Identifier: MIT */
/* Parts inside a piece that look like the wall: through a handle one sees the wall, but a white moon on a banner is the
 * banner's own. What is enclosed by more of the piece than it is thick itself belongs to the piece.
 * In: cut-out of a piece on its crop. Out: the same, filled. Our choice, by looking: docs/method/look.md. */
#include "look_internal.h"

#include <math.h>
#include <stdlib.h>

#define RIM_TO_HOLE 0.4 /* thinnest rim over the hole's own thickness that makes it part of the piece */
#define LEAST_RIM_CM 0.7

enum { SOLID = 0, OUTSIDE, UNSEEN, FIRST_HOLE };

typedef struct holes {
  const bc_cutout *cutout;
  int32_t *label; /* SOLID, OUTSIDE, or the hole's number */
  int32_t *queue;
  int *to_outside; /* thirds of a pixel */
  int *to_piece;
} holes;

/* Gives all open pixels joined to `start` a label. */
static void flood(holes *h, int start, int32_t label) {
  const int width = h->cutout->width, height = h->cutout->height;
  size_t first = 0, last = 0;
  h->queue[last++] = start;
  h->label[start] = label;
  while (first < last) {
    const int at = h->queue[first++], x = at % width, y = at / width;
    for (int d = 0; d < 4; d++) {
      const int to_x = x + (d == 0) - (d == 1), to_y = y + (d == 2) - (d == 3), to = to_y * width + to_x;
      if (to_x < 0 || to_y < 0 || to_x >= width || to_y >= height || h->label[to] != UNSEEN) continue;
      h->label[to] = label;
      h->queue[last++] = to;
    }
  }
}

static int32_t find_holes(holes *h) {
  const int width = h->cutout->width, height = h->cutout->height;
  int32_t next = FIRST_HOLE;
  for (int i = 0; i < width * height; i++) h->label[i] = h->cutout->alpha[i] >= 128 ? SOLID : UNSEEN;
  for (int i = 0; i < width * height; i++) {
    const int x = i % width, y = i / width;
    if (h->label[i] == UNSEEN && (x == 0 || y == 0 || x == width - 1 || y == height - 1)) flood(h, i, OUTSIDE);
  }
  for (int i = 0; i < width * height; i++)
    if (h->label[i] == UNSEEN) flood(h, i, next++);
  return next;
}

/* A hole's thinnest rim, and its own thickness, in pixels. */
static void measure(double *rim, double *thick, const holes *h, int32_t count) {
  for (int32_t k = 0; k < count; k++) {
    rim[k] = HUGE_VAL;
    thick[k] = 0;
  }
  for (int i = 0; i < h->cutout->width * h->cutout->height; i++) {
    const int32_t k = h->label[i];
    if (k < FIRST_HOLE) continue;
    rim[k] = fmin(rim[k], h->to_outside[i] / 3.0);
    thick[k] = fmax(thick[k], 2 * h->to_piece[i] / 3.0);
  }
}

static bool fill(holes *h, int32_t count, double px_per_cm) {
  const size_t pixels = (size_t)h->cutout->width * (size_t)h->cutout->height;
  uint8_t *outside = bc_allocate(pixels, 1);
  double *rim = bc_allocate((size_t)count, sizeof *rim), *thick = bc_allocate((size_t)count, sizeof *thick);
  const bool room = outside && rim && thick;
  if (room) {
    for (size_t i = 0; i < pixels; i++) outside[i] = h->label[i] == OUTSIDE ? 255 : 0;
    look_distances(h->to_outside, outside, true, h->cutout->width, h->cutout->height, 128);
    look_distances(h->to_piece, h->cutout->alpha, true, h->cutout->width, h->cutout->height, 128);
    measure(rim, thick, h, count);
    for (size_t i = 0; i < pixels; i++) {
      const int32_t k = h->label[i];
      if (k >= FIRST_HOLE && rim[k] >= fmax(LEAST_RIM_CM * px_per_cm, RIM_TO_HOLE * thick[k]))
        h->cutout->alpha[i] = 255;
    }
    /* soft pixels along a filled hole */
    for (size_t i = 0; i < pixels; i++)
      if (h->label[i] == SOLID && h->to_outside[i] > 9 && h->cutout->alpha[i] < 255) {
        bool by_hole = false;
        const int x = (int)(i % (size_t)h->cutout->width), y = (int)(i / (size_t)h->cutout->width);
        for (int dy = -2; dy <= 2; dy++)
          for (int dx = -2; dx <= 2; dx++) {
            const int to_x = x + dx, to_y = y + dy;
            if (to_x < 0 || to_y < 0 || to_x >= h->cutout->width || to_y >= h->cutout->height) continue;
            const size_t to = (size_t)to_y * (size_t)h->cutout->width + (size_t)to_x;
            by_hole = by_hole || (h->label[to] >= FIRST_HOLE && h->cutout->alpha[to] == 255);
          }
        if (by_hole) h->cutout->alpha[i] = 255;
      }
  }
  free(outside);
  free(rim);
  free(thick);
  return room;
}

bc_status look_fill_holes(bc_cutout *cutout, bc_context *context, double px_per_cm) {
  const size_t pixels = (size_t)cutout->width * (size_t)cutout->height;
  holes h = {.cutout = cutout,
             .label = bc_allocate(pixels, sizeof(int32_t)),
             .queue = bc_allocate(pixels, sizeof(int32_t)),
             .to_outside = bc_allocate(pixels, sizeof(int)),
             .to_piece = bc_allocate(pixels, sizeof(int))};
  bool room = h.label && h.queue && h.to_outside && h.to_piece;
  if (room) {
    const int32_t count = find_holes(&h);
    room = count == FIRST_HOLE || fill(&h, count, px_per_cm);
  }
  free(h.label);
  free(h.queue);
  free(h.to_outside);
  free(h.to_piece);
  return room ? BC_OK : bc_fail_memory(context);
}
