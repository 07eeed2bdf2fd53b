/* SPDX-License-Identifier: MIT */
/* Photos that lie aside because no database knew them become pieces of a maker of their own. */
#include "found_photos.h"
#include "calls.h"

#include <backcloth/sentences.h>
#include <dirent.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static bool add(const web_request *r, web_photo *photo, const char *path, const bc_apart_message *made) {
  photo->facts = bc_copy_text(bc_apart_message_text(made, WEB_PIECE_FACTS));
  photo->reading = made->part[WEB_PIECE_READING].bytes;
  photo->reading_size = made->part[WEB_PIECE_READING].size;
  const bool done = photo->facts && web_write_made(&r->server->folder, photo->id, 1, made) &&
                    web_store_begin(r->server->store) && web_photo_keep(&r->server->folder, path, photo->hash) &&
                    web_photo_add(r->server->store, photo) && web_store_commit(r->server->store);
  if (!done) web_store_roll_back(r->server->store); /* the file comes aside again at the next start */
  photo->reading = NULL;                            /* the message's */
  return done;
}

static bool take(const web_request *r, const char *path, const char *hash, size_t number) {
  struct stat about;
  bc_apart_message made = {0};
  web_photo photo = {.name = bc_format(_("Found photo %zu"), number), .help = bc_copy_text("{}")};
  const int file = open(path, O_RDONLY | O_CLOEXEC);
  photo.title = bc_copy_text(photo.name);
  memcpy(photo.hash, hash, sizeof photo.hash - 1); /* is_hash: exactly as long */
  snprintf(photo.maker, sizeof photo.maker, "%s", r->maker);
  web_new_id(photo.id);
  bool done = file >= 0 && fstat(file, &about) == 0 && photo.name && photo.title && photo.help;
  if (done) {
    const web_decoding what = {
        .kind = WEB_JOB_PIECE, .file = file, .bytes = (uint64_t)about.st_size, .name = photo.name, .help = "{}"};
    photo.bytes = about.st_size;
    web_answer answer = web_decode(r, &what, &made);
    done = !answer.status && add(r, &photo, path, &made);
    web_answer_clear(&answer);
  }
  if (file >= 0) close(file);
  bc_apart_message_clear(&made);
  web_photo_clear(&photo);
  return done;
}

static bool is_hash(const char *name) {
  return strlen(name) == (size_t)2 * WEB_HASH && strspn(name, "0123456789abcdef") == (size_t)2 * WEB_HASH;
}

static bool follow(const web_request *r) {
  if (web_store_begin(r->server->store) && web_plan_follow_photos(r, NULL) && web_store_commit(r->server->store))
    return true;
  web_store_roll_back(r->server->store);
  return false;
}

bool web_take_found_photos(web_server *server, size_t *taken, size_t *left) {
  web_request r = {.server = server, .language = "en", .role = WEB_OWNER};
  DIR *aside = opendir(server->folder.aside);
  const struct dirent *entry;
  bool fine = aside != NULL;
  *taken = *left = 0;
  while (fine && (entry = readdir(aside))) {
    char *path = is_hash(entry->d_name) ? bc_format("%s/%s", server->folder.aside, entry->d_name) : NULL;
    if (path && !*r.maker) {
      web_new_id(r.maker);
      fine = web_maker_add(server->store, r.maker, _("Found photos"));
    }
    if (path && fine) *(take(&r, path, entry->d_name, *taken + 1) ? taken : left) += 1;
    free(path);
  }
  if (aside) closedir(aside);
  return fine && (!*taken || follow(&r));
}
