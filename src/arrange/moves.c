/* SPDX-License-Identifier: MIT */
/* Moves in words, in an order in which no two pieces need one place at the same time. */
#include "change.h"
#include "rules.h"

#include <math.h>
#include <stdlib.h>

static char *move_text(const bc_piece *piece, bc_point_cm from, bc_point_cm to, const char *on, bc_units units) {
  char aside[64], up[64], x[64], y[64];
  const double dx = to.x - from.x, dy = to.y - from.y;
  bc_length_words(aside, sizeof aside, fabs(dx), units);
  bc_length_words(up, sizeof up, fabs(dy), units);
  bc_length_words(x, sizeof x, to.x, units);
  bc_length_words(y, sizeof y, to.y, units);
  if (on && fabs(dy) >= 0.1)
    return bc_format(_("Move \"%s\" to \"%s\": its middle %s from the left."), piece->title, on, x);
  if (fabs(dy) < 0.1)
    return bc_format(dx < 0 ? _("Move \"%s\" %s to the left: its middle %s from the left, %s above the floor.")
                            : _("Move \"%s\" %s to the right: its middle %s from the left, %s above the floor."),
                     piece->title, aside, x, y);
  if (fabs(dx) < 0.1)
    return bc_format(dy < 0 ? _("Move \"%s\" %s down: its middle %s from the left, %s above the floor.")
                            : _("Move \"%s\" %s up: its middle %s from the left, %s above the floor."),
                     piece->title, up, x, y);
  const char *format =
      dx < 0 && dy < 0 ? _("Move \"%s\" %s to the left and %s down: its middle %s from the left, %s above the floor.")
      : dx < 0         ? _("Move \"%s\" %s to the left and %s up: its middle %s from the left, %s above the floor.")
      : dy < 0         ? _("Move \"%s\" %s to the right and %s down: its middle %s from the left, %s above the floor.")
                       : _("Move \"%s\" %s to the right and %s up: its middle %s from the left, %s above the floor.");
  return bc_format(format, piece->title, aside, up, x, y);
}

static char *add_text(const bc_piece *piece, bc_point_cm to, const char *on, bc_units units) {
  char x[64], y[64];
  bc_length_words(x, sizeof x, to.x, units);
  bc_length_words(y, sizeof y, to.y, units);
  if (on) return bc_format(_("Put \"%s\" on \"%s\": its middle %s from the left."), piece->title, on, x);
  return bc_format(_("Put \"%s\" up: its middle %s from the left, %s above the floor."), piece->title, x, y);
}

static bool differs(const arr_hall *hall, size_t i) {
  const arr_spot *a = &hall->before.spot[i], *b = &hall->layout.spot[i];
  return !hall->problem->items[i].kept && (a->x != b->x || a->y != b->y || a->lane != b->lane);
}

/* Whether the new place is free of pieces that have still to move. */
static bool ready(const arr_hall *hall, size_t i, const bool *done) {
  if (hall->layout.spot[i].lane < 0) return true;
  for (size_t j = 0; j < hall->problem->count; j++) {
    if (j == i || done[j] || !differs(hall, j) || hall->before.spot[j].lane < 0) continue;
    if (!arr_two_clear(hall->problem, &hall->problem->items[i], &hall->layout.spot[i], &hall->problem->items[j],
                       &hall->before.spot[j]))
      return false;
  }
  return true;
}

static int next_move(const arr_hall *hall, const bool *done, bool *blocked) {
  int waiting = -1;
  *blocked = false;
  for (size_t i = 0; i < hall->problem->count; i++) {
    if (done[i] || !differs(hall, i)) continue;
    if (ready(hall, i, done)) return (int)i;
    waiting = (int)i;
  }
  *blocked = waiting >= 0;
  return waiting;
}

/* In a ring of pieces that wait for one another, the piece in the way comes down first. */
static bc_status clear_the_way(const arr_hall *hall, bc_context *context, bc_change *change, size_t i,
                               const bool *done) {
  for (size_t j = 0; j < hall->problem->count; j++) {
    if (j == i || done[j] || !differs(hall, j) || hall->before.spot[j].lane < 0) continue;
    if (arr_two_clear(hall->problem, &hall->problem->items[i], &hall->layout.spot[i], &hall->problem->items[j],
                      &hall->before.spot[j]))
      continue;
    const bc_status status = bc_note(&change->steps, context, _("Take \"%s\" down and lay it aside."),
                                     hall->still.pieces[hall->problem->items[j].piece].title);
    if (status != BC_OK) return status;
  }
  return BC_OK;
}

static bc_status write_move(const arr_hall *hall, bc_context *context, bc_plan *plan, bc_change *change, size_t i,
                            bool is_new) {
  const size_t index = hall->problem->items[i].piece;
  bc_piece *piece = &plan->pieces[index];
  const arr_spot *spot = &hall->layout.spot[i];
  if (spot->lane < 0) {
    piece->placed = false;
    return bc_note(&change->steps, context, _("Take \"%s\" down: there is no room for it now."), piece->title);
  }
  const char *on = hall->problem->carriers[hall->problem->lanes[spot->lane].carrier].id;
  const bc_point_cm to = arr_at_cm(hall->problem, spot), from = is_new ? to : piece->at;
  /* On a panel or post the height has to be told too. */
  const bool at_height = (size_t)hall->problem->lanes[spot->lane].carrier >= arr_first_grid(hall->problem);
  const char *told = at_height ? NULL : on;
  char *text = is_new ? add_text(piece, to, told, plan->units) : move_text(piece, from, to, told, plan->units);
  bc_change_move *grown = text ? bc_reallocate(change->moves, change->move_count + 1, sizeof *grown) : NULL;
  if (!grown) {
    free(text);
    return bc_fail_memory(context);
  }
  change->moves = grown;
  change->moves[change->move_count++] = (bc_change_move){index, from, to, text};
  piece->placed = true;
  piece->at = to;
  if (on && (!piece->mount.on || bc_mount_hangs(piece->mount.kind) == false)) {
    char *copy = bc_copy_text(on);
    if (!copy) return bc_fail_memory(context);
    free(piece->mount.on);
    piece->mount.on = copy;
    piece->mount.given = true;
  }
  return bc_note(&change->steps, context, "%s", text);
}

bc_status arr_hall_moves(const arr_hall *hall, bc_context *context, bc_plan *plan, bc_change *change, int added) {
  bool *done = bc_allocate(hall->problem->count + 1, sizeof *done);
  if (!done) return bc_fail_memory(context);
  bc_status status = BC_OK;
  while (status == BC_OK) {
    bool blocked;
    const int i = next_move(hall, done, &blocked);
    if (i < 0) break;
    if (blocked) status = clear_the_way(hall, context, change, (size_t)i, done);
    if (status == BC_OK) status = write_move(hall, context, plan, change, (size_t)i, i == added);
    done[i] = true;
  }
  free(done);
  return status;
}
