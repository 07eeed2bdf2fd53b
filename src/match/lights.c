/* SPDX-License-Identifier: MIT */
/* The collection on every cloth under every light known: where each cloth is at its worst. */
#include "match_internal.h"

#include <stdlib.h>

#define WORTH_SAYING 10.0 /* points of score that a light must cost before it is told: our choice */

/* Lowers the worst score of every cloth whose score under this light is lower. */
static bc_status judge(bc_match *match, bc_context *context, const bc_collection *lit) {
  match_prepared *pieces = NULL;
  const bc_status status = match_prepare_all(&pieces, context, lit);
  for (size_t c = 0; status == BC_OK && c < match->cloth_count; c++) {
    bc_ranked_cloth *ranked = &match->cloths[c];
    const double score = match_score_on(pieces, lit->count, lit->cloths.cloth[ranked->cloth]);
    if (ranked->worst_light && score >= ranked->worst_light_score) continue;
    ranked->worst_light = lit->light;
    ranked->worst_light_score = score;
  }
  free(pieces);
  return status;
}

static bc_status try_light(bc_match *match, bc_context *context, const bc_light *light) {
  bc_collection lit = bc_collection_start();
  bc_status status = BC_OK;
  for (size_t p = 0; status == BC_OK && p < match->piece_count; p++)
    status = bc_collection_lend(&lit, context, match_reading(match, p));
  for (size_t c = 0; status == BC_OK && c < match->cloth_count; c++)
    status = bc_cloths_add_copy(&lit.cloths, context, match->collection->cloths.cloth[c]);
  if (status == BC_OK) status = bc_collection_put_under_light(&lit, context, light);
  if (status == BC_OK) status = judge(match, context, &lit);
  bc_collection_clear(&lit);
  return status;
}

static bc_status tell(bc_match *match, bc_context *context) {
  bc_status status = BC_OK;
  bool told = false;
  for (size_t c = 0; status == BC_OK && c < match->cloth_count; c++) {
    const bc_ranked_cloth *ranked = &match->cloths[c];
    if (ranked->score - ranked->worst_light_score < WORTH_SAYING) continue;
    told = true;
    status = bc_note(&match->notes, context, _("Under %s “%s” falls from %.0f to %.0f of 100."),
                     bc_light_words(ranked->worst_light), match_cloth_of(match, ranked)->name, ranked->score,
                     ranked->worst_light_score);
  }
  if (status != BC_OK || told) return status;
  return bc_note(&match->notes, context, _("No light at the stand changes any of these scores by %.0f points or more."),
                 WORTH_SAYING);
}

bc_status bc_match_lights(bc_match *match, bc_context *context) {
  size_t count = 0;
  const bc_light *lights = bc_lights(&count);
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < count; i++) status = try_light(match, context, &lights[i]);
  return status == BC_OK ? tell(match, context) : status;
}
