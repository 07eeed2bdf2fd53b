/* SPDX-License-Identifier: MIT */
/* The mentor's desk: makers, those most in need first, and what is done with one. */
#include "calls.h"
#include "maker_figures.h"

#include <backcloth/sentences.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static int by_need(const void *first, const void *second) {
  const double a = json_number_value(json_object_get(*(json_t *const *)first, "need"));
  const double b = json_number_value(json_object_get(*(json_t *const *)second, "need"));
  return (a < b) - (a > b);
}

static json_t *sorted_by_need(json_t *list) {
  const size_t count = json_array_size(list);
  json_t **order = bc_allocate(count, sizeof *order), *sorted = order ? json_array() : NULL;
  for (size_t i = 0; order && i < count; i++) order[i] = json_array_get(list, i);
  if (order) qsort(order, count, sizeof *order, by_need);
  for (size_t i = 0; order && i < count; i++) json_array_append(sorted, order[i]);
  free(order);
  json_decref(list);
  return sorted;
}

static json_t *maker_line(const web_maker *maker) {
  return json_pack("{s:s,s:s,s:I,s:s?,s:I,s:I}", "id", maker->id, "name", maker->name, "photos",
                   (json_int_t)maker->pieces, "photo", *maker->newest ? maker->newest : NULL, "comments",
                   (json_int_t)maker->remarks, "changed", (json_int_t)maker->changed);
}

/* With ?figures=kept only what is known already is told, and "waiting" where it is not: rows first. */
static web_answer add_figures(web_request *r, const web_maker *maker, json_t *line) {
  const char *wanted = web_argument(r, "figures");
  json_t *figures = web_figures_kept(maker);
  web_answer refusal = WEB_GO_ON;
  snprintf(r->maker, sizeof r->maker, "%s", maker->id);
  if (!figures && wanted && strcmp(wanted, "kept") == 0)
    figures = json_pack("{s:n,s:n,s:b}", "weakest", "need", "waiting", 1);
  if (!figures) refusal = web_figures_found(r, maker, &figures);
  json_object_update(line, figures);
  json_decref(figures);
  return refusal;
}

web_answer web_list_makers(web_request *r) {
  const char *shelf = web_argument(r, "shelf");
  web_makers makers;
  if (!web_makers_list(r->server->store, shelf && strcmp(shelf, "archive") == 0 ? WEB_ARCHIVED : WEB_ON_DESK, &makers))
    return web_refuse_store(r);
  json_t *list = json_array();
  web_answer refusal = WEB_GO_ON;
  for (size_t i = 0; !refusal.status && i < makers.count; i++) {
    json_t *line = maker_line(&makers.item[i]);
    refusal = add_figures(r, &makers.item[i], line);
    json_array_append_new(list, line);
  }
  web_makers_clear(&makers);
  if (!refusal.status) return web_json(200, sorted_by_need(list));
  json_decref(list);
  return refusal;
}

/* What a row of the list still waits for. */
web_answer web_show_figures(web_request *r) {
  web_maker maker;
  json_t *figures = NULL;
  if (web_maker_get(r->server->store, r->maker, &maker) != WEB_FOUND) return web_refuse_store(r);
  const web_answer refusal = web_figures_found(r, &maker, &figures);
  web_maker_clear(&maker);
  return refusal.status ? refusal : web_json(200, figures);
}

static web_answer name_given(const web_request *r, const char **name) {
  *name = web_given(r, "name");
  if (*name && **name && web_is_text(*name, WEB_NAME_MOST, false)) return WEB_GO_ON;
  return web_refuse(r, 422, "name", N_("Give a name of at most 200 characters."));
}

static web_answer answer_maker(const web_request *r, bool done, unsigned status) {
  char *name = NULL;
  if (!done || web_maker_name(r->server->store, r->maker, &name) != WEB_FOUND) return web_refuse_store(r);
  const web_answer answer = web_json(status, json_pack("{s:s,s:s}", "id", r->maker, "name", name));
  free(name);
  return answer;
}

web_answer web_add_maker(web_request *r) {
  const char *name;
  const web_answer refusal = name_given(r, &name);
  if (refusal.status) return refusal;
  web_new_id(r->maker);
  return answer_maker(r, web_maker_add(r->server->store, r->maker, name), 201);
}

