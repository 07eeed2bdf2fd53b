/* SPDX-License-Identifier: MIT */
/* What visitors see: a statement piece at the focus, work in the sight band, nothing lost behind tables. */
#include "check_internal.h"

#include <math.h>
#include <string.h>

/* A statement piece is at the focus when its centre is in the middle third of the wall: our choice. */
#define NEAR_FOCUS (1.0 / 6)

/* Eye heights a mirror must show, cm: median woman to median man, standing. Source: ANSUR II (2012),
 * derived as stature - sitting height + sitting eye height. */
#define EYES_LOW_CM 151.7
#define EYES_HIGH_CM 164.0

static void check_statement_place(checker *check, const bc_piece *piece) {
  const bc_viewers *viewers = &check->plan->viewers;
  const bc_point_cm focus = bc_plan_focus(check->plan);
  const double aside = fabs(piece->at.x - focus.x);
  if (aside > check->plan->stand.width * NEAR_FOCUS)
    check_add(check, false, piece->id,
              _("The statement piece \"%s\" is %s beside the middle of the wall. Bring it nearer to the middle, where "
                "visitors look first."),
              piece->title, check_cm(aside));
  if (piece->at.y < viewers->sight_low || piece->at.y > viewers->sight_high)
    check_add(check, false, piece->id,
              _("The middle of the statement piece \"%s\" is at %s, outside the sight band (%s to %s). Move it into "
                "the band."),
              piece->title, check_cm(piece->at.y), check_cm(viewers->sight_low), check_cm(viewers->sight_high));
}

/* Several statement pieces are one set when they share a group. */
static void check_statements(checker *check) {
  const bc_plan *plan = check->plan;
  const bc_piece *first = NULL, *other = NULL;
  for (size_t i = 0; i < plan->piece_count; i++) {
    const bc_piece *piece = &plan->pieces[i];
    if (piece->role != BC_ROLE_STATEMENT) continue;
    if (!first) first = piece;
    const bool same_set = first->group && piece->group && strcmp(first->group, piece->group) == 0;
    if (piece != first && !same_set && !other) other = piece;
    /* A set is judged as a whole by its first; its members may lie about the middle. */
    if (piece->placed && (piece == first || !same_set)) check_statement_place(check, piece);
  }
  if (!first && plan->piece_count > 0)
    check_add(check, false, NULL, _("No piece is the statement piece. Say which one speaks for the maker."));
  if (other)
    check_add(check, false, other->id,
              _("\"%s\" and \"%s\" both are statement pieces and compete. Choose one, or put both into one group."),
              first->title, other->title);
}

static void check_band(checker *check, const bc_piece *piece) {
  const bc_viewers *viewers = &check->plan->viewers;
  const span box = check_span(piece);
  if (piece->role == BC_ROLE_STATEMENT || piece->role == BC_ROLE_SIGN) return; /* signs may be read from afar */
  if (piece->role == BC_ROLE_MIRROR) {
    if (box.bottom > EYES_LOW_CM || box.top < EYES_HIGH_CM)
      check_add(check, false, piece->id,
                _("The mirror \"%s\" runs from %s to %s. It should reach from %s to %s at least, so that most people "
                  "see their face."),
                piece->title, check_cm(box.bottom), check_cm(box.top), check_cm(EYES_LOW_CM), check_cm(EYES_HIGH_CM));
    return;
  }
  if (!bc_mount_hangs(piece->mount.kind) && piece->mount.kind != BC_MOUNT_SHELF) return;
  if (box.bottom > viewers->sight_high)
    check_add(check, false, piece->id,
              _("\"%s\" is above the sight band: its lower edge is at %s. Hang it lower, or few will see it."),
              piece->title, check_cm(box.bottom));
  if (box.top < viewers->sight_low)
    check_add(check, false, piece->id,
              _("\"%s\" is below the sight band: its upper edge is at %s. Put it higher, or few will see it."),
              piece->title, check_cm(box.top));
}

/* Straight from the front, what is lower than a table top is behind it. */
static void check_table(checker *check, const bc_piece *piece, const bc_table *table) {
  const span box = check_span(piece);
  if (box.right < table->x + SLACK_CM || box.left > table->x + table->width - SLACK_CM) return;
  const double hidden = fmin(table->height, box.top) - box.bottom;
  if (hidden <= SLACK_CM) return;
  if (box.top <= table->height)
    check_add(check, true, piece->id, _("\"%s\" is hidden behind the table \"%s\". Put it above %s."), piece->title,
              table->id, check_cm(table->height));
  else
    check_add(check, false, piece->id,
              _("The lower %s of \"%s\" are hidden behind the table \"%s\". Raise the piece, or move the table."),
              check_cm(hidden), piece->title, table->id);
}

void check_sight(checker *check) {
  const bc_plan *plan = check->plan;
  check_statements(check);
  for (size_t i = 0; i < plan->piece_count; i++) {
    const bc_piece *piece = &plan->pieces[i];
    if (!piece->placed || piece->unmeasured) continue;
    check_band(check, piece);
    if (piece->mount.kind == BC_MOUNT_TABLE || piece->mount.kind == BC_MOUNT_FLOOR) continue;
    for (size_t k = 0; k < plan->table_count; k++) check_table(check, piece, &plan->tables[k]);
  }
}
