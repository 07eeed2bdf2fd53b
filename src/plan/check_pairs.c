/* SPDX-License-Identifier: MIT */
/* Pieces against each other: overlaps in the same plane, gaps, and what stands in front of what. */
#include "check_internal.h"

#include <math.h>
#include <stdlib.h>

/* Depth planes: pieces of one plane collide, pieces of different planes hide one another. */
static int plane(bc_mount_kind kind) {
  if (kind == BC_MOUNT_TABLE) return 1;
  if (kind == BC_MOUNT_FLOOR) return 2;
  return 0; /* on the wall, or on a shelf at the wall */
}

static const char *piece_name(const bc_piece *piece) {
  return piece->title;
}

static void compare(checker *check, const bc_piece *first, const bc_piece *second) {
  const span a = check_span(first), b = check_span(second);
  const double across = fmax(a.left, b.left) - fmin(a.right, b.right); /* negative: they overlap sideways */
  const double upright = fmax(a.bottom, b.bottom) - fmin(a.top, b.top);
  const bool overlap = across < -SLACK_CM && upright < -SLACK_CM;
  const bool together = plane(first->mount.kind) == plane(second->mount.kind);
  if (overlap && together) {
    check_add(check, true, second->id, _("\"%s\" and \"%s\" overlap by %s across and %s up. Move one of them."),
              piece_name(first), piece_name(second), check_cm(-across), check_cm(-upright));
    return;
  }
  if (overlap) {
    const bool first_behind = plane(first->mount.kind) == 0;
    const bc_piece *behind = first_behind ? first : second, *before = first_behind ? second : first;
    check_add(check, false, behind->id, _("\"%s\" stands in front of \"%s\" and hides part of it. Move one of them."),
              piece_name(before), piece_name(behind));
    return;
  }
  if (!bc_mount_hangs(first->mount.kind) || !bc_mount_hangs(second->mount.kind)) return;
  const double gap = hypot(fmax(across, 0), fmax(upright, 0));
  if (gap < check->plan->gap - SLACK_CM)
    check_add(check, false, second->id,
              _("\"%s\" and \"%s\" are only %s apart; the plan asks for %s. Move one of them."), piece_name(first),
              piece_name(second), check_cm(gap), check_cm(check->plan->gap));
}

/* A shelf's board runs through whatever hangs at its height. */
static void compare_shelf(checker *check, const bc_piece *piece, const bc_shelf *shelf) {
  const span box = check_span(piece);
  const bool beside = box.right < shelf->x + SLACK_CM || box.left > shelf->x + shelf->width - SLACK_CM;
  const bool above_or_below = box.bottom > shelf->y - SLACK_CM || box.top < shelf->y + SLACK_CM;
  if (beside || above_or_below) return;
  check_add(check, true, piece->id, _("The shelf \"%s\" runs through \"%s\". Move one of them."), shelf->id,
            piece->title);
}

static int by_left(const void *first, const void *second) {
  const bc_piece *a = *(const bc_piece *const *)first, *b = *(const bc_piece *const *)second;
  const double left_a = a->at.x - a->width / 2, left_b = b->at.x - b->width / 2;
  if (left_a != left_b) return left_a < left_b ? -1 : 1;
  return (a > b) - (a < b); /* as in the plan, so that the order never changes */
}

/* Sorted by the left edge, so that only neighbours are compared. */
void check_pairs(checker *check) {
  const bc_plan *plan = check->plan;
  const bc_piece **order = bc_allocate(plan->piece_count, sizeof *order);
  if (!order) {
    check->status = bc_fail_memory(check->context);
    return;
  }
  size_t count = 0;
  for (size_t i = 0; i < plan->piece_count; i++)
    if (plan->pieces[i].placed && !plan->pieces[i].unmeasured) order[count++] = &plan->pieces[i];
  qsort(order, count, sizeof *order, by_left);
  for (size_t i = 0; i < count; i++) {
    const double reach = check_span(order[i]).right + plan->gap;
    for (size_t k = i + 1; k < count && check_span(order[k]).left < reach; k++) compare(check, order[i], order[k]);
    for (size_t k = 0; k < plan->shelf_count; k++)
      if (plane(order[i]->mount.kind) == 0) compare_shelf(check, order[i], &plan->shelves[k]);
  }
  free(order);
}
