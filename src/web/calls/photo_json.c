/* SPDX-License-Identifier: MIT */
/* A photo's facts as JSON, and the answer that has them. */
#include "calls.h"
#include "web/http/request_words.h"

#include <stdlib.h>

static void add_urls(json_t *all, const web_photo *photo) {
  static const char *const kinds[] = {"preview", "cutout", "mask"};
  json_t *urls = json_object();
  for (size_t i = 0; i < 3; i++) {
    char *url = bc_format("/api/photos/%s/%s?v=%lld", photo->id, kinds[i], (long long)photo->version);
    json_object_set_new(urls, kinds[i], json_string(url ? url : ""));
    free(url);
  }
  json_object_set_new(all, "urls", urls);
}

static json_t *number_or_null(double value) {
  return value > 0 ? json_real(value) : json_null();
}

static void say_notes_anew(const web_request *r, const json_t *facts) {
  json_t *notes = json_object_get(json_object_get(facts, "reading"), "notes"), *note;
  size_t i;
  json_array_foreach(notes, i, note) {
    const char *said = json_string_value(note);
    if (said) json_array_set_new(notes, i, json_string(web_words_anew(r->language, said)));
  }
}

json_t *web_photo_json(const web_request *r, const web_photo *photo) {
  json_t *all = json_pack("{s:s,s:s,s:s,s:s}", "id", photo->id, "name", photo->name, "title", photo->title, "kind",
                          photo->is_cloth ? "cloth" : "piece");
  json_t *facts = json_loads(photo->facts, 0, NULL);
  say_notes_anew(r, facts);
  json_object_update(all, facts);
  json_decref(facts);
  json_object_set_new(all, "help", json_loads(photo->help, 0, NULL));
  json_object_set_new(all, "width_cm", number_or_null(photo->width_cm));
  json_object_set_new(all, "height_cm", number_or_null(photo->height_cm));
  json_object_set_new(all, "weight_g", number_or_null(photo->weight_g));
  add_urls(all, photo);
  return all;
}

web_answer web_answer_photo(const web_request *r, unsigned status, const char *id) {
  web_photo photo;
  const web_found found = web_photo_get(r->server->store, id, &photo);
  const web_answer answer = found == WEB_FOUND  ? web_json(status, web_photo_json(r, &photo))
                            : found == WEB_NONE ? web_refuse_gone(r)
                                                : web_refuse_store(r);
  web_photo_clear(&photo);
  return answer;
}
