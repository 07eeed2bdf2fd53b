/* SPDX-License-Identifier: MIT */
/* Photos: durable before the answer. The file goes to its place by its content's hash (written aside, fsync,
 * rename, fsync of the folder), then the row is committed; previews are derived and can be made again. */
#include "routes.h"
#include "web/http/request_words.h"

#include "base/file.h"
#include <fcntl.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define DECODE_MS 30000
#define CUTOUT "cutout-webp" /* the file's name: an older program kept a PNG under another */

char *web_photo_path(web_server *server, const char *hash) {
  return bc_format("%s/%.2s/%s", server->photos, hash, hash);
}

static bool sync_folder(const char *path) {
  const int folder = open(path, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  const bool done = folder >= 0 && fsync(folder) == 0;
  if (folder >= 0) close(folder);
  return done;
}

static bool keep_file(web_request *r, const char *hash) {
  char *path = web_photo_path(r->server, hash), *folder = path ? bc_path_folder(path) : NULL;
  bool done = folder && fsync(r->upload) == 0 && (mkdir(folder, 0700) == 0 || access(folder, F_OK) == 0) &&
              rename(r->upload_path, path) == 0 && sync_folder(folder) && sync_folder(r->server->photos);
  free(path);
  free(folder);
  return done;
}

/* --- decoding ------------------------------------------------------------------------------------------- */

/* `wishes`: more for the order, or NULL; taken over. */
static bool decode_as(web_request *r, uint32_t kind, int file, uint64_t bytes, const char *name, const char *help,
                      json_t *wishes, web_message *out, bool urgent) {
  web_message in;
  json_t *given = help ? json_loads(help, 0, NULL) : NULL;
  json_t *order = json_pack("{s:s,s:I,s:o*}", "name", name, "bytes", (json_int_t)bytes, "help", given);
  json_object_update(order, wishes);
  json_decref(wishes);
  *out = (web_message){0};
  const int copy = fcntl(file, F_DUPFD_CLOEXEC, 3);
  if (!web_order(r, &in, kind, order) || copy < 0 || lseek(copy, 0, SEEK_SET) != 0) {
    if (copy >= 0) close(copy);
    web_message_clear(&in);
    web_refuse(r, 503, name, N_("There is too much to do just now. Try again in a minute."));
    return false;
  }
  in.file[in.files++] = copy;
  return web_have_done(r, true, &in, out, DECODE_MS, urgent, name);
}

static bool decode(web_request *r, uint32_t kind, int file, uint64_t bytes, const char *name, const char *help,
                   web_message *out, bool urgent) {
  return decode_as(r, kind, file, bytes, name, help, NULL, out, urgent);
}

static char *made_path(web_server *server, const char *id, sqlite3_int64 version, const char *what) {
  return bc_format("%s/%s-%lld-%s", server->made, id, (long long)version, what);
}

static bool write_made(web_server *server, const char *id, sqlite3_int64 version, const char *what,
                       const web_part *part) {
  char *path = made_path(server, id, version, what);
  bc_context *context = NULL;
  bc_file_writer *writer = NULL;
  bool done = path && bc_context_new(&context) == BC_OK && bc_file_writer_open(&writer, context, path) == BC_OK;
  if (done) {
    bc_file_writer_write(writer, part->bytes, part->size);
    done = bc_file_writer_commit(writer, context) == BC_OK;
  }
  bc_context_free(context);
  free(path);
  return done;
}

/* A preview that did not change is the one before under a new name; without that, it is made when it is asked for. */
static bool write_preview(web_server *server, const char *id, sqlite3_int64 version, const web_part *part) {
  if (part->size) return write_made(server, id, version, "preview", part);
  char *before = made_path(server, id, version - 1, "preview"), *now = made_path(server, id, version, "preview");
  if (before && now) (void)!link(before, now);
  free(before);
  free(now);
  return true;
}

static bool write_all_made(web_server *server, const char *id, sqlite3_int64 version, const web_message *made) {
  return made->parts >= 5 && write_preview(server, id, version, &made->part[WEB_PIECE_PREVIEW]) &&
         write_made(server, id, version, CUTOUT, &made->part[WEB_PIECE_CUTOUT]) &&
         write_made(server, id, version, "mask", &made->part[WEB_PIECE_MASK]);
}

/* --- JSON ------------------------------------------------------------------------------------------------- */

static void add_urls(json_t *photo, const char *id, sqlite3_int64 version) {
  static const char *const kinds[] = {"preview", "cutout", "mask"};
  json_t *urls = json_object();
  for (size_t i = 0; i < 3; i++) {
    char *url = bc_format("/api/photos/%s/%s?v=%lld", id, kinds[i], (long long)version);
    json_object_set_new(urls, kinds[i], json_string(url ? url : ""));
    free(url);
  }
  json_object_set_new(photo, "urls", urls);
}

static json_t *number_or_null(sqlite3_stmt *row, int column) {
  return sqlite3_column_type(row, column) == SQLITE_NULL ? json_null() : json_real(sqlite3_column_double(row, column));
}

static void say_notes_anew(const web_request *r, const json_t *facts) {
  json_t *notes = json_object_get(json_object_get(facts, "reading"), "notes"), *note;
  size_t i;
  json_array_foreach(notes, i, note) {
    const char *said = json_string_value(note);
    if (said) json_array_set_new(notes, i, json_string(web_words_anew(r->language, said)));
  }
}

json_t *web_photo_json(web_request *r, const char *id) {
  sqlite3_stmt *row = web_sql(
      r->server, "SELECT id,name,title,kind,facts,help,width_cm,height_cm,weight_g,version FROM photos WHERE id=?", "t",
      id);
  json_t *photo = NULL;
  if (row && sqlite3_step(row) == SQLITE_ROW) {
    photo = json_pack("{s:s,s:s,s:s,s:s}", "id", web_column(row, 0), "name", web_column(row, 1), "title",
                      web_column(row, 2), "kind", web_column(row, 3));
    json_t *facts = json_loads(web_column(row, 4), 0, NULL);
    say_notes_anew(r, facts);
    json_object_update(photo, facts);
    json_decref(facts);
    json_object_set_new(photo, "help", json_loads(web_column(row, 5), 0, NULL));
    json_object_set_new(photo, "width_cm", number_or_null(row, 6));
    json_object_set_new(photo, "height_cm", number_or_null(row, 7));
    json_object_set_new(photo, "weight_g", number_or_null(row, 8));
    add_urls(photo, id, sqlite3_column_int64(row, 9));
  }
  sqlite3_finalize(row);
  return photo;
}

/* --- adding ------------------------------------------------------------------------------------------------ */

static char *name_of_upload(const web_request *r) {
  const char *given = web_header(r, "X-Name");
  char *name = bc_copy_text(given && *given ? given : "photo");
  if (!name) return NULL;
  MHD_http_unescape(name);
  char *utf8 = bc_copy_utf8(bc_path_name(name));
  free(name);
  size_t end = utf8 ? strlen(utf8) : 0;
  if (end > 200)
    for (end = 200; end > 0 && ((uint8_t)utf8[end] & 0xC0) == 0x80; end--) continue; /* not within a character */
  if (utf8) utf8[end] = '\0';
  return utf8;
}

static bool has_room(web_request *r) {
  sqlite3_stmt *row =
      web_sql(r->server, "SELECT count(*) FROM photos WHERE maker=? AND deleted IS NULL", "t", r->maker);
  const sqlite3_int64 count = row && sqlite3_step(row) == SQLITE_ROW ? sqlite3_column_int64(row, 0) : WEB_PHOTOS_MOST;
  sqlite3_finalize(row);
  if (count < WEB_PHOTOS_MOST) return true;
  web_refuse(r, 413, NULL, N_("There are %d photos already, which is as many as fit. Delete some first."),
             WEB_PHOTOS_MOST);
  return false;
}

/* What the decoder is told of a new photo. */
static const char *help_of(const char *kind) {
  return strcmp(kind, "cloth") == 0 ? "{\"cloth\":true}" : "{}";
}

static bool add_row(web_request *r, const char *id, const char *kind, const char *name, const char *hash,
                    const web_message *made) {
  char *title = bc_path_title(name);
  const bool done =
      title &&
      web_do(
          r->server,
          "INSERT INTO photos(id,maker,kind,name,title,hash,bytes,help,facts,reading,version,added) VALUES(?,?,?,?,?,?,"
          "?,?,?,?,1,?)",
          "ttttttittbi", id, r->maker, kind, name, title, hash, (sqlite3_int64)r->upload_size, help_of(kind),
          web_message_text(made, WEB_PIECE_FACTS), made->part[WEB_PIECE_READING].bytes,
          made->part[WEB_PIECE_READING].size, web_time_ms()) &&
      web_do(r->server, "UPDATE makers SET changed=? WHERE id=?", "it", web_time_ms(), r->maker) &&
      web_plan_follow_photos(r);
  free(title);
  return done;
}

/* The reduced image depends on the photo and on the white seen in it. */
static char *kept_key(const char *id, const json_t *help) {
  const json_t *white = json_object_get(help, "white");
  char *text = white ? json_dumps(white, JSON_COMPACT | JSON_ENCODE_ANY) : bc_copy_text("null");
  char *key = text ? bc_format("%s %s", id, text) : NULL;
  free(text);
  return key;
}

/* For the strokes to come. */
static void keep_image(web_request *r, const char *id, const json_t *help, const web_message *made) {
  char *key = made->parts > WEB_PIECE_IMAGE ? kept_key(id, help) : NULL;
  if (key) web_kept_put(&r->server->kept, key, &made->part[WEB_PIECE_IMAGE]);
  free(key);
}

static bool save_photo(web_request *r, const char *kind, const char *name, const web_message *made) {
  uint8_t hash[WEB_HASH];
  char text[2 * WEB_HASH + 1], id[WEB_ID + 1];
  crypto_generichash_final(&r->hash, hash, sizeof hash);
  sodium_bin2hex(text, sizeof text, hash, sizeof hash);
  web_new_id(id);
  if (!keep_file(r, text) || !write_all_made(r->server, id, 1, made) || !web_begin(r->server)) {
    web_refuse_store(r);
    return false;
  }
  if (web_sent_before(r, id)) { /* while this one was decoded */
    web_roll_back(r->server);
    web_answer_json(r, 200, web_photo_json(r, id));
    return false;
  }
  const bool done = add_row(r, id, kind, name, text, made) && web_note_sending(r, id) && web_commit(r->server);
  if (done) {
    keep_image(r, id, NULL, made);
    web_answer_json(r, 201, web_photo_json(r, id));
    return true;
  }
  web_roll_back(r->server);
  web_refuse_store(r);
  return false;
}

void web_add_photo(web_request *r) {
  char id[WEB_ID + 1];
  if (web_sent_before(r, id)) {
    web_answer_json(r, 200, web_photo_json(r, id));
    return;
  }
  const char *kind = web_argument(r, "kind");
  char *name = name_of_upload(r);
  web_message made = {0};
  kind = kind && strcmp(kind, "cloth") == 0 ? "cloth" : "piece";
  if (name && has_room(r) && web_link_take(r)) {
    const bool kept = decode_as(r, WEB_JOB_PIECE, r->upload, r->upload_size, name, help_of(kind),
                                json_pack("{s:b}", "keep_image", strcmp(kind, "piece") == 0), &made, false) &&
                      save_photo(r, kind, name, &made);
    if (!kept) web_link_give_back(r);
  }
  web_message_clear(&made);
  free(name);
}

/* --- a stored photo --------------------------------------------------------------------------------------- */

/* Opens the file of a photo; *name is malloc'd. -1 after refusing. */
static int open_stored(web_request *r, const char *id, char **name, char **help, uint64_t *bytes,
                       sqlite3_int64 *version) {
  sqlite3_stmt *row = web_sql(r->server, "SELECT hash,name,help,bytes,version FROM photos WHERE id=? AND maker=?", "tt",
                              id, r->maker); /* a plan may name a photo that is somebody else's */
  int file = -1;
  if (row && sqlite3_step(row) == SQLITE_ROW) {
    char *path = web_photo_path(r->server, web_column(row, 0));
    *name = bc_copy_text(web_column(row, 1));
    *help = bc_copy_text(web_column(row, 2));
    *bytes = (uint64_t)sqlite3_column_int64(row, 3);
    *version = sqlite3_column_int64(row, 4);
    if (path) file = open(path, O_RDONLY | O_CLOEXEC);
    free(path);
  }
  sqlite3_finalize(row);
  if (file < 0)
    web_refuse(r, 404, NULL, N_("The file of this photo is missing from the data folder. Restore it from a backup."));
  return file;
}

bool web_decode_stored(web_request *r, const char *id, uint32_t kind, const char *new_help, web_message *out,
                       sqlite3_int64 *version) {
  char *name = NULL, *help = NULL;
  uint64_t bytes = 0;
  *out = (web_message){0};
  const int file = open_stored(r, id, &name, &help, &bytes, version);
  const bool done = file >= 0 && decode(r, kind, file, bytes, name, new_help ? new_help : help, out, true);
  if (file >= 0) close(file);
  free(name);
  free(help);
  return done;
}

/* ---- strokes ---- */

static bool same_white(const char *before, const json_t *now) {
  json_t *old = json_loads(before ? before : "{}", 0, NULL);
  json_t *first = json_object_get(old, "white"), *second = json_object_get(now, "white");
  const bool none = (!first || json_is_null(first)) && (!second || json_is_null(second));
  const bool same = none || (first && second && json_equal(first, second));
  json_decref(old);
  return same;
}

/* From the image that an earlier stroke left, else from the photo, whose image is then kept. */
static bool find_again(web_request *r, const char *id, const char *help, web_message *made, sqlite3_int64 *version) {
  char *name = NULL, *before = NULL, *key = kept_key(id, r->json);
  uint64_t bytes = 0, kept_bytes = 0;
  const int file = open_stored(r, id, &name, &before, &bytes, version);
  const int kept = file >= 0 && key ? web_kept_open(&r->server->kept, key, &kept_bytes) : -1;
  json_t *wishes =
      json_pack("{s:b,s:b,s:b}", "previewed", same_white(before, r->json), "image", kept >= 0, "keep_image", kept < 0);
  const bool done = file >= 0 && decode_as(r, WEB_JOB_PIECE, kept >= 0 ? kept : file, kept >= 0 ? kept_bytes : bytes,
                                           name, help, wishes, made, true);
  if (file < 0) json_decref(wishes);
  if (done) keep_image(r, id, r->json, made);
  if (file >= 0) close(file);
  if (kept >= 0) close(kept);
  free(name);
  free(before);
  free(key);
  return done;
}

/* Asked for when a photo is looked at: its reduced image is there then before the first stroke. */
void web_ready_photo(web_request *r) {
  const char *id = r->argument[0];
  char *name = NULL, *help = NULL;
  uint64_t bytes = 0;
  sqlite3_int64 version = 0;
  web_message made = {0};
  const int file = open_stored(r, id, &name, &help, &bytes, &version);
  json_t *given = json_loads(help ? help : "{}", 0, NULL);
  char *key = kept_key(id, given);
  const int kept = key ? web_kept_open(&r->server->kept, key, &bytes) : -1;
  const bool wanted = file >= 0 && kept < 0 && !json_is_true(json_object_get(given, "cloth"));
  if (wanted && decode_as(r, WEB_JOB_PIECE, file, bytes, name, help,
                          json_pack("{s:b,s:b}", "previewed", 1, "keep_image", 1), &made, false))
    keep_image(r, id, given, &made);
  if (file >= 0) web_answer_json(r, 200, json_pack("{s:b}", "ready", 1));
  web_message_clear(&made);
  json_decref(given);
  if (file >= 0) close(file);
  if (kept >= 0) close(kept);
  free(name);
  free(help);
  free(key);
}

void web_help_photo(web_request *r) {
  const char *id = r->argument[0];
  char *help = json_dumps(r->json, JSON_COMPACT);
  web_message made = {0};
  sqlite3_int64 version = 0;
  if (help && find_again(r, id, help, &made, &version)) {
    if (write_all_made(r->server, id, version + 1, &made) &&
        web_do(r->server, "UPDATE photos SET help=?,facts=?,reading=?,version=? WHERE id=?", "ttbit", help,
               web_message_text(&made, WEB_PIECE_FACTS), made.part[WEB_PIECE_READING].bytes,
               made.part[WEB_PIECE_READING].size, version + 1, id))
      web_answer_json(r, 200, web_photo_json(r, id));
    else
      web_refuse_store(r);
  }
  web_message_clear(&made);
  free(help);
}

static bool set_number(web_request *r, const char *key, const char *sql) {
  const json_t *value = json_object_get(r->json, key);
  if (!value) return true;
  const double number = json_number_value(value);
  if (json_is_null(value)) return web_do(r->server, sql, "tt", NULL, r->argument[0]);
  if (number > 0 && number < 1e7) return web_do(r->server, sql, "rt", number, r->argument[0]);
  web_refuse(r, 422, key, N_("A size or weight must be a number above 0."));
  return false;
}

void web_change_photo(web_request *r) {
  const char *title = json_string_value(json_object_get(r->json, "title"));
  if (!web_begin(r->server)) {
    web_refuse_store(r);
    return;
  }
  const bool done =
      set_number(r, "width_cm", "UPDATE photos SET width_cm=? WHERE id=?") &&
      set_number(r, "height_cm", "UPDATE photos SET height_cm=? WHERE id=?") &&
      set_number(r, "weight_g", "UPDATE photos SET weight_g=? WHERE id=?") &&
      (!title || web_do(r->server, "UPDATE photos SET title=? WHERE id=?", "tt", title, r->argument[0])) &&
      web_plan_follow_photos(r) && web_commit(r->server);
  if (!done) {
    web_roll_back(r->server);
    web_refuse_store(r);
  }
  web_answer_json(r, 200, web_photo_json(r, r->argument[0]));
}

static void set_deleted(web_request *r, bool deleted) {
  if (web_begin(r->server) &&
      web_do(r->server,
             deleted ? "UPDATE photos SET deleted=? WHERE id=?" : "UPDATE photos SET deleted=NULL WHERE ?>0 AND id=?",
             "it", web_time_ms(), r->argument[0]) &&
      web_plan_follow_photos(r) && web_commit(r->server)) {
    web_answer_json(r, 200, web_photo_json(r, r->argument[0]));
    return;
  }
  web_roll_back(r->server);
  web_refuse_store(r);
}

void web_delete_photo(web_request *r) {
  set_deleted(r, true);
}

void web_restore_photo(web_request *r) {
  set_deleted(r, false);
}

/* --- pictures --------------------------------------------------------------------------------------------- */

static bool send_made(web_request *r, const char *path, const char *type) {
  bc_context *context = NULL;
  uint8_t *bytes = NULL;
  size_t size = 0;
  if (bc_context_new(&context) != BC_OK) return false;
  const bool found = bc_file_read(&bytes, &size, context, path, (uint64_t)64 << 20) == BC_OK;
  bc_context_free(context);
  if (!found) return false;
  r->cache = "private, max-age=31536000, immutable";
  web_answer_text(r, 200, type, (char *)bytes, size);
  return true;
}

/* Made again from the photo when a crash or a clean-up took it away. */
static void send_picture(web_request *r, const char *what) {
  const char *id = r->argument[0], *type = strcmp(what, "preview") == 0 ? "image/jpeg"
                                           : strcmp(what, CUTOUT) == 0  ? "image/webp"
                                                                        : "image/png";
  sqlite3_stmt *row = web_sql(r->server, "SELECT version FROM photos WHERE id=?", "t", id);
  sqlite3_int64 version = row && sqlite3_step(row) == SQLITE_ROW ? sqlite3_column_int64(row, 0) : 0;
  sqlite3_finalize(row);
  char *path = made_path(r->server, id, version, what);
  web_message made = {0};
  if (path && !send_made(r, path, type) && web_decode_stored(r, id, WEB_JOB_PIECE, NULL, &made, &version) &&
      (!write_all_made(r->server, id, version, &made) || !send_made(r, path, type)))
    web_refuse_store(r);
  web_message_clear(&made);
  free(path);
}

void web_send_preview(web_request *r) {
  send_picture(r, "preview");
}

void web_send_cutout(web_request *r) {
  send_picture(r, CUTOUT);
}

void web_send_mask(web_request *r) {
  send_picture(r, "mask");
}
