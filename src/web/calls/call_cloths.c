/* SPDX-License-Identifier: MIT */
/* A maker's cloths: colours, and photos of textiles. */
#include "calls.h"

#include <backcloth/sentences.h>
#include <stdlib.h>
#include <string.h>

static json_t *cloth_json(const web_cloth *cloth) {
  json_t *facts = json_loads(cloth->facts, 0, NULL);
  json_t *all = json_pack("{s:s,s:s}", "id", cloth->id, "name", cloth->name);
  json_object_set_new(all, *cloth->photo ? "photo" : "css", json_string(*cloth->photo ? cloth->photo : cloth->css));
  json_object_del(facts, "name");
  json_object_update(all, facts);
  json_decref(facts);
  return all;
}

json_t *web_cloths_json(const web_request *r) {
  web_cloths cloths;
  if (!web_cloths_of(r->server->store, r->maker, &cloths)) return NULL;
  json_t *list = json_array();
  for (size_t i = 0; i < cloths.count; i++) json_array_append_new(list, cloth_json(&cloths.item[i]));
  web_cloths_clear(&cloths);
  return list;
}

static web_answer measure_colour(const web_request *r, const char *css, bc_apart_message *out) {
  static const web_task task = {.urgent = true, .deadline_ms = 10000, .about = "css"};
  bc_apart_message in;
  if (web_order(r, &in, WEB_JOB_COLOUR, json_pack("{s:s}", "spec", css))) return web_have_done(r, &in, out, &task);
  bc_apart_message_clear(&in);
  return web_refuse(r, 503, "css", N_("There is too much to do just now. Try again in a minute."));
}

static web_answer measure_photo(const web_request *r, const char *id, bc_apart_message *out) {
  web_photo photo;
  const web_found found = web_photo_get(r->server->store, id, &photo);
  const bool own = found == WEB_FOUND && strcmp(photo.maker, r->maker) == 0 && !photo.deleted;
  web_photo_clear(&photo);
  if (found == WEB_FAILED) return web_refuse_store(r);
  return own ? web_decode_stored(r, id, WEB_JOB_CLOTH, "{}", out) : web_refuse_gone(r);
}

static web_answer add(const web_request *r, const char *css, const char *photo, const bc_apart_message *measured) {
  const char *name = web_given(r, "name");
  json_t *facts = json_loads(bc_apart_message_text(measured, 0), 0, NULL);
  web_cloth cloth = {.css = (char *)(uintptr_t)css, .facts = (char *)(uintptr_t)bc_apart_message_text(measured, 0)};
  if (!name || !*name) name = json_string_value(json_object_get(facts, "name"));
  cloth.name = (char *)(uintptr_t)(name ? name : "");
  if (photo) strncpy(cloth.photo, photo, WEB_ID);
  web_new_id(cloth.id);
  const web_answer answer =
      web_cloth_add(r->server->store, r->maker, &cloth) ? web_json(201, cloth_json(&cloth)) : web_refuse_store(r);
  json_decref(facts);
  return answer;
}

static web_answer find_room(const web_request *r) {
  web_cloths cloths;
  if (!web_cloths_of(r->server->store, r->maker, &cloths)) return web_refuse_store(r);
  const size_t count = cloths.count;
  web_cloths_clear(&cloths);
  if (count < WEB_CLOTHS_MOST) return WEB_GO_ON;
  return web_refuse(r, 413, NULL, N_("There are %d cloths already, which is as many as fit. Delete some first."),
                    WEB_CLOTHS_MOST);
}

web_answer web_add_cloth(web_request *r) {
  const char *css = web_given(r, "css"), *photo = web_given(r, "photo"), *name = web_given(r, "name");
  bc_apart_message measured = {0};
  if (!css == !photo || (css && strncmp(css, "photo:", 6) == 0))
    return web_refuse(r, 422, "css", N_("A cloth needs a colour or a photo, one of them."));
  if (name && !web_is_text(name, WEB_NAME_MOST, false))
    return web_refuse(r, 422, "name", N_("Give a name of at most 200 characters."));
  web_answer answer = find_room(r);
  if (!answer.status) answer = photo ? measure_photo(r, photo, &measured) : measure_colour(r, css, &measured);
  if (!answer.status) answer = add(r, css, photo, &measured);
  bc_apart_message_clear(&measured);
  return answer;
}

web_answer web_delete_cloth(web_request *r) {
  json_t *list = web_cloth_delete(r->server->store, r->maker, r->argument[1]) ? web_cloths_json(r) : NULL;
  return list ? web_json(200, list) : web_refuse_store(r);
}
