/* SPDX-License-Identifier: MIT */
/* Photos in the database. */
#include "photos.h"
#include "sql.h"

#include <stdlib.h>
#include <string.h>

#define COLUMNS                                                                                                        \
  "SELECT id,maker,hash,kind,name,title,help,facts,width_cm,height_cm,weight_g,bytes,version,added,deleted,stood"

static bool take_photo(web_photo *photo, const store_rows *rows) {
  const char *hash = store_text(rows, 2), *kind = store_text(rows, 3);
  *photo = (web_photo){.is_cloth = kind && strcmp(kind, "cloth") == 0,
                       .name = store_copy(rows, 4),
                       .title = store_copy(rows, 5),
                       .help = store_copy(rows, 6),
                       .facts = store_copy(rows, 7),
                       .width_cm = store_real(rows, 8),
                       .height_cm = store_real(rows, 9),
                       .weight_g = store_real(rows, 10),
                       .bytes = store_number(rows, 11),
                       .version = store_number(rows, 12),
                       .added = store_number(rows, 13),
                       .deleted = store_number(rows, 14),
                       .stood = store_copy(rows, 15)};
  store_id(photo->id, rows, 0);
  store_id(photo->maker, rows, 1);
  strncpy(photo->hash, hash ? hash : "", sizeof photo->hash - 1);
  return photo->name && photo->title && photo->help && photo->facts && strlen(photo->hash) == (size_t)2 * WEB_HASH;
}

static bool take_reading(web_photo *photo, const store_rows *rows) {
  photo->reading_size = (size_t)sqlite3_column_bytes(rows->statement, 16);
  photo->reading = bc_allocate(photo->reading_size, 1);
  if (photo->reading && photo->reading_size)
    memcpy(photo->reading, sqlite3_column_blob(rows->statement, 16), photo->reading_size);
  return photo->reading != NULL;
}

static bool take_all(web_photos *out, store_rows *rows, bool readings) {
  bool fine = true;
  *out = (web_photos){0};
  while (fine && store_next(rows)) {
    web_photo *grown = bc_reallocate(out->item, out->count + 1, sizeof *grown);
    fine = grown != NULL;
    if (fine) out->item = grown;
    fine = fine && take_photo(&grown[out->count++], rows);
    fine = fine && (!readings || take_reading(&grown[out->count - 1], rows));
  }
  if (store_end(rows) && fine) return true;
  web_photos_clear(out);
  return false;
}

bool web_photos_of(web_store *store, const char *maker, web_photo_kind kinds, bool deleted, web_photos *out) {
  store_rows rows = store_ask(store,
                              COLUMNS " FROM photos WHERE maker=?1 AND (deleted IS NOT NULL)=?2 AND "
                                      "((kind='cloth')+1)&?3 ORDER BY added,id",
                              "tii", maker, (int64_t)deleted, (int64_t)kinds);
  return take_all(out, &rows, false);
}

bool web_photos_with_readings(web_store *store, const char *maker, web_photos *out) {
  store_rows rows = store_ask(
      store, COLUMNS ",reading FROM photos WHERE maker=? AND deleted IS NULL AND kind='piece' ORDER BY added,id", "t",
      maker);
  return take_all(out, &rows, true);
}

void web_photo_clear(web_photo *photo) {
  free(photo->name);
  free(photo->title);
  free(photo->help);
  free(photo->facts);
  free(photo->stood);
  free(photo->reading);
  *photo = (web_photo){0};
}

void web_photos_clear(web_photos *photos) {
  for (size_t i = 0; i < photos->count; i++) web_photo_clear(&photos->item[i]);
  free(photos->item);
  *photos = (web_photos){0};
}

web_found web_photo_get(web_store *store, const char *id, web_photo *out) {
  store_rows rows = store_ask(store, COLUMNS " FROM photos WHERE id=?", "t", id);
  *out = (web_photo){0};
  const bool found = store_next(&rows), whole = !found || take_photo(out, &rows);
  if (store_end(&rows) && whole) return found ? WEB_FOUND : WEB_NONE;
  web_photo_clear(out);
  return WEB_FAILED;
}

/* Pieces stand in the order in which they came, also where the clock was set back meanwhile. */
bool web_photo_add(web_store *store, const web_photo *photo) {
  return store_do(
      store,
      "INSERT INTO photos(id,maker,kind,name,title,hash,bytes,help,facts,reading,version,added) SELECT "
      "?1,?2,?3,?4,?5,?6,?7,?8,?9,?10,1,max(?11,(SELECT ifnull(max(added),0)+1 FROM photos WHERE maker=?2))",
      "ttttttittbi", photo->id, photo->maker, photo->is_cloth ? "cloth" : "piece", photo->name, photo->title,
      photo->hash, photo->bytes, photo->help, photo->facts, photo->reading, photo->reading_size, web_time_ms());
}

bool web_photo_read_anew(web_store *store, const web_photo *photo) {
  return store_do(store, "UPDATE photos SET help=?,facts=?,reading=?,version=? WHERE id=?", "ttbit", photo->help,
                  photo->facts, photo->reading, photo->reading_size, photo->version, photo->id);
}

bool web_photo_set_title(web_store *store, const char *id, const char *title) {
  return store_do(store, "UPDATE photos SET title=? WHERE id=?", "tt", title, id);
}

bool web_photo_set_measure(web_store *store, const char *id, web_measure which, double value) {
  static const char *const set[] = {"UPDATE photos SET width_cm=nullif(?,0) WHERE id=?",
                                    "UPDATE photos SET height_cm=nullif(?,0) WHERE id=?",
                                    "UPDATE photos SET weight_g=nullif(?,0) WHERE id=?"};
  return store_do(store, set[which], "rt", value, id);
}

bool web_photo_delete(web_store *store, const char *id, const char *stood) {
  return store_do(store, "UPDATE photos SET deleted=?,stood=? WHERE id=?", "itt", web_time_ms(), stood, id);
}

bool web_photo_restore(web_store *store, const char *id) {
  return store_do(store, "UPDATE photos SET deleted=NULL,stood=NULL WHERE id=?", "t", id);
}

web_found web_sending_get(web_store *store, const char *maker, const char *key, char photo[WEB_ID + 1]) {
  store_rows rows = store_ask(store,
                              "SELECT p.id FROM sendings s JOIN photos p ON p.id=s.photo WHERE s.maker=? AND s.key=? "
                              "AND p.deleted IS NULL",
                              "tt", maker, key);
  const bool found = store_next(&rows);
  if (found) store_id(photo, &rows, 0);
  if (!store_end(&rows)) return WEB_FAILED;
  return found ? WEB_FOUND : WEB_NONE;
}

bool web_sending_put(web_store *store, const char *maker, const char *key, const char *photo) {
  return store_do(store, "INSERT OR REPLACE INTO sendings(maker,key,photo,added) VALUES(?,?,?,?)", "ttti", maker, key,
                  photo, web_time_ms());
}
