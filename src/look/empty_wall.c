/* SPDX-License-Identifier: MIT */
/* The largest empty rectangles of the wall, apart from one another, and the share that pieces cover.
 * Source: the largest rectangle under a histogram by a stack, row by row: Vandevoorde, Dr. Dobb's Journal 23(4), 1998.
 */
#include "look_internal.h"

#include <math.h>
#include <stdlib.h>

#define CELL_CM 2.0
#define LEAST_CM 20.0    /* narrower gaps are the room between pieces */
#define LEAST_SHARE 0.03 /* of the wall */

typedef struct grid {
  int width, height;
  double cell; /* cm */
  uint8_t *full;
  int *run;   /* empty cells upwards from a cell, row by row */
  int *stack; /* columns */
} grid;

typedef struct rectangle {
  int left, top, width, height;
} rectangle;

static bool make_grid(grid *g, const bc_look *look, const uint8_t *cover) {
  g->cell = fmax(CELL_CM, fmax(look->width_cm, look->height_cm) / 1500);
  g->width = (int)fmax(1, floor(look->width_cm / g->cell));
  g->height = (int)fmax(1, floor(look->height_cm / g->cell));
  g->full = bc_allocate((size_t)g->width * (size_t)g->height, 1);
  g->run = bc_allocate((size_t)g->width, sizeof(int));
  g->stack = bc_allocate((size_t)g->width + 1, sizeof(int));
  if (!g->full || !g->run || !g->stack) return false;
  for (int y = 0; y < look->wall->height; y++)
    for (int x = 0; x < look->wall->width; x++) {
      if (cover[(size_t)y * (size_t)look->wall->width + (size_t)x] < 128) continue;
      const long cx = (long)x * g->width / look->wall->width, cy = (long)y * g->height / look->wall->height;
      g->full[cy * g->width + cx] = 1;
    }
  return true;
}

static void clear_grid(grid *g) {
  free(g->full);
  free(g->run);
  free(g->stack);
}

static void consider(rectangle *best, rectangle r) {
  if ((long)r.width * r.height > (long)best->width * best->height) *best = r;
}

/* The best rectangle whose lowest row is y. */
static void scan_row(const grid *g, int y, rectangle *best) {
  int top = 0;
  for (int x = 0; x <= g->width; x++) {
    const int here = x < g->width ? g->run[x] : 0;
    while (top > 0 && g->run[g->stack[top - 1]] >= here) {
      const int high = g->run[g->stack[--top]], left = top > 0 ? g->stack[top - 1] + 1 : 0;
      consider(best, (rectangle){left, y - high + 1, x - left, high});
    }
    if (x < g->width) g->stack[top++] = x;
  }
}

static rectangle largest(grid *g) {
  rectangle best = {0, 0, 0, 0};
  for (int x = 0; x < g->width; x++) g->run[x] = 0;
  for (int y = 0; y < g->height; y++) {
    for (int x = 0; x < g->width; x++) g->run[x] = g->full[y * g->width + x] ? 0 : g->run[x] + 1;
    scan_row(g, y, &best);
  }
  return best;
}

static void take(grid *g, rectangle r) {
  for (int y = r.top; y < r.top + r.height; y++)
    for (int x = r.left; x < r.left + r.width; x++) g->full[y * g->width + x] = 1;
}

static void list_gaps(bc_look *look, grid *g) {
  const double across = look->width_cm / g->width, down = look->height_cm / g->height;
  while (look->gap_count < BC_LOOK_GAPS) {
    const rectangle r = largest(g);
    const bc_look_gap gap = {r.left * across, look->height_cm - (r.top + r.height) * down, r.width * across,
                             r.height * down};
    if (gap.width * gap.height < LEAST_SHARE * look->width_cm * look->height_cm) return;
    if (fmin(gap.width, gap.height) >= LEAST_CM) look->gaps[look->gap_count++] = gap;
    take(g, r);
  }
}

bc_status look_gaps_find(bc_look *look, bc_context *context, const uint8_t *cover) {
  const size_t count = (size_t)look->wall->width * (size_t)look->wall->height;
  double sum = 0;
  for (size_t i = 0; i < count; i++) sum += cover[i] / 255.0;
  look->covered_share = sum / (double)count;
  grid g = {0};
  const bool room = make_grid(&g, look, cover);
  if (room) list_gaps(look, &g);
  clear_grid(&g);
  return room ? BC_OK : bc_fail_memory(context);
}
