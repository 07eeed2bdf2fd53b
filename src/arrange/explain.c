/* SPDX-License-Identifier: MIT */
/* Reasons and cautions of an arrangement: every sentence is taken from the figures of the layout. */
#include "explain.h"

#include "base/maths.h"

#include <math.h>
#include <stdlib.h>

static const char *title_of(const arr_problem *problem, size_t item) {
  return problem->plan->pieces[problem->items[item].piece].title;
}

static bool hung(const arr_problem *problem, const arr_layout *layout, size_t i) {
  return layout->spot[i].lane >= 0 && problem->items[i].where == ARR_HANGING;
}

/* --- the leader ------------------------------------------------------------------------------------------ */

/* Least distance from an item to any other that hangs, mm; INT32_MAX when it hangs alone. */
static int space_round(const arr_problem *problem, const arr_layout *layout, size_t index) {
  const arr_item *a = &problem->items[index];
  const arr_spot *at = &layout->spot[index];
  int nearest = INT32_MAX;
  for (size_t i = 0; i < problem->count; i++) {
    if (i == index || layout->spot[i].lane < 0 || problem->items[i].leader) continue;
    const arr_item *b = &problem->items[i];
    const int across = abs(at->x - layout->spot[i].x) - a->half_w - b->half_w;
    const int upright = abs(at->y - layout->spot[i].y) - a->half_h - b->half_h;
    nearest = base_least(nearest, base_most(across, upright));
  }
  return nearest;
}

static bc_status explain_leader(const arr_problem *problem, bc_context *context, const arr_layout *layout, size_t i,
                                bc_notes *reasons) {
  char height[64], off[64], space[64];
  const arr_spot *spot = &layout->spot[i];
  const double aside = fabs(spot->x - problem->plan->stand.width * ARR_MM / 2) / ARR_MM;
  bc_length_words(height, sizeof height, arr_at_cm(problem, spot).y, problem->plan->units);
  bc_length_words(off, sizeof off, aside, problem->plan->units);
  const bool shifted = fabs(problem->focus_x - problem->plan->stand.width * ARR_MM / 2) >= 1.0 * ARR_MM;
  const bool at_focus = shifted && abs(spot->x - problem->focus_x) < 10 * ARR_MM;
  bc_status status =
      at_focus
          ? bc_note(
                reasons, context,
                _("\"%s\" leads: its centre is %s beside the wall's middle, where visitors see it first as they come, "
                  "at %s."),
                title_of(problem, i), off, height)
      : aside < 1 ? bc_note(reasons, context, _("\"%s\" leads: it is in the middle of the wall, its centre at %s."),
                            title_of(problem, i), height)
                  : bc_note(reasons, context, _("\"%s\" leads: its centre is %s beside the wall's middle, at %s."),
                            title_of(problem, i), off, height);
  const int around = space_round(problem, layout, i);
  if (status != BC_OK || around == INT32_MAX) return status;
  bc_length_words(space, sizeof space, around / ARR_MM, problem->plan->units);
  return bc_note(reasons, context, _("%s of space is kept clear round it."), space);
}

/* --- the style -------------------------------------------------------------------------------------------- */

#define LEVELS 24

/* Heights of centre lines that at least two hanging pieces share, highest first. */
static int shared_levels(const arr_problem *problem, const arr_layout *layout, int levels[LEVELS]) {
  int count = 0;
  for (size_t i = 0; i < problem->count; i++) {
    if (!hung(problem, layout, i)) continue;
    const int y = layout->spot[i].y;
    int sharing = 0, known = 0;
    for (size_t j = 0; j < problem->count; j++) sharing += hung(problem, layout, j) && abs(layout->spot[j].y - y) <= 1;
    for (int k = 0; k < count; k++) known += abs(levels[k] - y) <= 1;
    if (sharing < 2 || known || count == LEVELS) continue;
    int k = count++;
    for (; k > 0 && levels[k - 1] < y; k--) levels[k] = levels[k - 1];
    levels[k] = y;
  }
  return count;
}

static bc_status explain_levels(const arr_problem *problem, bc_context *context, const arr_layout *layout,
                                bc_notes *reasons) {
  int levels[LEVELS];
  const int count = shared_levels(problem, layout, levels);
  bc_buffer list = {0};
  char *text = NULL;
  for (int i = 0; i < count; i++)
    bc_buffer_add(&list, "%s%s", i > 0 ? _(", ") : "", arr_cm(problem->plan, levels[i] / ARR_MM));
  if (count == 0) return BC_OK;
  bc_status status = bc_buffer_finish(&list, &text, context);
  if (status == BC_OK)
    status = bc_note(reasons, context,
                     bc_text_plural("Pieces share a centre line at %s above the floor: level lines rest the eye.",
                                    "Pieces share centre lines at %s above the floor: level lines rest the eye.",
                                    (unsigned long)count),
                     text);
  free(text);
  return status;
}

static bc_status explain_style(const arr_problem *problem, bc_context *context, const arr_layout *layout,
                               bc_arrangement *a) {
  bc_status status = BC_OK;
  switch (a->style) {
  case BC_ARRANGE_LEVEL_ROWS:
    status = bc_note(&a->reasons, context,
                     _("Level rows: calm, easy to read from left to right, and easy to hang with a taut string."));
    break;
  case BC_ARRANGE_SATELLITES:
    status =
        bc_note(&a->reasons, context,
                _("One dominant piece: the rest stand back in two wings, so that it is seen first and from afar."));
    break;
  default:
    status = bc_note(&a->reasons, context,
                     _("A centred group: everything gathers about the middle and reads as one picture."));
  }
  return status == BC_OK ? explain_levels(problem, context, layout, &a->reasons) : status;
}

