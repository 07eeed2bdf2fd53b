/* SPDX-License-Identifier: MIT */
/* Makers with all that is theirs, cloths, and the match of pieces and cloths. */
#include "routes.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Ids of the maker's photos that are there, of one kind or (NULL) all. */
static json_t *photo_ids(web_request *r, const char *kind) {
  json_t *ids = json_array();
  sqlite3_stmt *row =
      web_sql(r->server,
              "SELECT id FROM photos WHERE maker=? AND deleted IS NULL AND kind=ifnull(?,kind) ORDER BY "
              "added,id",
              "tt", r->maker, kind);
  while (row && sqlite3_step(row) == SQLITE_ROW) json_array_append_new(ids, json_string(web_column(row, 0)));
  sqlite3_finalize(row);
  return ids;
}

json_t *web_cloths_json(web_request *r) {
  json_t *list = json_array();
  sqlite3_stmt *row =
      web_sql(r->server, "SELECT id,name,spec,photo,facts FROM cloths WHERE maker=? ORDER BY added,id", "t", r->maker);
  while (row && sqlite3_step(row) == SQLITE_ROW) {
    json_t *facts = json_loads(web_column(row, 4), 0, NULL);
    json_t *cloth = json_pack("{s:s,s:s}", "id", web_column(row, 0), "name", web_column(row, 1));
    const char *photo = web_column(row, 3);
    json_object_set_new(cloth, photo ? "photo" : "css", json_string(photo ? photo : web_column(row, 2)));
    json_object_del(facts, "name");
    json_object_update(cloth, facts);
    json_decref(facts);
    json_array_append_new(list, cloth);
  }
  sqlite3_finalize(row);
  return list;
}

/* --- match ---------------------------------------------------------------------------------------------- */

json_t *web_cloth_orders(web_request *r) {
  json_t *cloths = web_cloths_json(r), *orders = json_array(), *cloth;
  size_t i;
  json_array_foreach(cloths, i, cloth) {
    const char *photo = json_string_value(json_object_get(cloth, "photo"));
    char *spec =
        bc_format("%s%s", photo ? "photo:" : "", photo ? photo : json_string_value(json_object_get(cloth, "css")));
    json_t *order = json_pack("{s:s,s:O}", "spec", spec ? spec : "", "name", json_object_get(cloth, "name"));
    free(spec);
    if (photo) json_object_update(order, cloth);
    json_array_append_new(orders, order);
  }
  json_decref(cloths);
  return orders;
}

json_t *web_collection_order(web_request *r, web_part *readings) {
  json_t *widths = json_array();
  bc_buffer all = {0};
  sqlite3_stmt *row = web_sql(
      r->server,
      "SELECT width_cm,reading FROM photos WHERE maker=? AND deleted IS NULL AND kind='piece' ORDER BY added,id", "t",
      r->maker);
  while (row && sqlite3_step(row) == SQLITE_ROW) {
    json_array_append_new(widths, json_real(sqlite3_column_double(row, 0)));
    bc_buffer_add_bytes(&all, sqlite3_column_blob(row, 1), (size_t)sqlite3_column_bytes(row, 1));
  }
  sqlite3_finalize(row);
  *readings = (web_part){(uint8_t *)all.text, all.length};
  return json_pack("{s:o,s:o}", "widths", widths, "cloths", web_cloth_orders(r));
}

/* True with an answer in `out`. */
static bool match(web_request *r, json_int_t suggest, bool one_cloth_will_do, web_message *out) {
  web_part readings;
  json_t *order = web_collection_order(r, &readings);
  const char *light = web_argument(r, "light"), *distance = web_argument(r, "distance");
  json_t *cloths = json_object_get(order, "cloths");
  if (one_cloth_will_do && json_array_size(cloths) == 0)
    json_array_append_new(cloths, json_pack("{s:s,s:s}", "spec", "#808080", "name", "-"));
  if (json_array_size(json_object_get(order, "widths")) == 0 || json_array_size(cloths) == 0) {
    web_refuse(r, 409, NULL, N_("Add a photo of a piece and a cloth first."));
    json_decref(order);
    free(readings.bytes);
    return false;
  }
  json_object_set_new(order, "suggest", json_integer(suggest));
  if (light) json_object_set_new(order, "light", json_string(light));
  if (distance) json_object_set_new(order, "distance", json_real(strtod(distance, NULL)));
  web_message in;
  const bool ready = web_order(r, &in, WEB_JOB_MATCH, order) && web_message_add(&in, readings.bytes, readings.size);
  if (ready) return web_have_done(r, false, &in, out, 60000, true, NULL);
  web_message_clear(&in);
  return false;
}

