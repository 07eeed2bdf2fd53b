/* SPDX-License-Identifier: MIT */
/* Makers in the database: on the desk, archived, in the trash. */
#include "makers.h"
#include "sql.h"

#include <sodium.h>
#include <stdlib.h>
#include <string.h>

#define LIST                                                                                                           \
  "SELECT id,name,changed,deleted,archived,"                                                                           \
  "(SELECT count(*) FROM photos WHERE maker=m.id AND deleted IS NULL AND kind='piece'),"                               \
  "(SELECT count(*) FROM comments WHERE maker=m.id AND done=0 AND deleted IS NULL AND answers IS NULL),"               \
  "(SELECT id FROM photos WHERE maker=m.id AND deleted IS NULL AND kind='piece' ORDER BY added DESC,id LIMIT 1) "      \
  "FROM makers m WHERE "

static const char *const lists[] = {LIST "deleted IS NULL AND archived IS NULL ORDER BY changed DESC,id",
                                    LIST "deleted IS NULL AND archived IS NOT NULL ORDER BY changed DESC,id",
                                    LIST "deleted IS NOT NULL ORDER BY deleted DESC,id"};

static bool take_maker(web_maker *maker, const store_rows *rows) {
  *maker = (web_maker){.name = store_copy(rows, 1),
                       .changed = store_number(rows, 2),
                       .deleted = store_number(rows, 3),
                       .archived = store_number(rows, 4),
                       .pieces = store_number(rows, 5),
                       .remarks = store_number(rows, 6)};
  store_id(maker->id, rows, 0);
  store_id(maker->newest, rows, 7);
  return maker->name != NULL;
}

bool web_makers_list(web_store *store, web_shelf shelf, web_makers *out) {
  store_rows rows = store_ask(store, lists[shelf], "");
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

void web_makers_clear(web_makers *makers) {
  for (size_t i = 0; i < makers->count; i++) free(makers->item[i].name);
  free(makers->item);
  *makers = (web_makers){0};
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

/* --- the weakest piece ---------------------------------------------------------------------------------- */

bool web_weakest_key(web_store *store, const char *maker, uint8_t key[WEB_HASH]) {
  crypto_generichash_state state;
  crypto_generichash_init(&state, (const uint8_t *)bc_version(), strlen(bc_version()), WEB_HASH);
  store_rows rows = store_ask(store,
                              "SELECT 'p',id,hash,version,width_cm FROM photos WHERE maker=?1 AND deleted IS NULL AND "
                              "kind='piece' UNION ALL SELECT 'c',id,spec,photo,facts FROM cloths WHERE maker=?1 "
                              "ORDER BY 1,2",
                              "t", maker);
  while (store_next(&rows))
    for (int i = 0; i < 5; i++) {
      const char *text = store_text(&rows, i);
      crypto_generichash_update(&state, (const uint8_t *)(text ? text : ""), text ? strlen(text) + 1 : 1);
    }
  crypto_generichash_final(&state, key, WEB_HASH);
  return store_end(&rows);
}

web_found web_weakest_get(web_store *store, const char *maker, const uint8_t key[WEB_HASH], char **found) {
  store_rows rows =
      store_ask(store, "SELECT found FROM weakest WHERE maker=? AND key=?", "tb", maker, key, (size_t)WEB_HASH);
  const bool there = store_next(&rows);
  *found = there ? store_copy(&rows, 0) : NULL;
  if (!store_end(&rows)) {
    free(*found);
    *found = NULL;
    return WEB_FAILED;
  }
  return *found ? WEB_FOUND : WEB_NONE;
}

bool web_weakest_put(web_store *store, const char *maker, const uint8_t key[WEB_HASH], const char *found) {
  return store_do(store, "INSERT OR REPLACE INTO weakest VALUES(?,?,?)", "tbt", maker, key, (size_t)WEB_HASH, found);
}
