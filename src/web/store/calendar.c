/* SPDX-License-Identifier: MIT */
/* A calendar that is set, forwards or back, while the server runs is no time that has passed. What lies in the trash
 * then gets the jump added to its date, at most up to now, so that nothing goes before its days are over; a clock that
 * cannot be set (Linux: CLOCK_BOOTTIME, which counts sleep as well) tells a jump from time. */
#include "calendar.h"
#include "sql.h"

#include <stdlib.h>
#include <time.h>

#define JUMP_MS ((int64_t)600 * 1000) /* clocks that are kept right are nudged by seconds */

static int64_t ahead_of_the_unset(void) {
  struct timespec now;
  clock_gettime(CLOCK_BOOTTIME, &now);
  return web_time_ms() - ((int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000);
}

void web_calendar_start(web_calendar *calendar) {
  calendar->ahead_ms = ahead_of_the_unset();
}

static bool move_dates(web_store *store, int64_t by) {
  static const char *const each[] = {"UPDATE makers SET deleted=min(deleted+?,?) WHERE deleted IS NOT NULL",
                                     "UPDATE photos SET deleted=min(deleted+?,?) WHERE deleted IS NOT NULL",
                                     "UPDATE comments SET deleted=min(deleted+?,?) WHERE deleted IS NOT NULL"};
  for (size_t i = 0; i < sizeof each / sizeof *each; i++)
    if (!store_do(store, each[i], "ii", by, web_time_ms())) return false;
  return true;
}

bool web_calendar_follow(web_calendar *calendar, web_store *store) {
  const int64_t ahead = ahead_of_the_unset(), jump = ahead - calendar->ahead_ms;
  if (llabs(jump) >= JUMP_MS) {
    if (!web_store_begin(store)) return false;
    if (!move_dates(store, jump > 0 ? jump : 0) || !web_store_commit(store)) {
      web_store_roll_back(store);
      return false;
    }
  }
  calendar->ahead_ms = ahead;
  return true;
}
