/* SPDX-License-Identifier: MIT */
/* Comments, links, and who is there. Tokens are stored as hashes: whoever reads the database gets in nowhere. */
#include "routes.h"
#include "web/http/request_words.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define DAY_MS ((sqlite3_int64)24 * 3600 * 1000)

/* --- comments --------------------------------------------------------------------------------------------- */

json_t *web_comments_json(web_request *r) {
  json_t *list = json_array();
  sqlite3_stmt *row = web_sql(
      r->server, "SELECT id,text,place,added,done FROM comments WHERE maker=? ORDER BY added,id", "t", r->maker);
  while (row && sqlite3_step(row) == SQLITE_ROW)
    json_array_append_new(list,
                          json_pack("{s:s,s:s,s:o,s:I,s:b}", "id", web_column(row, 0), "text", web_column(row, 1), "on",
                                    json_loads(web_column(row, 2), 0, NULL), "added",
                                    (json_int_t)sqlite3_column_int64(row, 3), "done", sqlite3_column_int(row, 4)));
  sqlite3_finalize(row);
  return list;
}

void web_list_comments(web_request *r) {
  web_answer_json(r, 200, web_comments_json(r));
}

static void answer_comments(web_request *r, bool done, unsigned status) {
  if (done)
    web_answer_json(r, status, web_comments_json(r));
  else
    web_refuse_store(r);
}

void web_add_comment(web_request *r) {
  const char *text = json_string_value(json_object_get(r->json, "text"));
  const json_t *on = json_object_get(r->json, "on");
  char id[WEB_ID + 1], *place = on ? json_dumps(on, JSON_COMPACT) : bc_copy_text("{}");
  web_new_id(id);
  if (!text || !*text || strlen(text) > 4000 || !place || strlen(place) > 400)
    web_refuse(r, 422, "text", N_("Write a comment of at most 4000 characters."));
  else
    answer_comments(r,
                    web_do(r->server, "INSERT INTO comments(id,maker,text,place,added) VALUES(?,?,?,?,?)", "tttti", id,
                           r->maker, text, place, web_time_ms()),
                    201);
  free(place);
}

void web_change_comment(web_request *r) {
  const char *text = json_string_value(json_object_get(r->json, "text"));
  const json_t *done = json_object_get(r->json, "done");
  bool saved = true;
  if (done)
    saved = web_do(r->server, "UPDATE comments SET done=? WHERE id=?", "it", (sqlite3_int64)json_is_true(done),
                   r->argument[0]);
  if (saved && text && *text && r->role == WEB_OWNER)
    saved = web_do(r->server, "UPDATE comments SET text=? WHERE id=?", "tt", text, r->argument[0]);
  answer_comments(r, saved, 200);
}

void web_delete_comment(web_request *r) {
  answer_comments(r, web_do(r->server, "DELETE FROM comments WHERE id=?", "t", r->argument[0]), 200);
}

/* --- tokens ------------------------------------------------------------------------------------------------ */

/* A token that nobody guesses and the hash by which it is known again. */
static void new_token(char token[64], uint8_t hash[WEB_HASH]) {
  uint8_t bytes[32];
  randombytes_buf(bytes, sizeof bytes);
  sodium_bin2base64(token, 64, bytes, sizeof bytes, sodium_base64_VARIANT_URLSAFE_NO_PADDING);
  crypto_generichash(hash, WEB_HASH, (const uint8_t *)token, strlen(token), NULL, 0);
}

/* --- links ------------------------------------------------------------------------------------------------- */

json_t *web_links_json(web_request *r) {
  json_t *list = json_array();
  sqlite3_stmt *row =
      web_sql(r->server,
              "SELECT id,kind,expires,photos_left,bytes_left FROM links WHERE maker=? AND expires>? ORDER BY expires",
              "ti", r->maker, web_time_ms());
  while (row && sqlite3_step(row) == SQLITE_ROW)
    json_array_append_new(list, json_pack("{s:s,s:s,s:I,s:I,s:f}", "id", web_column(row, 0), "kind", web_column(row, 1),
                                          "expires", (json_int_t)sqlite3_column_int64(row, 2), "photos",
                                          (json_int_t)sqlite3_column_int64(row, 3), "megabytes",
                                          (double)sqlite3_column_int64(row, 4) / 1048576));
  sqlite3_finalize(row);
  return list;
}

void web_list_links(web_request *r) {
  web_answer_json(r, 200, web_links_json(r));
}

static json_int_t asked(const web_request *r, const char *key, json_int_t usual, json_int_t most) {
  const json_t *value = json_object_get(r->json, key);
  const json_int_t number = json_is_number(value) ? (json_int_t)json_number_value(value) : usual;
  return number < 1 ? 1 : number > most ? most : number;
}

