/* SPDX-License-Identifier: MIT */
/* Connected parts of a mask: specks are dropped, pin-holes filled; what the user marked is kept. */
#include "base/base.h"
#include "grid_answer.h"

#include <stdlib.h>

typedef struct flood {
  int32_t *label, *stack;
  const uint8_t *mask;
  int width, height, directions;
} flood;

static int fill_from(const flood *f, int start, int32_t label) {
  int count = 0, depth = 0;
  f->stack[depth++] = start;
  f->label[start] = label;
  while (depth > 0) {
    const int at = f->stack[--depth], x = at % f->width, y = at / f->width;
    count++;
    for (int d = 0; d < f->directions; d++) {
      const int to_x = x + cutout_step_x[d], to_y = y + cutout_step_y[d];
      if (to_x < 0 || to_y < 0 || to_x >= f->width || to_y >= f->height) continue;
      const int to = to_y * f->width + to_x;
      if (f->label[to] >= 0 || f->mask[to] != f->mask[start]) continue;
      f->label[to] = label;
      f->stack[depth++] = to;
    }
  }
  return count;
}

/* Labels parts of piece (8 neighbours) and of background (4 neighbours) alike. */
bc_status cutout_regions_new(cutout_regions *out, bc_context *context, const uint8_t *mask, int width, int height) {
  const size_t count = (size_t)width * (size_t)height;
  *out =
      (cutout_regions){.label = bc_allocate(count, sizeof *out->label), .part = bc_allocate(count, sizeof *out->part)};
  flood f = {.label = out->label,
             .stack = bc_allocate(count, sizeof *f.stack),
             .mask = mask,
             .width = width,
             .height = height};
  const bool ready = f.label && f.stack && out->part;
  for (size_t i = 0; ready && i < count; i++) f.label[i] = -1;
  for (size_t i = 0; ready && i < count; i++) {
    if (f.label[i] >= 0) continue;
    f.directions = mask[i] ? 8 : 4;
    const int area = fill_from(&f, (int)i, (int32_t)out->count);
    out->part[out->count++] = (cutout_part){.area = area, .piece = mask[i], .left = width, .top = height};
  }
  free(f.stack);
  if (!ready) {
    cutout_regions_clear(out);
    return bc_fail_memory(context);
  }
  for (int y = 0; y < height; y++)
    for (int x = 0; x < width; x++) {
      cutout_part *part = &out->part[out->label[y * width + x]];
      if (x < part->left) part->left = x;
      if (x > part->right) part->right = x;
      if (y < part->top) part->top = y;
      if (y > part->bottom) part->bottom = y;
    }
  return BC_OK;
}

void cutout_regions_clear(cutout_regions *regions) {
  free(regions->label);
  free(regions->part);
  *regions = (cutout_regions){0};
}

/* ---- tidying ---- */

/* Our choices: a part of the piece smaller than 3 % of the largest is taken for a speck; a hole
 * smaller than 0.6 % of the piece is taken for a mark on the piece, such as an eye or a label, up to
 * 4 % when the models are in doubt about it. */
static const double speck_share = 0.03, pin_hole_share = 0.015, doubtful_hole_share = 0.06;
static const double doubtful_pull = -1.5;
static const double heard = 0.5; /* nats a cell: where a guess says so much, a speck is no speck, a hole no mark */

typedef struct tidy {
  double pull; /* sum over the part */
  double word; /* of a first guess, likewise */
  bool marked; /* by the user */
} tidy;

static bool touches_border(const cutout_part *part, const cutout_grid *grid) {
  return part->left == 0 || part->top == 0 || part->right == grid->width - 1 || part->bottom == grid->height - 1;
}

static bool should_flip(const cutout_part *part, const tidy *what, const cutout_grid *grid, int largest, int total) {
  if (what->marked) return false;
  if (part->piece ? what->word > heard * part->area : what->word < -heard * part->area) return false;
  if (part->piece) return part->area < speck_share * largest;
  if (touches_border(part, grid)) return false;
  if (part->area < pin_hole_share * total) return true;
  return part->area < doubtful_hole_share * total && what->pull / part->area > doubtful_pull;
}

static void flip_parts(cutout_scene *scene, const cutout_regions *regions, const tidy *what) {
  int largest = 0, total = 0;
  for (size_t p = 0; p < regions->count; p++) {
    if (!regions->part[p].piece) continue;
    total += regions->part[p].area;
    if (regions->part[p].area > largest) largest = regions->part[p].area;
  }
  for (size_t i = 0; i < scene->grid.count; i++) {
    const int32_t label = regions->label[i];
    if (should_flip(&regions->part[label], &what[label], &scene->grid, largest, total)) scene->piece[i] ^= 1;
  }
}

bc_status cutout_regions_tidy(cutout_scene *scene, bc_context *context) {
  cutout_regions regions;
  const bc_status status = cutout_regions_new(&regions, context, scene->piece, scene->grid.width, scene->grid.height);
  if (status != BC_OK || !regions.label) return status;
  tidy *what = bc_allocate(regions.count, sizeof *what);
  for (size_t i = 0; what && i < scene->grid.count; i++) {
    what[regions.label[i]].pull += (double)scene->pull[i];
    what[regions.label[i]].word += (double)cutout_scene_word(scene, i);
    if (scene->marked && scene->marked[i]) what[regions.label[i]].marked = true;
  }
  if (what) flip_parts(scene, &regions, what);
  cutout_regions_clear(&regions);
  free(what);
  return what ? BC_OK : bc_fail_memory(context);
}
