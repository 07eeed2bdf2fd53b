/* SPDX-License-Identifier: MIT */
/* A match as one JSON object.
 * In: bc_match. Out: text for programs; the keys are fixed. */
#include "match_internal.h"
#include "why_json.h"

#include <backcloth/program.h>
#include <jansson.h>
#include <math.h>
#include <stdlib.h>

static json_t *lost_json(const bc_reading *reading, const bc_cloth *cloth) {
  const bc_lost_stretch lost = bc_match_lost(reading, cloth, NULL);
  return json_pack("{s:f,s:f,s:i,s:i}", "share", lost.lost_share, "longest", lost.share, "first_place", (int)lost.first,
                   "places", (int)lost.count);
}

static json_t *sweep_json(const bc_visibility *seen) {
  json_t *list = json_array();
  for (size_t i = 0; list && i < BC_SWEEP; i++) {
    if (json_array_append_new(list, json_real(seen->sweep[i])) == 0) continue;
    json_decref(list);
    list = NULL;
  }
  return list;
}

static json_t *seen_json(const bc_visibility *seen) {
  if (!seen || !seen->known) return json_null(); /* the true size isn't known */
  return json_pack("{s:f,s:f,s:f,s:f,s:o}", "width_cm", seen->width_cm, "made_out", seen->made_out, "outline_m",
                   seen->outline_m, "detail_m", seen->detail_m, "sweep", sweep_json(seen));
}

/* To protan, deutan and tritan eyes; null far down the list. */
static json_t *pair_to_eyes_json(const bc_ranked_cloth *ranked, size_t piece) {
  if (!ranked->pairs_to_eyes[BC_VISION_PROTAN]) return json_null();
  json_t *eyes = json_object();
  for (int v = BC_VISION_PROTAN; eyes && v < BC_EYES; v++) {
    const bc_pair *pair = &ranked->pairs_to_eyes[v][piece];
    if (json_object_set_new(eyes, bc_vision_word((bc_vision)v),
                            json_pack("{s:f,s:f,s:f,s:f,s:s}", "contrast_ratio", pair->contrast_ratio, "delta_e00",
                                      pair->delta_e00, "outline_share", pair->outline_share, "clarity", pair->clarity,
                                      "verdict", bc_verdict_word(pair->verdict))) == 0)
      continue;
    json_decref(eyes);
    eyes = NULL;
  }
  return eyes;
}

/* How sure the outline is, and whether that is too little to trust the figures. */
static json_t *outline_json(const bc_reading *reading) {
  return json_pack("{s:f,s:b}", "confidence", reading->confidence, "doubtful", bc_reading_is_doubtful(reading));
}

/* A polished piece judged for both rooms; null for others. */
static json_t *polished_json(const bc_pair *pair, const bc_reading *reading) {
  if (!(reading->polished > 0)) return json_null();
  return json_pack("{s:f,s:b,s:{s:f,s:s},s:{s:f,s:s}}", "mirror_share", reading->polished, "estimated",
                   reading->polish_estimated, "as_photographed", "clarity", pair->clarity_photographed, "verdict",
                   bc_verdict_word(match_verdict_of(pair->clarity_photographed)), "at_stand", "clarity",
                   pair->clarity_at_stand, "verdict", bc_verdict_word(match_verdict_of(pair->clarity_at_stand)));
}

static json_t *pair_json(const bc_match *match, const bc_ranked_cloth *ranked, size_t piece) {
  const bc_reading *reading = match_reading(match, piece);
  const bc_cloth *cloth = match_cloth_of(match, ranked);
  const bc_pair *pair = &ranked->pairs[piece];
  const bc_visibility *seen = ranked->visibility ? &ranked->visibility[piece] : NULL;
  return json_pack("{s:o,s:o,s:o,s:f,s:f,s:f,s:f,s:f,s:f,s:f,s:s,s:s?,s:o,s:o,s:o,s:o}", "photo",
                   bc_json_text(reading->photo), "title", match_title_json(match, piece), "outline",
                   outline_json(reading), "contrast_ratio", pair->contrast_ratio, "delta_l", pair->delta_l, "delta_e00",
                   pair->delta_e00, "outline_share", pair->outline_share, "seen_share", pair->seen_share, "clarity",
                   pair->clarity, "clarity_sd", pair->clarity_sd, "verdict", bc_verdict_word(pair->verdict),
                   "on_edge_to", pair->on_edge ? bc_verdict_word(pair->neighbour) : NULL, "polished",
                   polished_json(pair, reading), "lost", lost_json(reading, cloth), "seen_from", seen_json(seen),
                   "eyes", pair_to_eyes_json(ranked, piece));
}

/* Appends and takes over `value`; on failure drops the list, so that json_pack fails in its turn. */
static bool append(json_t **list, json_t *value) {
  if (*list && json_array_append_new(*list, value) == 0) return true;
  json_decref(*list);
  *list = NULL;
  return false;
}

static json_t *pieces_json(const bc_match *match, const bc_ranked_cloth *ranked) {
  json_t *list = json_array();
  for (size_t i = 0; i < match->piece_count; i++)
    if (!append(&list, pair_json(match, ranked, i))) return NULL;
  return list;
}

/* Score and number of lost pieces to other eyes; null far down the list. */
static json_t *eyes_json(const bc_ranked_cloth *ranked) {
  if (ranked->eyes[BC_VISION_USUAL].score < 0) return json_null();
  json_t *eyes = json_object();
  for (int v = BC_VISION_PROTAN; eyes && v < BC_EYES; v++) {
    const bc_eyes *e = &ranked->eyes[v];
    if (json_object_set_new(eyes, bc_vision_word((bc_vision)v),
                            json_pack("{s:f,s:i}", "score", e->score, "lost", (int)e->lost)) == 0)
      continue;
    json_decref(eyes);
    eyes = NULL;
  }
  return eyes;
}

