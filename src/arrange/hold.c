/* SPDX-License-Identifier: MIT */
/* Rated loads as a hard rule: the statics of the loads stage decide about every layout, and what does
 * not hold is left off. */
#include "hold.h"

#include <backcloth/loads.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

bool arr_out_new(arr_out *out, size_t count) {
  *out = (arr_out){bc_allocate(count, sizeof(bool)), bc_allocate(count, sizeof(char *)), count};
  return out->out && out->why;
}

void arr_out_free(arr_out *out) {
  for (size_t i = 0; out->why && i < out->count; i++) free(out->why[i]);
  free(out->why);
  free(out->out);
  *out = (arr_out){0};
}

/* The placed pieces at this layout's places; strings are borrowed. What is left off stays at home, so it
 * loads nothing. NULL without memory. */
static bc_piece *pieces_at(const arr_problem *problem, const arr_layout *layout, size_t *count) {
  bc_piece *pieces = bc_allocate(problem->count, sizeof *pieces);
  *count = 0;
  for (size_t i = 0; pieces && i < problem->count; i++) {
    const arr_spot *spot = &layout->spot[i];
    if (spot->lane < 0) continue;
    bc_piece *piece = &pieces[(*count)++];
    *piece = problem->plan->pieces[problem->items[i].piece];
    piece->placed = true;
    if (problem->items[i].kept) continue;
    piece->at = arr_at_cm(problem, spot);
    const char *on = problem->carriers[problem->lanes[spot->lane].carrier].id;
    if (on) piece->mount.on = (char *)on; /* only read */
  }
  return pieces;
}

/* Takes over `sentence`. */
static bc_status put_out(arr_out *out, bc_context *context, size_t piece, char *sentence, bool *changed) {
  if (!sentence) return bc_fail_memory(context);
  if (out->out[piece]) {
    free(sentence);
    return BC_OK;
  }
  out->out[piece] = true;
  out->why[piece] = sentence;
  *changed = true;
  return BC_OK;
}

static int item_named(const arr_problem *problem, const char *id) {
  for (size_t i = 0; i < problem->count; i++)
    if (strcmp(problem->plan->pieces[problem->items[i].piece].id, id) == 0) return (int)i;
  return -1;
}

/* What is judged, and where the verdicts go. */
typedef struct judging {
  const arr_problem *problem;
  bc_context *context;
  const arr_layout *layout;
  arr_out *out;
  bool *changed;
  bc_notes *cautions; /* may be NULL */
} judging;

static bc_status check_point(const judging *j, const bc_load_point *point) {
  const arr_problem *problem = j->problem;
  if (point->alone != BC_HOLDS_NO || !point->piece) return BC_OK;
  const int i = item_named(problem, point->piece);
  if (i < 0) return BC_OK;
  char needed[64], rated[64];
  bc_mass_words(needed, sizeof needed, point->needed_n / BC_STANDARD_GRAVITY * 1000, problem->plan->units);
  bc_mass_words(rated, sizeof rated, point->rated_n / BC_STANDARD_GRAVITY * 1000, problem->plan->units);
  const arr_item *item = &problem->items[i];
  const char *title = problem->plan->pieces[item->piece].title;
  if (!item->kept)
    return put_out(j->out, j->context, item->piece,
                   bc_format(_("Each of its hanging points is rated for %s and would need %s. Use stronger "
                               "hardware or more points."),
                             rated, needed),
                   j->changed);
  if (!j->cautions) return BC_OK;
  return bc_note(j->cautions, j->context,
                 _("\"%s\" is kept where it is, but its hanging point is rated for %s and needs %s. Take it "
                   "down or use stronger hardware."),
                 title, rated, needed);
}

/* A place may be within a child's reach: told once for each piece, since it is the hardware that is to be changed. */
static bc_status tell_pull(const judging *j, const bc_loads *loads, size_t number) {
  const bc_load_point *point = &loads->points[number];
  const bool told = number > 0 && loads->points[number - 1].why & BC_WHY_PULLED &&
                    strcmp(loads->points[number - 1].piece, point->piece) == 0;
  if (!j->cautions || told || !(point->why & BC_WHY_PULLED)) return BC_OK;
  return bc_note(
      j->cautions, j->context,
      bc_text_safety(
          "\"%s\": a child can reach it and pull, and its hanging points are too weak for that. Use stronger "
          "hardware, or keep children away from it."),
      point->title);
}

