/* SPDX-License-Identifier: MIT */
/* Says which of the cloths have a pattern that takes attention from the work.
 * In: a ranked match. Out: notes. Source: docs/method/reading.md, "How busy". */
#include "match_internal.h"

static bc_status note(bc_match *match, bc_context *context, const bc_cloth *cloth) {
  switch (bc_textile_busy(&cloth->textile)) {
  case BC_LIVELY:
    return bc_note(&match->notes, context,
                   _("“%s” has a lively pattern. It suits a few large, plain pieces; small work competes with it."),
                   cloth->name);
  case BC_BUSY:
    return bc_note(&match->notes, context,
                   _("“%s” is busy. People will look at the cloth before they look at the work."), cloth->name);
  default:
    return BC_OK;
  }
}

bc_status match_note_busy(bc_match *match, bc_context *context) {
  bc_status status = BC_OK;
  for (size_t i = 0; i < match->cloth_count && status == BC_OK; i++)
    status = note(match, context, match_cloth_of(match, &match->cloths[i]));
  return status;
}
