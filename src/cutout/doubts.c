/* SPDX-License-Identifier: MIT */
/* Where a finished answer is doubtful: stretches of its outline with hardly any difference across them, or where the
 * suppositions or a guess disagree with the answer; and of the largest place that does, the middle, where one tap
 * decides most. Follows confidence.c, which says how much is doubtful in all. Our own rule. */
#include "doubts.h"
#include "base/base.h"
#include "grid_answer.h"

#include <stdlib.h>
#include <string.h>

/* Our choices. */
static const float disagreement = 0.35f; /* of the suppositions, or of a guess's probability: a cell is in doubt */
static const float against = 0.4f;       /* what colours that speak for the other side add to it */
static const float weak_difference = 6;  /* CIELAB, as in confidence.c */
enum {
  across = 2,
  beyond = 5,
  shortest = 8
};                                     /* cells: outside of a weak outline; further than a coarse cell; of a stretch */
static const double least_area = 0.01; /* of the answer's: what a tap is worth asking for */

typedef struct doubt_work {
  const cutout_scene *scene;
  const uint8_t *cells;
  const bc_image *image;
  uint8_t *doubtful; /* 0, or 1 where the answer is ground and 2 where it is piece; then of the outline */
  int32_t *inward;   /* how many cells from the end of a doubtful place */
  size_t area, outline;
} doubt_work;

static bc_point_px middle_of(const doubt_work *w, size_t cell) {
  const cutout_grid *grid = &w->scene->grid;
  const int64_t x = (int64_t)(cell % (size_t)grid->width), y = (int64_t)(cell / (size_t)grid->width);
  return (bc_point_px){(int)((2 * x + 1) * w->image->full_width / (2 * (int64_t)grid->width)),
                       (int)((2 * y + 1) * w->image->full_height / (2 * (int64_t)grid->height))};
}

/* `colours`: whether they are asked too; a cell that the outline crosses has colours of both sides. */
static bool in_doubt(const doubt_work *w, size_t i, bool colours) {
  const cutout_scene *s = w->scene;
  if (cutout_scene_known(s, i) != CUTOUT_OPEN || (s->marked && s->marked[i])) return false;
  const float answer = w->cells[i] ? 1 : 0, told = s->word ? s->prior[i] : s->vote ? s->vote[i] : answer;
  const float off = told > answer ? told - answer : answer - told;
  const bool contradicted = colours && (s->pull[i] > 0) != (w->cells[i] != 0);
  return off + (contradicted ? against : 0) > disagreement;
}

static void set_doubtful(doubt_work *w) {
  for (size_t i = 0; i < w->scene->grid.count; i++) {
    w->area += w->cells[i];
    w->doubtful[i] = in_doubt(w, i, true) ? (uint8_t)(1 + w->cells[i]) : 0;
  }
}

/* ---- the tap ---- */

/* Distances to the end of each place of one label, along rows and columns, in two passes. */
static void set_inward(const doubt_work *w, const int32_t *label) {
  const int width = w->scene->grid.width, height = w->scene->grid.height, count = width * height;
  for (int pass = 0; pass < 2; pass++)
    for (int k = 0; k < count; k++) {
      const int i = pass ? count - 1 - k : k, x = i % width, y = i / width;
      const int beside = pass ? i + 1 : i - 1, above = pass ? i + width : i - width;
      const bool has_beside = pass ? x + 1 < width : x > 0, has_above = pass ? y + 1 < height : y > 0;
      const int32_t one = has_beside && label[beside] == label[i] ? w->inward[beside] + 1 : 1;
      const int32_t other = has_above && label[above] == label[i] ? w->inward[above] + 1 : 1;
      const int32_t least = one < other ? one : other;
      if (!pass || least < w->inward[i]) w->inward[i] = least;
    }
}

static void find_tap(bc_cutout_doubts *doubts, const doubt_work *w, const cutout_regions *places) {
  int largest = 0;
  size_t best = 0;
  set_inward(w, places->label);
  for (size_t i = 0; i < w->scene->grid.count; i++) {
    const int area = places->part[places->label[i]].area;
    if (!w->doubtful[i] || area < largest || (area == largest && w->inward[i] <= w->inward[best])) continue;
    largest = area;
    best = i;
  }
  if (largest == 0 || largest < least_area * (double)w->area) return;
  doubts->has_tap = true;
  doubts->tap = middle_of(w, best);
  doubts->tap_is_piece = w->cells[best];
  doubts->tap_share = w->area > 0 ? (double)largest / (double)w->area : 1;
}

/* ---- stretches of the outline ---- */

static float difference(const cutout_grid *grid, size_t first, size_t second) {
  float sum = 0;
  for (int c = 0; c < 3; c++) {
    const float d = grid->lab[c][first] - grid->lab[c][second];
    sum += d * d;
  }
  return sum;
}

/* The cell `steps` from (x, y) in a direction; false outside the grid. */
static bool cell_at(size_t *cell, const cutout_grid *grid, int x, int y, int direction, int steps) {
  const int to_x = x + steps * cutout_step_x[direction], to_y = y + steps * cutout_step_y[direction];
  *cell = (size_t)to_y * (size_t)grid->width + (size_t)to_x;
  return to_x >= 0 && to_y >= 0 && to_x < grid->width && to_y < grid->height;
}

static bool is_weak(const doubt_work *w, int x, int y, int direction) {
  size_t inside, outside;
  return cell_at(&inside, &w->scene->grid, x, y, direction, -1) &&
         cell_at(&outside, &w->scene->grid, x, y, direction, across) &&
         difference(&w->scene->grid, inside, outside) < weak_difference * weak_difference;
}

