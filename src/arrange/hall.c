/* SPDX-License-Identifier: MIT */
/* A wall that hangs, while it changes: which pieces may move, where they are, and what the wall is worth. */
#include "change.h"

#include "hold.h"
#include "rules.h"
#include "score.h"

#include <stdlib.h>
#include <string.h>

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

int arr_find_piece(const bc_plan *plan, const char *id) {
  for (size_t i = 0; i < plan->piece_count; i++)
    if (strcmp(plan->pieces[i].id, id) == 0) return (int)i;
  return -1;
}
