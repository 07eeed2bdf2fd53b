/* SPDX-License-Identifier: MIT */
/* Orders for drawings: which photos are needed, opened by decoders, and what is to be said of them. */
#include "drawing_order.h"

#include <backcloth/sentences.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <unistd.h>

/* --- studies as open files ------------------------------------------------------------------------------------- */

static int file_of(const bc_apart_part *part) {
  const int file = memfd_create("study", MFD_CLOEXEC);
  size_t at = 0;
  while (file >= 0 && at < part->size) {
    const ssize_t done = write(file, part->bytes + at, part->size - at);
    if (done <= 0) break;
    at += (size_t)done;
  }
  return file;
}

/* Opens the study of one photo; *number is its place among the files, null where there is no photo: -1. */
static web_answer give_study(const web_request *r, bc_apart_message *in, const char *photo, json_t **number) {
  bc_apart_message made = {0};
  *number = NULL;
  if (photo && strncmp(photo, "photos/", 7) == 0 && in->files < BC_APART_FILES) {
    const web_answer refusal = web_decode_stored(r, photo + 7, WEB_JOB_STUDY, NULL, &made);
    const int file = !refusal.status && made.parts == 1 ? file_of(&made.part[0]) : -1;
    bc_apart_message_clear(&made);
    if (refusal.status) return refusal;
    if (file >= 0) {
      *number = json_integer(in->files);
      in->file[in->files++] = file;
    }
  }
  if (!*number) *number = json_integer(-1);
  return WEB_GO_ON;
}

/* Of each thing's "photo": a piece's path in the plan, or the id of a cloth's. */
static web_answer give_studies(const web_request *r, bc_apart_message *in, const json_t *things, json_t *numbers) {
  web_answer refusal = WEB_GO_ON;
  for (size_t i = 0; !refusal.status && i < json_array_size(things); i++) {
    const char *photo = json_string_value(json_object_get(json_array_get(things, i), "photo"));
    char *path = photo && !strchr(photo, '/') ? bc_format("photos/%s", photo) : bc_copy_text(photo);
    json_t *number;
    refusal = give_study(r, in, path, &number);
    free(path);
    if (!refusal.status) json_array_append_new(numbers, number);
  }
  return refusal;
}

static web_answer order_studies(const web_request *r, web_drawing *out, const char *key, const json_t *things) {
  json_t *numbers = json_array();
  const web_answer refusal = give_studies(r, &out->studies, things, numbers);
  json_object_set_new(out->order, key, numbers);
  return refusal;
}

static web_answer order_study(const web_request *r, web_drawing *out, const char *key, const char *photo) {
  json_t *number;
  const web_answer refusal = give_study(r, &out->studies, photo, &number);
  if (!refusal.status) json_object_set_new(out->order, key, number);
  return refusal;
}

static const char *photo_of_wall(const json_t *plan) {
  return json_string_value(json_object_get(json_object_get(plan, "cloth"), "photo"));
}

static bc_apart_part part_of(const json_t *plan) {
  char *text = web_plan_text(plan);
  return (bc_apart_part){(uint8_t *)text, text ? strlen(text) : 0};
}

/* --- the plan ---------------------------------------------------------------------------------------------------- */

web_answer web_order_plan(const web_request *r, const char *file, web_drawing *out) {
  (void)file;
  const char *crowd = web_argument(r, "crowd");
  web_revision head = {0};
  web_answer refusal = web_newest_plan(r, &head);
  out->order = json_pack("{s:i}", "crowd", crowd ? atoi(crowd) : 4);
  if (!refusal.status) refusal = order_studies(r, out, "studies", json_object_get(head.plan, "pieces"));
  if (!refusal.status) refusal = order_study(r, out, "cloth", photo_of_wall(head.plan));
  if (!refusal.status) out->part = part_of(head.plan);
  json_decref(head.plan);
  return refusal;
}

/* --- the board ---------------------------------------------------------------------------------------------------- */

/* The maker's pieces as things with a photo. */
static json_t *pieces_of(const web_request *r) {
  web_photos photos;
  if (!web_photos_of(r->server->store, r->maker, WEB_PIECES, false, &photos)) return NULL;
  json_t *list = json_array();
  for (size_t i = 0; i < photos.count; i++) json_array_append_new(list, json_pack("{s:s}", "photo", photos.item[i].id));
  web_photos_clear(&photos);
  return list;
}

/* ?cloths=C1,C2 as places in the maker's list, else its first two. */
static web_answer order_two_cloths(const web_request *r, const json_t *cloths, json_t *order) {
  const char *wanted = web_argument(r, "cloths"), *comma = wanted ? strchr(wanted, ',') : NULL;
  int place[2] = {wanted ? -1 : 0, wanted ? -1 : 1};
  json_t *cloth;
  size_t i;
  json_array_foreach(cloths, i, cloth) {
    const char *id = json_string_value(json_object_get(cloth, "id"));
    if (comma && strlen(id) == (size_t)(comma - wanted) && strncmp(wanted, id, strlen(id)) == 0) place[0] = (int)i;
    if (comma && strcmp(comma + 1, id) == 0) place[1] = (int)i;
  }
  if (place[0] < 0 || place[1] < 0 || place[0] == place[1] || json_array_size(cloths) < 2)
    return web_refuse(r, 409, "cloths", N_("Choose two cloths of this maker to compare."));
  json_object_set_new(order, "compare", json_pack("[i,i]", place[0], place[1]));
  return WEB_GO_ON;
}