void web_show_match(web_request *r) {
  web_message out = {0};
  const char *wanted = web_argument(r, "suggest");
  if (match(r, wanted ? strtol(wanted, NULL, 10) : 0, false, &out))
    web_answer_text(r, 200, "application/json", bc_copy_text(web_message_text(&out, 0)), out.part[0].size);
  web_message_clear(&out);
}

void web_show_suggestions(web_request *r) {
  web_message out = {0};
  const char *wanted = web_argument(r, "n");
  if (match(r, wanted ? strtol(wanted, NULL, 10) : 3, true, &out)) {
    json_t *all = json_loads(web_message_text(&out, 0), 0, NULL);
    web_answer_json(r, 200, json_pack("{s:O}", "suggested", json_object_get(all, "suggested")));
    json_decref(all);
  }
  web_message_clear(&out);
}

/* The piece that is least clear on the cloth that serves best. */
static json_t *weakest(web_request *r) {
  web_message out = {0};
  json_t *ids = photo_ids(r, "piece"), *found = NULL;
  if (match(r, 0, false, &out)) {
    json_t *all = json_loads(web_message_text(&out, 0), 0, NULL), *piece;
    const json_t *pieces = json_object_get(json_array_get(json_object_get(all, "cloths"), 0), "pieces");
    double least = INFINITY;
    size_t i;
    json_array_foreach(pieces, i, piece) {
      const double clarity = json_number_value(json_object_get(piece, "clarity"));
      if (clarity >= least) continue;
      least = clarity;
      json_decref(found);
      found = json_pack("{s:O,s:O,s:f}", "photo", json_array_get(ids, i), "verdict", json_object_get(piece, "verdict"),
                        "score", 100 * clarity);
    }
    json_decref(all);
  }
  web_message_clear(&out);
  json_decref(ids);
  return found ? found : json_null();
}

/* Names all that the weakest piece depends on: a photo's version grows with each new reading. */
static void weakest_key(web_request *r, uint8_t key[WEB_HASH]) {
  crypto_generichash_state state;
  crypto_generichash_init(&state, (const uint8_t *)bc_version(), strlen(bc_version()), WEB_HASH);
  sqlite3_stmt *row = web_sql(r->server,
                              "SELECT 'p',id,hash,version,width_cm FROM photos WHERE maker=?1 AND deleted IS NULL AND "
                              "kind='piece' UNION ALL SELECT 'c',id,spec,photo,facts FROM cloths WHERE maker=?1 "
                              "ORDER BY 1,2",
                              "t", r->maker);
  while (row && sqlite3_step(row) == SQLITE_ROW)
    for (int i = 0; i < 5; i++) {
      const char *text = web_column(row, i);
      crypto_generichash_update(&state, (const uint8_t *)(text ? text : ""), text ? strlen(text) + 1 : 1);
    }
  sqlite3_finalize(row);
  crypto_generichash_final(&state, key, WEB_HASH);
}

static json_t *weakest_kept(web_request *r) {
  uint8_t key[WEB_HASH];
  weakest_key(r, key);
  sqlite3_stmt *row =
      web_sql(r->server, "SELECT found FROM weakest WHERE maker=? AND key=?", "tb", r->maker, key, (size_t)WEB_HASH);
  json_t *found = row && sqlite3_step(row) == SQLITE_ROW ? json_loads(web_column(row, 0), JSON_DECODE_ANY, NULL) : NULL;
  sqlite3_finalize(row);
  if (found) return found;
  found = weakest(r);
  if (r->status && r->status != 409) return found; /* no answer this time: asked again the next */
  char *text = json_dumps(found, JSON_COMPACT | JSON_ENCODE_ANY | JSON_REAL_PRECISION(15));
  web_do(r->server, "INSERT OR REPLACE INTO weakest VALUES(?,?,?)", "tbt", r->maker, key, (size_t)WEB_HASH, text);
  free(text);
  return found;
}

/* --- makers ------------------------------------------------------------------------------------------------ */

