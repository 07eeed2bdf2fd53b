/* SPDX-License-Identifier: MIT */
/* The weakest piece: the one that is least clear on the cloth that serves best. The need: bc_feedback_need on the wall
 * as it is, as on a feedback sheet. Both are kept until photos, cloths or the wall change. */
#include "maker_figures.h"

#include <backcloth/feedback.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define PLAIN_CLOTH "#d9d0c1" /* undyed linen: what a plan hangs that names no cloth */

/* Its place among the maker's cloths by the name that the match gives it, or a colour of its own, malloc'd. */
static char *wall_spec(const json_t *cloth) {
  const char *photo = json_string_value(json_object_get(cloth, "photo"));
  const char *colour = json_string_value(json_object_get(cloth, "colour"));
  if (photo && strncmp(photo, "photos/", 7) == 0) return bc_format("photo:%s", photo + 7);
  return bc_copy_text(colour ? colour : PLAIN_CLOTH);
}

static json_t *cloth_with_spec(const json_t *cloths, const char *key, const char *spec) {
  size_t i;
  json_t *cloth;
  json_array_foreach(cloths, i, cloth) {
    const char *own = json_string_value(json_object_get(cloth, key));
    if (own && strcmp(own, spec) == 0) return cloth;
  }
  return NULL;
}

/* `first` of the match's cloths that is not only the wall's. */
static json_t *weakest_on(const json_t *cloth, const web_photos *photos) {
  const json_t *pieces = json_object_get(cloth, "pieces");
  double least = INFINITY;
  json_t *piece, *found = NULL;
  size_t i;
  json_array_foreach(pieces, i, piece) {
    const double clarity = json_number_value(json_object_get(piece, "clarity"));
    if (clarity >= least || i >= photos->count) continue;
    least = clarity;
    json_decref(found);
    found = json_pack("{s:s,s:O,s:f}", "photo", photos->item[i].id, "verdict", json_object_get(piece, "verdict"),
                      "score", 100 * clarity);
  }
  return found ? found : json_null();
}

static double need_on(const json_t *cloth) {
  const json_t *pieces = json_object_get(cloth, "pieces");
  size_t lost = 0, i;
  json_t *piece;
  json_array_foreach(pieces, i, piece) lost +=
      strcmp(json_string_value(json_object_get(piece, "verdict")), "gets lost") == 0;
  return bc_feedback_need(json_array_size(pieces), lost, json_number_value(json_object_get(cloth, "score"))) / 100;
}

/* The cloth that ranks first among the maker's own. */
static json_t *best_of(const json_t *ranked, const json_t *own) {
  size_t i;
  json_t *cloth;
  json_array_foreach(ranked, i, cloth) {
    const char *spec = json_string_value(json_object_get(cloth, "cloth"));
    if (spec && cloth_with_spec(own, "spec", spec)) return cloth;
  }
  return NULL;
}

static json_t *figures_from(const web_request *r, const char *answer, const json_t *own, const char *wall) {
  json_t *all = json_loads(answer, 0, NULL), *ranked = json_object_get(all, "cloths"), *best = best_of(ranked, own);
  const json_t *hung = cloth_with_spec(ranked, "cloth", wall);
  web_photos photos = {0};
  json_t *figures = NULL;
  if (all && web_photos_of(r->server->store, r->maker, WEB_PIECES, false, &photos))
    figures = json_pack("{s:o,s:f}", "weakest", best ? weakest_on(best, &photos) : json_null(), "need",
                        need_on(hung ? hung : json_array_get(ranked, 0)));
  web_photos_clear(&photos);
  json_decref(all);
  return figures;
}

/* The wall's cloth joins the maker's own unless it is one of them; a photo of cloth that is none of them any more
 * leaves the need to the cloth that ranks first. */
static void add_wall(json_t *cloths, const char *wall) {
  if (!cloth_with_spec(cloths, "spec", wall) && (strncmp(wall, "photo:", 6) != 0 || json_array_size(cloths) == 0))
    json_array_append_new(
        cloths, json_pack("{s:s,s:s}", "spec", strncmp(wall, "photo:", 6) == 0 ? PLAIN_CLOTH : wall, "name", "-"));
}

static web_answer find(const web_request *r, const char *wall, json_t **out) {
  bc_apart_part readings = {0};
  bc_apart_message got = {0};
  json_t *order = web_collection_order(r, &readings);
  if (!order) return web_refuse_store(r);
  json_t *cloths = json_object_get(order, "cloths"), *own = json_deep_copy(cloths);
  add_wall(cloths, wall);
  const web_answer refusal = web_have_matched(r, order, readings, &got);
  if (!refusal.status) *out = figures_from(r, bc_apart_message_text(&got, 0), own, wall);
  json_decref(own);
  bc_apart_message_clear(&got);
  return refusal;
}

static web_answer wall_of(const web_request *r, const web_maker *maker, char **wall) {
  web_revision plan = {0};
  json_t *cloth = maker->wall ? json_loads(maker->wall, 0, NULL) : NULL;
  const web_answer refusal = cloth ? WEB_GO_ON : web_newest_plan(r, &plan);
  *wall = refusal.status ? NULL : wall_spec(cloth ? cloth : json_object_get(plan.plan, "cloth"));
  json_decref(cloth);
  json_decref(plan.plan);
  return !refusal.status && !*wall ? web_refuse_store(r) : refusal;
}

/* Nobody's photos yet, and pieces that get lost, need a mentor most. */
static json_t *without_pieces(void) {
  return json_pack("{s:n,s:f}", "weakest", "need", 0.5);
}

web_answer web_figures_found(const web_request *r, const web_maker *maker, json_t **out) {
  char *wall = NULL;
  *out = web_figures_kept(maker);
  if (*out) return WEB_GO_ON;
  web_answer refusal = wall_of(r, maker, &wall);
  if (!refusal.status) refusal = find(r, wall, out);
  free(wall);
  char *text = *out ? json_dumps(*out, JSON_COMPACT | JSON_REAL_PRECISION(15)) : NULL;
  if (text) web_figures_put(r->server->store, maker->id, maker->stamp, text); /* else it is found anew the next time */
  free(text);
  if (refusal.status == 409) { /* no piece after all */
    web_answer_clear(&refusal);
    *out = without_pieces();
  }
  return refusal;
}

json_t *web_figures_kept(const web_maker *maker) {
  if (maker->pieces == 0) return without_pieces();
  return maker->figures ? json_loads(maker->figures, 0, NULL) : NULL;
}
