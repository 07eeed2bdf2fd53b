/* SPDX-License-Identifier: MIT */
/* What a plan's values are where it says nothing: read out of a plan that says nothing, so that the page need not
 * know them (docs/plan.md has the list). */
#include "calls.h"

#include <string.h>

static const char bare_plan[] = "{\"backcloth\":1,\"title\":\"-\",\"stand\":{\"width\":300,\"wall_height\":240},"
                                "\"tables\":[{}],\"shelves\":[{}],\"risers\":[{}],"
                                "\"pieces\":[{\"id\":\"-\",\"width\":1,\"height\":1}]}";

static json_t *stand_of(const bc_stand *stand) {
  char colour[8];
  bc_lab_to_hex(stand->wall_colour.lab, colour);
  return json_pack("{s:s,s:s,s:s}", "wall_colour", colour, "wall", bc_wall_word(stand->wall), "fixing",
                   bc_fixing_word(stand->fixing));
}

static json_t *figures_of(const bc_plan *plan) {
  const bc_table *table = plan->tables;
  const bc_shelf *shelf = plan->shelves;
  const bc_riser *riser = plan->risers;
  return json_pack("{s:f,s:o,s:{s:f,s:f,s:f},s:{s:f,s:f,s:f},s:{s:f,s:f},s:{s:f,s:f,s:f},s:{s:s}}", "gap", plan->gap,
                   "stand", stand_of(&plan->stand), "table", "width", table->width, "depth", table->depth, "height",
                   table->height, "shelf", "y", shelf->y, "width", shelf->width, "depth", shelf->depth, "riser",
                   "width", riser->width, "height", riser->height, "viewers", "stature", plan->viewers.stature,
                   "sight_low", plan->viewers.sight_low, "sight_high", plan->viewers.sight_high, "piece", "role",
                   bc_role_word(plan->pieces->role));
}

json_t *web_plan_defaults(void) {
  bc_context *context = NULL;
  bc_plan *plan = NULL;
  json_t *figures = NULL;
  if (bc_context_new(&context) == BC_OK &&
      bc_plan_parse(&plan, context, bare_plan, strlen(bare_plan), "-", NULL) == BC_OK)
    figures = figures_of(plan);
  bc_plan_free(plan);
  bc_context_free(context);
  return figures;
}