/* Nobody's photos yet, and pieces that get lost, need a mentor most. */
static double need_of(const json_t *weak, sqlite3_int64 photos, sqlite3_int64 comments) {
  if (photos == 0) return 0.5;
  const double clear = json_is_object(weak) ? json_number_value(json_object_get(weak, "score")) / 100 : 0.5;
  return fmin(1, fmax(0, 1 - clear) + (comments > 0 ? 0 : 0.05));
}

static int by_need(const void *first, const void *second) {
  const double a = json_number_value(json_object_get(*(json_t *const *)first, "need"));
  const double b = json_number_value(json_object_get(*(json_t *const *)second, "need"));
  return (a < b) - (a > b);
}

static json_t *sorted_by_need(json_t *list) {
  const size_t count = json_array_size(list);
  json_t **order = bc_allocate(count, sizeof *order), *sorted = json_array();
  for (size_t i = 0; order && i < count; i++) order[i] = json_array_get(list, i);
  if (order) qsort(order, count, sizeof *order, by_need);
  for (size_t i = 0; order && i < count; i++) json_array_append(sorted, order[i]);
  free(order);
  json_decref(list);
  return sorted;
}

static json_t *maker_line(web_request *r, sqlite3_stmt *row) {
  const sqlite3_int64 photos = sqlite3_column_int64(row, 3), comments = sqlite3_column_int64(row, 4);
  strcpy(r->maker, web_column(row, 0));
  const unsigned before = r->status;
  json_t *weak = photos > 0 ? weakest_kept(r) : json_null();
  if (!before && r->status) { /* no cloth yet: no reason to refuse the list */
    free(r->out);
    r->out = NULL;
    r->status = 0;
  }
  const double need = need_of(weak, photos, comments);
  return json_pack("{s:s,s:s,s:I,s:s?,s:o,s:I,s:I,s:f}", "id", web_column(row, 0), "name", web_column(row, 1), "photos",
                   (json_int_t)photos, "photo", photos > 0 ? web_column(row, 5) : NULL, "weakest", weak, "comments",
                   (json_int_t)comments, "changed", (json_int_t)sqlite3_column_int64(row, 2), "need", need);
}

void web_list_makers(web_request *r) {
  json_t *list = json_array();
  sqlite3_stmt *row =
      web_sql(r->server,
              "SELECT id,name,changed,(SELECT count(*) FROM photos WHERE maker=m.id AND deleted IS NULL "
              "AND kind='piece'),(SELECT count(*) FROM comments WHERE maker=m.id AND done=0),"
              "(SELECT id FROM photos WHERE maker=m.id AND deleted IS NULL AND kind='piece' ORDER BY added DESC,id "
              "LIMIT 1) FROM makers m "
              "WHERE deleted IS NULL ORDER BY changed DESC",
              "");
  while (row && sqlite3_step(row) == SQLITE_ROW) json_array_append_new(list, maker_line(r, row));
  sqlite3_finalize(row);
  web_answer_json(r, 200, sorted_by_need(list));
}

static const char *name_given(web_request *r) {
  const char *name = json_string_value(json_object_get(r->json, "name"));
  if (name && *name && strlen(name) <= 200) return name;
  web_refuse(r, 422, "name", N_("Give a name of at most 200 characters."));
  return NULL;
}

static void answer_maker(web_request *r, unsigned status, const char *id) {
  sqlite3_stmt *row = web_sql(r->server, "SELECT id,name FROM makers WHERE id=?", "t", id);
  if (row && sqlite3_step(row) == SQLITE_ROW)
    web_answer_json(r, status, json_pack("{s:s,s:s}", "id", web_column(row, 0), "name", web_column(row, 1)));
  sqlite3_finalize(row);
}

static void do_and_answer(web_request *r, bool done, unsigned status, const char *id) {
  if (done)
    answer_maker(r, status, id);
  else
    web_refuse_store(r);
}

void web_add_maker(web_request *r) {
  char id[WEB_ID + 1];
  const char *name = name_given(r);
  if (!name) return;
  web_new_id(id);
  web_forget_trash(r->server);
  do_and_answer(r,
                web_do(r->server, "INSERT INTO makers(id,name,changed) VALUES(?,?,?)", "tti", id, name, web_time_ms()),
                201, id);
}

void web_rename_maker(web_request *r) {
  const char *name = name_given(r);
  if (name)
    do_and_answer(r, web_do(r->server, "UPDATE makers SET name=? WHERE id=?", "tt", name, r->maker), 200, r->maker);
}

