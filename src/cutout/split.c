/* SPDX-License-Identifier: MIT */
/* Several pieces in one photo become a cut-out each, in reading order. Every pixel of the soft edge
 * goes to the piece whose solid part is nearest, so that two pieces never share it. */
#include "base/base.h"
#include "grid_answer.h"
#include "value.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A part smaller than this share of the largest is a crumb, not a piece; our choice: an ear-stud's
 * butterfly beside its earring is larger. */
static const double crumb_share = 0.05;

typedef struct split_work {
  const bc_cutout *whole;
  cutout_regions regions;
  int32_t *owner; /* of each pixel: the part it belongs to, -1 none */
  int *order;     /* the parts that are pieces, in reading order */
  size_t count;
} split_work;

/* ---- which parts are pieces, and in which order ---- */

static int largest_area(const cutout_regions *regions) {
  int largest = 0;
  for (size_t p = 0; p < regions->count; p++)
    if (regions->part[p].piece && regions->part[p].area > largest) largest = regions->part[p].area;
  return largest;
}

static void choose_pieces(split_work *work) {
  const int largest = largest_area(&work->regions);
  for (size_t p = 0; p < work->regions.count; p++)
    if (work->regions.part[p].piece && work->regions.part[p].area >= crumb_share * largest)
      work->order[work->count++] = (int)p;
}

static double middle_y(const split_work *work, int part) {
  return 0.5 * (work->regions.part[part].top + work->regions.part[part].bottom);
}

static void sort_by(split_work *work, size_t first, size_t last, bool by_x) {
  for (size_t i = first + 1; i < last; i++) {
    const int moving = work->order[i];
    size_t at = i;
    for (; at > first; at--) {
      const int before = work->order[at - 1];
      const double here = by_x ? work->regions.part[moving].left : middle_y(work, moving);
      const double there = by_x ? work->regions.part[before].left : middle_y(work, before);
      if (there <= here) break;
      work->order[at] = before;
    }
    work->order[at] = moving;
  }
}

/* A row holds the pieces whose middles lie above the lower edge of the row's first (highest) piece. */
static void set_reading_order(split_work *work) {
  sort_by(work, 0, work->count, false);
  for (size_t first = 0; first < work->count;) {
    size_t last = first + 1;
    const int lower_edge = work->regions.part[work->order[first]].bottom;
    while (last < work->count && middle_y(work, work->order[last]) <= lower_edge) last++;
    sort_by(work, first, last, true);
    first = last;
  }
}

/* ---- whose is a pixel of the soft edge ---- */

/* Spreads the owners of solid pixels over the soft ones, ring by ring (breadth first). */
static bool set_owners(split_work *work, const uint8_t *solid) {
  const int width = work->whole->width, height = work->whole->height;
  const size_t total = (size_t)width * (size_t)height;
  int32_t *queue = bc_allocate(total, sizeof *queue);
  size_t first = 0, last = 0;
  if (!queue) return false;
  for (size_t i = 0; i < total; i++) {
    work->owner[i] = solid[i] ? work->regions.label[i] : -1;
    if (solid[i]) queue[last++] = (int32_t)i;
  }
  while (first < last) {
    const int at = queue[first++], x = at % width, y = at / width;
    for (int d = 0; d < CUTOUT_DIRECTIONS; d++) {
      const int to_x = x + cutout_step_x[d], to_y = y + cutout_step_y[d], to = to_y * width + to_x;
      if (to_x < 0 || to_y < 0 || to_x >= width || to_y >= height) continue;
      if (work->owner[to] >= 0 || work->whole->alpha[to] == 0) continue;
      work->owner[to] = work->owner[at];
      queue[last++] = to;
    }
  }
  free(queue);
  return true;
}

/* ---- the cut-outs ---- */

static bc_status copy_part(bc_cutout **out, bc_context *context, const bc_image *image, const split_work *work,
                           int part) {
  bc_status status = cutout_new(out, context, image);
  if (status != BC_OK) return status;
  const size_t total = (size_t)image->width * (size_t)image->height;
  for (size_t i = 0; i < total; i++)
    if (work->owner[i] == part) (*out)->alpha[i] = work->whole->alpha[i];
  (*out)->source = work->whole->source;
  (*out)->confidence = work->whole->confidence;
  cutout_set_box(*out);
  return base_notes_copy(&(*out)->notes, context, &work->whole->notes);
}

static bc_status separate(bc_cutout **list, bc_context *context, const bc_image *image, const split_work *work) {
  bc_status status = BC_OK;
  for (size_t i = 0; i < work->count && status == BC_OK; i++)
    status = copy_part(&list[i], context, image, work, work->order[i]);
  return status;
}

static bc_status divide(split_work *work, bc_context *context, const bc_image *image, bc_cutout ***out, size_t *count) {
  const size_t total = (size_t)image->width * (size_t)image->height;
  uint8_t *solid = bc_allocate(total, 1);
  if (!solid) return bc_fail_memory(context);
  for (size_t i = 0; i < total; i++) solid[i] = work->whole->alpha[i] >= 128;
  bc_status status = cutout_regions_new(&work->regions, context, solid, image->width, image->height);
  if (status == BC_OK) {
    work->owner = bc_allocate(total, sizeof *work->owner);
    work->order = bc_allocate(work->regions.count, sizeof *work->order);
    if (!work->owner || !work->order || !set_owners(work, solid)) status = bc_fail_memory(context);
  }
  free(solid);
  if (status != BC_OK || !work->order) return status;
  choose_pieces(work);
  set_reading_order(work);
  bc_cutout **list = bc_allocate(work->count, sizeof *list);
  status = list ? separate(list, context, image, work) : bc_fail_memory(context);
  if (status != BC_OK) {
    bc_cutout_free_list(list, work->count);
    return status;
  }
  *out = list;
  *count = work->count;
  return BC_OK;
}

bc_status bc_cutout_separate(bc_cutout ***out, size_t *count, bc_context *context, const bc_image *image,
                             const bc_cutout *whole) {
  *out = NULL;
  *count = 0;
  if (whole->width != image->width || whole->height != image->height)
    return bc_fail(context, BC_OUR_FAULT, _("The cut-out does not have the size of its image."));
  split_work work = {.whole = whole};
  const bc_status status = divide(&work, context, image, out, count);
  cutout_regions_clear(&work.regions);
  free(work.owner);
  free(work.order);
  return status;
}

bc_status bc_cutout_split(bc_cutout ***out, size_t *count, bc_context *context, const bc_image *image,
                          const bc_cutout_options *options) {
  *out = NULL;
  *count = 0;
  bc_cutout *whole = NULL;
  bc_status status = bc_cutout_find(&whole, context, image, options);
  if (status == BC_OK) status = bc_cutout_separate(out, count, context, image, whole);
  bc_cutout_free(whole);
  return status;
}
