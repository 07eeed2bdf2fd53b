/* SPDX-License-Identifier: MIT */
/* The reasons of a cloth's verdicts for programs: where each outline gets lost, what would help most, and the same in
 * words. In: a match. Out: JSON. */
#include "why_json.h"

#include "match_internal.h"
#include <backcloth/program.h>

#include <stdlib.h>

bc_status bc_match_explain(bc_match *match, bc_context *context, size_t position) {
  if (position >= match->cloth_count)
    return bc_fail(context, BC_BAD_USAGE, _("There are only %zu cloths in this match."), match->cloth_count);
  match->explained = position;
  return BC_OK;
}

json_t *match_title_json(const bc_match *match, size_t piece) {
  char *title = bc_collection_title(match->collection, piece);
  json_t *text = title ? bc_json_text(title) : NULL;
  free(title);
  return text;
}

/* null where the piece stands out and needs none. */
static json_t *remedy_json(const bc_match *match, size_t piece) {
  static const char *const kinds[] = {NULL, "cloth", "lamp", "card", "place"};
  const bc_advice advice = bc_match_advice(match, match->explained, piece);
  if (advice.remedy == BC_REMEDY_NONE) return json_null();
  if (advice.remedy == BC_REMEDY_PLACE) return json_pack("{s:s}", "kind", kinds[advice.remedy]);
  json_t *out = json_pack("{s:s,s:f,s:s}", "kind", kinds[advice.remedy], "clarity", advice.clarity, "verdict",
                          bc_verdict_word(advice.verdict));
  int failed = 0;
  if (advice.remedy == BC_REMEDY_CLOTH)
    failed = json_object_set_new(out, "cloth", json_integer((json_int_t)advice.cloth));
  if (advice.remedy == BC_REMEDY_MOUNT) failed = json_object_set_new(out, "css", json_string(advice.css));
  if (!failed) return out;
  json_decref(out);
  return NULL;
}

static json_t *words_json(const bc_match *match, size_t piece) {
  bc_buffer text = {0};
  match_say_piece(&text, match, match->explained, piece);
  json_t *out = text.failed || !text.text ? NULL : bc_json_text(text.text);
  bc_buffer_clear(&text);
  return out;
}

static json_t *piece_json(const bc_match *match, size_t piece) {
  const bc_ranked_cloth *ranked = &match->cloths[match->explained];
  const bc_lost_stretch lost = bc_match_lost(match_reading(match, piece), match_cloth_of(match, ranked), NULL);
  const char *where = lost.count ? bc_match_where(match_reading(match, piece), &lost) : NULL;
  return json_pack("{s:o,s:o,s:s,s:s?,s:o,s:o}", "photo", bc_json_text(match_reading(match, piece)->photo), "title",
                   match_title_json(match, piece), "verdict", bc_verdict_word(ranked->pairs[piece].verdict),
                   "lost_where", where, "remedy", remedy_json(match, piece), "words", words_json(match, piece));
}

json_t *match_why_json(const bc_match *match) {
  if (match->explained >= match->cloth_count) return json_null();
  json_t *pieces = json_array();
  for (size_t i = 0; pieces && i < match->piece_count; i++) {
    if (json_array_append_new(pieces, piece_json(match, i)) == 0) continue;
    json_decref(pieces);
    pieces = NULL;
  }
  const bc_cloth *cloth = match_cloth_of(match, &match->cloths[match->explained]);
  return json_pack("{s:i,s:o,s:o}", "cloth", (int)match->explained, "name", bc_json_text(cloth->name), "pieces",
                   pieces);
}
