/* SPDX-License-Identifier: MIT */
/* New photos: durable before the answer. The file goes to its place by its content's hash (written aside, fsync,
 * rename, fsync of the folder), then the row is committed; previews are derived and can be made again. */
#include "call_strokes.h"
#include "calls.h"
#include "web/http/request_words.h"

#include <backcloth/file.h>
#include <backcloth/sentences.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* --- what came ----------------------------------------------------------------------------------------------- */

static char *name_of_upload(const web_request *r) {
  const char *given = web_header(r, "X-Name");
  char *name = bc_copy_text(given && *given ? given : "photo");
  if (!name) return NULL;
  MHD_http_unescape(name);
  char *utf8 = bc_copy_utf8(bc_path_name(name));
  free(name);
  size_t end = utf8 ? strlen(utf8) : 0;
  if (end > WEB_NAME_MOST)
    for (end = WEB_NAME_MOST; end > 0 && ((uint8_t)utf8[end] & 0xC0) == 0x80; end--)
      continue; /* not within a character */
  if (utf8) utf8[end] = '\0';
  return utf8;
}

static web_answer find_room(const web_request *r) {
  web_photos photos;
  if (!web_photos_of(r->server->store, r->maker, WEB_ALL_PHOTOS, false, &photos)) return web_refuse_store(r);
  const size_t count = photos.count;
  web_photos_clear(&photos);
  if (count < WEB_PHOTOS_MOST) return WEB_GO_ON;
  return web_refuse(r, 413, NULL, N_("There are %d photos already, which is as many as fit. Delete some first."),
                    WEB_PHOTOS_MOST);
}

/* A photo whose answer was lost on the way is sent again by the page, under the same key; it is then the photo that is
 * here already, not a second one. */
#define KEY_MOST 80
static const char *key_of_sending(const web_request *r) {
  const char *key = web_header(r, "X-Sending");
  return key && *key && strlen(key) <= KEY_MOST ? key : NULL;
}

/* An answer where it came before. */
static web_answer came_before(const web_request *r) {
  char id[WEB_ID + 1];
  const char *key = key_of_sending(r);
  const web_found found = key ? web_sending_get(r->server->store, r->maker, key, id) : WEB_NONE;
  if (found == WEB_FAILED) return web_refuse_store(r);
  return found == WEB_FOUND ? web_answer_photo(r, 200, id) : WEB_GO_ON;
}

/* --- keeping it ----------------------------------------------------------------------------------------------- */

static bool add_rows(const web_request *r, web_photo *photo) {
  const char *key = key_of_sending(r);
  return web_photo_keep(&r->server->folder, r->upload_path, photo->hash) && web_photo_add(r->server->store, photo) &&
         (!key || web_sending_put(r->server->store, r->maker, key, photo->id)) &&
         web_maker_changed(r->server->store, r->maker) && web_plan_follow_photos(r, NULL);
}

/* The rename is within the transaction, so that the photo of a row that is just being erased is not taken along. */
static web_answer save(const web_request *r, web_photo *photo, const bc_apart_message *made) {
  if (fsync(r->upload) != 0 || !web_write_made(&r->server->folder, photo->id, 1, made) ||
      !web_store_begin(r->server->store))
    return web_refuse_store(r);
  const web_answer before = came_before(r); /* while this one was decoded */
  if (!before.status && add_rows(r, photo) && web_store_commit(r->server->store)) return WEB_GO_ON;
  web_store_roll_back(r->server->store);
  return before.status ? before : web_refuse_store(r);
}

static void describe(web_request *r, web_photo *photo, const bc_apart_message *made) {
  uint8_t hash[WEB_HASH];
  crypto_generichash_final(&r->hash, hash, sizeof hash);
  sodium_bin2hex(photo->hash, sizeof photo->hash, hash, sizeof hash);
  web_new_id(photo->id);
  snprintf(photo->maker, sizeof photo->maker, "%s", r->maker);
  photo->title = bc_path_title(photo->name);
  photo->facts = bc_copy_text(bc_apart_message_text(made, WEB_PIECE_FACTS));
  photo->bytes = (int64_t)r->upload_size;
}

static web_answer decode_new(const web_request *r, const web_photo *photo, bc_apart_message *made) {
  const web_decoding what = {.kind = WEB_JOB_PIECE,
                             .file = r->upload,
                             .bytes = r->upload_size,
                             .name = photo->name,
                             .help = photo->help,
                             .wishes = json_pack("{s:b}", "keep_image", !photo->is_cloth)};
  return web_decode(r, &what, made);
}

static web_answer take(web_request *r, web_photo *photo) {
  bc_apart_message made = {0};
  web_answer answer = decode_new(r, photo, &made);
  if (!answer.status) {
    describe(r, photo, &made);
    photo->reading = made.part[WEB_PIECE_READING].bytes;
    photo->reading_size = made.part[WEB_PIECE_READING].size;
    answer = photo->title && photo->facts ? save(r, photo, &made) : web_refuse_store(r);
    photo->reading = NULL; /* the message's */
  }
  if (!answer.status) {
    web_keep_image(r, photo->id, NULL, &made);
    answer = web_answer_photo(r, 201, photo->id);
  }
  bc_apart_message_clear(&made);
  return answer;
}

/* A photo and its bytes go off what the invitation still allows before anything is decoded. */
static web_answer spend(const web_request *r) {
  const web_found done = *r->link ? web_link_spend(r->server->store, r->link, (int64_t)r->upload_size) : WEB_FOUND;
  if (done == WEB_FAILED) return web_refuse_store(r);
  if (done == WEB_FOUND) return WEB_GO_ON;
  return web_refuse(r, 413, NULL, N_("This link has taken as many photos as it may. Ask for a new one."));
}

/* An upload that broke off before its first byte, or a file that is still in the cloud. */
static web_answer not_empty(const web_request *r) {
  if (r->upload_size > 0) return WEB_GO_ON;
  return web_refuse(r, 422, NULL, N_("This file is empty. Open it on your device first, then add it again."));
}

web_answer web_add_photo(web_request *r) {
  const char *kind = web_argument(r, "kind");
  web_photo photo = {.is_cloth = kind && strcmp(kind, "cloth") == 0};
  web_answer answer = not_empty(r);
  if (!answer.status) answer = came_before(r);
  if (!answer.status) answer = find_room(r);
  if (!answer.status) answer = spend(r);
  if (answer.status) return answer;
  photo.name = name_of_upload(r);
  photo.help = bc_copy_text(photo.is_cloth ? "{\"cloth\":true}" : "{}");
  answer = photo.name && photo.help ? take(r, &photo) : web_refuse_store(r);
  if (answer.status != 201 && *r->link) web_link_unspend(r->server->store, r->link, (int64_t)r->upload_size);
  web_photo_clear(&photo);
  return answer;
}
