/* SPDX-License-Identifier: MIT */
/* Everything against the wall's edges: cloth, rods, shelves, tables, pieces. */
#include "check_internal.h"

#include <math.h>

/* How far a span passes the wall's edges at the worst; 0 when it is inside. */
static double beyond(const bc_plan *plan, span box) {
  const double sides = fmax(-box.left, box.right - plan->stand.width);
  const double ends = fmax(-box.bottom, box.top - plan->stand.wall_height);
  return fmax(fmax(sides, ends), 0);
}

static void check_cloth(checker *check) {
  const bc_plan *plan = check->plan;
  const bc_wall_cloth *cloth = &plan->cloth;
  if (!cloth->given) return;
  if (cloth->top > plan->stand.wall_height + SLACK_CM)
    check_add(check, true, NULL, _("The cloth's top edge, at %s, is above the wall's top at %s. Hang the cloth lower."),
              check_cm(cloth->top), check_cm(plan->stand.wall_height));
  if (cloth->height > cloth->top + SLACK_CM)
    check_add(check, false, NULL,
              _("The cloth is %s longer than its height above the floor. Fold the rest away, so that nobody trips."),
              check_cm(cloth->height - cloth->top));
  if (cloth->left < -SLACK_CM || cloth->left + cloth->width > plan->stand.width + SLACK_CM)
    check_add(check, false, NULL, _("The cloth passes the wall's sides by %s. Fold it round the corner, or gather it."),
              check_cm(fmax(-cloth->left, cloth->left + cloth->width - plan->stand.width)));
}

static void check_carriers(checker *check) {
  const bc_plan *plan = check->plan;
  for (size_t i = 0; i < plan->rod_count; i++) {
    const bc_rod *rod = &plan->rods[i];
    const double far = beyond(plan, (span){rod->x, rod->x + rod->length, rod->y, rod->y});
    if (far > SLACK_CM)
      check_add(check, true, NULL, _("The rod \"%s\" passes the wall's edge by %s. Shorten or move it."), rod->id,
                check_cm(far));
  }
  for (size_t i = 0; i < plan->shelf_count; i++) {
    const bc_shelf *shelf = &plan->shelves[i];
    const double far = beyond(plan, (span){shelf->x, shelf->x + shelf->width, shelf->y, shelf->y});
    if (far > SLACK_CM)
      check_add(check, true, NULL, _("The shelf \"%s\" passes the wall's edge by %s. Shorten or move it."), shelf->id,
                check_cm(far));
  }
  for (size_t i = 0; i < plan->table_count; i++) {
    const bc_table *table = &plan->tables[i];
    const double far = beyond(plan, (span){table->x, table->x + table->width, 0, 0});
    if (far > SLACK_CM)
      check_add(check, true, NULL,
                _("The table \"%s\" passes the stand's side by %s. Move it, or bring a narrower one."), table->id,
                check_cm(far));
    if (table->depth > plan->stand.depth)
      check_add(check, true, NULL, _("The table \"%s\" is deeper than the stand. Turn it, or bring another."),
                table->id);
  }
}

static void check_piece(checker *check, const bc_piece *piece) {
  if (piece->unmeasured) return;
  const bc_stand *stand = &check->plan->stand;
  if (piece->width > stand->width + SLACK_CM || piece->height > stand->wall_height + SLACK_CM) {
    check_add(
        check, true, piece->id,
        _("\"%s\" is %s wide and %s high; the wall is %s by %s. It does not fit: check its size, or leave it out."),
        piece->title, check_cm(piece->width), check_cm(piece->height), check_cm(stand->width),
        check_cm(stand->wall_height));
    return;
  }
  if (!piece->placed) return;
  const double far = beyond(check->plan, check_span(piece));
  if (far > SLACK_CM)
    check_add(check, true, piece->id, _("\"%s\" passes the wall's edge by %s. Move it inwards."), piece->title,
              check_cm(far));
}

/* A hanging piece partly beside the cloth loses the ground that was chosen for it. */
static void check_on_cloth(checker *check, const bc_piece *piece) {
  const bc_wall_cloth *cloth = &check->plan->cloth;
  if (!cloth->given || !piece->placed || piece->unmeasured || !bc_mount_hangs(piece->mount.kind)) return;
  const span box = check_span(piece);
  const double sides = fmax(cloth->left - box.left, box.right - (cloth->left + cloth->width));
  const double ends = fmax(cloth->top - cloth->height - box.bottom, box.top - cloth->top);
  const double far = fmax(sides, ends);
  if (far > SLACK_CM)
    check_add(check, false, piece->id,
              _("\"%s\" reaches %s past the cloth. Move it onto the cloth, or bring a larger one."), piece->title,
              check_cm(far));
}

void check_wall(checker *check) {
  check_cloth(check);
  check_carriers(check);
  size_t unplaced = 0;
  for (size_t i = 0; i < check->plan->piece_count; i++) {
    const bc_piece *piece = &check->plan->pieces[i];
    check_piece(check, piece);
    check_on_cloth(check, piece);
    unplaced += !piece->placed && !piece->unmeasured; /* these are measured first */
  }
  if (unplaced > 0)
    check_add(check, false, NULL,
              bc_text_plural("%zu piece has no place yet. Place it, or have it arranged.",
                             "%zu pieces have no place yet. Place them, or have them arranged.", unplaced),
              unplaced);
}
