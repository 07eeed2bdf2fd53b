/* SPDX-License-Identifier: MIT */
/* Traces the outline of a mask: marching squares on the 50 % line, sub-pixel, with the piece on the right.
 * In: the cut-out. Out: closed outlines for the rim. Source: Lorensen and Cline 1987, in two dimensions. */
#include "reading_internal.h"

#include <math.h>
#include <stdlib.h>

#define LEVEL 127.5f
/* Outlines round less than so many pixels are noise of the mask, not shape of the piece (our choice). */
#define SMALLEST_AREA 16.0

typedef struct grid {
  const uint8_t *alpha;
  int width, height;
} grid;

/* Samples outside the photo are background, so that every outline is closed. */
static float sample(const grid *g, int x, int y) {
  if (x < 0 || y < 0 || x >= g->width || y >= g->height) return 0;
  return g->alpha[(size_t)y * (size_t)g->width + (size_t)x];
}

static bool inside(const grid *g, int x, int y) {
  return sample(g, x, y) > LEVEL;
}

/* The mask's outermost pixels count as the edge: a found mask often stops one pixel short of it. */
static bool on_photo_edge(const grid *g, int x, int y) {
  return x < 1 || y < 1 || x >= g->width - 1 || y >= g->height - 1;
}

/* Two neighbouring samples that the outline passes between: left is background, right is piece.
 *
 *      AL --- AR      the step goes "ahead" across the cell;
 *       |  ^  |       ahead = right - left, turned by a quarter
 *       L --- R       (y points down)                                   */
typedef struct gate {
  int left_x, left_y, right_x, right_y;
} gate;

static gate next_gate(const grid *g, gate at) {
  const int dx = at.right_y - at.left_y, dy = at.left_x - at.right_x;
  const int al_x = at.left_x + dx, al_y = at.left_y + dy, ar_x = at.right_x + dx, ar_y = at.right_y + dy;
  const bool al = inside(g, al_x, al_y), ar = inside(g, ar_x, ar_y);
  bool left = al, right = !ar;
  if (left && right) { /* saddle: the mean of the four corners says whether the two inside corners meet */
    const float mean = 0.25f * (sample(g, at.left_x, at.left_y) + sample(g, at.right_x, at.right_y) +
                                sample(g, al_x, al_y) + sample(g, ar_x, ar_y));
    left = mean > LEVEL;
    right = !left;
  }
  if (left) return (gate){at.left_x, at.left_y, al_x, al_y};
  if (right) return (gate){ar_x, ar_y, at.right_x, at.right_y};
  return (gate){al_x, al_y, ar_x, ar_y};
}

static bool same_gate(gate first, gate second) {
  return first.left_x == second.left_x && first.left_y == second.left_y && first.right_x == second.right_x &&
         first.right_y == second.right_y;
}

static bc_status add_vertex(reading_outline *outline, bc_context *context, const grid *g, gate at,
                            bool keep_photo_edge) {
  if (outline->vertex_count == outline->vertex_room) {
    const size_t room = outline->vertex_room ? 2 * outline->vertex_room : 1024;
    reading_vertex *grown = bc_reallocate(outline->vertex, room, sizeof *grown);
    if (!grown) return bc_fail_memory(context);
    outline->vertex = grown;
    outline->vertex_room = room;
  }
  const float low = sample(g, at.left_x, at.left_y), high = sample(g, at.right_x, at.right_y);
  const float part = (LEVEL - low) / (high - low);
  outline->vertex[outline->vertex_count++] = (reading_vertex){
      .x = (float)at.left_x + part * (float)(at.right_x - at.left_x) + 0.5f,
      .y = (float)at.left_y + part * (float)(at.right_y - at.left_y) + 0.5f,
      .photo_edge = !keep_photo_edge && on_photo_edge(g, at.left_x, at.left_y),
  };
  return BC_OK;
}

/* Takes the pixel staircase out of a closed line; its area stays the same to a fraction of a pixel. */
static void smooth(reading_vertex *vertex, size_t count) {
  for (int pass = 0; pass < 2; pass++) {
    reading_vertex before = vertex[count - 1];
    const reading_vertex first = vertex[0];
    for (size_t i = 0; i < count; i++) {
      const reading_vertex here = vertex[i], after = i + 1 < count ? vertex[i + 1] : first;
      vertex[i].x = 0.25f * before.x + 0.5f * here.x + 0.25f * after.x;
      vertex[i].y = 0.25f * before.y + 0.5f * here.y + 0.25f * after.y;
      before = here;
    }
  }
}

