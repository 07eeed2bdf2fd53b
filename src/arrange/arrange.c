/* SPDX-License-Identifier: MIT */
/* The stage's entry: chooses how strictly the wall is used, runs the three styles, checks loads, and
 * ranks what came out. */
#include "explain.h"
#include "hold.h"
#include "rules.h"
#include "score.h"
#include "search.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* --- one style ------------------------------------------------------------------------------------------ */

static void arrangement_free(bc_arrangement *arrangement) {
  if (!arrangement) return;
  for (size_t i = 0; arrangement->places && i < arrangement->place_count; i++) free(arrangement->places[i].why);
  free(arrangement->places);
  bc_notes_clear(&arrangement->reasons);
  bc_notes_clear(&arrangement->cautions);
  free(arrangement);
}

void bc_arrangements_free(bc_arrangements *arrangements) {
  if (!arrangements) return;
  for (size_t i = 0; i < BC_ARRANGE_STYLES; i++) arrangement_free(arrangements->arrangement[i]);
  bc_notes_clear(&arrangements->notes);
  free(arrangements);
}

/* The carrier that would be overloaded on every lane of an item; -1: another reason keeps it off. */
static int overloaded(const arr_problem *problem, const arr_layout *layout, size_t i) {
  const arr_item *item = &problem->items[i];
  int carrier = -1;
  for (int l = item->lane_first; l < item->lane_first + item->lane_count; l++) {
    if (arr_carries(problem, layout, i, l)) return -1;
    carrier = problem->lanes[l].carrier;
  }
  return carrier;
}

static char *why_off(const arr_problem *problem, const arr_layout *layout, size_t i, const arr_out *out,
                     bc_left_cause *cause) {
  const arr_item *item = &problem->items[i];
  *cause = BC_LEFT_RATING;
  if (out->why[item->piece]) return bc_copy_text(out->why[item->piece]);
  const int carrier = overloaded(problem, layout, i);
  if (carrier >= 0)
    return problem->carriers[carrier].where == ARR_SHELF
               ? bc_format(
                     _("With it the shelf \"%s\" would carry more than it may. Use a stronger shelf, or put it on a "
                       "table."),
                     problem->carriers[carrier].id)
               : bc_format(_("With it the panel \"%s\" would carry more than it may. Use a stronger panel, or hang it "
                             "elsewhere."),
                           problem->carriers[carrier].id);
  *cause = problem->unasked[item->piece] ? BC_LEFT_UNKNOWN : BC_LEFT_ROOM;
  if (problem->reason[item->piece]) return bc_copy_text(problem->reason[item->piece]);
  if (item->where == ARR_HANGING && problem->plan->cloth.given)
    return bc_format(_("No room is left for it on the cloth with %s between pieces. A larger cloth, a smaller gap, a "
                       "shelf or fewer pieces would make room."),
                     arr_cm(problem->plan, problem->plan->gap));
  if (item->where == ARR_HANGING)
    return bc_format(_("No room is left for it on the wall with %s between pieces. A smaller gap, a shelf or "
                       "fewer pieces would make room."),
                     arr_cm(problem->plan, problem->plan->gap));
  return bc_format(_("No room is left to stand it with %s between pieces. Another shelf or table, or fewer pieces, "
                     "would make room."),
                   arr_cm(problem->plan, problem->plan->gap));
}

static bc_status fill_places(const arr_problem *problem, bc_context *context, const arr_layout *layout,
                             const arr_out *out, bc_arrangement *a) {
  a->place_count = problem->plan->piece_count;
  a->places = bc_allocate(a->place_count, sizeof *a->places);
  if (!a->places) return bc_fail_memory(context);
  for (size_t i = 0; i < problem->count; i++) {
    const arr_item *item = &problem->items[i];
    bc_place *place = &a->places[item->piece];
    const arr_spot *spot = &layout->spot[i];
    if (item->kept) {
      *place = (bc_place){.state = BC_PLACE_KEPT,
                          .at = problem->plan->pieces[item->piece].at,
                          .on = problem->plan->pieces[item->piece].mount.on};
    } else if (spot->lane >= 0) {
      *place = (bc_place){.state = BC_PLACE_PLACED,
                          .at = arr_at_cm(problem, spot),
                          .on = problem->carriers[problem->lanes[spot->lane].carrier].id};
    } else {
      *place = (bc_place){.state = BC_PLACE_LEFT_OFF};
      place->why = why_off(problem, layout, i, out, &place->cause);
      if (!place->why) return bc_fail_memory(context);
      a->left_off++;
    }
  }
  return BC_OK;
}