/* The piece on a carrier that matters least, the heaviest of those; -1: only kept ones. */
static int weakest_on(const arr_problem *problem, const arr_layout *layout, const char *id, const arr_out *out) {
  int worst = -1;
  for (size_t i = 0; i < problem->count; i++) {
    const arr_item *item = &problem->items[i];
    if (layout->spot[i].lane < 0 || item->kept || out->out[item->piece]) continue;
    const char *on = problem->carriers[problem->lanes[layout->spot[i].lane].carrier].id;
    if (!on || strcmp(on, id) != 0) continue;
    const bc_piece *piece = &problem->plan->pieces[item->piece];
    if (worst >= 0) {
      const arr_item *other = &problem->items[worst];
      if (item->importance > other->importance) continue;
      if (item->importance == other->importance && piece->weight_g <= problem->plan->pieces[other->piece].weight_g)
        continue;
    }
    worst = (int)i;
  }
  return worst;
}

static bool any_kept_on(const arr_problem *problem, const char *rod_id) {
  for (size_t i = 0; i < problem->count; i++) {
    const bc_rod *rod = bc_plan_rod_of(problem->plan, &problem->plan->pieces[problem->items[i].piece]);
    if (problem->items[i].kept && rod && strcmp(rod->id, rod_id) == 0) return true;
  }
  return false;
}

static bc_status check_carrier(const judging *j, const char *id, bool rod) {
  const int i = weakest_on(j->problem, j->layout, id, j->out);
  if (i >= 0)
    return put_out(j->out, j->context, j->problem->items[i].piece,
                   rod ? bc_format(_("With it the rod \"%s\" would carry more than it may. Use a stronger rod, another "
                                     "support, or hang it elsewhere."),
                                   id)
                       : bc_format(_("With it the shelf \"%s\" would carry more than it may. Use a stronger shelf, or "
                                     "put it on a table."),
                                   id),
                   j->changed);
  if (!j->cautions) return BC_OK;
  if (rod && !any_kept_on(j->problem, id))
    return bc_note(j->cautions, j->context,
                   _("The rod \"%s\" does not even carry itself and the cloth. Use a stronger rod, or give it one more "
                     "bracket."),
                   id);
  return bc_note(j->cautions, j->context,
                 rod ? _("The rod \"%s\" carries more than it may with the pieces that are kept where they are. Take "
                         "one down.")
                     : _("The shelf \"%s\" carries more than it may with the pieces that are kept where they are. Take "
                         "one down."),
                 id);
}

bc_status arr_loads_at(bc_loads **out, const arr_problem *problem, bc_context *context, const arr_layout *layout) {
  bc_plan plan = *problem->plan;
  plan.pieces = pieces_at(problem, layout, &plan.piece_count);
  const bc_status status = plan.pieces ? bc_loads_of(out, context, &plan) : bc_fail_memory(context);
  free(plan.pieces);
  return status;
}

bc_status arr_check_loads(const arr_problem *problem, bc_context *context, const arr_layout *layout, arr_out *out,
                          bool *changed, bc_notes *cautions) {
  *changed = false;
  bc_loads *loads = NULL;
  const judging j = {problem, context, layout, out, changed, cautions};
  bc_status status = arr_loads_at(&loads, problem, context, layout);
  for (size_t i = 0; status == BC_OK && loads && i < loads->point_count; i++) {
    status = check_point(&j, &loads->points[i]);
    if (status == BC_OK) status = tell_pull(&j, loads, i);
  }
  for (size_t i = 0; status == BC_OK && loads && !*changed && i < loads->rod_count; i++)
    if (loads->rods[i].why & BC_WHY_LOAD) status = check_carrier(&j, loads->rods[i].id, true);
  for (size_t i = 0; status == BC_OK && loads && !*changed && i < loads->shelf_count; i++)
    if ((loads->shelves[i].shelf_why | loads->shelves[i].fixings_why) & BC_WHY_LOAD)
      status = check_carrier(&j, loads->shelves[i].id, false);
  bc_loads_free(loads);
  return status;
}