static double enclosed_area(const reading_vertex *vertex, size_t count) {
  double twice = 0;
  for (size_t i = 0; i < count; i++) {
    const reading_vertex here = vertex[i], after = vertex[(i + 1) % count];
    twice += (double)here.x * (double)after.y - (double)after.x * (double)here.y;
  }
  return fabs(twice) / 2;
}

static void measure(const reading_outline *outline, reading_contour *contour) {
  const reading_vertex *vertex = outline->vertex + contour->first;
  for (size_t i = 0; i < contour->count; i++) {
    const reading_vertex *here = &vertex[i], *after = &vertex[(i + 1) % contour->count];
    const double length = hypot((double)(after->x - here->x), (double)(after->y - here->y));
    *(here->photo_edge && after->photo_edge ? &contour->cut_length : &contour->length) += length;
  }
}

/* Keeps the outline that was traced last, or drops it as noise. */
static bc_status close_contour(reading_outline *outline, bc_context *context, size_t first) {
  reading_contour contour = {.first = first, .count = outline->vertex_count - first};
  if (enclosed_area(outline->vertex + first, contour.count) < SMALLEST_AREA) {
    outline->vertex_count = first;
    return BC_OK;
  }
  if (outline->contour_count == outline->contour_room) {
    const size_t room = outline->contour_room ? 2 * outline->contour_room : 16;
    reading_contour *grown = bc_reallocate(outline->contour, room, sizeof *grown);
    if (!grown) return bc_fail_memory(context);
    outline->contour = grown;
    outline->contour_room = room;
  }
  smooth(outline->vertex + first, contour.count);
  measure(outline, &contour);
  outline->contour[outline->contour_count++] = contour;
  outline->length += contour.length;
  outline->cut_length += contour.cut_length;
  return BC_OK;
}

/* Follows one outline from a gate that has not been passed. Every outline goes upwards through some
 * gate with background on its left, so marking those is enough to pass each outline once. */
static bc_status follow(reading_outline *outline, bc_context *context, const grid *g, gate start, bool *passed,
                        bool keep_photo_edge) {
  const size_t first = outline->vertex_count;
  gate at = start;
  do {
    const bool upwards = at.right_x > at.left_x;
    if (upwards) passed[(size_t)at.right_y * (size_t)g->width + (size_t)at.right_x] = true;
    const bc_status status = add_vertex(outline, context, g, at, keep_photo_edge);
    if (status != BC_OK) return status;
    at = next_gate(g, at);
  } while (!same_gate(at, start));
  return close_contour(outline, context, first);
}

static int longest_first(const void *first, const void *second) {
  const reading_contour *a = first, *b = second;
  const double length_a = a->length + a->cut_length, length_b = b->length + b->cut_length;
  if (length_a != length_b) return length_a < length_b ? 1 : -1;
  return a->first < b->first ? -1 : 1;
}

static bc_status trace_all(reading_outline *out, bc_context *context, const grid *g, bool *passed,
                           bool keep_photo_edge) {
  for (int y = 0; y < g->height; y++)
    for (int x = 0; x < g->width; x++) {
      if (!inside(g, x, y) || inside(g, x - 1, y) || passed[(size_t)y * (size_t)g->width + (size_t)x]) continue;
      const bc_status status = follow(out, context, g, (gate){x - 1, y, x, y}, passed, keep_photo_edge);
      if (status != BC_OK) return status;
    }
  return BC_OK;
}

bc_status reading_outline_trace(reading_outline *out, bc_context *context, const bc_cutout *cutout,
                                bool keep_photo_edge) {
  *out = (reading_outline){0};
  const grid g = {cutout->alpha, cutout->width, cutout->height};
  size_t pixels;
  bool *passed = base_size_multiply((size_t)g.width, (size_t)g.height, &pixels) ? bc_allocate(pixels, 1) : NULL;
  if (!passed) return bc_fail_memory(context);
  const bc_status status = trace_all(out, context, &g, passed, keep_photo_edge);
  free(passed);
  if (status != BC_OK) {
    reading_outline_clear(out);
    return status;
  }
  if (out->contour_count) qsort(out->contour, out->contour_count, sizeof *out->contour, longest_first);
  return BC_OK;
}

void reading_outline_clear(reading_outline *outline) {
  free(outline->vertex);
  free(outline->contour);
  *outline = (reading_outline){0};
}
