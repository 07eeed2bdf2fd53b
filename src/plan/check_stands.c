/* SPDX-License-Identifier: MIT */
/* Pieces that stand: the shelf, table or floor is there, and the piece is on it, not above or beside. */
#include "check_internal.h"

#include <math.h>

/* What a standing piece stands on. */
typedef struct ground {
  const char *id;
  double left, right, height, depth;
} ground;

static bool ground_of(const bc_plan *plan, const bc_piece *piece, ground *out) {
  const bc_shelf *shelf = bc_plan_shelf_of(plan, piece);
  const bc_table *table = bc_plan_table_of(plan, piece);
  const bc_riser *riser = bc_plan_riser_of(plan, piece);
  if (riser) {
    *out = (ground){riser->id, riser->x, riser->x + riser->width, bc_plan_riser_top(plan, riser), riser->depth};
    return true;
  }
  if (shelf) *out = (ground){shelf->id, shelf->x, shelf->x + shelf->width, shelf->y, shelf->depth};
  if (table) *out = (ground){table->id, table->x, table->x + table->width, table->height, table->depth};
  if (piece->mount.kind == BC_MOUNT_FLOOR) *out = (ground){_("the floor"), 0, plan->stand.width, 0, plan->stand.depth};
  return shelf || table || piece->mount.kind == BC_MOUNT_FLOOR;
}

static void missing(checker *check, const bc_piece *piece) {
  const bool shelf = piece->mount.kind == BC_MOUNT_SHELF;
  const size_t count = shelf ? check->plan->shelf_count : check->plan->table_count;
  if (count == 0)
    check_add(check, true, piece->id,
              shelf ? _("\"%s\" stands on a shelf, but the plan has none. Add the shelf first.")
                    : _("\"%s\" stands on a table, but the plan has none. Add the table first."),
              piece->title);
  else
    check_add(check, true, piece->id,
              shelf ? _("\"%s\" stands on a shelf, but the plan does not say which. Choose the shelf.")
                    : _("\"%s\" stands on a table, but the plan does not say which. Choose the table."),
              piece->title);
}

/* How far off the ground is told from 1 cm: less is the thickness of a mat. */
static void check_height(checker *check, const bc_piece *piece, const ground *on) {
  const double off = piece->at.y - piece->height / 2 - on->height;
  if (off > 1)
    check_add(check, true, piece->id, _("\"%s\" stands %s above \"%s\", on nothing. Put its centre at a height of %s."),
              piece->title, check_cm(off), on->id, check_cm(on->height + piece->height / 2));
  if (off < -1)
    check_add(check, true, piece->id, _("\"%s\" stands %s inside \"%s\". Put its centre at a height of %s."),
              piece->title, check_cm(-off), on->id, check_cm(on->height + piece->height / 2));
}

static void check_edge(checker *check, const bc_piece *piece, const ground *on) {
  const span box = check_span(piece);
  const double centre = piece->at.x + piece->mount.off_centre;
  const double over = fmax(on->left - box.left, box.right - on->right);
  if (centre < on->left || centre > on->right)
    check_add(check, true, piece->id, _("\"%s\" would fall off \"%s\": its middle is past the edge. Move it inwards."),
              piece->title, on->id);
  else if (over > 1)
    check_add(check, false, piece->id,
              _("\"%s\" reaches %s past the edge of \"%s\". Move it inwards, so that nobody knocks it down."),
              piece->title, check_cm(over), on->id);
}

static void check_depth(checker *check, const bc_piece *piece, const ground *on) {
  if (piece->depth > 2 * on->depth)
    check_add(check, true, piece->id,
              _("\"%s\" is %s deep, more than twice \"%s\": it would fall. Use something deeper."), piece->title,
              check_cm(piece->depth), on->id);
  else if (piece->depth > on->depth + SLACK_CM)
    check_add(check, false, piece->id, _("\"%s\" is %s deep, \"%s\" only %s. Secure it, or use something deeper."),
              piece->title, check_cm(piece->depth), on->id, check_cm(on->depth));
}

void check_stands(checker *check) {
  for (size_t i = 0; i < check->plan->piece_count; i++) {
    const bc_piece *piece = &check->plan->pieces[i];
    if (bc_mount_hangs(piece->mount.kind)) continue;
    ground on = {0};
    if (!ground_of(check->plan, piece, &on)) {
      missing(check, piece);
      continue;
    }
    check_depth(check, piece, &on);
    if (!piece->placed || piece->unmeasured) continue;
    check_height(check, piece, &on);
    check_edge(check, piece, &on);
  }
}
