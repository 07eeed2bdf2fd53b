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

/* --- who may meet whom ---------------------------------------------------------------------------------------------
 */
/* A sweep from left to right. Whoever may still meet something further right stands in every strip of height that it
 * reaches into; so each piece looks only into its own strips, and time grows with the pieces, not with their square. */
typedef struct strip {
  size_t *piece; /* numbers in the order from the left */
  size_t count, room;
} strip;

typedef struct sweep {
  checker *check;
  const bc_piece **order;
  strip *strips;
  size_t strip_count;
  double low, high; /* lowest edge of all; height of a strip */
} sweep;

static size_t strip_at(const sweep *s, double y) {
  const double number = floor((y - s->low) / s->high);
  return number <= 0 ? 0 : number >= (double)(s->strip_count - 1) ? s->strip_count - 1 : (size_t)number;
}

static bool stand_in(strip *in, size_t number) {
  if (in->count == in->room) {
    const size_t room = 2 * in->room + 8;
    size_t *grown = bc_reallocate(in->piece, room, sizeof *grown);
    if (!grown) return false;
    in->piece = grown;
    in->room = room;
  }
  in->piece[in->count++] = number;
  return true;
}

static bool is_full(const checker *check) {
  return check->status != BC_OK || check->out->count >= FINDINGS_MOST;
}

/* Compares with those that stand in the strip, once per pair: in the lowest strip that both are in. Drops those that
 * end before this one begins. */
static void meet(sweep *s, size_t at, size_t number, size_t first) {
  const double gap = s->check->plan->gap, left = check_span(s->order[number]).left;
  strip *in = &s->strips[at];
  size_t kept = 0;
  for (size_t i = 0; i < in->count; i++) {
    const span other = check_span(s->order[in->piece[i]]);
    if (other.right + gap <= left) continue;
    in->piece[kept++] = in->piece[i];
    const size_t others = strip_at(s, other.bottom - gap);
    if ((others > first ? others : first) == at && !is_full(s->check))
      compare(s->check, s->order[in->piece[kept - 1]], s->order[number]);
  }
  in->count = kept;
}

static void sweep_over(sweep *s, size_t count) {
  const double gap = s->check->plan->gap;
  for (size_t i = 0; i < count && !is_full(s->check); i++) {
    const span box = check_span(s->order[i]);
    const size_t first = strip_at(s, box.bottom - gap), last = strip_at(s, box.top);
    for (size_t at = first; at <= last; at++) {
      meet(s, at, i, first);
      if (!stand_in(&s->strips[at], i)) s->check->status = bc_fail_memory(s->check->context);
    }
  }
}

/* Strips as high as a piece is on average, with the gap, so that each is in few of them. */
static bool make_strips(sweep *s, size_t count) {
  double sum = 0, top = -INFINITY;
  s->low = INFINITY;
  for (size_t i = 0; i < count; i++) {
    const span box = check_span(s->order[i]);
    sum += box.top - box.bottom;
    s->low = fmin(s->low, box.bottom - s->check->plan->gap);
    top = fmax(top, box.top);
  }
  s->high = fmax(sum / (double)count + s->check->plan->gap, 1);
  s->strip_count = (size_t)fmin(ceil((top - s->low) / s->high) + 1, 4.0 * (double)count + 4);
  s->strips = bc_allocate(s->strip_count, sizeof *s->strips);
  return s->strips != NULL;
}

static void check_shelves(checker *check, const bc_piece *piece) {
  for (size_t k = 0; k < check->plan->shelf_count && !is_full(check); k++)
    if (plane(piece->mount.kind) == 0) compare_shelf(check, piece, &check->plan->shelves[k]);
}

void check_pairs(checker *check) {
  const bc_plan *plan = check->plan;
  const bc_piece **order = bc_allocate(plan->piece_count, sizeof *order);
  sweep s = {.check = check, .order = order};
  size_t count = 0;
  for (size_t i = 0; order && i < plan->piece_count; i++)
    if (plan->pieces[i].placed && !plan->pieces[i].unmeasured) order[count++] = &plan->pieces[i];
  if (count > 0) qsort(order, count, sizeof *order, by_left);
  if (!order || (count > 0 && !make_strips(&s, count)))
    check->status = bc_fail_memory(check->context);
  else if (count > 0)
    sweep_over(&s, count);
  for (size_t i = 0; i < count && order; i++) check_shelves(check, order[i]);
  for (size_t i = 0; i < s.strip_count && s.strips; i++) free(s.strips[i].piece);
  free(s.strips);
  free(order);
}
