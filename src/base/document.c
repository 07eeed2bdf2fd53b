/* SPDX-License-Identifier: MIT */
/* The date in documents: SOURCE_DATE_EPOCH or none. */
#include "document.h"

#include <stdlib.h>
#include <time.h>

void base_document_date(char date[BC_DOCUMENT_DATE_ROOM]) {
  date[0] = 0;
  const char *const epoch = getenv("SOURCE_DATE_EPOCH");
  char *end = NULL;
  const time_t seconds = epoch ? (time_t)strtoll(epoch, &end, 10) : 0;
  struct tm utc;
  if (epoch && *epoch && *end == 0 && gmtime_r(&seconds, &utc) &&
      !strftime(date, BC_DOCUMENT_DATE_ROOM, "%Y-%m-%dT%H:%M:%SZ", &utc))
    date[0] = 0; /* a year of more digits than there is room for */
}
