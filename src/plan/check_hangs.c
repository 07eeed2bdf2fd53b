/* SPDX-License-Identifier: MIT */
/* Pieces that hang: their points are on the rod, below it, and their weight is known. */
#include "check_internal.h"

#include <math.h>

static void check_rod(checker *check, const bc_piece *piece, const bc_rod *rod) {
  const double above = piece->at.y + piece->height / 2 - rod->y;
  if (above > SLACK_CM)
    check_add(check, true, piece->id, _("\"%s\" reaches %s above \"%s\", which carries it. Lower it."), piece->title,
              check_cm(above), rod->id);
  for (int i = 0; i < piece->mount.points; i++) {
    const double x = bc_plan_hanging_point(check->plan, piece, piece->at, i).x;
    const double past = fmax(rod->x - x, x - rod->x - rod->length);
    if (past <= SLACK_CM) continue;
    check_add(check, true, piece->id,
              _("A hanging point of \"%s\" is %s past the end of \"%s\". Move the piece, or bring a longer rod."),
              piece->title, check_cm(past), rod->id);
    return;
  }
}

static void check_wall_points(checker *check, const bc_piece *piece) {
  for (int i = 0; i < piece->mount.points; i++) {
    const bc_point_cm point = bc_plan_hanging_point(check->plan, piece, piece->at, i);
    const bc_stand *stand = &check->plan->stand;
    if (point.x > -SLACK_CM && point.x < stand->width + SLACK_CM && point.y < stand->wall_height + SLACK_CM) continue;
    check_add(check, true, piece->id,
              _("A hanging point of \"%s\" is off the wall, at %s from the left and %s up. Move the piece, or hang it "
                "from a rod."),
              piece->title, check_cm(point.x), check_cm(point.y));
    return;
  }
}

void check_hangs(checker *check) {
  for (size_t i = 0; i < check->plan->piece_count; i++) {
    const bc_piece *piece = &check->plan->pieces[i];
    if (!bc_mount_hangs(piece->mount.kind)) continue;
    if (!(piece->weight_g > 0))
      check_add(check, false, piece->id,
                _("\"%s\" hangs, but its weight is not given, so its load is not known. Weigh it and note its weight."),
                piece->title);
    if (!piece->placed || piece->unmeasured) continue;
    const bc_rod *rod = bc_plan_rod_of(check->plan, piece);
    if (rod)
      check_rod(check, piece, rod);
    else
      check_wall_points(check, piece);
  }
}
