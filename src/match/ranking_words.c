/* SPDX-License-Identifier: MIT */
/* The answer in plain words: which cloth, why, and which pieces suffer where.
 * In: bc_match. Out: sentences for a maker, best cloth first. */
#include "match_internal.h"
#include <backcloth/colour.h>

#include <math.h>
#include <stdlib.h>

#define NAMES_AT_MOST 4

/* Which pieces a sentence is about. */
typedef struct chosen_pieces {
  const bc_ranked_cloth *ranked; /* NULL: those whose outline is uncertain */
  bc_verdict verdict;            /* else those with this verdict */
} chosen_pieces;

static bool is_chosen(const bc_match *match, const chosen_pieces *chosen, size_t i) {
  return chosen->ranked ? chosen->ranked->pairs[i].verdict == chosen->verdict
                        : bc_reading_is_doubtful(match_reading(match, i));
}

/* "rope bowl, pale basket and 3 more": `all` pieces are chosen. */
static bc_status list_pieces(char **out, bc_context *context, const bc_match *match, const chosen_pieces *chosen,
                             size_t all) {
  const size_t shown = all <= NAMES_AT_MOST + 1 ? all : NAMES_AT_MOST;
  bc_buffer text = {0};
  size_t done = 0;
  for (size_t i = 0; i < match->piece_count && done < shown; i++) {
    if (!is_chosen(match, chosen, i)) continue;
    char *title = bc_collection_title(match->collection, i);
    const bool last = done + 1 == shown && shown == all;
    if (!title)
      text.failed = true;
    else
      bc_buffer_add(&text, done == 0 ? "%s" : last ? _(" and %s") : _(", %s"), title);
    free(title);
    done++;
  }
  if (shown < all) bc_buffer_add(&text, bc_text_plural(" and %zu more", " and %zu more", all - shown), all - shown);
  return bc_buffer_finish(&text, out, context);
}

/* Figures are worth no more than the outlines that they were taken within. */
static void say_doubtful(bc_buffer *text, bc_context *context, const bc_match *match) {
  const chosen_pieces doubtful = {0};
  size_t all = 0;
  char *names = NULL;
  for (size_t i = 0; i < match->piece_count; i++) all += is_chosen(match, &doubtful, i);
  if (all == 0) return;
  if (list_pieces(&names, context, match, &doubtful, all) == BC_OK)
    bc_buffer_add(text,
                  bc_text_plural("The outline of %zu piece is uncertain: %s. Look at its cut-out before you trust the "
                                 "figures.",
                                 "The outlines of %zu pieces are uncertain: %s. Look at their cut-outs before you "
                                 "trust the figures.",
                                 all),
                  all, names);
  bc_buffer_add(text, "\n");
  text->failed |= !names;
  free(names);
}

static void say_all_clear(bc_buffer *text, size_t pieces) {
  if (pieces == 1)
    bc_buffer_add(text, "%s", _("The piece stands out."));
  else if (pieces == 2)
    bc_buffer_add(text, "%s", _("Both pieces stand out."));
  else
    bc_buffer_add(text, bc_text_plural("All %zu pieces stand out.", "All %zu pieces stand out.", pieces), pieces);
}

void match_say_verdicts(bc_buffer *text, bc_context *context, const bc_match *match, const bc_ranked_cloth *ranked) {
  const size_t pieces = match->piece_count;
  const size_t lost = match_count_verdict(ranked->pairs, pieces, BC_GETS_LOST);
  const size_t soft = match_count_verdict(ranked->pairs, pieces, BC_SOFT);
  if (!lost && !soft) say_all_clear(text, pieces);
  char *names = NULL;
  if (lost && list_pieces(&names, context, match, &(chosen_pieces){ranked, BC_GETS_LOST}, lost) == BC_OK)
    bc_buffer_add(text, bc_text_plural("%zu piece gets lost: %s.", "%zu pieces get lost: %s.", lost), lost, names);
  text->failed |= lost && !names;
  free(names);
  names = NULL;
  if (lost && soft) bc_buffer_add(text, " ");
  if (soft && list_pieces(&names, context, match, &(chosen_pieces){ranked, BC_SOFT}, soft) == BC_OK)
    bc_buffer_add(text,
                  lost ? bc_text_plural("%zu more is soft: %s.", "%zu more are soft: %s.", soft)
                       : bc_text_plural("No piece gets lost, but %zu is soft: %s.",
                                        "No piece gets lost, but %zu are soft: %s.", soft),
                  soft, names);
  text->failed |= soft && !names;
  free(names);
}