static json_t *worst_light_json(const bc_ranked_cloth *ranked) {
  if (!ranked->worst_light) return json_null(); /* no sweep was asked for */
  return json_pack("{s:s,s:f}", "light", ranked->worst_light->name, "score", ranked->worst_light_score);
}

/* What a photo cloth's photo says; null for a plain colour. */
static json_t *textile_json(const bc_textile *textile) {
  if (!textile->colour_count) return json_null();
  json_t *colours = json_array();
  for (size_t i = 0; i < textile->colour_count; i++) {
    const bc_main_colour *colour = &textile->colours[i];
    if (!append(&colours, json_pack("{s:[f,f,f],s:s,s:f,s:s}", "lab", colour->lab.L, colour->lab.a, colour->lab.b,
                                    "css", colour->css, "share", colour->share, "name", colour->name)))
      return NULL;
  }
  return json_pack("{s:o,s:f,s:f,s:s}", "colours", colours, "pattern_share", textile->pattern_share, "busy_bits",
                   textile->busy_bits, "busy", bc_busy_word(bc_textile_busy(textile)));
}

static json_t *cloth_json(const bc_match *match, const bc_ranked_cloth *ranked) {
  const bc_cloth *cloth = match_cloth_of(match, ranked);
  const bc_lab lab = cloth->colour.lab;
  return json_pack("{s:o,s:o,s:b,s:[f,f,f],s:f,s:f,s:o,s:i,s:f,s:f,s:o,s:o,s:o,s:o}", "cloth",
                   bc_json_text(cloth->spec), "name", bc_json_text(cloth->name), "pile", cloth->pile, "lab", lab.L,
                   lab.a, lab.b, "luminance", cloth->colour.luminance, "spread_l", cloth->spread_l, "textile",
                   textile_json(&cloth->textile), "rank", ranked->rank, "score", ranked->score, "score_sd",
                   ranked->score_sd, "eyes", eyes_json(ranked), "worst_light", worst_light_json(ranked), "weakest",
                   bc_json_text(match_reading(match, ranked->weakest)->photo), "pieces", pieces_json(match, ranked));
}

static json_t *cloths_json(const bc_match *match) {
  json_t *list = json_array();
  for (size_t i = 0; i < match->cloth_count; i++) {
    if (!append(&list, cloth_json(match, &match->cloths[i]))) return NULL;
  }
  return list;
}

static json_t *suggested_json(const bc_match *match) {
  static const char *const families[] = {"dark", "middle", "light"};
  json_t *list = json_array();
  for (size_t i = 0; i < match->suggested_count; i++) {
    const bc_suggestion *s = &match->suggested[i];
    const size_t own = match_nearest_own(match, s->lab);
    if (!append(&list, json_pack("{s:s,s:[f,f,f],s:f,s:s,s:s,s:i,s:f}", "css", s->css, "lab", s->lab.L, s->lab.a,
                                 s->lab.b, "score", s->score, "name", s->name, "family", families[s->family],
                                 "nearest_cloth", (int)own, "weave_l", s->weave_l)))
      return NULL;
  }
  return list;
}

/* Cloths are named by their place in "cloths", which is in rank order. */
static json_t *trade_off_json(const bc_match *match) {
  json_t *without = json_array();
  for (size_t p = 0; p < match->piece_count; p++)
    if (!append(&without, json_integer((json_int_t)match->best_without[p]))) return NULL;
  json_t *statement = match->best_for_statement < match->cloth_count
                          ? json_integer((json_int_t)match->best_for_statement)
                          : json_null();
  return json_pack("{s:i,s:i,s:i,s:o,s:o,s:i}", "overall", 0, "weakest_piece", (int)match->best_for_weakest, "average",
                   (int)match->best_on_average, "statement_piece", statement, "without_piece", without, "steady",
                   (int)match->steady);
}

static json_t *alike_json(const bc_match *match) {
  json_t *list = json_array();
  for (size_t i = 0; i < match->alike_count; i++) {
    const bc_alike *a = &match->alike[i];
    if (!append(&list,
                json_pack("{s:s,s:[i,i]}", "eyes", bc_vision_word(a->vision), "cloths", (int)a->first, (int)a->second)))
      return NULL;
  }
  return list;
}

static json_t *together_json(const bc_match *match) {
  json_t *list = json_array();
  for (size_t i = 0; i < match->together_count; i++) {
    const bc_two_cloths *two = &match->together[i];
    if (!append(&list,
                json_pack("{s:o,s:o,s:i,s:f,s:o}", "wall",
                          bc_json_text(match->collection->cloths.cloth[two->wall]->name), "table",
                          bc_json_text(match->collection->tables.cloth[two->table]->name), "rank", two->rank, "score",
                          two->score, "weakest", bc_json_text(match_reading(match, two->weakest)->photo))))
      return NULL;
  }
  return list;
}

bc_status bc_match_to_json(char **out, bc_context *context, const bc_match *match) {
  json_t *all =
      json_pack("{s:s,s:f,s:o,s:o,s:o,s:o,s:o,s:o,s:o}", "light", bc_collection_light_name(match->collection),
                "distance_m", match->view.distance_m, "together", together_json(match), "cloths", cloths_json(match),
                "suggested", suggested_json(match), "best", trade_off_json(match), "alike", alike_json(match), "why",
                match_why_json(match), "notes", bc_json_texts(match->notes.text, match->notes.count));
  *out = all ? json_dumps(all, JSON_COMPACT | JSON_PRESERVE_ORDER | JSON_REAL_PRECISION(6)) : NULL;
  json_decref(all);
  return *out ? BC_OK : bc_fail_memory(context);
}
