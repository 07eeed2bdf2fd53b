/* SPDX-License-Identifier: MIT */
/* A cut-out is helped: a box, strokes to keep and to drop, a white. Each starts from the image that the one before
 * left. */
#include "call_strokes.h"

#include <backcloth/sentences.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* The reduced image depends on the photo and on the white seen in it. */
static char *kept_key(const char *id, const json_t *help) {
  const json_t *white = json_object_get(help, "white");
  char *text = white ? json_dumps(white, JSON_COMPACT | JSON_ENCODE_ANY) : bc_copy_text("null");
  char *key = text ? bc_format("%s %s", id, text) : NULL;
  free(text);
  return key;
}

void web_keep_image(const web_request *r, const char *id, const json_t *help, const bc_apart_message *made) {
  char *key = made->parts > WEB_PIECE_IMAGE ? kept_key(id, help) : NULL;
  if (key) web_kept_put(&r->server->kept, key, &made->part[WEB_PIECE_IMAGE]);
  free(key);
}

static bool same_white(const char *before, const json_t *now) {
  json_t *old = json_loads(before, 0, NULL);
  json_t *first = json_object_get(old, "white"), *second = json_object_get(now, "white");
  const bool none = (!first || json_is_null(first)) && (!second || json_is_null(second));
  const bool same = none || (first && second && json_equal(first, second));
  json_decref(old);
  return same;
}

/* From the kept image, else from the photo, whose image is then kept. */
static web_answer find_again(const web_request *r, const web_photo *photo, int file, const char *help,
                             bc_apart_message *made) {
  uint64_t bytes = 0;
  char *key = kept_key(photo->id, r->json);
  const int kept = key ? web_kept_open(&r->server->kept, key, &bytes) : -1;
  const web_decoding what = {.kind = WEB_JOB_PIECE,
                             .file = kept >= 0 ? kept : file,
                             .bytes = kept >= 0 ? bytes : (uint64_t)photo->bytes,
                             .name = photo->name,
                             .help = help,
                             .wishes = json_pack("{s:b,s:b,s:b}", "previewed", same_white(photo->help, r->json),
                                                 "image", kept >= 0, "keep_image", kept < 0),
                             .urgent = true};
  const web_answer answer = web_decode(r, &what, made);
  if (!answer.status) web_keep_image(r, photo->id, r->json, made);
  if (kept >= 0) close(kept);
  free(key);
  return answer;
}

static web_answer save(const web_request *r, const web_photo *before, char *help, const bc_apart_message *made) {
  web_photo now = *before;
  now.version++;
  now.help = help;
  now.facts = (char *)(uintptr_t)bc_apart_message_text(made, WEB_PIECE_FACTS);
  now.reading = made->part[WEB_PIECE_READING].bytes;
  now.reading_size = made->part[WEB_PIECE_READING].size;
  if (web_write_made(&r->server->folder, now.id, now.version, made) && web_photo_read_anew(r->server->store, &now))
    return web_answer_photo(r, 200, now.id);
  return web_refuse_store(r);
}

static web_answer too_much_help(const web_request *r) {
  return web_refuse(r, 413, NULL,
                    N_("These are more strokes than can be kept for one photo. Undo some of them, and use fewer."));
}

web_answer web_help_photo(web_request *r) {
  if (r->body_size > WEB_HELP_MOST) return too_much_help(r);
  char *help = json_dumps(r->json, JSON_COMPACT);
  bc_apart_message made = {0};
  web_photo photo;
  int file;
  web_answer answer = web_open_photo(r, r->argument[0], &photo, &file);
  if (!answer.status && !help) answer = web_refuse_store(r);
  if (!answer.status) answer = find_again(r, &photo, file, help, &made);
  if (!answer.status) answer = save(r, &photo, help, &made);
  if (file >= 0) close(file);
  bc_apart_message_clear(&made);
  web_photo_clear(&photo);
  free(help);
  return answer;
}

/* Asked for when a photo is looked at: its reduced image is there then before the first stroke. */
static web_answer prepare(const web_request *r, const web_photo *photo, int file) {
  uint64_t bytes = 0;
  bc_apart_message made = {0};
  json_t *help = json_loads(photo->help, 0, NULL);
  char *key = kept_key(photo->id, help);
  const int kept = key ? web_kept_open(&r->server->kept, key, &bytes) : -1;
  const web_decoding what = {.kind = WEB_JOB_PIECE,
                             .file = file,
                             .bytes = (uint64_t)photo->bytes,
                             .name = photo->name,
                             .help = photo->help,
                             .wishes = json_pack("{s:b,s:b}", "previewed", 1, "keep_image", 1)};
  web_answer answer = WEB_GO_ON;
  if (kept < 0 && !photo->is_cloth)
    answer = web_decode(r, &what, &made);
  else
    json_decref(what.wishes);
  if (!answer.status) web_keep_image(r, photo->id, help, &made);
  bc_apart_message_clear(&made);
  json_decref(help);
  if (kept >= 0) close(kept);
  free(key);
  return answer;
}

web_answer web_ready_photo(web_request *r) {
  web_photo photo;
  int file;
  web_answer answer = web_open_photo(r, r->argument[0], &photo, &file);
  if (!answer.status) answer = prepare(r, &photo, file);
  if (file >= 0) close(file);
  web_photo_clear(&photo);
  return answer.status ? answer : web_json(200, json_pack("{s:b}", "ready", 1));
}
