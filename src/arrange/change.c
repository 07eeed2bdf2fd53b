/* SPDX-License-Identifier: MIT */
/* During the market: a piece is sold or comes in, and as few others as possible move. No move, then
 * one, then two, up to three are tried; the first that is nearly as good as before wins. */
#include "change.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A wall that scores at most so much less than before still looks right. Our choice, in points of 100. */
#define STILL_RIGHT 3.0
#define MOVES_MOST 3

/* After a sale: moves while the wall looks worse than it did. */
static bc_status settle(arr_hall *hall, bc_context *context, const arr_spot *hole, double wanted, double *score) {
  bc_status status = BC_OK;
  for (int move = 0; move < MOVES_MOST && *score < wanted - STILL_RIGHT; move++) {
    bool holds;
    const double score_was = *score;
    arr_layout_copy(&hall->best, &hall->layout, hall->problem);
    if (!arr_hall_move_one(hall, hole, wanted - STILL_RIGHT, score)) return BC_OK;
    status = arr_hall_holds(hall, context, &holds);
    if (status != BC_OK || holds) continue;
    arr_layout_copy(&hall->layout, &hall->best, hall->problem); /* better a gap than an overload */
    *score = score_was;
    return BC_OK;
  }
  return status;
}

/* --- sold --- */

static void take_out_of_plan(bc_plan *plan, size_t index) {
  bc_piece *piece = &plan->pieces[index];
  free(piece->id);
  free(piece->title);
  free(piece->photo);
  free(piece->photo_written);
  free(piece->group);
  free(piece->material);
  free(piece->technique);
  free(piece->function);
  free(piece->mount.on);
  memmove(piece, piece + 1, (plan->piece_count - index - 1) * sizeof *piece);
  plan->piece_count--;
}

static bc_status sell_one_of_many(bc_change *change, bc_context *context, bc_piece *piece) {
  piece->count--;
  bc_status status = bc_note(&change->steps, context,
                             bc_text_plural("Put the next \"%s\" where the sold one was; %d is left in all.",
                                            "Put the next \"%s\" where the sold one was; %d are left in all.",
                                            (unsigned long)piece->count),
                             piece->title, piece->count);
  return status;
}

static bc_status sell_last(bc_change *change, bc_context *context, bc_plan *plan, size_t index,
                           const bc_arrange_options *options) {
  arr_hall hall = {0};
  const bool shown = plan->pieces[index].placed;
  arr_spot hole = {arr_mm(plan->pieces[index].at.x), arr_mm(plan->pieces[index].at.y), -1};
  bc_status status = arr_hall_open(&hall, context, plan, options);
  if (status == BC_OK) change->score_before = arr_hall_score(&hall, &hall.before);
  arr_hall_close(&hall);
  if (status == BC_OK && shown && bc_mount_hangs(plan->pieces[index].mount.kind))
    status = bc_note(&change->steps, context, _("Take the hardware of \"%s\" down, or keep it for what follows."),
                     plan->pieces[index].title);
  if (status != BC_OK) return status;
  take_out_of_plan(plan, index);
  status = arr_hall_open(&hall, context, plan, options);
  if (status == BC_OK) {
    change->score_after = arr_hall_score(&hall, &hall.layout);
    if (shown) status = settle(&hall, context, &hole, change->score_before, &change->score_after);
  }
  if (status == BC_OK) status = arr_hall_moves(&hall, context, plan, change, -1);
  if (status == BC_OK && change->move_count == 0 && shown)
    status = bc_note(&change->steps, context, _("Nothing else needs to move."));
  arr_hall_close(&hall);
  return status;
}

bc_status bc_arrange_sold(bc_change **out, bc_context *context, bc_plan *plan, const char *id,
                          const bc_arrange_options *options) {
  *out = NULL;
  bc_arrange_options checked;
  const int index = arr_find_piece(plan, id);
  if (index < 0)
    return bc_fail(context, BC_BAD_DATA, _("The plan has no piece \"%s\". Look its id up under \"pieces\"."), id);
  bc_status status = arr_options(&checked, context, plan, options);
  if (status != BC_OK) return status;
  status = arr_count_sale(context, plan, &plan->pieces[index]);
  if (status != BC_OK) return status;
  checked.contrast = NULL; /* it is listed by piece, and the list of pieces changes */
  bc_change *change = bc_allocate(1, sizeof *change);
  if (!change) return bc_fail_memory(context);
  status = plan->pieces[index].count > 1 ? sell_one_of_many(change, context, &plan->pieces[index])
                                         : sell_last(change, context, plan, (size_t)index, &checked);
  if (status == BC_OK) status = arr_restock(change, context, plan);
  if (status != BC_OK) {
    bc_change_free(change);
    return status;
  }
  *out = change;
  return BC_OK;
}
