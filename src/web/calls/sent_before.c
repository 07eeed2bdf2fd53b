/* SPDX-License-Identifier: MIT */
/* A photo whose answer was lost on the way is sent again by the page, under the same key (header X-Sending); it is
 * then the photo that is here already, not a second one. */
#include "routes.h"

#include <string.h>

#define KEY_MOST 80
#define KEPT_MS ((sqlite3_int64)30 * 24 * 3600 * 1000)

static const char *key_of(const web_request *r) {
  const char *key = web_header(r, "X-Sending");
  return key && *key && strlen(key) <= KEY_MOST ? key : NULL;
}

bool web_sent_before(web_request *r, char id[WEB_ID + 1]) {
  const char *key = key_of(r);
  if (!key) return false;
  sqlite3_stmt *row = web_sql(r->server,
                              "SELECT p.id FROM sendings s JOIN photos p ON p.id=s.photo WHERE s.maker=? AND s.key=? "
                              "AND p.deleted IS NULL",
                              "tt", r->maker, key);
  const bool found = row && sqlite3_step(row) == SQLITE_ROW;
  if (found) snprintf(id, WEB_ID + 1, "%s", web_column(row, 0));
  sqlite3_finalize(row);
  return found;
}

bool web_note_sending(web_request *r, const char *id) {
  const char *key = key_of(r);
  return !key || (web_do(r->server, "DELETE FROM sendings WHERE added<?", "i", web_time_ms() - KEPT_MS) &&
                  web_do(r->server, "INSERT OR REPLACE INTO sendings(maker,key,photo,added) VALUES(?,?,?,?)", "ttti",
                         r->maker, key, id, web_time_ms()));
}
