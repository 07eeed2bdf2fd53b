/* SPDX-License-Identifier: MIT */
/* During the market: a piece is sold or comes in, and as few others as possible move. No move, then
 * one, then two, up to three are tried; the first that is nearly as good as before wins. */
#include "change_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A wall that scores at most so much less than before still looks right. Our choice, in points of 100. */
#define STILL_RIGHT 3.0
#define MOVES_MOST 3

/* --- the wall as it hangs -------------------------------------------------------------------------------------- */

/* The item's own place now as a spot of one of its lanes; lane -1 when none of them has it. */
static arr_spot spot_now(const arr_problem *problem, const arr_item *item) {
  const bc_piece *piece = &problem->plan->pieces[item->piece];
  arr_spot spot = {arr_mm(piece->at.x), arr_mm(piece->at.y), -1};
  for (int l = item->lane_first; l < item->lane_first + item->lane_count; l++) {
    const arr_lane *lane = &problem->lanes[l];
    if (piece->mount.on && problem->carriers[lane->carrier].id &&
        strcmp(piece->mount.on, problem->carriers[lane->carrier].id) != 0)
      continue;
    if (abs(spot.y - lane->y_lo) <= 1 && lane->y_lo == lane->y_hi) spot.y = lane->y_lo;
    spot.lane = l;
    if (arr_fits(problem, item, &spot)) return spot;
  }
  spot.lane = -1;
  return spot;
}

/* What hangs where the rules would not put it stays put: it is pinned for the search. */
bc_status arr_hall_open(arr_hall *hall, bc_context *context, const bc_plan *plan, const bc_arrange_options *options) {
  *hall = (arr_hall){.still = *plan};
  hall->still.pieces = bc_allocate(plan->piece_count + 1, sizeof *hall->still.pieces);
  if (!hall->still.pieces) return bc_fail_memory(context);
  if (plan->piece_count > 0) memcpy(hall->still.pieces, plan->pieces, plan->piece_count * sizeof *plan->pieces);
  hall->options = *options;
  hall->options.keep = BC_ARRANGE_KEEP_PINNED;
  for (int turn = 0; turn < 2; turn++) {
    arr_problem_free(hall->problem);
    bc_status status = arr_problem_new(&hall->problem, context, &hall->still, &hall->options, ARR_ROOM_CLOTH, NULL);
    if (status != BC_OK) return status;
    for (size_t i = 0; turn == 0 && i < hall->problem->count; i++) {
      bc_piece *piece = &hall->still.pieces[hall->problem->items[i].piece];
      if (piece->placed && !piece->pinned) piece->pinned = spot_now(hall->problem, &hall->problem->items[i]).lane < 0;
    }
  }
  if (!arr_layout_new(&hall->layout, hall->problem) || !arr_layout_new(&hall->before, hall->problem) ||
      !arr_layout_new(&hall->best, hall->problem))
    return bc_fail_memory(context);
  for (size_t i = 0; i < hall->problem->count; i++) {
    const arr_item *item = &hall->problem->items[i];
    if (!item->kept && hall->still.pieces[item->piece].placed) hall->layout.spot[i] = spot_now(hall->problem, item);
  }
  arr_layout_copy(&hall->before, &hall->layout, hall->problem);
  return BC_OK;
}

void arr_hall_close(arr_hall *hall) {
  arr_layout_free(&hall->layout);
  arr_layout_free(&hall->before);
  arr_layout_free(&hall->best);
  arr_problem_free(hall->problem);
  free(hall->still.pieces);
  *hall = (arr_hall){0};
}

/* The wall's style is not known: rows are the plainest measure, and STYLE is left out. */
double arr_hall_score(const arr_hall *hall, const arr_layout *layout) {
  double part[BC_ARRANGE_PARTS];
  arr_score(hall->problem, layout, BC_ARRANGE_LEVEL_ROWS, part);
  return 100 * arr_weigh(part, false);
}

/* The loads of the changed wall hold; what did not hold before is not the change's fault. */
bc_status arr_hall_holds(const arr_hall *hall, bc_context *context, bool *holds) {
  arr_out before = {0}, after = {0};
  bool was, is;
  bc_status status = arr_out_new(&before, hall->still.piece_count) && arr_out_new(&after, hall->still.piece_count)
                         ? BC_OK
                         : bc_fail_memory(context);
  if (status == BC_OK) status = arr_check_loads(hall->problem, context, &hall->before, &before, &was, NULL);
  if (status == BC_OK) status = arr_check_loads(hall->problem, context, &hall->layout, &after, &is, NULL);
  *holds = true;
  for (size_t i = 0; status == BC_OK && i < hall->still.piece_count; i++)
    if (after.out[i] && !before.out[i]) *holds = false;
  arr_out_free(&before);
  arr_out_free(&after);
  return status;
}

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

int arr_find_piece(const bc_plan *plan, const char *id) {
  for (size_t i = 0; i < plan->piece_count; i++)
    if (strcmp(plan->pieces[i].id, id) == 0) return (int)i;
  return -1;
}

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
