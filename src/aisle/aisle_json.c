/* SPDX-License-Identifier: MIT */
/* How much of every piece is in view past crowds of 0 to 6 people, as JSON. */
#include "aisle_internal.h"

#include <backcloth/program.h>
#include <jansson.h>
#include <stdlib.h>

static json_t *figures_json(const bc_aisle *aisle, size_t piece) {
  const bc_aisle_piece *const p = &aisle->pieces[piece];
  return json_pack("{s:i, s:i, s:f, s:f, s:f}", "crowd", aisle->asked, "stood", aisle->crowd, "in_view_share",
                   p->visible_share, "standard_error", p->standard_error, "half_seen_share", p->seen_share);
}

static json_t *piece_json(const bc_plan *plan, bc_aisle *const aisles[], size_t piece) {
  const bc_piece *const p = &plan->pieces[aisles[0]->pieces[piece].piece];
  json_t *const crowds = json_array();
  for (int crowd = 0; crowds && crowd <= BC_AISLE_CROWD_MOST; crowd++)
    if (json_array_append_new(crowds, figures_json(aisles[crowd], piece)) != 0) {
      json_decref(crowds);
      return NULL;
    }
  return json_pack("{s:o, s:o}", "piece", bc_json_text(p->id), "crowds", crowds);
}

static json_t *whole_json(const bc_plan *plan, bc_aisle *const aisles[]) {
  json_t *const pieces = json_array();
  for (size_t i = 0; pieces && i < aisles[0]->count; i++)
    if (json_array_append_new(pieces, piece_json(plan, aisles, i)) != 0) {
      json_decref(pieces);
      return NULL;
    }
  return json_pack("{s:{s:f, s:i, s:o}}", "aisle", "distance_cm", plan->viewers.distance, "visitors", aisles[0]->trials,
                   "pieces", pieces);
}

bc_status bc_aisle_to_json(char **out, bc_context *context, const bc_plan *plan, const bc_aisle_options *options) {
  bc_aisle_options how = options ? *options : bc_aisle_options_default();
  bc_aisle *aisles[BC_AISLE_CROWD_MOST + 1] = {NULL};
  bc_status status = BC_OK;
  *out = NULL;
  for (int crowd = 0; status == BC_OK && crowd <= BC_AISLE_CROWD_MOST; crowd++) {
    how.crowd = crowd;
    status = bc_aisle_of(&aisles[crowd], context, plan, &how);
  }
  if (status == BC_OK) {
    json_t *const whole = whole_json(plan, aisles);
    *out = whole ? json_dumps(whole, JSON_COMPACT | JSON_REAL_PRECISION(9)) : NULL;
    json_decref(whole);
    if (!*out) status = bc_fail_memory(context);
  }
  for (int crowd = 0; crowd <= BC_AISLE_CROWD_MOST; crowd++) bc_aisle_free(aisles[crowd]);
  return status;
}
