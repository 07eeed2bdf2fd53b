/* SPDX-License-Identifier: MIT */
/* What is told of a photo, and its way to the trash and back. */
#include "calls.h"
#include "web/store/trash.h"

#include <backcloth/sentences.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef bool changing(const web_request *r, web_answer *refusal);

/* All or nothing, and the plan with it. */
static web_answer change(const web_request *r, changing *act) {
  web_answer refusal = WEB_GO_ON;
  if (!web_store_begin(r->server->store)) return web_refuse_store(r);
  if (act(r, &refusal) && web_store_commit(r->server->store)) return web_answer_photo(r, 200, r->argument[0]);
  web_store_roll_back(r->server->store);
  return refusal.status ? refusal : web_refuse_store(r);
}

/* --- sizes and title ----------------------------------------------------------------------------------------- */

static bool set_measure(const web_request *r, const char *key, web_measure which, web_answer *refusal) {
  const json_t *value = json_object_get(r->json, key);
  const double number = json_number_value(value);
  if (!value) return true;
  if (json_is_null(value) || (number > 0 && number < 1e7))
    return web_photo_set_measure(r->server->store, r->argument[0], which, number);
  *refusal = web_refuse(r, 422, key, N_("A size or weight must be a number above 0."));
  return false;
}

static bool set_title(const web_request *r, web_answer *refusal) {
  const char *title = web_given(r, "title");
  if (!title) return true;
  if (web_is_text(title, WEB_NAME_MOST, false)) return web_photo_set_title(r->server->store, r->argument[0], title);
  *refusal = web_refuse(r, 422, "title", N_("Give a title of at most 200 characters."));
  return false;
}

/* The size was known and is taken back. */
static bool is_taken_back(const web_request *r) {
  return json_is_null(json_object_get(r->json, "width_cm")) && json_is_null(json_object_get(r->json, "height_cm"));
}

static bool tell(const web_request *r, web_answer *refusal) {
  return set_measure(r, "width_cm", WEB_WIDTH, refusal) && set_measure(r, "height_cm", WEB_HEIGHT, refusal) &&
         set_measure(r, "weight_g", WEB_WEIGHT, refusal) && set_title(r, refusal) &&
         web_plan_follow_photos(r, is_taken_back(r) ? r->argument[0] : NULL);
}

web_answer web_change_photo(web_request *r) {
  return change(r, tell);
}

/* --- trash ---------------------------------------------------------------------------------------------------- */

/* The plan before and after, so that it comes back as it stood: the difference is merged into the plan of then. */
static bool take_away(const web_request *r, web_answer *refusal) {
  web_revision head = {0};
  *refusal = web_newest_plan(r, &head);
  if (refusal->status) return false;
  json_t *before = json_deep_copy(head.plan);
  char *stood = NULL;
  bool done = before != NULL;
  if (done && web_plan_drop_photo(head.plan, r->argument[0])) {
    json_t *both = json_pack("{s:O,s:O}", "before", before, "after", head.plan);
    const web_revision next = {.number = head.number + 1, .undo_to = head.number, .plan = head.plan};
    stood = both ? web_plan_text(both) : NULL;
    json_decref(both);
    done = stood && web_plan_add(r->server->store, r->maker, &next);
  }
  done = done && web_photo_delete(r->server->store, r->argument[0], stood);
  json_decref(before);
  json_decref(head.plan);
  free(stood);
  return done;
}

static bool put_back(const web_request *r, const char *text, web_answer *refusal) {
  web_revision head = {0};
  *refusal = web_newest_plan(r, &head);
  if (refusal->status) return false;
  json_t *both = json_loads(text, 0, NULL), *overruled = json_array();
  json_t *plan = web_merge(json_object_get(both, "after"), json_object_get(both, "before"), head.plan, overruled);
  const web_revision next = {.number = head.number + 1, .undo_to = head.number, .plan = plan};
  const bool done = both && plan && web_plan_add(r->server->store, r->maker, &next);
  json_decref(plan);
  json_decref(both);
  json_decref(overruled);
  json_decref(head.plan);
  return done;
}

static bool bring_back(const web_request *r, web_answer *refusal) {
  web_photo photo;
  bool done = web_photo_get(r->server->store, r->argument[0], &photo) == WEB_FOUND;
  if (done && photo.deleted)
    done = (!photo.stood || put_back(r, photo.stood, refusal)) && web_photo_restore(r->server->store, photo.id) &&
           web_plan_follow_photos(r, NULL);
  web_photo_clear(&photo);
  return done;
}

web_answer web_delete_photo(web_request *r) {
  const char *wanted = web_argument(r, "for");
  if (!wanted || strcmp(wanted, "ever") != 0) return change(r, take_away);
  const web_found done = web_photo_forget(r->server->store, &r->server->folder, r->argument[0]);
  if (done == WEB_NONE) return web_refuse(r, 409, NULL, N_("Put it into the trash first."));
  return done == WEB_FOUND ? web_json(200, json_object()) : web_refuse_store(r);
}

web_answer web_restore_photo(web_request *r) {
  return change(r, bring_back);
}
