/* SPDX-License-Identifier: MIT */
/* The options checked, with the defaults filled in; and a plan whose pieces stay where they are. */
#include "problem.h"

#include <math.h>
#include <string.h>

bc_arrange_options bc_arrange_options_default(void) {
  return (bc_arrange_options){
      .seed = 1, .reach = BC_ARRANGE_OF_PLAN, .step = BC_ARRANGE_OF_PLAN, .effort = 1, .grid = 0.1};
}

static bool sane(double value, double low, double high) {
  return isfinite(value) && value >= low && value <= high;
}

bc_status arr_options(bc_arrange_options *out, bc_context *context, const bc_plan *plan,
                      const bc_arrange_options *options) {
  *out = options ? *options : bc_arrange_options_default();
  const bc_hanging *hanging = &plan->hanging;
  const bool told = hanging->reach > 0; /* a plan made in memory may say nothing */
  if (out->reach == BC_ARRANGE_OF_PLAN) out->reach = told ? hanging->reach : BC_ARRANGE_REACH;
  if (out->step == BC_ARRANGE_OF_PLAN) out->step = told ? hanging->step : BC_ARRANGE_STEP;
  if (!sane(out->reach, 1, 1000) || !sane(out->step, 0, 1000))
    return bc_fail(context, BC_BAD_USAGE,
                   _("The reach and the step must be lengths of up to 1000 cm. Measure how high you can hang from the "
                     "floor, and how high your step is."));
  if (!sane(out->effort, 0.01, 10))
    return bc_fail(context, BC_BAD_USAGE, _("The effort must be between 0.01 and 10. Use 1 or leave it out."));
  if (!sane(out->grid, 0.1, 100))
    return bc_fail(context, BC_BAD_USAGE, _("The grid must be between 0.1 and 100 cm. Use 0.1 or leave it out."));
  if (!sane(out->table_back, 0, 10000))
    return bc_fail(context, BC_BAD_USAGE, _("The space between wall and table must be 0 cm or more. Measure it."));
  for (size_t i = 0; i < out->zone_count; i++) {
    const bc_arrange_zone *zone = &out->zones[i];
    if (sane(zone->x, -1e5, 1e5) && sane(zone->y, -1e5, 1e5) && sane(zone->width, 0, 1e5) && sane(zone->height, 0, 1e5))
      continue;
    return bc_fail(context, BC_BAD_USAGE,
                   _("A zone that must stay free needs a place and a size in cm. Check its four figures."));
  }
  for (size_t i = 0; out->contrast && i < plan->piece_count; i++)
    if (!sane(out->contrast[i], 0, 1))
      return bc_fail(context, BC_BAD_USAGE, _("A piece's contrast must lie between 0 and 1. Take it from the match."));
  return BC_OK;
}

bc_piece *arr_pinned_pieces(const bc_plan *plan) {
  bc_piece *pieces = bc_allocate(plan->piece_count, sizeof *pieces);
  if (!pieces) return NULL;
  if (plan->piece_count > 0) memcpy(pieces, plan->pieces, plan->piece_count * sizeof *pieces);
  for (size_t i = 0; i < plan->piece_count; i++) pieces[i].pinned = pieces[i].placed;
  return pieces;
}