void web_add_link(web_request *r) {
  const char *kind = json_string_value(json_object_get(r->json, "kind")), *host = web_header(r, "Host");
  const char *public = r->server->options.public_url;
  if (!kind || (strcmp(kind, "invite") != 0 && strcmp(kind, "share") != 0)) {
    web_refuse(r, 422, "kind", N_("A link is either an invitation to add photos or a view to look at."));
    return;
  }
  char token[64], id[WEB_ID + 1];
  uint8_t hash[WEB_HASH];
  new_token(token, hash);
  web_new_id(id);
  const sqlite3_int64 expires = web_time_ms() + asked(r, "days", 14, 366) * DAY_MS;
  if (!web_do(r->server, "INSERT INTO links VALUES(?,?,?,?,?,?,?)", "tttbiii", id, r->maker, kind, hash,
              (size_t)WEB_HASH, expires, (sqlite3_int64)asked(r, "photos", 40, WEB_PHOTOS_MOST),
              (sqlite3_int64)asked(r, "megabytes", 400, 4000) * 1048576)) {
    web_refuse_store(r);
    return;
  }
  char *url = bc_format("%s%s/with/%s", public ? "" : "http://", public ? public : host, token);
  web_answer_json(
      r, 201,
      json_pack("{s:s,s:s,s:s,s:I}", "id", id, "kind", kind, "url", url ? url : "", "expires", (json_int_t)expires));
  free(url);
}

void web_delete_link(web_request *r) {
  if (web_do(r->server, "DELETE FROM links WHERE id=?", "t", r->argument[0]))
    web_answer_json(r, 200, web_links_json(r));
  else
    web_refuse_store(r);
}

/* --- who is there -------------------------------------------------------------------------------------------- */

static json_t *languages_json(void) {
  size_t count;
  const web_language *all = web_languages(&count);
  json_t *list = json_array();
  for (size_t i = 0; i < count; i++)
    json_array_append_new(list,
                          json_pack("{s:s,s:s,s:b}", "code", all[i].code, "name", all[i].name, "rtl", (int)all[i].rtl));
  return list;
}

void web_show_me(web_request *r) {
  static const char *const roles[] = {"nobody", "viewer", "maker", "owner"};
  char csrf[65];
  web_csrf(r, csrf);
  web_answer_json(r, 200,
                  json_pack("{s:s,s:s,s:s?,s:o,s:s,s:s,s:s,s:b,s:{s:I,s:i}}", "role", roles[r->role], "csrf", csrf,
                            "maker", *r->maker ? r->maker : NULL, "languages", languages_json(), "language",
                            r->language, "units", r->imperial ? "imperial" : "metric", "version", bc_version(),
                            "password", r->server->password_hash[0] != '\0', "limits", "photo_bytes",
                            (json_int_t)WEB_PHOTO_MOST, "photos", WEB_PHOTOS_MOST));
}

static void begin_session(web_request *r) {
  char token[64];
  const char *public = r->server->options.public_url;
  new_token(token, r->session);
  const sqlite3_int64 now = web_time_ms();
  if (!web_do(r->server, "DELETE FROM visits WHERE expires<? OR seen<?", "ii", now, now - WEB_IDLE_MS) ||
      !web_do(r->server, "INSERT INTO visits VALUES(?,?,?)", "bii", r->session, (size_t)WEB_HASH, now + WEB_SESSION_MS,
              now)) {
    web_refuse_store(r);
    return;
  }
  r->cookie = bc_format("backcloth=%s; Path=/; HttpOnly; SameSite=Strict; Max-Age=%d%s", token,
                        (int)(WEB_SESSION_MS / 1000), public && strncmp(public, "https:", 6) == 0 ? "; Secure" : "");
  r->has_session = true;
  r->role = WEB_OWNER;
  web_show_me(r);
}

void web_enter(web_request *r) {
  const char *password = json_string_value(json_object_get(r->json, "password"));
  char who[80];
  snprintf(who, sizeof who, "enter %s", r->peer);
  if (!web_rate(r->server, who, 8, 300) || !web_rate(r->server, "enter", 60, 300)) {
    web_refuse(r, 429, "password", N_("Too many tries. Wait five minutes, then try again."));
    return;
  }
  pthread_mutex_lock(&r->server->entering);
  const bool right = password && r->server->password_hash[0] &&
                     crypto_pwhash_str_verify(r->server->password_hash, password, strlen(password)) == 0;
  pthread_mutex_unlock(&r->server->entering);
  if (right)
    begin_session(r);
  else
    web_refuse(r, 403, "password", N_("That is not the password."));
}

void web_leave(web_request *r) {
  if (r->has_session) web_do(r->server, "DELETE FROM visits WHERE token=?", "b", r->session, (size_t)WEB_HASH);
  r->cookie = bc_copy_text("backcloth=; Path=/; HttpOnly; SameSite=Strict; Max-Age=0");
  web_answer_json(r, 200, json_object());
}

void web_show_words(web_request *r) {
  char *words = web_words_for_page(r->language);
  if (words)
    web_answer_text(r, 200, "application/json", words, strlen(words));
  else
    web_refuse_store(r);
}

void web_show_health(web_request *r) {
  web_answer_json(r, 200, json_pack("{s:b}", "ok", 1));
}
