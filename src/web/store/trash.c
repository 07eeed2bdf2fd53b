/* SPDX-License-Identifier: MIT */
/* Taking a photo out of plans. */
#include "trash.h"
#include "sql.h"

#include <stdlib.h>
#include <string.h>

static bool is_of(const json_t *thing, const char *photo) {
  const char *path = json_string_value(json_object_get(thing, "photo")),
             *id = json_string_value(json_object_get(thing, "id"));
  return (path && strncmp(path, "photos/", 7) == 0 && strcmp(path + 7, photo) == 0) || (id && strcmp(id, photo) == 0);
}

static bool drop_members(json_t *object, const char *photo) {
  bool dropped = false;
  json_t *value;
  const char *key;
  void *next;
  json_object_foreach_safe(object, next, key, value) {
    if (json_is_object(value) && is_of(value, photo)) {
      json_object_del(object, key);
      dropped = true;
    } else
      dropped |= web_plan_drop_photo(value, photo);
  }
  return dropped;
}

bool web_plan_drop_photo(json_t *plan, const char *photo) {
  bool dropped = false;
  if (json_is_object(plan)) return drop_members(plan, photo);
  for (size_t i = json_array_size(plan); i-- > 0;) {
    json_t *value = json_array_get(plan, i);
    if (is_of(value, photo))
      dropped = json_array_remove(plan, i) == 0 || dropped;
    else
      dropped |= web_plan_drop_photo(value, photo);
  }
  return dropped;
}

static char *without(const char *text, const char *photo) {
  json_t *plan = json_loads(text, 0, NULL);
  web_plan_drop_photo(plan, photo);
  char *kept = plan ? json_dumps(plan, JSON_COMPACT | JSON_PRESERVE_ORDER | JSON_REAL_PRECISION(15)) : NULL;
  json_decref(plan);
  return kept;
}

typedef struct rewriting {
  const char *next, *put; /* SQL: the next row after a number, and its new text */
} rewriting;

/* Row after row by their numbers, since each is written anew. */
static bool rewrite(web_store *store, const rewriting *how, const char *photo) {
  int64_t at = -1;
  for (;;) {
    store_rows rows = store_ask(store, how->next, "it", at, photo);
    const bool found = store_next(&rows);
    char *text = found ? without(store_text(&rows, 1), photo) : NULL;
    if (found) at = store_number(&rows, 0);
    const bool fine = store_end(&rows) && (!found || (text && store_do(store, how->put, "ti", text, at)));
    free(text);
    if (!fine || !found) return fine;
  }
}

bool store_forget_in_plans(web_store *store, const char *photo) {
  static const rewriting plans = {
      "SELECT rowid,plan FROM revisions WHERE rowid>? AND maker=(SELECT maker FROM photos WHERE id=?2) AND "
      "instr(plan,?2)>0 ORDER BY rowid LIMIT 1",
      "UPDATE revisions SET plan=? WHERE rowid=?"};
  static const rewriting stood = {
      "SELECT rowid,stood FROM photos WHERE rowid>? AND maker=(SELECT maker FROM photos WHERE id=?2) AND id<>?2 AND "
      "instr(stood,?2)>0 ORDER BY rowid LIMIT 1",
      "UPDATE photos SET stood=? WHERE rowid=?"};
  return rewrite(store, &plans, photo) && rewrite(store, &stood, photo);
}