web_answer web_order_board(const web_request *r, const char *file, web_drawing *out) {
  out->order = web_collection_order(r, &out->part);
  json_t *cloths = web_cloths_json(r), *pieces = pieces_of(r);
  web_answer refusal = WEB_GO_ON;
  if (!out->order || !cloths || !pieces)
    refusal = web_refuse_store(r);
  else if (json_array_size(cloths) == 0 || json_array_size(pieces) == 0)
    refusal = web_refuse(r, 409, NULL, N_("Add a photo of a piece and a cloth first."));
  else if (strncmp(file, "compare", 7) == 0)
    refusal = order_two_cloths(r, cloths, out->order);
  if (!refusal.status) refusal = order_studies(r, out, "studies", pieces);
  if (!refusal.status) refusal = order_studies(r, out, "cloth_studies", cloths);
  json_decref(cloths);
  json_decref(pieces);
  return refusal;
}

/* --- feedback ------------------------------------------------------------------------------------------------------
 */

static size_t place_of_photo(const json_t *cloths, const char *photo) {
  size_t i = 0;
  while (i < json_array_size(cloths)) {
    const char *own = json_string_value(json_object_get(json_array_get(cloths, i), "photo"));
    if (own && strcmp(own, photo) == 0) return i;
    i++;
  }
  return SIZE_MAX;
}

/* The cloth that the plan hangs, when it is a photo: one of the maker's, or one that is no longer among them. */
static web_answer order_wall(const web_request *r, web_drawing *out, const json_t *plan, const json_t *cloths) {
  const char *path = photo_of_wall(plan);
  web_photo photo;
  if (!path || strncmp(path, "photos/", 7) != 0) return WEB_GO_ON;
  const size_t place = place_of_photo(cloths, path + 7);
  if (place != SIZE_MAX) {
    json_object_set_new(out->order, "wall_cloth", json_integer((json_int_t)place));
    return WEB_GO_ON;
  }
  const web_answer refusal = order_study(r, out, "cloth", path);
  if (!refusal.status && web_photo_get(r->server->store, path + 7, &photo) == WEB_FOUND)
    json_object_set_new(out->order, "wall_name", json_string(photo.title));
  if (!refusal.status) web_photo_clear(&photo);
  return refusal;
}

/* A piece without a photo has the size that its plan says. NULL: the store failed. */
static json_t *sizes_known(const web_request *r, const json_t *pieces) {
  json_t *known = json_array(), *piece;
  size_t i;
  json_array_foreach(pieces, i, piece) {
    const char *path = json_string_value(json_object_get(piece, "photo"));
    web_photo photo = {.width_cm = 1};
    const bool own = path && strncmp(path, "photos/", 7) == 0;
    const web_found found = own ? web_photo_get(r->server->store, path + 7, &photo) : WEB_NONE;
    json_array_append_new(known, json_boolean(photo.width_cm > 0 || photo.height_cm > 0));
    if (own) web_photo_clear(&photo);
    if (found != WEB_FAILED) continue;
    json_decref(known);
    return NULL;
  }
  return known;
}

/* What the mentor remarked and is still open. */
static json_t *open_remarks(const web_request *r) {
  web_remarks remarks;
  bc_buffer all = {0};
  if (!web_remarks_of(r->server->store, r->maker, &remarks)) return NULL;
  for (size_t i = 0; i < remarks.count; i++)
    if (!remarks.item[i].done && !*remarks.item[i].answers) bc_buffer_add(&all, "%s\n", remarks.item[i].text);
  web_remarks_clear(&remarks);
  json_t *text = all.text && !all.failed ? json_string(all.text) : json_null();
  bc_buffer_clear(&all);
  return text;
}

static web_answer describe(const web_request *r, const json_t *plan, web_drawing *out) {
  char *name = NULL;
  json_t *known = sizes_known(r, json_object_get(plan, "pieces")), *cloths = web_cloth_orders(r);
  json_t *remarks = open_remarks(r);
  if (known && cloths && remarks && web_maker_name(r->server->store, r->maker, &name) == WEB_FOUND)
    out->order = json_pack("{s:O,s:O,s:s,s:O}", "sizes_known", known, "cloths", cloths, "name", name, "notes", remarks);
  json_decref(known);
  json_decref(cloths);
  json_decref(remarks);
  free(name);
  return out->order ? WEB_GO_ON : web_refuse_store(r);
}

web_answer web_order_feedback(const web_request *r, const char *file, web_drawing *out) {
  (void)file;
  web_revision head = {0};
  json_t *cloths = web_cloths_json(r);
  web_answer refusal = cloths ? web_newest_plan(r, &head) : web_refuse_store(r);
  if (!refusal.status) refusal = describe(r, head.plan, out);
  if (!refusal.status) refusal = order_studies(r, out, "studies", json_object_get(head.plan, "pieces"));
  if (!refusal.status) refusal = order_studies(r, out, "cloth_studies", cloths);
  if (!refusal.status) refusal = order_wall(r, out, head.plan, cloths);
  if (!refusal.status) out->part = part_of(head.plan);
  json_decref(cloths);
  json_decref(head.plan);
  return refusal;
}
