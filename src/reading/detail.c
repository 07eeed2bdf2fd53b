/* SPDX-License-Identifier: MIT */
/* How much light and dark the piece itself has, octave by octave: what can be seen of it from afar.
 * In: image and cut-out. Out: bc_reading.detail. Source: Haar multiresolution, Mallat 1989; docs/method/reading.md. */
#include "reading_internal.h"

#include <math.h>
#include <stdlib.h>

/* A cell counts when at least so much of it is piece: the outline itself isn't detail. */
#define COVERED 0.9

typedef struct level {
  int width, height;
  double *weight, *light; /* sums over the cell */
} level;

static void level_clear(level *l) {
  free(l->weight);
  free(l->light);
  *l = (level){0};
}

static bc_status level_new(level *l, bc_context *context, int width, int height) {
  const size_t cells = (size_t)width * (size_t)height;
  *l = (level){width, height, bc_allocate(cells, sizeof(double)), bc_allocate(cells, sizeof(double))};
  if (l->weight && l->light) return BC_OK;
  level_clear(l);
  return bc_fail_memory(context);
}

static bc_status level_of_box(level *l, bc_context *context, const bc_image *image, const bc_cutout *cutout) {
  const bc_box box = cutout->box;
  const bc_status status = level_new(l, context, box.width, box.height);
  if (status != BC_OK) return status;
  for (int y = 0; y < box.height; y++)
    for (int x = 0; x < box.width; x++) {
      const size_t from = (size_t)(box.y + y) * (size_t)image->width + (size_t)(box.x + x),
                   to = (size_t)y * (size_t)box.width + (size_t)x;
      if (cutout->alpha[from] < 128) continue;
      l->weight[to] = 1;
      l->light[to] = fmax(0, (double)image->Y[from]);
    }
  return BC_OK;
}

static void add_up(level *parent, const level *child) {
  for (int y = 0; y < child->height; y++)
    for (int x = 0; x < child->width; x++) {
      const size_t from = (size_t)y * (size_t)child->width + (size_t)x,
                   to = (size_t)(y / 2) * (size_t)parent->width + (size_t)(x / 2);
      parent->weight[to] += child->weight[from];
      parent->light[to] += child->light[from];
    }
}

/* Root mean square of child means against their parent's mean, where both are all piece. */
static double spread(const level *parent, const level *child, double child_area) {
  double weight = 0, squares = 0;
  for (int y = 0; y < child->height; y++)
    for (int x = 0; x < child->width; x++) {
      const size_t c = (size_t)y * (size_t)child->width + (size_t)x,
                   p = (size_t)(y / 2) * (size_t)parent->width + (size_t)(x / 2);
      if (child->weight[c] < COVERED * child_area || parent->weight[p] < COVERED * 4 * child_area) continue;
      const double off = child->light[c] / child->weight[c] - parent->light[p] / parent->weight[p];
      weight += child->weight[c];
      squares += child->weight[c] * off * off;
    }
  return weight > 0 ? sqrt(squares / weight) : 0;
}

bc_status reading_detail(bc_reading *reading, bc_context *context, const bc_image *image, const bc_cutout *cutout) {
  level child = {0};
  bc_status status = level_of_box(&child, context, image, cutout);
  double side = 1;
  for (size_t i = 0; status == BC_OK && i < BC_READING_DETAIL && child.width > 2 && child.height > 2; i++, side *= 2) {
    level parent = {0};
    status = level_new(&parent, context, (child.width + 1) / 2, (child.height + 1) / 2);
    if (status != BC_OK) break;
    add_up(&parent, &child);
    const double mean = fmax(1e-6, reading->mean.luminance); /* a cycle is two cells; sqrt 2: rms to amplitude */
    reading->detail_cycles[i] = (float)(cutout->box.width / (2 * side));
    reading->detail[i] = (float)(sqrt(2) * spread(&parent, &child, side * side) / mean);
    level_clear(&child);
    child = parent;
  }
  level_clear(&child);
  return status;
}
