/* SPDX-License-Identifier: MIT */
/* Photos on their way to a decoder, and the pictures that come back. */
#include "calls.h"

#include <backcloth/file.h>
#include <backcloth/sentences.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* Passed time, also that of other work on the same machine: so whoever steps back is given more of it. */
#define URGENT_MS 30000
#define PATIENT_MS 60000

web_answer web_decode(const web_request *r, const web_decoding *what, bc_apart_message *out) {
  const web_task task = {true, what->urgent, what->urgent ? URGENT_MS : PATIENT_MS, what->name};
  bc_apart_message in;
  json_t *help = what->help ? json_loads(what->help, 0, NULL) : NULL;
  json_t *order = json_pack("{s:s,s:I,s:o*}", "name", what->name, "bytes", (json_int_t)what->bytes, "help", help);
  json_object_update(order, what->wishes);
  json_decref(what->wishes);
  *out = (bc_apart_message){0};
  const int copy = fcntl(what->file, F_DUPFD_CLOEXEC, 3);
  if (!web_order(r, &in, what->kind, order) || copy < 0 || lseek(copy, 0, SEEK_SET) != 0) {
    if (copy >= 0) close(copy);
    bc_apart_message_clear(&in);
    return web_refuse(r, 503, what->name, N_("There is too much to do just now. Try again in a minute."));
  }
  in.file[in.files++] = copy;
  return web_have_done(r, &in, out, &task);
}

web_answer web_open_photo(const web_request *r, const char *id, web_photo *photo, int *file) {
  const web_found found = web_photo_get(r->server->store, id, photo);
  *file = -1;
  if (found == WEB_FAILED) return web_refuse_store(r);
  if (found == WEB_FOUND && strcmp(photo->maker, r->maker) == 0) { /* a plan may name somebody else's */
    char *path = web_photo_path(&r->server->folder, photo->hash);
    if (path) *file = open(path, O_RDONLY | O_CLOEXEC);
    free(path);
  }
  if (*file >= 0) return WEB_GO_ON;
  return web_refuse(r, 404, NULL,
                    N_("The file of this photo is missing from the data folder. Restore it from a backup."));
}

web_answer web_decode_stored(const web_request *r, const char *id, uint32_t kind, const char *new_help,
                             bc_apart_message *out) {
  web_photo photo;
  int file;
  *out = (bc_apart_message){0};
  web_answer answer = web_open_photo(r, id, &photo, &file);
  const web_decoding what = {kind, file, (uint64_t)photo.bytes, photo.name, new_help ? new_help : photo.help,
                             NULL, true};
  if (!answer.status) answer = web_decode(r, &what, out);
  if (file >= 0) close(file);
  web_photo_clear(&photo);
  return answer;
}

/* --- pictures that come back ------------------------------------------------------------------------------- */

static bool write_one(const char *path, const bc_apart_part *part) {
  bc_context *context = NULL;
  bc_file_writer *writer = NULL;
  bool done = path && bc_context_new(&context) == BC_OK && bc_file_writer_open(&writer, context, path) == BC_OK;
  if (done) {
    bc_file_writer_write(writer, part->bytes, part->size);
    done = bc_file_writer_commit(writer, context) == BC_OK;
  }
  bc_context_free(context);
  return done;
}

static bool write_named(const web_folder *folder, const char *id, int64_t version, const char *what,
                        const bc_apart_part *part) {
  char *path = web_made_path(folder, id, version, what);
  const bool done = write_one(path, part);
  free(path);
  return done;
}

/* A preview that did not change is the one before under a new name; without that, it is made when it is asked for. */
static bool write_preview(const web_folder *folder, const char *id, int64_t version, const bc_apart_part *part) {
  if (part->size) return write_named(folder, id, version, "preview", part);
  char *before = web_made_path(folder, id, version - 1, "preview"),
       *now = web_made_path(folder, id, version, "preview");
  if (before && now) (void)!link(before, now);
  free(before);
  free(now);
  return true;
}

bool web_write_made(const web_folder *folder, const char *id, int64_t version, const bc_apart_message *made) {
  return made->parts >= 5 && write_preview(folder, id, version, &made->part[WEB_PIECE_PREVIEW]) &&
         write_named(folder, id, version, WEB_CUTOUT, &made->part[WEB_PIECE_CUTOUT]) &&
         write_named(folder, id, version, "mask", &made->part[WEB_PIECE_MASK]);
}
