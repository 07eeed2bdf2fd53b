/* SPDX-License-Identifier: MIT */
/* A match as one JSON object.
 * In: bc_match with the readings and cloths it was made from. Out: text for programs; the keys are fixed. */
#include "match_internal.h"

#include <jansson.h>
#include <stdlib.h>

static json_t *utf8_json(const char *text) {
  char *valid = bc_copy_utf8(text);
  json_t *string = valid ? json_string(valid) : NULL;
  free(valid);
  return string;
}

static json_t *pair_json(const bc_pair *pair, const bc_reading *reading) {
  return json_pack("{s:o,s:f,s:f,s:f,s:f,s:f,s:f,s:s}", "photo", utf8_json(reading->photo), "contrast_ratio",
                   pair->contrast_ratio, "delta_l", pair->delta_l, "delta_e00", pair->delta_e00, "outline_share",
                   pair->outline_share, "seen_share", pair->seen_share, "clarity", pair->clarity, "verdict",
                   bc_verdict_word(pair->verdict));
}

/* Appends and takes over `value`; on failure drops the list, so that json_pack fails in its turn. */
static bool append(json_t **list, json_t *value) {
  if (*list && json_array_append_new(*list, value) == 0) return true;
  json_decref(*list);
  *list = NULL;
  return false;
}

static json_t *pieces_json(const bc_ranked_cloth *ranked, size_t count, const bc_reading *const *readings) {
  json_t *list = json_array();
  for (size_t i = 0; i < count; i++)
    if (!append(&list, pair_json(&ranked->pairs[i], readings[i]))) return NULL;
  return list;
}

static json_t *cloth_json(const bc_ranked_cloth *ranked, size_t pieces, const bc_reading *const *readings,
                          const bc_cloth *cloth) {
  const bc_lab lab = cloth->colour.lab;
  return json_pack("{s:o,s:o,s:[f,f,f],s:f,s:f,s:i,s:f,s:o,s:o}", "cloth", utf8_json(cloth->spec), "name",
                   utf8_json(cloth->name), "lab", lab.L, lab.a, lab.b, "luminance", cloth->colour.luminance, "spread_l",
                   cloth->spread_l, "rank", ranked->rank, "score", ranked->score, "weakest",
                   utf8_json(readings[ranked->weakest]->photo), "pieces", pieces_json(ranked, pieces, readings));
}

static json_t *cloths_json(const bc_match *match, const bc_reading *const *readings, const bc_cloth *const *cloths) {
  json_t *list = json_array();
  for (size_t i = 0; i < match->cloth_count; i++) {
    const bc_ranked_cloth *ranked = &match->cloths[i];
    if (!append(&list, cloth_json(ranked, match->piece_count, readings, cloths[ranked->cloth]))) return NULL;
  }
  return list;
}

static json_t *notes_json(const bc_notes *notes) {
  json_t *list = json_array();
  for (size_t i = 0; i < notes->count; i++)
    if (!append(&list, utf8_json(notes->text[i]))) return NULL;
  return list;
}

bc_status bc_match_to_json(char **out, bc_context *context, const bc_match *match, const bc_reading *const *readings,
                           const bc_cloth *const *cloths, const char *light) {
  json_t *all = json_pack("{s:s,s:o,s:[],s:o}", "light", light, "cloths", cloths_json(match, readings, cloths),
                          "suggested", "notes", notes_json(&match->notes));
  *out = all ? json_dumps(all, JSON_COMPACT | JSON_PRESERVE_ORDER | JSON_REAL_PRECISION(6)) : NULL;
  json_decref(all);
  return *out ? BC_OK : bc_fail_memory(context);
}
