/* SPDX-License-Identifier: MIT */
/* How many bags any packing needs: by volume, and by things of which no two lie in one bag. Two boxes in a third lie
 * apart along one of its sides (Martello, Pisinger and Vigo, Operations Research 48, 2000), so turned somehow their
 * extents there are no more than that side together. */
#include "packing_internal.h"

#include <math.h>
#include <stdlib.h>

#define TOUCH 1e-9

/* The least extent along side `axis` in any turn that goes into the bag; INFINITY: none does. */
static double least_along(const packing_box *one, const double *sides, int axis) {
  double least = INFINITY;
  const double *u = sides;
  const int a = (axis + 1) % 3, b = (axis + 2) % 3;
  for (int k = 0; k < 3; k++) {
    const double here = one->size[k], first = one->size[(k + 1) % 3], other = one->size[(k + 2) % 3];
    const bool goes = here <= u[axis] + TOUCH && ((first <= u[a] + TOUCH && other <= u[b] + TOUCH) ||
                                                  (first <= u[b] + TOUCH && other <= u[a] + TOUCH));
    if (goes) least = fmin(least, here);
  }
  return least;
}

static bool lie_together(const packing_box *first, const packing_box *other, packing_bag_room room) {
  if (first->mass_g + other->mass_g > room.limit_g + 1e-6) return false;
  for (int axis = 0; axis < 3; axis++)
    if (least_along(first, room.sides, axis) + least_along(other, room.sides, axis) <= room.sides[axis] + 2 * TOUCH)
      return true;
  return false;
}

static double shortest(const packing_box *one) {
  return fmin(one->size[0], fmin(one->size[1], one->size[2]));
}

/* Bulky ones first, each taken that lies with none of those before. */
static size_t apart(const packing_box **alone, const packing_box *boxes, size_t count, packing_bag_room room) {
  size_t listed = 0, found = 0;
  for (size_t i = 0; i < count; i++) {
    if (!boxes[i].known || boxes[i].stack) continue;
    size_t k = listed++;
    for (; k > 0 && shortest(alone[k - 1]) < shortest(&boxes[i]); k--) alone[k] = alone[k - 1];
    alone[k] = &boxes[i];
  }
  for (size_t i = 0; i < listed; i++) {
    bool with_none = true;
    for (size_t k = 0; k < found && with_none; k++) with_none = !lie_together(alone[k], alone[i], room);
    if (with_none) alone[found++] = alone[i];
  }
  return found;
}

bc_status packing_boxes_least(size_t *least, bc_context *context, const packing_box *boxes, size_t count,
                              packing_bag_room room) {
  const packing_box **alone = bc_allocate(count, sizeof *alone);
  if (!alone) return bc_fail_memory(context);
  double all = 0;
  for (size_t i = 0; i < count; i++)
    if (boxes[i].known) all += boxes[i].size[0] * boxes[i].size[1] * boxes[i].size[2];
  const double bags = ceil(all / (room.sides[0] * room.sides[1] * room.sides[2]) - 1e-9);
  const size_t by_pairs = apart(alone, boxes, count, room);
  *least = by_pairs > (size_t)bags ? by_pairs : (size_t)bags;
  free(alone);
  return BC_OK;
}