void web_delete_maker(web_request *r) {
  do_and_answer(r, web_do(r->server, "UPDATE makers SET deleted=? WHERE id=?", "it", web_time_ms(), r->maker), 200,
                r->maker);
}

void web_restore_maker(web_request *r) {
  do_and_answer(r, web_do(r->server, "UPDATE makers SET deleted=NULL WHERE id=?", "t", r->maker), 200, r->maker);
}

static json_t *photos_json(web_request *r) {
  json_t *ids = photo_ids(r, NULL), *list = json_array(), *id;
  size_t i;
  json_array_foreach(ids, i, id) json_array_append_new(list, web_photo_json(r, json_string_value(id)));
  json_decref(ids);
  return list;
}

void web_show_maker(web_request *r) {
  sqlite3_int64 revision = 0;
  sqlite3_stmt *row = web_sql(r->server, "SELECT name FROM makers WHERE id=?", "t", r->maker);
  char *plan = web_plan_now(r, &revision);
  if (plan && row && sqlite3_step(row) == SQLITE_ROW) {
    json_t *all = json_pack("{s:s,s:s,s:o,s:o,s:o,s:I,s:o}", "id", r->maker, "name", web_column(row, 0), "photos",
                            photos_json(r), "cloths", web_cloths_json(r), "plan", json_loads(plan, 0, NULL), "revision",
                            (json_int_t)revision, "comments", web_comments_json(r));
    if (r->role == WEB_OWNER) json_object_set_new(all, "links", web_links_json(r));
    web_answer_json(r, 200, all);
  }
  sqlite3_finalize(row);
  free(plan);
}

/* --- cloths ------------------------------------------------------------------------------------------------- */

static bool measure(web_request *r, const char *css, const char *photo, web_message *out) {
  web_message in;
  sqlite3_int64 version;
  if (photo) return web_decode_stored(r, photo, WEB_JOB_CLOTH, "{}", out, &version);
  if (web_order(r, &in, WEB_JOB_COLOUR, json_pack("{s:s}", "spec", css)))
    return web_have_done(r, false, &in, out, 10000, true, "css");
  web_message_clear(&in);
  return false;
}

static bool photo_is_of_maker(web_request *r, const char *photo) {
  sqlite3_stmt *row =
      web_sql(r->server, "SELECT 1 FROM photos WHERE id=? AND maker=? AND deleted IS NULL", "tt", photo, r->maker);
  const bool found = row && sqlite3_step(row) == SQLITE_ROW;
  sqlite3_finalize(row);
  if (!found) web_refuse(r, 404, "photo", N_("This is not here any more. Load the page again."));
  return found;
}

void web_add_cloth(web_request *r) {
  const char *css = json_string_value(json_object_get(r->json, "css"));
  const char *photo = json_string_value(json_object_get(r->json, "photo"));
  const char *name = json_string_value(json_object_get(r->json, "name"));
  web_message out = {0};
  char id[WEB_ID + 1];
  if (!css == !photo || (css && strncmp(css, "photo:", 6) == 0)) {
    web_refuse(r, 422, "css", N_("A cloth needs a colour or a photo, one of them."));
    return;
  }
  if ((!photo || photo_is_of_maker(r, photo)) && measure(r, css, photo, &out)) {
    json_t *facts = json_loads(web_message_text(&out, 0), 0, NULL);
    web_new_id(id);
    if (!name || !*name) name = json_string_value(json_object_get(facts, "name"));
    if (web_do(r->server, "INSERT INTO cloths VALUES(?,?,?,?,?,?,?)", "tttttti", id, r->maker, name ? name : "", css,
               photo, web_message_text(&out, 0), web_time_ms())) {
      json_t *cloths = web_cloths_json(r);
      web_answer_json(r, 201, json_incref(json_array_get(cloths, json_array_size(cloths) - 1)));
      json_decref(cloths);
    } else
      web_refuse_store(r);
    json_decref(facts);
  }
  web_message_clear(&out);
}

void web_delete_cloth(web_request *r) {
  if (web_do(r->server, "DELETE FROM cloths WHERE id=? AND maker=?", "tt", r->argument[1], r->maker))
    web_answer_json(r, 200, web_cloths_json(r));
  else
    web_refuse_store(r);
}
