/* SPDX-License-Identifier: MIT */
/* A maker's cloths in the database. */
#include "makers.h"
#include "sql.h"

#include <stdlib.h>

static bool take_cloth(web_cloth *cloth, const store_rows *rows) {
  *cloth = (web_cloth){.name = store_copy(rows, 1), .css = store_copy(rows, 2), .facts = store_copy(rows, 4)};
  store_id(cloth->id, rows, 0);
  store_id(cloth->photo, rows, 3);
  return cloth->name && cloth->facts && (cloth->css || *cloth->photo);
}

bool web_cloths_of(web_store *store, const char *maker, web_cloths *out) {
  store_rows rows =
      store_ask(store, "SELECT id,name,spec,photo,facts FROM cloths WHERE maker=? ORDER BY added,id", "t", maker);
  bool fine = true;
  *out = (web_cloths){0};
  while (fine && store_next(&rows)) {
    web_cloth *grown = bc_reallocate(out->item, out->count + 1, sizeof *grown);
    fine = grown != NULL;
    if (fine) out->item = grown;
    fine = fine && take_cloth(&grown[out->count++], &rows);
  }
  if (store_end(&rows) && fine) return true;
  web_cloths_clear(out);
  return false;
}

void web_cloths_clear(web_cloths *cloths) {
  for (size_t i = 0; i < cloths->count; i++) {
    free(cloths->item[i].name);
    free(cloths->item[i].css);
    free(cloths->item[i].facts);
  }
  free(cloths->item);
  *cloths = (web_cloths){0};
}

bool web_cloth_add(web_store *store, const char *maker, const web_cloth *cloth) {
  return store_do(store,
                  "INSERT INTO cloths(id,maker,name,spec,photo,facts,added) "
                  "SELECT ?1,?2,?3,?4,?5,?6,max(?7,(SELECT ifnull(max(added),0)+1 FROM cloths WHERE maker=?2))",
                  "tttttti", cloth->id, maker, cloth->name, cloth->css, *cloth->photo ? cloth->photo : NULL,
                  cloth->facts, web_time_ms());
}

bool web_cloth_delete(web_store *store, const char *maker, const char *id) {
  return store_do(store, "DELETE FROM cloths WHERE id=? AND maker=?", "tt", id, maker);
}