static bc_status describe(bc_arrangement **result, const arr_problem *problem, bc_context *context,
                          const arr_layout *layout, const arr_out *out, bc_arrange_style style) {
  bc_arrangement *a = bc_allocate(1, sizeof *a);
  if (!a) return bc_fail_memory(context);
  a->style = style;
  arr_score(problem, layout, style, a->part);
  a->score = 100 * arr_weigh(a->part, false);
  bc_status status = fill_places(problem, context, layout, out, a);
  if (status == BC_OK) status = arr_explain(problem, context, layout, a);
  if (status == BC_OK) status = arr_caution(problem, context, layout, a);
  if (status != BC_OK) {
    arrangement_free(a);
    return status;
  }
  *result = a;
  return BC_OK;
}

/* --- all styles, until loads hold -------------------------------------------------------------------------- */

typedef struct work {
  const bc_plan *plan;
  bc_arrange_options options;
  bc_context *context;
  arr_out out;
} work;

/* Whether a less strict use of the wall could make a difference. */
static bool room_differs(const bc_plan *plan, arr_room room) {
  if (room <= ARR_ROOM_CLOTH) return true; /* the first is asked of the problem: any_weak */
  for (size_t i = 0; room == ARR_ROOM_LOW && i < plan->piece_count; i++)
    if (plan->pieces[i].role == BC_ROLE_SMALL && bc_mount_hangs(plan->pieces[i].mount.kind)) return true;
  return false;
}

/* The strictest use of the wall that leaves least off, judged by level rows. */
static bc_status choose_room(const work *w, arr_problem **out, arr_layout *rows) {
  int best_lost = 0;
  *out = NULL;
  for (int room = 0; room < ARR_ROOMS; room++) {
    if (!room_differs(w->plan, (arr_room)room)) continue;
    arr_problem *problem = NULL;
    arr_layout layout = {0};
    bc_status status = arr_problem_new(&problem, w->context, w->plan, &w->options, (arr_room)room, w->out.out);
    if (status != BC_OK) return status;
    if (room == ARR_ROOM_HIGH && !problem->any_weak) {
      arr_problem_free(problem);
      continue;
    }
    if (!arr_layout_new(&layout, problem)) status = bc_fail_memory(w->context);
    if (status == BC_OK) status = arr_search(problem, w->context, &layout, BC_ARRANGE_LEVEL_ROWS);
    const int lost = status == BC_OK ? arr_lost(problem, &layout) : 0;
    if (status != BC_OK || (*out && lost >= best_lost)) {
      arr_layout_free(&layout);
      arr_problem_free(problem);
      if (status == BC_OK) continue;
      arr_problem_free(*out);
      *out = NULL;
      return status;
    }
    arr_layout_free(rows);
    *rows = layout;
    arr_problem_free(*out);
    *out = problem;
    best_lost = lost;
    if (lost == 0) break;
  }
  return BC_OK;
}

/* Satellites need a dominant piece: without one, the heaviest that hangs free is lent that part. */
static int lend_leader(arr_problem *problem) {
  int heaviest = -1, hanging = 0;
  if (problem->leader_count > 0) return -1;
  for (size_t i = 0; i < problem->count; i++) {
    const arr_item *item = &problem->items[i];
    if (item->where != ARR_HANGING || (!item->kept && item->lane_count == 0)) continue;
    if (heaviest < 0 || item->weight > problem->items[heaviest].weight) heaviest = (int)i;
    hanging++;
  }
  if (hanging < ARR_LED) return -1;
  problem->items[heaviest].leader = true;
  problem->leader_count = 1;
  return heaviest;
}

static void take_leader_back(arr_problem *problem, int item) {
  problem->items[item].leader = false;
  problem->leader_count = 0;
}

