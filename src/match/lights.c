/* SPDX-License-Identifier: MIT */
/* The collection on every cloth under every light known: where each cloth is at its worst. */
#include "match_internal.h"

#include <stdlib.h>

#define WORTH_SAYING 10.0 /* points of score that a light must cost before it is told: our choice */

static void free_readings(bc_reading **readings, size_t count) {
  for (size_t i = 0; readings && i < count; i++) bc_reading_free(readings[i]);
  free(readings);
}

/* One cloth under one light: lowers the cloth's worst score if it is lower. */
static bc_status try_cloth(bc_ranked_cloth *ranked, bc_context *context, const bc_light *light,
                           const bc_reading *const *readings, size_t count, const bc_cloth *cloth) {
  bc_cloth *lit = NULL;
  double score = 0;
  bc_status status = bc_cloth_under_light(&lit, context, cloth, light);
  if (status == BC_OK) status = bc_match_score(&score, context, readings, count, lit);
  bc_cloth_free(lit);
  if (status != BC_OK) return status;
  if (ranked->worst_light && score >= ranked->worst_light_score) return BC_OK;
  ranked->worst_light = light;
  ranked->worst_light_score = score;
  return BC_OK;
}

static bc_status try_light(bc_match *match, bc_context *context, const bc_light *light,
                           const bc_reading *const *readings, const bc_cloth *const *cloths) {
  bc_reading **lit = bc_allocate(match->piece_count, sizeof(bc_reading *));
  if (!lit) return bc_fail_memory(context);
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < match->piece_count; i++)
    status = bc_reading_under_light(&lit[i], context, readings[i], light);
  for (size_t c = 0; status == BC_OK && c < match->cloth_count; c++)
    status = try_cloth(&match->cloths[c], context, light, (const bc_reading *const *)lit, match->piece_count,
                       cloths[match->cloths[c].cloth]);
  free_readings(lit, match->piece_count);
  return status;
}

static bc_status tell(bc_match *match, bc_context *context, const bc_cloth *const *cloths) {
  bc_status status = BC_OK;
  bool told = false;
  for (size_t c = 0; status == BC_OK && c < match->cloth_count; c++) {
    const bc_ranked_cloth *ranked = &match->cloths[c];
    if (ranked->score - ranked->worst_light_score < WORTH_SAYING) continue;
    told = true;
    status = bc_note(&match->notes, context, _("Under %s “%s” falls from %.0f to %.0f of 100."),
                     bc_light_words(ranked->worst_light), cloths[ranked->cloth]->name, ranked->score,
                     ranked->worst_light_score);
  }
  if (status != BC_OK || told) return status;
  return bc_note(&match->notes, context, _("No light at the stand changes any of these scores by %.0f points or more."),
                 WORTH_SAYING);
}

bc_status bc_match_lights(bc_match *match, bc_context *context, const bc_reading *const *readings,
                          const bc_cloth *const *cloths) {
  size_t count = 0;
  const bc_light *lights = bc_lights(&count);
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < count; i++)
    status = try_light(match, context, &lights[i], readings, cloths);
  return status == BC_OK ? tell(match, context, cloths) : status;
}