/* Whether what is beyond the cells that the outline itself crosses is in doubt, to either side. */
static bool is_disputed(const doubt_work *w, int x, int y, int direction) {
  size_t cell;
  for (int side = -1; side <= 1; side += 2)
    if (cell_at(&cell, &w->scene->grid, x, y, direction, side * beyond) && in_doubt(w, cell, false)) return true;
  return false;
}

/* Whether cell (x, y) of the piece lies on the outline; then also whether that is doubtful there. */
static bool on_outline(const doubt_work *w, int x, int y, bool *doubtful) {
  const cutout_grid *grid = &w->scene->grid;
  bool edge = false;
  size_t outside;
  *doubtful = false;
  if (!w->cells[(size_t)y * (size_t)grid->width + (size_t)x]) return false;
  for (int d = 0; d < 4; d++) {
    if (!cell_at(&outside, grid, x, y, d, 1) || w->cells[outside]) continue;
    edge = true;
    *doubtful = *doubtful || is_weak(w, x, y, d) || is_disputed(w, x, y, d);
  }
  return edge;
}

/* From places in doubt to the outline's cells in doubt. */
static void set_outline(doubt_work *w) {
  const cutout_grid *grid = &w->scene->grid;
  for (int y = 0; y < grid->height; y++)
    for (int x = 0; x < grid->width; x++) {
      const size_t i = (size_t)y * (size_t)grid->width + (size_t)x;
      bool doubtful;
      const bool edge = on_outline(w, x, y, &doubtful);
      w->outline += edge;
      w->doubtful[i] = edge && doubtful && !(w->scene->marked && w->scene->marked[i]);
    }
}

static bc_box in_photo(const doubt_work *w, const cutout_part *part) {
  const cutout_grid *grid = &w->scene->grid;
  const int left = cutout_cell_edge(part->left, grid->width, w->image->full_width);
  const int top = cutout_cell_edge(part->top, grid->height, w->image->full_height);
  return (bc_box){left, top, cutout_cell_edge(part->right + 1, grid->width, w->image->full_width) - left,
                  cutout_cell_edge(part->bottom + 1, grid->height, w->image->full_height) - top};
}

/* Every so manieth cell of a stretch. */
static void set_dots(bc_cutout_stretch *to, const doubt_work *w, const cutout_regions *stretches, int32_t which) {
  const int area = stretches->part[which].area, step = (area + BC_CUTOUT_DOTS - 1) / BC_CUTOUT_DOTS;
  int seen = 0;
  for (size_t i = 0; i < w->scene->grid.count; i++)
    if (stretches->label[i] == which && seen++ % step == 0) to->dots[to->dot_count++] = middle_of(w, i);
}

static void find_stretches(bc_cutout_doubts *doubts, const doubt_work *w, const cutout_regions *stretches) {
  int last = INT32_MAX;
  size_t last_part = 0;
  while (doubts->stretch_count < BC_CUTOUT_STRETCHES) { /* the longest of those shorter than the last */
    int longest = 0;
    size_t best = 0;
    for (size_t p = 0; p < stretches->count; p++) {
      const cutout_part *part = &stretches->part[p];
      const bool later = part->area < last || (part->area == last && p > last_part);
      if (!part->piece || part->area <= longest || !later) continue;
      longest = part->area;
      best = p;
    }
    if (longest < shortest) return;
    last = longest;
    last_part = best;
    bc_cutout_stretch *to = &doubts->stretch[doubts->stretch_count++];
    to->box = in_photo(w, &stretches->part[best]);
    to->share = (double)longest / (double)w->outline;
    set_dots(to, w, stretches, (int32_t)best);
  }
}

/* ---- the whole ---- */

static bc_status find(bc_cutout_doubts *doubts, bc_context *context, doubt_work *w) {
  const cutout_grid *grid = &w->scene->grid;
  cutout_regions parts;
  set_doubtful(w);
  bc_status status = cutout_regions_new(&parts, context, w->doubtful, grid->width, grid->height);
  if (status != BC_OK) return status;
  find_tap(doubts, w, &parts);
  cutout_regions_clear(&parts);
  set_outline(w);
  status = cutout_regions_new(&parts, context, w->doubtful, grid->width, grid->height);
  if (status != BC_OK) return status;
  find_stretches(doubts, w, &parts);
  cutout_regions_clear(&parts);
  return BC_OK;
}

bc_status cutout_doubts_find(bc_cutout_doubts *doubts, bc_context *context, const cutout_scene *scene,
                             const uint8_t *cells, const bc_image *image) {
  const size_t count = scene->grid.count;
  doubt_work w = {.scene = scene, .cells = cells, .image = image};
  *doubts = (bc_cutout_doubts){0};
  w.doubtful = bc_allocate(count, 1);
  w.inward = bc_allocate(count, sizeof *w.inward);
  const bc_status status = w.doubtful && w.inward ? find(doubts, context, &w) : bc_fail_memory(context);
  free(w.doubtful);
  free(w.inward);
  return status;
}

/* ---- the rule ---- */

/* Of the outline, and of the cut-out's area (our choice; docs/method/cutout.md). */
static const double most_doubtful = 0.25, most_undecided = 0.5;

bool bc_cutout_is_doubtful(double confidence, const bc_cutout_doubts *doubts) {
  double share = 0;
  for (int i = 0; i < doubts->stretch_count; i++) share += doubts->stretch[i].share;
  return confidence < BC_CUTOUT_SURE || share > most_doubtful ||
         (doubts->has_tap && doubts->tap_share > most_undecided);
}