/* One round over the styles. *again: loads put pieces out, so the round must be done again without them. */
static bc_status one_round(work *w, bc_arrangements *result, bool *again) {
  arr_problem *problem = NULL;
  arr_layout layouts[BC_ARRANGE_STYLES] = {0}, rows = {0};
  *again = false;
  bc_status status = choose_room(w, &problem, &rows);
  for (int style = 0; status == BC_OK && style < BC_ARRANGE_STYLES; style++)
    if (!arr_layout_new(&layouts[style], problem)) status = bc_fail_memory(w->context);
  /* The rows are there already; each further style is to differ from those before it. */
  static const bc_arrange_style order[] = {BC_ARRANGE_LEVEL_ROWS, BC_ARRANGE_SATELLITES, BC_ARRANGE_CENTRED_GROUP};
  for (int turn = 0; status == BC_OK && !*again && turn < BC_ARRANGE_STYLES; turn++) {
    const bc_arrange_style style = order[turn];
    arr_layout layout = layouts[turn];
    const int lent = style == BC_ARRANGE_SATELLITES ? lend_leader(problem) : -1;
    if (style == BC_ARRANGE_LEVEL_ROWS)
      arr_layout_copy(&layout, &rows, problem);
    else
      status = arr_search(problem, w->context, &layout, style);
    bc_notes cautions = {0};
    if (status == BC_OK) status = arr_ease_shelves(problem, w->context, &layout, style);
    if (status == BC_OK) status = arr_check_loads(problem, w->context, &layout, &w->out, again, &cautions);
    if (status == BC_OK && !*again)
      status = describe(&result->arrangement[style], problem, w->context, &layout, &w->out, style);
    if (status == BC_OK && !*again)
      status = base_notes_copy(&result->arrangement[style]->cautions, w->context, &cautions);
    bc_notes_clear(&cautions);
    if (lent >= 0) take_leader_back(problem, lent);
    problem->unlike[problem->unlike_count++] = layout.spot;
  }
  for (int style = 0; *again && style < BC_ARRANGE_STYLES; style++) {
    arrangement_free(result->arrangement[style]);
    result->arrangement[style] = NULL;
  }
  for (int i = 0; i < BC_ARRANGE_STYLES; i++) arr_layout_free(&layouts[i]);
  arr_layout_free(&rows);
  arr_problem_free(problem);
  return status;
}

/* --- ranking --------------------------------------------------------------------------------------------------- */

static int lost_of(const bc_plan *plan, const bc_arrangement *a) {
  int lost = 0;
  for (size_t i = 0; i < a->place_count; i++)
    if (a->places[i].state == BC_PLACE_LEFT_OFF) lost += plan->pieces[i].role == BC_ROLE_STATEMENT ? 100 : 1;
  return lost;
}

static bool ranks_before(const bc_plan *plan, const bc_arrangement *a, const bc_arrangement *b) {
  const int lost_a = lost_of(plan, a), lost_b = lost_of(plan, b);
  return lost_a != lost_b ? lost_a < lost_b : a->score > b->score;
}

/* Two arrangements are the same when their pieces lie less than this apart on average, cm: our choice,
 * less than half of the default gap. */
#define SAME_WITHIN 3.0

/* Distance to the nearest piece of the same size in the other arrangement: equal pieces that only
 * change places make no difference. */
static double nearest_alike(const bc_plan *plan, const bc_arrangement *a, const bc_arrangement *b, size_t piece) {
  double nearest = INFINITY;
  const bc_piece *p = &plan->pieces[piece];
  for (size_t i = 0; i < b->place_count; i++) {
    const bc_piece *q = &plan->pieces[i];
    if (b->places[i].state == BC_PLACE_LEFT_OFF) continue;
    if (fabs(p->width - q->width) > 1 || fabs(p->height - q->height) > 1) continue;
    nearest =
        fmin(nearest, hypot(a->places[piece].at.x - b->places[i].at.x, a->places[piece].at.y - b->places[i].at.y));
  }
  return nearest;
}

static bool same(const bc_plan *plan, const bc_arrangement *a, const bc_arrangement *b) {
  double sum = 0;
  size_t moved = 0;
  for (size_t i = 0; i < a->place_count; i++) {
    if (a->places[i].state == BC_PLACE_KEPT) continue;
    if (a->places[i].state != b->places[i].state) return false;
    if (a->places[i].state == BC_PLACE_LEFT_OFF) continue;
    sum += nearest_alike(plan, a, b, i);
    moved++;
  }
  return moved == 0 || sum / (double)moved < SAME_WITHIN;
}

static bc_status rank(bc_arrangements *result, bc_context *context, const bc_plan *plan) {
  bc_arrangement **list = result->arrangement;
  for (int i = 1; i < BC_ARRANGE_STYLES; i++)
    for (int k = i; k > 0 && ranks_before(plan, list[k], list[k - 1]); k--) {
      bc_arrangement *kept = list[k];
      list[k] = list[k - 1];
      list[k - 1] = kept;
    }
  for (int i = 0; i < BC_ARRANGE_STYLES; i++) {
    size_t like = 0;
    while (like < result->count && !same(plan, list[like], list[i])) like++;
    result->of_style[list[i]->style] = like;
    if (like == result->count) {
      list[result->count++] = list[i];
      continue;
    }
    arrangement_free(list[i]);
  }
  for (size_t i = result->count; i < BC_ARRANGE_STYLES; i++) list[i] = NULL;
  if (result->count == BC_ARRANGE_STYLES) return BC_OK;
  return bc_note(
      &result->notes, context,
      bc_text_plural("Only %zu arrangement differs enough to be worth showing: so few pieces are free to move.",
                     "Only %zu arrangements differ enough to be worth showing: so few pieces are free to move.",
                     result->count),
      result->count);
}

