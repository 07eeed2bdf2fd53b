/* SPDX-License-Identifier: MIT */
/* What the files of a desk share. */
#ifndef BC_SRC_WEB_DESK_H
#define BC_SRC_WEB_DESK_H

#include "jobs.h"
#include <backcloth/plan.h>
#include <jansson.h>

typedef struct web_collection {
  bc_reading **reading;
  double *width_cm;
  size_t pieces;
  bc_cloth **cloth;
  size_t cloths;
  const char *light; /* set by ranking */
} web_collection;
/* From an order {"widths":[…],"cloths":[…]} and the readings' bytes one after another. Clear it in any case. */
bc_status web_collection_take(web_collection *all, bc_context *context, const json_t *order, const web_part *readings);
bc_status web_collection_rank(bc_match **out, web_collection *all, bc_context *context, const json_t *order);
void web_collection_clear(web_collection *all);

bc_status web_plan_take(bc_plan **out, bc_context *context, const web_message *in, uint32_t part);
/* Draws the wall: order {"file","units","scratch","studies":[number of the open file, or -1]}, part 1 the plan. */
bc_status web_desk_draw(bc_context *context, const web_message *in, const json_t *order, web_message *out);

#endif