/* How many outlines can be made out from where people stand, and how far the faintest of them reaches. */
static void say_distance(bc_buffer *text, const bc_match *match, const bc_ranked_cloth *ranked) {
  double far = BC_FAR_M;
  size_t known = 0, told = 0;
  for (size_t p = 0; ranked->visibility && p < match->piece_count; p++) {
    const bc_visibility *seen = &ranked->visibility[p];
    if (!seen->known) continue;
    known++;
    told += seen->outline_m >= match->view.distance_m;
    far = fmin(far, seen->outline_m);
  }
  const double metres = match->view.distance_m, feet = metres / 0.3048;
  if (!known) return;
  if (far >= BC_FAR_M)
    bc_buffer_add(text, _(" Every outline can be made out from anywhere in the aisle."));
  else if (told == known)
    bc_buffer_say(text, _(" Every outline can be made out from %.1f m (%.0f ft) away, and even from %.1f m (%.0f ft)."),
                  metres, feet, far, far / 0.3048);
  else
    bc_buffer_say(text,
                  bc_text_plural(" From %1$.1f m (%2$.0f ft) away, %3$zu of %4$zu outline can be made out.",
                                 " From %1$.1f m (%2$.0f ft) away, %3$zu of %4$zu outlines can be made out.", known),
                  metres, feet, told, known);
}

static void say_together(bc_buffer *text, const bc_match *match) {
  if (!match->together_count) return;
  const bc_two_cloths *best = &match->together[0];
  char *title = bc_collection_title(match->collection, best->weakest);
  if (title)
    bc_buffer_add(text,
                  _("Wall and table together: “%s” on the wall with “%s” on the table serves best (%.0f of 100). The "
                    "weakest piece is then %s.\n"),
                  match->collection->cloths.cloth[best->wall]->name, match->collection->tables.cloth[best->table]->name,
                  best->score, title);
  text->failed |= !title;
  free(title);
  for (size_t i = 1; i < match->together_count && i < 4 && match->together[i].rank == 1; i++)
    bc_buffer_add(text, _("Just as good: “%s” on the wall with “%s” on the table.\n"),
                  match->collection->cloths.cloth[match->together[i].wall]->name,
                  match->collection->tables.cloth[match->together[i].table]->name);
}

static void say_trade_off(bc_buffer *text, const bc_match *match) {
  const bc_ranked_cloth *c = match->cloths;
  const size_t statement = match->best_for_statement;
  if (match->best_for_weakest > 0 && c[match->best_for_weakest].rank > 1)
    bc_buffer_add(text, _("The weakest piece is clearest on “%s”.\n"),
                  match_cloth_of(match, &c[match->best_for_weakest])->name);
  if (match->best_on_average > 0 && c[match->best_on_average].rank > 1)
    bc_buffer_add(text, _("On average the pieces are clearest on “%s”, but the weakest piece is weaker there.\n"),
                  match_cloth_of(match, &c[match->best_on_average])->name);
  if (statement < match->cloth_count && statement > 0 && c[statement].rank > 1)
    bc_buffer_add(text, _("The statement piece is clearest on “%s”.\n"), match_cloth_of(match, &c[statement])->name);
}

static void say_suggestions(bc_buffer *text, const bc_match *match) {
  if (match->suggested_count) bc_buffer_add(text, _("Colours to look for in a shop:\n"));
  for (size_t i = 0; i < match->suggested_count; i++) {
    const bc_suggestion *s = &match->suggested[i];
    /* TRANSLATORS: colour name, CSS colour, score */
    bc_buffer_add(text,
                  s->family == BC_DARK     ? _("  dark: %s (%s), %.0f of 100\n")
                  : s->family == BC_MIDDLE ? _("  middle: %s (%s), %.0f of 100\n")
                                           : _("  light: %s (%s), %.0f of 100\n"),
                  s->name, s->css, s->score);
    bc_buffer_add(
        text,
        s->weave_l < 4 ? _("    plain is best: a weave or pattern that shows would make the pieces less clear\n")
        : s->weave_l < 8
            ? _("    plain, or with a fine weave of little contrast, like linen\n")
            : _("    plain, or with a weave or quiet pattern that shows, as long as it is this colour on the whole\n"));
    const bc_ranked_cloth *own = &match->cloths[match_nearest_own(match, s->lab)];
    if (bc_delta_e00(match_cloth_of(match, own)->colour.lab, s->lab) < 1) continue; /* it is that colour */
    bc_buffer_add(text, _("    nearest to it among the cloths that you named: “%s” (%.0f of 100)\n"),
                  match_cloth_of(match, own)->name, own->score);
  }
}

bc_status bc_match_to_words(char **out, bc_context *context, const bc_match *match) {
  *out = NULL;
  bc_buffer text = {0};
  for (size_t i = 0; i < match->cloth_count; i++) {
    const bc_ranked_cloth *ranked = &match->cloths[i];
    /* TRANSLATORS: rank, name of the cloth, score; sentences about the pieces on this cloth follow */
    bc_buffer_add(&text, _("%d. “%s” (%.0f of 100): "), ranked->rank, match_cloth_of(match, ranked)->name,
                  ranked->score);
    match_say_verdicts(&text, context, match, ranked);
    say_distance(&text, match, ranked);
    bc_buffer_add(&text, "\n");
  }
  say_together(&text, match);
  say_trade_off(&text, match);
  say_suggestions(&text, match);
  say_doubtful(&text, context, match);
  for (size_t i = 0; i < match->notes.count; i++) bc_buffer_add(&text, "%s\n", match->notes.text[i]);
  return bc_buffer_finish(&text, out, context);
}
