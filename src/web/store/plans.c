/* SPDX-License-Identifier: MIT */
/* Revisions of plans in the database. */
#include "plans.h"
#include "makers.h"
#include "sql.h"

#include <stdlib.h>

#define KEPT 500

web_found web_plan_at(web_store *store, const char *maker, int64_t number, web_revision *out) {
  store_rows rows =
      store_ask(store, "SELECT plan,undo_to,redo_to FROM revisions WHERE maker=? AND number=?", "ti", maker, number);
  *out = (web_revision){.number = number};
  const bool found = store_next(&rows);
  if (found) {
    const char *text = store_text(&rows, 0);
    out->plan = text ? json_loads(text, 0, NULL) : NULL;
    out->undo_to = store_number(&rows, 1);
    out->redo_to = store_number(&rows, 2);
  }
  if (store_end(&rows) && (!found || out->plan)) return found ? WEB_FOUND : WEB_NONE;
  json_decref(out->plan);
  out->plan = NULL;
  return WEB_FAILED;
}

web_found web_plan_head_number(web_store *store, const char *maker, int64_t *number) {
  store_rows rows = store_ask(store, "SELECT head FROM makers WHERE id=?", "t", maker);
  const bool found = store_next(&rows);
  *number = found ? store_number(&rows, 0) : 0;
  if (!store_end(&rows)) return WEB_FAILED;
  return found ? WEB_FOUND : WEB_NONE;
}

web_found web_plan_head(web_store *store, const char *maker, web_revision *out) {
  int64_t number;
  *out = (web_revision){0};
  const web_found found = web_plan_head_number(store, maker, &number);
  if (found != WEB_FOUND || number == 0) return found;
  /* a head without its revision is damage, not a fresh start */
  return web_plan_at(store, maker, number, out) == WEB_FOUND ? WEB_FOUND : WEB_FAILED;
}

bool web_plan_add(web_store *store, const char *maker, const web_revision *revision) {
  char *text = json_dumps(revision->plan, JSON_COMPACT | JSON_PRESERVE_ORDER | JSON_REAL_PRECISION(15));
  json_t *cloth = json_object_get(revision->plan, "cloth");
  char *wall = cloth ? json_dumps(cloth, JSON_COMPACT) : bc_copy_text("{}");
  const bool done =
      text && wall &&
      store_do(store, "INSERT INTO revisions VALUES(?,?,?,?,?,?)", "titiii", maker, revision->number, text,
               revision->undo_to, revision->redo_to, web_time_ms()) &&
      store_do(store, "UPDATE makers SET head=?,changed=?,wall=? WHERE id=?", "iitt", revision->number, web_time_ms(),
               wall, maker) &&
      store_do(store, "DELETE FROM revisions WHERE maker=? AND number<?", "ti", maker, revision->number - KEPT);
  free(text);
  free(wall);
  return done;
}
