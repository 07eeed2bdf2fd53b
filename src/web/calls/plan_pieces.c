/* SPDX-License-Identifier: MIT */
/* The pieces of a plan follow the photos: a new photo's piece joins without a place, sizes and titles are those that
 * are told of the photo, and a plan names no photo but its maker's own. */
#include "calls.h"
#include "web/store/trash.h"

#include <backcloth/sentences.h>
#include <stdlib.h>
#include <string.h>

static json_t *piece_of(json_t *pieces, const char *id) {
  size_t i;
  json_t *piece;
  json_array_foreach(pieces, i, piece) {
    const char *own = json_string_value(json_object_get(piece, "id"));
    if (own && strcmp(own, id) == 0) return piece;
  }
  return NULL;
}

/* One measure gives the other by the outline's shape. Until one is told the plan says "?": nothing is guessed. */
static json_t *size_or_mark(double cm) {
  return cm > 0 ? json_real(cm) : json_string("?");
}

static void sizes(const web_photo *photo, double *width, double *height) {
  json_t *facts = json_loads(photo->facts, 0, NULL);
  const json_t *box = json_object_get(facts, "cutout_box");
  const double across = json_number_value(json_array_get(box, 2)), down = json_number_value(json_array_get(box, 3));
  const double shape = across > 0 && down > 0 ? down / across : 1;
  *width = photo->width_cm > 0 ? photo->width_cm : photo->height_cm / shape;
  *height = photo->height_cm > 0 ? photo->height_cm : *width * shape;
  json_decref(facts);
}

static json_t *new_piece(const web_photo *photo) {
  char *path = bc_format("photos/%s", photo->id);
  json_t *piece = json_pack("{s:s,s:s,s:s}", "id", photo->id, "title", photo->title, "photo", path ? path : "");
  free(path);
  return piece;
}

/* Whether the piece is another one now. */
static bool follow_photo(json_t *pieces, const web_photo *photo, bool taken_back) {
  double width, height;
  sizes(photo, &width, &height);
  json_t *piece = piece_of(pieces, photo->id), *before = piece ? json_copy(piece) : NULL;
  if (!piece) json_array_append_new(pieces, piece = new_piece(photo));
  if (!before || taken_back || photo->width_cm > 0 || photo->height_cm > 0) {
    json_object_set_new(piece, "width", size_or_mark(width));
    json_object_set_new(piece, "height", size_or_mark(height));
  }
  if (photo->weight_g > 0) json_object_set_new(piece, "weight_g", json_real(photo->weight_g));
  json_object_set_new(piece, "title", json_string(photo->title));
  const bool changed = !before || !json_equal(before, piece);
  json_decref(before);
  return changed;
}

static bool follow_all(json_t *plan, const web_photos *photos, const char *taken_back) {
  json_t *pieces = json_object_get(plan, "pieces");
  bool changed = false;
  if (!pieces) json_object_set_new(plan, "pieces", pieces = json_array());
  for (size_t i = 0; i < photos->count; i++)
    changed |= follow_photo(pieces, &photos->item[i], taken_back && strcmp(taken_back, photos->item[i].id) == 0);
  return changed;
}

bool web_plan_follow_photos(const web_request *r, const char *taken_back) {
  web_revision head = {0};
  web_photos photos = {0};
  web_answer refusal = web_newest_plan(r, &head);
  bool done = !refusal.status && web_photos_of(r->server->store, r->maker, WEB_PIECES, false, &photos);
  if (done && follow_all(head.plan, &photos, taken_back)) {
    const web_revision next = {.number = head.number + 1, .undo_to = head.number, .plan = head.plan};
    done = web_plan_add(r->server->store, r->maker, &next);
  }
  web_answer_clear(&refusal);
  web_photos_clear(&photos);
  json_decref(head.plan);
  return done;
}

/* --- only its own --------------------------------------------------------------------------------------------- */

static web_answer keep_or_drop(const web_request *r, json_t *plan, const char *id) {
  char maker[WEB_ID + 1] = "";
  bool gone = false;
  const web_found found = web_maker_of(r->server->store, WEB_OF_PHOTO, id, maker, &gone);
  if (found == WEB_FAILED) return web_refuse_store(r);
  if (found == WEB_NONE || strcmp(maker, r->maker) != 0)
    return web_refuse(
        r, 404, "photo",
        N_("This plan shows a photo that is not here. Load the page again; if it was here before, restore "
           "a backup."));
  if (gone) web_plan_drop_photo(plan, id);
  return WEB_GO_ON;
}

static void gather(const json_t *value, json_t *ids) {
  const char *path = json_string_value(json_object_get(value, "photo")), *key;
  json_t *inner;
  size_t i;
  if (path && strncmp(path, "photos/", 7) == 0) json_object_set_new(ids, path + 7, json_true());
  json_object_foreach((json_t *)(uintptr_t)value, key, inner) gather(inner, ids);
  json_array_foreach(value, i, inner) gather(inner, ids);
}

web_answer web_plan_keep_to_own(const web_request *r, json_t *plan) {
  json_t *ids = json_object(), *unused;
  const char *id;
  web_answer refusal = WEB_GO_ON;
  gather(plan, ids);
  json_object_foreach(ids, id, unused) if (!refusal.status) refusal = keep_or_drop(r, plan, id);
  json_decref(ids);
  return refusal;
}
