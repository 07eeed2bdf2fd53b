/* SPDX-License-Identifier: MIT */
/* Where whole requests wait for a thread. */
#ifndef BC_SRC_WEB_LANES_H
#define BC_SRC_WEB_LANES_H

#include "request.h"

/* `count` threads that answer what is put in; NULL without memory. */
web_lane *web_lane_open(unsigned count, void (*answer)(web_request *r));
/* False when the server is ending. */
bool web_lane_put(web_lane *lane, web_request *r);
/* What waits is still answered. */
void web_lane_close(web_lane *lane);

#endif