/* --- gaps, balance, groups ---------------------------------------------------------------------------------- */

static bc_status explain_balance(const arr_problem *problem, bc_context *context, const arr_layout *layout,
                                 bc_notes *reasons) {
  double left = 0, right = 0;
  for (size_t i = 0; i < problem->count; i++) {
    if (layout->spot[i].lane < 0) continue;
    const double arm = layout->spot[i].x - problem->focus_x, moment = arm * problem->items[i].weight;
    if (arm < 0)
      left -= moment;
    else
      right += moment;
  }
  if (left + right <= 0) return BC_OK;
  const double share = 100 * fabs(left - right) / (left + right);
  if (share < 10) return bc_note(reasons, context, _("Left and right balance to within %.0f %%."), ceil(share));
  return bc_note(reasons, context,
                 left > right ? _("The left side weighs more to the eye, by %.0f %%.")
                              : _("The right side weighs more to the eye, by %.0f %%."),
                 share);
}

static bc_status explain_groups(const arr_problem *problem, bc_context *context, const bc_arrangement *a,
                                bc_notes *reasons) {
  bool grouped = false, alike = false;
  for (size_t i = 0; i < problem->count; i++) {
    const bool named = problem->plan->pieces[problem->items[i].piece].group != NULL;
    grouped = grouped || (named && problem->items[i].group >= 0);
    alike = alike || (!named && problem->items[i].group >= 0);
  }
  if (!grouped && alike && a->part[BC_PART_TOGETHER] > 0.8)
    return bc_note(reasons, context, _("Pieces of one size stay together."));
  if (!grouped) return BC_OK;
  if (a->part[BC_PART_TOGETHER] > 0.8) return bc_note(reasons, context, _("Groups stay together."));
  return bc_note(reasons, context, _("Groups are kept as near together as the rest allows (%.0f of 100)."),
                 100 * a->part[BC_PART_TOGETHER]);
}

bc_status arr_explain(const arr_problem *problem, bc_context *context, const arr_layout *layout, bc_arrangement *a) {
  bc_status status = explain_style(problem, context, layout, a);
  for (size_t i = 0; status == BC_OK && i < problem->count; i++)
    if (problem->items[i].leader && layout->spot[i].lane >= 0)
      status = explain_leader(problem, context, layout, i, &a->reasons);
  if (status == BC_OK) status = explain_balance(problem, context, layout, &a->reasons);
  if (status == BC_OK) status = explain_groups(problem, context, a, &a->reasons);
  return status;
}

/* --- cautions ---------------------------------------------------------------------------------------------------- */

static bc_status caution_reach(const arr_problem *problem, bc_context *context, const arr_layout *layout,
                               bc_notes *cautions) {
  size_t count = 0, first = 0;
  for (size_t i = 0; i < problem->count; i++) {
    if (!hung(problem, layout, i) || problem->items[i].kept) continue;
    const bc_piece *piece = &problem->plan->pieces[problem->items[i].piece];
    const double point = layout->spot[i].y / ARR_MM + piece->height / 2 + arr_rise_cm(piece);
    if (point <= problem->options.reach) continue;
    if (count++ == 0) first = i;
  }
  if (count == 0) return BC_OK;
  char reach[64];
  bc_length_words(reach, sizeof reach, problem->options.reach, problem->plan->units);
  return bc_note(
      cautions, context,
      bc_text_plural("%zu piece (\"%s\") hangs from higher than %s: stand on a firm step stool to hang it, "
                     "while a second person holds the stool.",
                     "%zu pieces (\"%s\" and others) hang from higher than %s: stand on a firm step stool to "
                     "hang them, while a second person holds the stool.",
                     count),
      count, title_of(problem, first), reach);
}

static bc_status caution_piece(const arr_problem *problem, bc_context *context, const arr_layout *layout, size_t i,
                               bc_notes *cautions) {
  const arr_item *item = &problem->items[i];
  const arr_spot *spot = &layout->spot[i];
  if (item->statement && (spot->y < problem->sight_low || spot->y > problem->sight_high)) {
    const bc_status status = bc_note(cautions, context,
                                     _("The centre of \"%s\" is outside the sight band: its mount or size leaves no "
                                       "other height."),
                                     title_of(problem, i));
    if (status != BC_OK) return status;
  }
  const int hidden = problem->table - (spot->y - item->half_h);
  if (!hung(problem, layout, i) || item->kept || hidden <= 2 || problem->plan->table_count == 0) return BC_OK;
  char length[64];
  bc_length_words(length, sizeof length, hidden / ARR_MM, problem->plan->units);
  return bc_note(cautions, context, _("The lowest %s of \"%s\" hang below table height."), length,
                 title_of(problem, i));
}

bc_status arr_caution(const arr_problem *problem, bc_context *context, const arr_layout *layout, bc_arrangement *a) {
  bc_status status = caution_reach(problem, context, layout, &a->cautions);
  size_t bare = 0;
  for (size_t i = 0; status == BC_OK && i < problem->count; i++) {
    if (layout->spot[i].lane < 0) continue;
    status = caution_piece(problem, context, layout, i, &a->cautions);
    bare += problem->items[i].where == ARR_HANGING && !(problem->plan->pieces[problem->items[i].piece].weight_g > 0);
  }
  if (status == BC_OK && bare > 0)
    status = bc_note(&a->cautions, context,
                     bc_text_plural("%zu hanging piece has no weight in the plan: its load could not be checked.",
                                    "%zu hanging pieces have no weight in the plan: their loads could not be checked.",
                                    bare),
                     bare);
  return status;
}
