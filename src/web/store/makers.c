/* SPDX-License-Identifier: MIT */
/* Makers in the database: on the desk, archived, in the trash. */
#include "makers.h"
#include "sql.h"

#include <stdlib.h>
#include <string.h>

#define LIST                                                                                                           \
  "SELECT id,name,changed,deleted,archived,"                                                                           \
  "(SELECT count(*) FROM photos WHERE maker=m.id AND deleted IS NULL AND kind='piece'),"                               \
  "(SELECT count(*) FROM comments WHERE maker=m.id AND done=0 AND deleted IS NULL AND answers IS NULL),"               \
  "(SELECT id FROM photos WHERE maker=m.id AND deleted IS NULL AND kind='piece' ORDER BY added DESC LIMIT 1),"         \
  "CASE head WHEN 0 THEN '{}' ELSE wall END,stamp,"                                                                    \
  "(SELECT found FROM weakest WHERE maker=m.id AND key=?1||' '||m.stamp) FROM makers m WHERE "

static const char *const lists[] = {LIST "deleted IS NULL AND archived IS NULL ORDER BY changed DESC,id",
                                    LIST "deleted IS NULL AND archived IS NOT NULL ORDER BY changed DESC,id",
                                    LIST "deleted IS NOT NULL ORDER BY deleted DESC,id"};

static bool take_maker(web_maker *maker, const store_rows *rows) {
  *maker = (web_maker){.name = store_copy(rows, 1),
                       .changed = store_number(rows, 2),
                       .deleted = store_number(rows, 3),
                       .archived = store_number(rows, 4),
                       .pieces = store_number(rows, 5),
                       .remarks = store_number(rows, 6),
                       .wall = store_copy(rows, 8),
                       .stamp = store_number(rows, 9),
                       .figures = store_copy(rows, 10)};
  store_id(maker->id, rows, 0);
  store_id(maker->newest, rows, 7);
  return maker->name != NULL;
}

bool web_makers_list(web_store *store, web_shelf shelf, web_makers *out) {
  store_rows rows = store_ask(store, lists[shelf], "t", bc_version());
  bool fine = true;
  *out = (web_makers){0};
  while (fine && store_next(&rows)) {
    web_maker *grown = bc_reallocate(out->item, out->count + 1, sizeof *grown);
    fine = grown != NULL;
    if (fine) out->item = grown;
    fine = fine && take_maker(&grown[out->count++], &rows);
  }
  if (store_end(&rows) && fine) return true;
  web_makers_clear(out);
  return false;
}

void web_maker_clear(web_maker *maker) {
  free(maker->name);
  free(maker->wall);
  free(maker->figures);
  *maker = (web_maker){0};
}

void web_makers_clear(web_makers *makers) {
  for (size_t i = 0; i < makers->count; i++) web_maker_clear(&makers->item[i]);
  free(makers->item);
  *makers = (web_makers){0};
}

web_found web_maker_get(web_store *store, const char *id, web_maker *out) {
  store_rows rows = store_ask(store, LIST "id=?2", "tt", bc_version(), id);
  *out = (web_maker){0};
  const bool found = store_next(&rows), whole = !found || take_maker(out, &rows);
  if (store_end(&rows) && whole) return found ? WEB_FOUND : WEB_NONE;
  web_maker_clear(out);
  return WEB_FAILED;
}

web_found web_maker_name(web_store *store, const char *id, char **name) {
  store_rows rows = store_ask(store, "SELECT name FROM makers WHERE id=?", "t", id);
  const bool found = store_next(&rows);
  *name = found ? store_copy(&rows, 0) : NULL;
  if (!store_end(&rows) || (found && !*name)) return WEB_FAILED;
  return found ? WEB_FOUND : WEB_NONE;
}

bool web_maker_add(web_store *store, const char *id, const char *name) {
  return store_do(store, "INSERT INTO makers(id,name,changed) VALUES(?,?,?)", "tti", id, name, web_time_ms());
}

bool web_maker_rename(web_store *store, const char *id, const char *name) {
  return store_do(store, "UPDATE makers SET name=? WHERE id=?", "tt", name, id);
}

bool web_maker_move(web_store *store, const char *id, web_shelf shelf) {
  static const char *const moves[] = {"UPDATE makers SET deleted=NULL,archived=NULL WHERE ?>0 AND id=?",
                                      "UPDATE makers SET deleted=NULL,archived=? WHERE id=?",
                                      "UPDATE makers SET deleted=? WHERE id=?"};
  return store_do(store, moves[shelf], "it", web_time_ms(), id);
}

bool web_maker_changed(web_store *store, const char *id) {
  return store_do(store, "UPDATE makers SET changed=? WHERE id=?", "it", web_time_ms(), id);
}

bool web_figures_put(web_store *store, const char *maker, int64_t stamp, const char *figures) {
  return store_do(store, "INSERT OR REPLACE INTO weakest VALUES(?1,?2||' '||?3,?4)", "ttit", maker, bc_version(), stamp,
                  figures);
}