/* How full the wall is with the best arrangement. */
static bc_status add_fill(bc_arrangements *result, bc_context *context, const bc_plan *plan,
                          const bc_arrange_options *options) {
  bc_plan shown = *plan;
  shown.pieces = bc_allocate(plan->piece_count, sizeof *shown.pieces);
  if (!shown.pieces) return bc_fail_memory(context);
  memcpy(shown.pieces, plan->pieces, plan->piece_count * sizeof *shown.pieces);
  for (size_t i = 0; i < plan->piece_count; i++) {
    const bc_place *place = &result->arrangement[0]->places[i];
    shown.pieces[i].placed = place->state != BC_PLACE_LEFT_OFF;
    shown.pieces[i].at = place->at;
  }
  bc_wall_fill fill = {0};
  bc_status status = bc_arrange_fill(&fill, context, &shown, options);
  if (status == BC_OK) status = base_notes_copy(&result->notes, context, &fill.notes);
  bc_wall_fill_clear(&fill);
  free(shown.pieces);
  return status;
}

bc_status bc_arrange(bc_arrangements **out, bc_context *context, const bc_plan *plan,
                     const bc_arrange_options *options) {
  *out = NULL;
  work w = {.plan = plan, .context = context};
  bc_status status = arr_options(&w.options, context, plan, options);
  if (status != BC_OK) return status;
  bc_arrangements *result = bc_allocate(1, sizeof *result);
  if (!result || !arr_out_new(&w.out, plan->piece_count)) {
    arr_out_free(&w.out);
    free(result);
    return bc_fail_memory(context);
  }
  bool again = true;
  /* Each round puts at least one piece out, so this ends. */
  while (status == BC_OK && again) status = one_round(&w, result, &again);
  if (status == BC_OK) status = rank(result, context, plan);
  if (status == BC_OK) status = add_fill(result, context, plan, &w.options);
  arr_out_free(&w.out);
  if (status != BC_OK) {
    bc_arrangements_free(result);
    return status;
  }
  *out = result;
  return BC_OK;
}

bc_status bc_arrange_apply(bc_plan *plan, bc_context *context, const bc_arrangement *arrangement) {
  if (arrangement->place_count != plan->piece_count)
    return bc_fail(context, BC_BAD_USAGE, _("This arrangement was made for another plan. Arrange this plan again."));
  for (size_t i = 0; i < plan->piece_count; i++) {
    bc_piece *piece = &plan->pieces[i];
    const bc_place *place = &arrangement->places[i];
    if (place->state == BC_PLACE_KEPT) continue;
    piece->placed = place->state == BC_PLACE_PLACED;
    if (!piece->placed) continue;
    piece->at = place->at;
    if (!place->on || piece->mount.on) continue;
    piece->mount.on = bc_copy_text(place->on);
    if (!piece->mount.on) return bc_fail_memory(context);
    piece->mount.given = true; /* so that it is written */
  }
  return BC_OK;
}

bc_status bc_arrange_score(double *score, double part[BC_ARRANGE_PARTS], bc_context *context, const bc_plan *plan,
                           bc_arrange_style style, const bc_arrange_options *options) {
  bc_arrange_options checked;
  arr_problem *problem = NULL;
  arr_layout layout = {0};
  *score = 0;
  bc_status status = arr_options(&checked, context, plan, options);
  bc_piece *pieces = NULL;
  bc_plan still = *plan;
  if (status == BC_OK) {
    pieces = arr_pinned_pieces(plan);
    if (!pieces) return bc_fail_memory(context);
    still.pieces = pieces;
    status = arr_problem_new(&problem, context, &still, &checked, ARR_ROOM_CLOTH, NULL);
  }
  if (status == BC_OK && !arr_layout_new(&layout, problem)) status = bc_fail_memory(context);
  double own[BC_ARRANGE_PARTS];
  if (status == BC_OK) {
    arr_score(problem, &layout, style, part ? part : own);
    *score = 100 * arr_weigh(part ? part : own, false);
  }
  arr_layout_free(&layout);
  arr_problem_free(problem);
  free(pieces);
  return status;
}