web_answer web_rename_maker(web_request *r) {
  const char *name;
  const web_answer refusal = name_given(r, &name);
  return refusal.status ? refusal : answer_maker(r, web_maker_rename(r->server->store, r->maker, name), 200);
}

static bool for_ever(const web_request *r) {
  const char *wanted = web_argument(r, "for");
  return wanted && strcmp(wanted, "ever") == 0;
}

web_answer web_delete_maker(web_request *r) {
  if (!for_ever(r)) return answer_maker(r, web_maker_move(r->server->store, r->maker, WEB_IN_TRASH), 200);
  const web_found done = web_maker_forget(r->server->store, &r->server->folder, r->maker);
  if (done == WEB_NONE) return web_refuse(r, 409, NULL, N_("Put it into the trash first."));
  return done == WEB_FOUND ? web_json(200, json_object()) : web_refuse_store(r);
}

web_answer web_restore_maker(web_request *r) {
  return answer_maker(r, web_maker_move(r->server->store, r->maker, WEB_ON_DESK), 200);
}

web_answer web_archive_maker(web_request *r) {
  return answer_maker(r, web_maker_move(r->server->store, r->maker, WEB_ARCHIVED), 200);
}

/* --- one maker ------------------------------------------------------------------------------------------------ */

static json_t *photos_json(const web_request *r, bool deleted) {
  web_photos photos;
  if (!web_photos_of(r->server->store, r->maker, WEB_ALL_PHOTOS, deleted, &photos)) return NULL;
  json_t *list = json_array();
  for (size_t i = 0; i < photos.count; i++) {
    json_t *one = web_photo_json(r, &photos.item[i]);
    if (deleted) json_object_set_new(one, "deleted", json_integer((json_int_t)photos.item[i].deleted));
    json_array_append_new(list, one);
  }
  web_photos_clear(&photos);
  return list;
}

static json_t *whole_maker(const web_request *r, const char *name, const web_revision *plan) {
  json_t *photos = photos_json(r, false), *cloths = web_cloths_json(r), *remarks = web_remarks_json(r);
  json_t *links = r->role == WEB_OWNER ? web_links_json(r) : NULL, *all = NULL;
  if (photos && cloths && remarks && (links || r->role != WEB_OWNER))
    all = json_pack("{s:s,s:s,s:O,s:O,s:O,s:I,s:O,s:O*}", "id", r->maker, "name", name, "photos", photos, "cloths",
                    cloths, "plan", plan->plan, "revision", (json_int_t)plan->number, "comments", remarks, "links",
                    links);
  json_decref(photos);
  json_decref(cloths);
  json_decref(remarks);
  json_decref(links);
  return all;
}

web_answer web_show_maker(web_request *r) {
  char *name = NULL;
  web_revision plan = {0};
  if (web_maker_name(r->server->store, r->maker, &name) != WEB_FOUND) return web_refuse_store(r);
  web_answer answer = web_newest_plan(r, &plan);
  json_t *all = answer.status ? NULL : whole_maker(r, name, &plan);
  if (!answer.status) answer = all ? web_json(200, all) : web_refuse_store(r);
  json_decref(plan.plan);
  free(name);
  return answer;
}

/* --- the trash ------------------------------------------------------------------------------------------------- */

/* Makers in the trash, or the photos of one maker in it. */
web_answer web_show_trash(web_request *r) {
  web_makers makers;
  if (r->route->of == WEB_OF_MAKER) {
    json_t *photos = photos_json(r, true);
    return photos ? web_json(200, json_pack("{s:o}", "photos", photos)) : web_refuse_store(r);
  }
  if (!web_makers_list(r->server->store, WEB_IN_TRASH, &makers)) return web_refuse_store(r);
  json_t *list = json_array();
  for (size_t i = 0; i < makers.count; i++) {
    json_t *line = maker_line(&makers.item[i]);
    json_object_set_new(line, "deleted", json_integer((json_int_t)makers.item[i].deleted));
    json_array_append_new(list, line);
  }
  web_makers_clear(&makers);
  return web_json(200, json_pack("{s:o}", "makers", list));
}
