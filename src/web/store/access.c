/* SPDX-License-Identifier: MIT */
/* Links and visits in the database. */
#include "access.h"
#include "sql.h"

#include <stdlib.h>
#include <string.h>

#define IDLE_MS (7 * WEB_DAY_MS)        /* a visit ends after a week without one */
#define NOTED_MS ((int64_t)3600 * 1000) /* and is noted once an hour */

#define LINK "SELECT l.id,l.maker,l.kind,l.expires,l.photos_left,l.bytes_left FROM links l "

static web_link take_link(const store_rows *rows) {
  const char *kind = store_text(rows, 2);
  web_link link = {.invites = kind && strcmp(kind, "invite") == 0,
                   .expires = store_number(rows, 3),
                   .photos_left = store_number(rows, 4),
                   .bytes_left = store_number(rows, 5)};
  store_id(link.id, rows, 0);
  store_id(link.maker, rows, 1);
  return link;
}

bool web_links_of(web_store *store, const char *maker, web_links *out) {
  store_rows rows = store_ask(store, LINK "WHERE maker=? AND expires>? ORDER BY expires", "ti", maker, web_time_ms());
  bool fine = true;
  *out = (web_links){0};
  while (fine && store_next(&rows)) {
    web_link *grown = bc_reallocate(out->item, out->count + 1, sizeof *grown);
    fine = grown != NULL;
    if (!fine) break;
    out->item = grown;
    grown[out->count++] = take_link(&rows);
  }
  if (store_end(&rows) && fine) return true;
  free(out->item);
  *out = (web_links){0};
  return false;
}

static web_found only_link(store_rows rows, web_link *out) {
  const bool found = store_next(&rows);
  if (found) *out = take_link(&rows);
  if (!store_end(&rows)) return WEB_FAILED;
  return found ? WEB_FOUND : WEB_NONE;
}

web_found web_link_by_token(web_store *store, const uint8_t token[WEB_HASH], web_link *out) {
  return only_link(store_ask(store,
                             LINK "JOIN makers m ON m.id=l.maker WHERE l.token=? AND l.expires>? AND m.deleted IS NULL",
                             "bi", token, (size_t)WEB_HASH, web_time_ms()),
                   out);
}

web_found web_link_get(web_store *store, const char *id, web_link *out) {
  return only_link(store_ask(store, LINK "WHERE l.id=?", "t", id), out);
}

bool web_link_add(web_store *store, const web_link *link, const uint8_t token[WEB_HASH]) {
  return store_do(store, "INSERT INTO links VALUES(?,?,?,?,?,?,?)", "tttbiii", link->id, link->maker,
                  link->invites ? "invite" : "share", token, (size_t)WEB_HASH, link->expires, link->photos_left,
                  link->bytes_left);
}

bool web_link_delete(web_store *store, const char *id) {
  return store_do(store, "DELETE FROM links WHERE id=?", "t", id);
}

web_found web_link_spend(web_store *store, const char *id, int64_t bytes) {
  if (!store_do(store,
                "UPDATE links SET photos_left=photos_left-1, bytes_left=bytes_left-? WHERE id=? AND photos_left>0 AND "
                "bytes_left>=? AND expires>?",
                "itii", bytes, id, bytes, web_time_ms()))
    return WEB_FAILED;
  return store_changes(store) == 1 ? WEB_FOUND : WEB_NONE;
}

bool web_link_unspend(web_store *store, const char *id, int64_t bytes) {
  return store_do(store, "UPDATE links SET photos_left=photos_left+1, bytes_left=bytes_left+? WHERE id=?", "it", bytes,
                  id);
}

/* --- visits ----------------------------------------------------------------------------------------------- */

web_found web_visit_find(web_store *store, const uint8_t token[WEB_HASH], bool *stale) {
  const int64_t now = web_time_ms();
  store_rows rows = store_ask(store, "SELECT seen FROM visits WHERE token=? AND expires>? AND seen>?", "bii", token,
                              (size_t)WEB_HASH, now, now - IDLE_MS);
  const bool found = store_next(&rows);
  *stale = found && store_number(&rows, 0) < now - NOTED_MS;
  if (!store_end(&rows)) return WEB_FAILED;
  return found ? WEB_FOUND : WEB_NONE;
}

bool web_visit_note(web_store *store, const uint8_t token[WEB_HASH]) {
  return store_do(store, "UPDATE visits SET seen=? WHERE token=?", "ib", web_time_ms(), token, (size_t)WEB_HASH);
}

bool web_visit_begin(web_store *store, const uint8_t token[WEB_HASH]) {
  const int64_t now = web_time_ms();
  return store_do(store, "DELETE FROM visits WHERE expires<? OR seen<?", "ii", now, now - IDLE_MS) &&
         store_do(store, "INSERT INTO visits VALUES(?,?,?)", "bii", token, (size_t)WEB_HASH,
                  now + WEB_VISIT_DAYS * WEB_DAY_MS, now);
}

bool web_visit_end(web_store *store, const uint8_t token[WEB_HASH]) {
  return store_do(store, "DELETE FROM visits WHERE token=?", "b", token, (size_t)WEB_HASH);
}

bool web_visits_end_all(web_store *store) {
  return store_do(store, "DELETE FROM visits", "");
}

/* --- whose ------------------------------------------------------------------------------------------------ */

web_found web_maker_of(web_store *store, web_subject what, const char *id, char maker[WEB_ID + 1], bool *gone) {
  static const char *const where[] = {
      NULL, "SELECT id,NULL FROM makers WHERE id=?", "SELECT maker,deleted FROM photos WHERE id=?",
      "SELECT maker,deleted FROM comments WHERE id=?", "SELECT maker,NULL FROM links WHERE id=?"};
  store_rows rows = store_ask(store, where[what], "t", id);
  const bool found = store_next(&rows);
  if (found) store_id(maker, &rows, 0);
  *gone = found && store_number(&rows, 1) > 0;
  if (!store_end(&rows)) return WEB_FAILED;
  return found ? WEB_FOUND : WEB_NONE;
}
