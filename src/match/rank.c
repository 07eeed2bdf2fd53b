/* SPDX-License-Identifier: MIT */
/* Ranks cloths for a collection and says which cannot be told apart.
 * In: readings and cloths. Out: bc_match. Source: docs/method/match.md. */
#include "match_internal.h"

#include <stdlib.h>

/* Cloths in the same band whose scores differ by less cannot be told apart. */
#define SCORE_UNCERTAINTY 1.0

static bc_status new_match(bc_match **out, bc_context *context, size_t pieces, size_t cloths) {
  bc_match *match = bc_allocate(1, sizeof *match);
  *out = match;
  if (!match) return bc_fail_memory(context);
  match->piece_count = pieces;
  match->cloths = bc_allocate(cloths, sizeof *match->cloths);
  if (!match->cloths) return bc_fail_memory(context);
  for (size_t i = 0; i < cloths; i++) {
    match->cloths[i].cloth = i;
    match->cloths[i].pairs = bc_allocate(pieces, sizeof *match->cloths[i].pairs);
    match->cloth_count = i + 1;
    if (!match->cloths[i].pairs) return bc_fail_memory(context);
  }
  return BC_OK;
}

static bc_status judge(bc_match *match, bc_context *context, const bc_reading *const *readings,
                       const bc_cloth *const *cloths) {
  bc_prepared *piece = malloc(sizeof *piece);
  if (!piece) return bc_fail_memory(context);
  for (size_t p = 0; p < match->piece_count; p++) {
    bc_prepare(piece, readings[p]);
    for (size_t c = 0; c < match->cloth_count; c++) match->cloths[c].pairs[p] = bc_prepared_on(piece, cloths[c]);
  }
  free(piece);
  for (size_t c = 0; c < match->cloth_count; c++) {
    bc_ranked_cloth *cloth = &match->cloths[c];
    cloth->score = bc_collection_score(cloth->pairs, match->piece_count, &cloth->weakest);
  }
  return BC_OK;
}

static int best_first(const void *first, const void *second) {
  const bc_ranked_cloth *a = first, *b = second;
  if (a->score != b->score) return a->score < b->score ? 1 : -1;
  return a->cloth < b->cloth ? -1 : 1;
}

static bool cannot_be_told_apart(const bc_ranked_cloth *first, const bc_ranked_cloth *second) {
  return first->pairs[first->weakest].verdict == second->pairs[second->weakest].verdict &&
         first->score - second->score < SCORE_UNCERTAINTY;
}

/* Competition ranking (1, 1, 3): each group is led by its best, which all its members are near to. */
static void give_ranks(bc_match *match) {
  size_t leader = 0;
  for (size_t i = 0; i < match->cloth_count; i++) {
    if (!cannot_be_told_apart(&match->cloths[leader], &match->cloths[i])) leader = i;
    match->cloths[i].rank = (int)leader + 1;
  }
}

static bc_status note_ties(bc_match *match, bc_context *context, const bc_cloth *const *cloths) {
  bc_buffer names = {0};
  for (size_t i = 0; i < match->cloth_count && match->cloths[i].rank == 1; i++)
    bc_buffer_add(&names, i ? _(", “%s”") : _("“%s”"), cloths[match->cloths[i].cloth]->name);
  char *text = NULL;
  bc_status status = bc_buffer_finish(&names, &text, context);
  if (status == BC_OK && match->cloth_count > 1 && match->cloths[1].rank == 1)
    status = bc_note(&match->notes, context,
                     _("These cloths are equally good as far as the photos can tell: %s. Choose among them by taste."),
                     text);
  free(text);
  return status;
}

bc_status bc_match_rank(bc_match **out, bc_context *context, const bc_reading *const *readings, size_t reading_count,
                        const bc_cloth *const *cloths, size_t cloth_count) {
  *out = NULL;
  if (!reading_count) return bc_fail(context, BC_BAD_USAGE, _("There is no piece to match. Name at least one photo."));
  if (!cloth_count)
    return bc_fail(context, BC_BAD_USAGE, _("There is no cloth to match with. Name at least one cloth."));
  bc_match *match = NULL;
  bc_status status = new_match(&match, context, reading_count, cloth_count);
  if (status == BC_OK) status = judge(match, context, readings, cloths);
  if (status == BC_OK) {
    qsort(match->cloths, match->cloth_count, sizeof *match->cloths, best_first);
    give_ranks(match);
    status = note_ties(match, context, cloths);
  }
  if (status != BC_OK) {
    bc_match_free(match);
    return status;
  }
  *out = match;
  return BC_OK;
}

void bc_match_free(bc_match *match) {
  if (!match) return;
  for (size_t i = 0; i < match->cloth_count; i++) free(match->cloths[i].pairs);
  free(match->cloths);
  bc_notes_clear(&match->notes);
  free(match);
}
