/* SPDX-License-Identifier: MIT */
/* Remarks in the database. */
#include "remarks.h"
#include "sql.h"

#include <stdlib.h>
#include <string.h>

static bool take_remark(web_remark *remark, const store_rows *rows) {
  const char *author = store_text(rows, 5);
  *remark = (web_remark){.text = store_copy(rows, 1),
                         .place = store_copy(rows, 2),
                         .by_owner = author && strcmp(author, "owner") == 0,
                         .by_maker = author && strcmp(author, "maker") == 0,
                         .added = store_number(rows, 3),
                         .done = store_number(rows, 4) != 0};
  store_id(remark->id, rows, 0);
  store_id(remark->answers, rows, 6);
  return remark->text && remark->place;
}

bool web_remarks_of(web_store *store, const char *maker, web_remarks *out) {
  store_rows rows = store_ask(store,
                              "SELECT id,text,place,added,done,author,answers FROM comments WHERE maker=? AND deleted "
                              "IS NULL ORDER BY added,id",
                              "t", maker);
  bool fine = true;
  *out = (web_remarks){0};
  while (fine && store_next(&rows)) {
    web_remark *grown = bc_reallocate(out->item, out->count + 1, sizeof *grown);
    fine = grown != NULL;
    if (fine) out->item = grown;
    fine = fine && take_remark(&grown[out->count++], &rows);
  }
  if (store_end(&rows) && fine) return true;
  web_remarks_clear(out);
  return false;
}

void web_remarks_clear(web_remarks *remarks) {
  for (size_t i = 0; i < remarks->count; i++) {
    free(remarks->item[i].text);
    free(remarks->item[i].place);
  }
  free(remarks->item);
  *remarks = (web_remarks){0};
}

bool web_remark_add(web_store *store, const char *maker, const web_remark *remark) {
  return store_do(store,
                  "INSERT INTO comments(id,maker,text,place,author,answers,added) SELECT ?1,?2,?3,?4,?5,?6,"
                  "max(?7,(SELECT ifnull(max(added),0)+1 FROM comments WHERE maker=?2))",
                  "tttttti", remark->id, maker, remark->text, remark->place,
                  remark->by_owner   ? "owner"
                  : remark->by_maker ? "maker"
                                     : NULL,
                  *remark->answers ? remark->answers : NULL, web_time_ms());
}

bool web_remark_set_done(web_store *store, const char *id, bool done) {
  return store_do(store, "UPDATE comments SET done=? WHERE id=?", "it", (int64_t)done, id);
}

bool web_remark_set_text(web_store *store, const char *id, const char *text) {
  return store_do(store, "UPDATE comments SET text=? WHERE id=?", "tt", text, id);
}

bool web_remark_delete(web_store *store, const char *id, bool deleted) {
  return store_do(store, "UPDATE comments SET deleted=nullif(?,0) WHERE id=?", "it", deleted ? web_time_ms() : 0, id);
}
