/* SPDX-License-Identifier: MIT */
/* What a planner needs to draw: an order (jobs/orders.h), the studies of photos as open files, and the plan or
 * readings. */
#ifndef BC_SRC_WEB_DRAWING_ORDER_H
#define BC_SRC_WEB_DRAWING_ORDER_H

#include "calls.h"

typedef struct web_drawing {
  json_t *order;
  bc_apart_message studies; /* its files alone */
  bc_apart_part part;
} web_drawing;

typedef web_answer web_drawing_order(const web_request *r, const char *file, web_drawing *out);
web_drawing_order web_order_plan;     /* the wall, the stand from the aisle, the set-up sheet */
web_drawing_order web_order_board;    /* every piece on every cloth, or ("compare…") on two */
web_drawing_order web_order_feedback; /* the mentor's word on a maker's photos and wall */

#endif
