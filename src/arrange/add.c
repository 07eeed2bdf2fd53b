/* SPDX-License-Identifier: MIT */
/* A piece comes in during the market: a free place if there is one, else one or two others move. */
#include "change.h"
#include "nearest_place.h"

#include <stdlib.h>
#include <string.h>

/* So many pairs of pieces are tried when moving one does not make room: the nearest ones first. */
#define PAIRS_MOST 400

static bool movable(const arr_hall *hall, size_t i) {
  return !hall->problem->items[i].kept && hall->layout.spot[i].lane >= 0;
}

/* Tries the new piece in the place of those taken off, then those in other places; keeps the best. */
static void try_without(arr_hall *hall, size_t added, const size_t *taken, size_t count, double *best) {
  arr_layout *layout = &hall->layout;
  const arr_spot hole = layout->spot[taken[0]];
  double score = -1;
  for (size_t k = 0; k < count; k++) layout->spot[taken[k]].lane = -1;
  bool fits = true;
  layout->spot[added] = arr_hall_place(hall, layout, added, &hole, &score);
  fits = layout->spot[added].lane >= 0;
  for (size_t k = 0; fits && k < count; k++) {
    layout->spot[taken[k]] = arr_hall_place(hall, layout, taken[k], NULL, &score);
    fits = layout->spot[taken[k]].lane >= 0;
  }
  if (fits && score > *best) {
    *best = score;
    arr_layout_copy(&hall->best, layout, hall->problem);
  }
  arr_layout_copy(layout, &hall->before, hall->problem);
}

static bool without_one(arr_hall *hall, size_t added, double *best) {
  for (size_t i = 0; i < hall->problem->count; i++)
    if (i != added && movable(hall, i)) try_without(hall, added, &i, 1, best);
  return *best >= 0;
}

static bool without_two(arr_hall *hall, size_t added, double *best) {
  int tried = 0;
  for (size_t i = 0; i < hall->problem->count; i++)
    for (size_t j = i + 1; j < hall->problem->count && tried < PAIRS_MOST; j++) {
      const arr_spot *a = &hall->layout.spot[i], *b = &hall->layout.spot[j];
      if (i == added || j == added || !movable(hall, i) || !movable(hall, j)) continue;
      if (abs(a->x - b->x) + abs(a->y - b->y) > 1000) continue; /* neighbours make one larger space */
      const size_t taken[] = {i, j};
      try_without(hall, added, taken, 2, best);
      tried++;
    }
  return *best >= 0;
}

/* The piece that matters least and whose going would make room; -1 none. */
static int would_make_room(arr_hall *hall, size_t added) {
  int least = -1;
  for (size_t i = 0; i < hall->problem->count; i++) {
    if (i == added || !movable(hall, i)) continue;
    const arr_spot was = hall->layout.spot[i];
    hall->layout.spot[i].lane = -1;
    const bool room = arr_nearest(hall->problem, &hall->layout, added, was.x, was.y).lane >= 0;
    hall->layout.spot[i] = was;
    if (!room) continue;
    if (least >= 0 && hall->problem->items[i].importance >= hall->problem->items[least].importance) continue;
    least = (int)i;
  }
  return least;
}

static bc_status say_no_room(arr_hall *hall, bc_context *context, const bc_plan *plan, size_t added,
                             bc_change *change) {
  const arr_item *item = &hall->problem->items[added];
  const char *title = plan->pieces[item->piece].title;
  if (hall->problem->reason[item->piece])
    return bc_note(&change->steps, context, _("\"%s\" stays off: %s"), title, hall->problem->reason[item->piece]);
  const int other = would_make_room(hall, added);
  if (other < 0)
    return bc_note(&change->steps, context, _("There is no room for \"%s\", whichever single piece comes down."),
                   title);
  return bc_note(&change->steps, context,
                 _("There is no room for \"%s\". If \"%s\" comes down it can take that place."), title,
                 plan->pieces[hall->problem->items[other].piece].title);
}

enum { STOPS = 24 }; /* places tried along a lane */

/* The best-looking place along the item's lanes where the loads hold; lane -1: none. A shelf's end may load one bracket
 * too much where its middle would not. */
