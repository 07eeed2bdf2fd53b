/* SPDX-License-Identifier: MIT */
/* The match of a maker's pieces and cloths, as a planner gives it. */
#include "calls.h"

#include <backcloth/sentences.h>
#include <stdlib.h>
#include <string.h>

#define MATCH_MS 60000

json_t *web_cloth_orders(const web_request *r) {
  json_t *cloths = web_cloths_json(r), *orders = cloths ? json_array() : NULL, *cloth;
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

json_t *web_collection_order(const web_request *r, bc_apart_part *readings) {
  web_photos photos;
  bc_buffer all = {0};
  *readings = (bc_apart_part){0};
  if (!web_photos_with_readings(r->server->store, r->maker, &photos)) return NULL;
  json_t *widths = json_array(), *cloths = web_cloth_orders(r);
  for (size_t i = 0; i < photos.count; i++) {
    json_array_append_new(widths, json_real(photos.item[i].width_cm));
    bc_buffer_add_bytes(&all, photos.item[i].reading, photos.item[i].reading_size);
  }
  web_photos_clear(&photos);
  if (cloths && !all.failed) {
    *readings = (bc_apart_part){(uint8_t *)all.text, all.length};
    return json_pack("{s:o,s:o}", "widths", widths, "cloths", cloths);
  }
  json_decref(widths);
  json_decref(cloths);
  bc_buffer_clear(&all);
  return NULL;
}

web_answer web_have_matched(const web_request *r, json_t *order, bc_apart_part readings, bc_apart_message *out) {
  static const web_task task = {.urgent = true, .deadline_ms = MATCH_MS};
  bc_apart_message in;
  if (json_array_size(json_object_get(order, "widths")) == 0 ||
      json_array_size(json_object_get(order, "cloths")) == 0) {
    json_decref(order);
    free(readings.bytes);
    return web_refuse(r, 409, NULL, N_("Add a photo of a piece and a cloth first."));
  }
  const bool ready = web_order(r, &in, WEB_JOB_MATCH, order) & bc_apart_message_add(&in, readings.bytes, readings.size);
  if (ready) return web_have_done(r, &in, out, &task);
  bc_apart_message_clear(&in);
  return WEB_GO_ON;
}

static long asked(const web_request *r, const char *name, long usual) {
  const char *wanted = web_argument(r, name);
  return wanted ? strtol(wanted, NULL, 10) : usual;
}

static web_answer match(const web_request *r, long suggest, bool one_cloth_will_do, bc_apart_message *out) {
  bc_apart_part readings;
  json_t *order = web_collection_order(r, &readings);
  const char *light = web_argument(r, "light"), *distance = web_argument(r, "distance");
  json_t *cloths = json_object_get(order, "cloths");
  if (!order) return web_refuse_store(r);
  if (one_cloth_will_do && json_array_size(cloths) == 0)
    json_array_append_new(cloths, json_pack("{s:s,s:s}", "spec", "#808080", "name", "-"));
  json_object_set_new(order, "suggest", json_integer(suggest));
  if (light) json_object_set_new(order, "light", json_string(light));
  if (distance) json_object_set_new(order, "distance", json_real(strtod(distance, NULL)));
  return web_have_matched(r, order, readings, out);
}

web_answer web_show_match(web_request *r) {
  bc_apart_message out = {0};
  web_answer answer = match(r, asked(r, "suggest", 0), false, &out);
  if (!answer.status && out.parts)
    answer = web_text(200, "application/json", bc_copy_text(bc_apart_message_text(&out, 0)), out.part[0].size);
  bc_apart_message_clear(&out);
  return answer;
}

web_answer web_show_suggestions(web_request *r) {
  bc_apart_message out = {0};
  web_answer answer = match(r, asked(r, "n", 3), true, &out);
  if (!answer.status) {
    json_t *all = json_loads(bc_apart_message_text(&out, 0), 0, NULL);
    answer = web_json(200, json_pack("{s:O}", "suggested", json_object_get(all, "suggested")));
    json_decref(all);
  }
  bc_apart_message_clear(&out);
  return answer;
}
