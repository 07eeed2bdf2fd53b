/* SPDX-License-Identifier: MIT */
/* What the files of a planner share. */
#ifndef BC_SRC_WEB_ORDERS_H
#define BC_SRC_WEB_ORDERS_H

#include "jobs.h"
#include <backcloth/plan.h>
#include <jansson.h>

/* From an order {"widths":[…],"cloths":[…]} and the readings' bytes one after another. Clear it in any case. */
bc_status web_collection_take(bc_collection *all, bc_context *context, const json_t *order,
                              const bc_apart_part *readings);
/* Under the order's "light", seen from its "distance". */
bc_status web_collection_rank(bc_match **out, bc_collection *all, bc_context *context, const json_t *order);

/* A colour is read again; a photographed cloth was measured when its photo came. */
bc_status web_cloth_take(bc_cloth **out, bc_context *context, const json_t *order);
bc_status web_plan_take(bc_plan **out, bc_context *context, const bc_apart_message *in, uint32_t part);
/* Draws a file: order {"file","units","scratch","studies":[number of the open file, or -1]} and what each needs:
 * wall, aisle and sheet "cloth" (number of the study of its photo, or -1) and "crowd", part 1 the plan; board and
 * compare "cloth_studies", "compare":[first,second], and all that a match needs, part 1 the readings. */
bc_status web_order_draw(bc_context *context, const bc_apart_message *in, const json_t *order, bc_apart_message *out);
bc_status web_order_draw_board(bc_context *context, const bc_apart_message *in, const json_t *order,
                               bc_apart_message *out);

/* "feedback.pdf": besides what a board needs for its cloths, "name", "notes", "sizes_known" (one per piece of the
 * plan), "cloth" (number of the study of the plan's own cloth, or -1) with "wall_name", and "wall_cloth": its place
 * among the cloths, or -1; part 1 the plan. */
bc_status web_order_draw_feedback(bc_context *context, const bc_apart_message *in, const json_t *order,
                                  bc_apart_message *out);
/* Photographed cloths get a file in the scratch folder, under which the drawing looks for them. End each file. */
bc_status web_order_put_cloths(bc_collection *all, bc_context *context, const bc_apart_message *in, const json_t *order,
                               char **files);

typedef bc_status web_order_maker(bc_context *context, const json_t *order, const char *path, void *data);
/* Has a file made in the scratch folder and answers with its bytes. */
bc_status web_order_made(bc_context *context, const json_t *order, bc_apart_message *out, web_order_maker *make,
                         void *data);

/* The study in the open file of this number; NULL when there is none. */
bc_status web_order_study(bc_study **out, bc_context *context, const bc_apart_message *in, const json_t *number);
bc_status web_order_studies(bc_study ***out, bc_context *context, const bc_apart_message *in, const json_t *numbers,
                            size_t count);
void web_order_studies_free(bc_study **studies, size_t count);
/* A photo of cloth as a file in the scratch folder; NULL when there is none. End it in any case. */
bc_status web_order_cloth_file(char **path, bc_context *context, const bc_apart_message *in, const json_t *order,
                               const json_t *number, size_t which);
void web_order_cloth_file_end(char *path);

#endif
