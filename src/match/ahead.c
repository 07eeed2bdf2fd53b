/* SPDX-License-Identifier: MIT */
/* Why one cloth is ranked ahead of another that has the better counts of verdicts: score and counts are never left to
 * contradict each other. In: a match. Out: a sentence. Source: the score, docs/method/match.md. */
#include "match_internal.h"

#include <stdlib.h>

#define TOLD_AT_MOST 3 /* cloths behind the best: a maker reads a few sentences, not a list */

typedef struct counts {
  size_t stand_out, lost;
} counts;

static counts counts_of(const bc_match *match, const bc_ranked_cloth *cloth) {
  return (counts){match_count_verdict(cloth->pairs, match->piece_count, BC_STANDS_OUT),
                  match_count_verdict(cloth->pairs, match->piece_count, BC_GETS_LOST)};
}

static double least_of(const bc_ranked_cloth *cloth) {
  return cloth->pairs[cloth->weakest].clarity;
}

/* What the score weighs against the counts: the other's weakest piece, or else all pieces together. */
static bc_status say_weakest(bc_buffer *text, bc_context *context, const bc_match *match, const bc_ranked_cloth *ahead,
                             const bc_ranked_cloth *other) {
  const char *name = match_cloth_of(match, ahead)->name;
  if (!(least_of(other) < least_of(ahead))) {
    bc_buffer_add(text, _(" But on average the pieces are clearer on “%s”."), name);
    return BC_OK;
  }
  char *title = bc_collection_title(match->collection, other->weakest);
  if (!title) return bc_fail_memory(context);
  /* TRANSLATORS: a piece, then a cloth; "there" is the other cloth, named in the sentence before */
  bc_buffer_add(text, _(" But %s is less clear there than any piece on “%s”."), title, name);
  free(title);
  return BC_OK;
}

static bool say_counts(bc_buffer *text, const bc_match *match, const bc_ranked_cloth *ahead,
                       const bc_ranked_cloth *other) {
  const counts here = counts_of(match, ahead), there = counts_of(match, other);
  const char *name = match_cloth_of(match, other)->name;
  if (there.lost > here.lost && there.stand_out > here.stand_out)
    bc_buffer_add(text, _("On “%s” more pieces stand out (%zu, not %zu), but more get lost, too (%zu, not %zu)."), name,
                  there.stand_out, here.stand_out, there.lost, here.lost);
  else if (there.lost < here.lost)
    bc_buffer_add(text, _("On “%s” fewer pieces get lost (%zu, not %zu)."), name, there.lost, here.lost);
  else if (there.stand_out > here.stand_out)
    bc_buffer_add(text, _("On “%s” more pieces stand out (%zu, not %zu)."), name, there.stand_out, here.stand_out);
  else
    return false;
  return there.lost <= here.lost; /* not yet explained */
}

bc_status bc_match_why_ahead(char **out, bc_context *context, const bc_match *match, size_t ahead, size_t other) {
  *out = NULL;
  if (ahead >= match->cloth_count || other >= match->cloth_count)
    return bc_fail(context, BC_BAD_USAGE,
                   bc_text_plural("There is only %zu cloth in this match.", "There are only %zu cloths in this match.",
                                  match->cloth_count),
                   match->cloth_count);
  const bc_ranked_cloth *first = &match->cloths[ahead], *second = &match->cloths[other];
  bc_buffer text = {0};
  bc_status status = BC_OK;
  if (say_counts(&text, match, first, second)) status = say_weakest(&text, context, match, first, second);
  if (status != BC_OK) return bc_buffer_clear(&text), status;
  return text.length || text.failed ? bc_buffer_finish(&text, out, context) : BC_OK;
}

bc_status match_note_ahead(bc_match *match, bc_context *context) {
  bc_status status = BC_OK;
  size_t told = 0;
  for (size_t i = 1; status == BC_OK && i < match->cloth_count && told < TOLD_AT_MOST; i++) {
    char *why = NULL;
    if (match->cloths[i].rank == match->cloths[0].rank) continue;
    status = bc_match_why_ahead(&why, context, match, 0, i);
    if (status == BC_OK && why) status = bc_note(&match->notes, context, "%s", why);
    told += why != NULL;
    free(why);
  }
  return status;
}
