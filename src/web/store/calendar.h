/* SPDX-License-Identifier: MIT */
/* Jumps of the calendar while the server runs. */
#ifndef BC_SRC_WEB_STORE_CALENDAR_H
#define BC_SRC_WEB_STORE_CALENDAR_H

#include "store.h"

typedef struct web_calendar {
  int64_t ahead_ms; /* of the clock that cannot be set */
} web_calendar;

void web_calendar_start(web_calendar *calendar);
/* Asked often, before each sweep; after a jump the dates of what lies in the trash follow it. False: they could not, so
 * nothing must be swept. */
bool web_calendar_follow(web_calendar *calendar, web_store *store);

#endif
