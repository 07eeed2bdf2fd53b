/* SPDX-License-Identifier: MIT */
/* Links: an invitation to add photos, or a view. Tokens are stored as hashes: whoever reads the database gets in
 * nowhere. */
#include "calls.h"

#include <backcloth/sentences.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MEGABYTE 1048576

void web_new_token(char token[64], uint8_t hash[WEB_HASH]) {
  uint8_t bytes[32];
  randombytes_buf(bytes, sizeof bytes);
  sodium_bin2base64(token, 64, bytes, sizeof bytes, sodium_base64_VARIANT_URLSAFE_NO_PADDING);
  web_hash_token(hash, token);
}

static json_t *link_json(const web_link *link) {
  return json_pack("{s:s,s:s,s:I,s:I,s:f}", "id", link->id, "kind", link->invites ? "invite" : "share", "expires",
                   (json_int_t)link->expires, "photos", (json_int_t)link->photos_left, "megabytes",
                   (double)link->bytes_left / MEGABYTE);
}

json_t *web_links_json(const web_request *r) {
  web_links links;
  if (!web_links_of(r->server->store, r->maker, &links)) return NULL;
  json_t *list = json_array();
  for (size_t i = 0; i < links.count; i++) json_array_append_new(list, link_json(&links.item[i]));
  free(links.item);
  return list;
}

static web_answer answer_links(const web_request *r, bool done) {
  json_t *list = done ? web_links_json(r) : NULL;
  return list ? web_json(200, list) : web_refuse_store(r);
}

web_answer web_list_links(web_request *r) {
  return answer_links(r, true);
}

static int64_t asked(const web_request *r, const char *key, int64_t usual, int64_t most) {
  const json_t *value = json_object_get(r->json, key);
  const double number = json_is_number(value) ? json_number_value(value) : (double)usual;
  return number < 1 ? 1 : number > (double)most ? most : (int64_t)number;
}

web_answer web_add_link(web_request *r) {
  const char *kind = web_given(r, "kind"), *host = web_header(r, "Host");
  const char *public = r->server->options.public_url;
  if (!kind || (strcmp(kind, "invite") != 0 && strcmp(kind, "share") != 0))
    return web_refuse(r, 422, "kind", N_("A link is either an invitation to add photos or a view to look at."));
  char token[64];
  uint8_t hash[WEB_HASH];
  web_new_token(token, hash);
  web_link link = {.invites = strcmp(kind, "invite") == 0,
                   .expires = web_time_ms() + asked(r, "days", 14, 366) * WEB_DAY_MS,
                   .photos_left = asked(r, "photos", 40, WEB_PHOTOS_MOST),
                   .bytes_left = asked(r, "megabytes", 400, 4000) * MEGABYTE};
  web_new_id(link.id);
  snprintf(link.maker, sizeof link.maker, "%s", r->maker);
  if (!web_link_add(r->server->store, &link, hash)) return web_refuse_store(r);
  char *url = bc_format("%s%s/with/%s", public ? "" : "http://", public ? public : host, token);
  const web_answer answer = web_json(201, json_pack("{s:s,s:s,s:s,s:I}", "id", link.id, "kind", kind, "url",
                                                    url ? url : "", "expires", (json_int_t)link.expires));
  free(url);
  return answer;
}

web_answer web_delete_link(web_request *r) {
  return answer_links(r, web_link_delete(r->server->store, r->argument[0]));
}