static bc_status place_that_holds(arr_hall *hall, bc_context *context, size_t added, arr_spot *out, double *score) {
  const arr_problem *problem = hall->problem;
  const arr_item *item = &problem->items[added];
  bc_status status = BC_OK;
  *out = (arr_spot){0, 0, -1};
  for (int stop = 0; stop < STOPS * item->lane_count && status == BC_OK; stop++) {
    const arr_lane *lane = &problem->lanes[item->lane_first + stop / STOPS];
    const int x = lane->x_lo + (lane->x_hi - lane->x_lo) * (stop % STOPS) / (STOPS - 1);
    hall->layout.spot[added].lane = -1;
    const arr_spot spot = arr_nearest(problem, &hall->layout, added, x, (lane->y_lo + lane->y_hi) / 2);
    if (spot.lane < 0) break;
    hall->layout.spot[added] = spot;
    const double value = arr_hall_score(hall, &hall->layout);
    bool holds = false;
    if (value > *score || out->lane < 0) status = arr_hall_holds(hall, context, &holds);
    if (!holds) continue;
    *out = spot;
    *score = value;
  }
  hall->layout.spot[added] = *out;
  return status;
}

static bc_status find_place(arr_hall *hall, bc_context *context, bc_plan *plan, size_t added, bc_change *change) {
  double score = -1;
  bool found = false;
  const arr_spot spot = arr_hall_place(hall, &hall->layout, added, NULL, &score);
  if (spot.lane >= 0) {
    hall->layout.spot[added] = spot;
    found = true;
  } else if (hall->problem->items[added].lane_count > 0 &&
             (without_one(hall, added, &score) || without_two(hall, added, &score))) {
    arr_layout_copy(&hall->layout, &hall->best, hall->problem);
    found = true;
  }
  if (!found) return say_no_room(hall, context, plan, added, change);
  bool holds;
  bc_status status = arr_hall_holds(hall, context, &holds);
  if (status == BC_OK && !holds && spot.lane >= 0) {
    arr_spot other;
    status = place_that_holds(hall, context, added, &other, &score);
    holds = other.lane >= 0;
  }
  if (status != BC_OK) return status;
  if (!holds) {
    arr_layout_copy(&hall->layout, &hall->before, hall->problem);
    return bc_note(&change->steps, context,
                   _("\"%s\" stays off: with it something would carry more than it may. See the hanging-load notes."),
                   plan->pieces[hall->problem->items[added].piece].title);
  }
  change->score_after = score;
  return arr_hall_moves(hall, context, plan, change, (int)added);
}

/* Looks for a place with this gap; what is in the way is said when there is none. */
static bc_status add_with_gap(bc_context *context, bc_plan *plan, double gap, size_t index,
                              const bc_arrange_options *options, bc_change *change) {
  arr_hall hall = {0};
  bc_plan with_gap = *plan; /* borrows; only its gap differs */
  with_gap.gap = gap;
  bc_status status = arr_hall_open(&hall, context, &with_gap, options);
  if (status == BC_OK) {
    change->score_before = change->score_after = arr_hall_score(&hall, &hall.layout);
    status = find_place(&hall, context, plan, (size_t)hall.problem->item_of_piece[index], change);
  }
  arr_hall_close(&hall);
  return status;
}

/* On a full wall a piece closer to its neighbours than one would like is better than none. */
static bc_status add_closer(bc_context *context, bc_plan *plan, size_t index, const bc_arrange_options *options,
                            bc_change *change) {
  bc_change closer = {0};
  bc_status status = add_with_gap(context, plan, 0, index, options, &closer);
  if (status == BC_OK && plan->pieces[index].placed) {
    const bc_change reasons = *change;
    *change = closer;
    closer = reasons;
    char words[64];
    bc_length_words(words, sizeof words, plan->gap, plan->units);
    status = bc_note(&change->steps, context, _("It comes closer to its neighbours than the gap of %s."), words);
  }
  for (size_t i = 0; i < closer.move_count; i++) free(closer.moves[i].text);
  free(closer.moves);
  bc_notes_clear(&closer.steps);
  bc_notes_clear(&closer.restock);
  return status;
}

bc_status bc_arrange_add(bc_change **out, bc_context *context, bc_plan *plan, const char *id,
                         const bc_arrange_options *options) {
  *out = NULL;
  const int index = arr_find_piece(plan, id);
  if (index < 0)
    return bc_fail(context, BC_BAD_DATA,
                   _("The plan has no piece \"%s\". Add it under \"pieces\" with its width and height first."), id);
  if (plan->pieces[index].placed)
    return bc_fail(context, BC_BAD_DATA, _("\"%s\" already has a place. Take its \"at\" out to have it placed anew."),
                   id);
  bc_arrange_options checked;
  bc_change *change = bc_allocate(1, sizeof *change);
  if (!change) return bc_fail_memory(context);
  bc_status status = arr_options(&checked, context, plan, options);
  if (status == BC_OK) status = add_with_gap(context, plan, plan->gap, (size_t)index, &checked, change);
  if (status == BC_OK && !plan->pieces[index].placed && plan->gap > 0)
    status = add_closer(context, plan, (size_t)index, &checked, change);
  if (status != BC_OK) {
    bc_change_free(change);
    return status;
  }
  *out = change;
  return BC_OK;
}
