/* SPDX-License-Identifier: MIT */
/* The answer in plain words: which cloth, why, and which pieces suffer where.
 * In: bc_match with its readings and cloths. Out: sentences for a maker, best cloth first. */
#include "match_internal.h"

#include <stdlib.h>

#define NAMES_AT_MOST 4

/* "rope bowl, pale basket and 3 more": the pieces with this verdict. */
static bc_status list_pieces(char **out, bc_context *context, const bc_ranked_cloth *ranked, size_t pieces,
                             const bc_reading *const *readings, bc_verdict verdict) {
  const size_t all = bc_count_verdict(ranked->pairs, pieces, verdict);
  const size_t shown = all <= NAMES_AT_MOST + 1 ? all : NAMES_AT_MOST;
  bc_buffer text = {0};
  size_t done = 0;
  for (size_t i = 0; i < pieces && done < shown; i++) {
    if (ranked->pairs[i].verdict != verdict) continue;
    char *title = bc_reading_title(readings[i]->photo);
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

static void say_all_clear(bc_buffer *text, size_t pieces) {
  if (pieces == 1)
    bc_buffer_add(text, _("keeps the piece clear."));
  else
    bc_buffer_add(text, bc_text_plural("keeps all %zu pieces clear.", "keeps all %zu pieces clear.", pieces), pieces);
}

static void say_verdicts(bc_buffer *text, bc_context *context, const bc_ranked_cloth *ranked, size_t pieces,
                         const bc_reading *const *readings) {
  const size_t lost = bc_count_verdict(ranked->pairs, pieces, BC_GETS_LOST);
  const size_t soft = bc_count_verdict(ranked->pairs, pieces, BC_SOFT);
  if (!lost && !soft) say_all_clear(text, pieces);
  char *names = NULL;
  if (lost && list_pieces(&names, context, ranked, pieces, readings, BC_GETS_LOST) == BC_OK)
    bc_buffer_add(text, bc_text_plural("loses %zu piece: %s.", "loses %zu pieces: %s.", lost), lost, names);
  text->failed |= lost && !names;
  free(names);
  names = NULL;
  if (lost && soft) bc_buffer_add(text, " ");
  if (soft && list_pieces(&names, context, ranked, pieces, readings, BC_SOFT) == BC_OK)
    bc_buffer_add(text,
                  lost ? bc_text_plural("%zu more stays soft: %s.", "%zu more stay soft: %s.", soft)
                       : bc_text_plural("loses nothing, but %zu piece stays soft: %s.",
                                        "loses nothing, but %zu pieces stay soft: %s.", soft),
                  soft, names);
  text->failed |= soft && !names;
  free(names);
}

bc_status bc_match_to_words(char **out, bc_context *context, const bc_match *match, const bc_reading *const *readings,
                            const bc_cloth *const *cloths) {
  *out = NULL;
  bc_buffer text = {0};
  for (size_t i = 0; i < match->cloth_count; i++) {
    const bc_ranked_cloth *ranked = &match->cloths[i];
    /* TRANSLATORS: rank, name of the cloth, score; a sentence follows whose subject is the cloth */
    bc_buffer_add(&text, _("%d. “%s” (%.0f of 100) "), ranked->rank, cloths[ranked->cloth]->name, ranked->score);
    say_verdicts(&text, context, ranked, match->piece_count, readings);
    bc_buffer_add(&text, "\n");
  }
  for (size_t i = 0; i < match->notes.count; i++) bc_buffer_add(&text, "%s\n", match->notes.text[i]);
  return bc_buffer_finish(&text, out, context);
}
