/* SPDX-License-Identifier: MIT */
/* A maker's wall at a glance, for the small pictures of the desk: the plan, and the main colour of each photo. */
#include "calls.h"

/* The largest of the reading's colours as CSS; NULL: the photo has no reading. */
static json_t *main_colour(const web_photo *photo) {
  json_t *facts = photo->facts ? json_loads(photo->facts, 0, NULL) : NULL;
  const json_t *reading = json_object_get(facts, "reading");
  const json_t *colours = json_object_get(json_object_get(reading, "piece"), "colours");
  json_t *css = json_incref(json_object_get(json_array_get(colours, 0), "css"));
  json_decref(facts);
  return css;
}

/* {photo's id: CSS colour}; NULL: the store failed. */
static json_t *main_colours(const web_request *r) {
  web_photos photos;
  if (!web_photos_of(r->server->store, r->maker, WEB_ALL_PHOTOS, false, &photos)) return NULL;
  json_t *all = json_object();
  for (size_t i = 0; i < photos.count; i++) {
    json_t *css = main_colour(&photos.item[i]);
    if (css) json_object_set_new(all, photos.item[i].id, css);
  }
  web_photos_clear(&photos);
  return all;
}

web_answer web_show_glance(web_request *r) {
  web_revision head = {0};
  web_answer answer = web_newest_plan(r, &head);
  json_t *colours = answer.status ? NULL : main_colours(r);
  if (!answer.status)
    answer =
        colours ? web_json(200, json_pack("{s:O,s:O}", "plan", head.plan, "colours", colours)) : web_refuse_store(r);
  json_decref(colours);
  json_decref(head.plan);
  return answer;
}
