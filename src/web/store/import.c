/* SPDX-License-Identifier: MIT */
/* A data folder from an archive: the database first, then the photos that it knows, each by its own hash. The archive
 * is somebody's file: no name in it becomes a path, and every size is bounded. */
#include "backup.h"
#include "schema.h"
#include "sql.h"

#include <archive.h>
#include <archive_entry.h>
#include <backcloth/sentences.h>
#include <errno.h>
#include <fcntl.h>
#include <sodium.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define PHOTO_MOST ((int64_t)40 << 20)
#define DATABASE_MOST ((int64_t)1 << 36)

typedef struct importing {
  bc_context *context;
  web_folder folder;
  web_store *store;
  char *database; /* until all is there */
  struct archive *zip;
  const char *file;
  web_backup *told;
} importing;

static bc_status damaged(const importing *i) {
  const char *why = archive_error_string(i->zip);
  return bc_fail(i->context, BC_BAD_DATA,
                 _("%s: this is no archive of `backcloth serve --export`, or it is damaged (%s)."), i->file,
                 why ? why : "");
}

/* Writes the entry, at most `most` bytes, and gives the hash of its content. */
static bool unpack(const importing *i, const char *path, int64_t most, char hash[2 * WEB_HASH + 1]) {
  crypto_generichash_state state;
  const int file = path ? open(path, O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0600) : -1;
  const void *block;
  size_t size;
  la_int64_t at;
  int64_t all = 0;
  uint8_t bytes[WEB_HASH];
  int step = file < 0 ? ARCHIVE_FATAL : ARCHIVE_OK;
  crypto_generichash_init(&state, NULL, 0, WEB_HASH);
  while (step == ARCHIVE_OK && (step = archive_read_data_block(i->zip, &block, &size, &at)) == ARCHIVE_OK) {
    crypto_generichash_update(&state, block, size);
    all += (int64_t)size;
    if (all > most || pwrite(file, block, size, at) != (ssize_t)size) step = ARCHIVE_FATAL;
  }
  const bool done = step == ARCHIVE_EOF && fsync(file) == 0;
  if (file >= 0) close(file);
  crypto_generichash_final(&state, bytes, sizeof bytes);
  sodium_bin2hex(hash, 2 * WEB_HASH + 1, bytes, sizeof bytes);
  return done;
}

static bc_status take_database(importing *i) {
  char hash[2 * WEB_HASH + 1];
  if (i->store || !unpack(i, i->database, DATABASE_MOST, hash) || !store_is_sealed(i->database)) return damaged(i);
  return web_store_open(&i->store, i->context, i->database);
}

static bc_status take_photo(importing *i) {
  char hash[2 * WEB_HASH + 1], *path = bc_format("%s/sent-import", i->folder.incoming);
  bool done = path && unpack(i, path, PHOTO_MOST, hash);
  const web_found known = done ? store_has(i->store, "SELECT 1 FROM photos WHERE hash=?", hash) : WEB_FAILED;
  if (known == WEB_FOUND) done = web_photo_keep(&i->folder, path, hash);
  if (known == WEB_NONE && path) unlink(path);
  free(path);
  i->told->photos += known == WEB_FOUND && done;
  return known == WEB_FAILED || !done ? damaged(i) : BC_OK;
}

static bc_status take_entries(importing *i) {
  struct archive_entry *entry;
  bc_status status = BC_OK;
  int step = ARCHIVE_OK;
  while (status == BC_OK && (step = archive_read_next_header(i->zip, &entry)) == ARCHIVE_OK) {
    const char *name = archive_entry_pathname_utf8(entry);
    if (name && strcmp(name, "backcloth.sqlite") == 0)
      status = take_database(i);
    else if (name && i->store && strncmp(name, "makers/", 7) == 0)
      status = take_photo(i);
  }
  return status == BC_OK && (step != ARCHIVE_EOF || !i->store) ? damaged(i) : status;
}

static bool count_all(importing *i) {
  store_rows rows = store_ask(i->store, "SELECT DISTINCT hash FROM photos", "");
  while (store_next(&rows)) {
    char *path = web_photo_path(&i->folder, store_text(&rows, 0));
    if (path && access(path, F_OK) != 0) i->told->missing++;
    free(path);
  }
  if (!store_end(&rows)) return false;
  rows = store_ask(i->store, "SELECT count(*) FROM makers", "");
  if (store_next(&rows)) i->told->makers = (size_t)store_number(&rows, 0);
  return store_end(&rows);
}

static bc_status read_archive(importing *i) {
  i->zip = archive_read_new();
  if (!i->zip) return bc_fail_memory(i->context);
  bc_status status = archive_read_support_format_zip(i->zip) == ARCHIVE_OK &&
                             archive_read_open_filename(i->zip, i->file, 65536) == ARCHIVE_OK
                         ? take_entries(i)
                         : damaged(i);
  archive_read_free(i->zip);
  i->zip = NULL;
  if (status == BC_OK && !count_all(i))
    status = bc_fail(i->context, BC_BAD_DATA, _("%s: the database in this archive is damaged."), i->file);
  web_store_close(i->store);
  return status;
}

bc_status web_import(web_backup *out, bc_context *context, const char *data, const char *file) {
  *out = (web_backup){0};
  importing i = {.context = context, .file = file, .told = out};
  bc_status status = web_folder_begin(&i.folder, context, data);
  if (status == BC_OK && !(i.database = bc_format("%s/sent-database", i.folder.incoming)))
    status = bc_fail_memory(context);
  if (status == BC_OK) status = read_archive(&i);
  if (status == BC_OK && (rename(i.database, i.folder.database) != 0 || !store_sync_folder(data)))
    status = bc_fail(context, BC_CANNOT_WRITE, _("%s: nothing can be written in this folder."), data);
  if (status == BC_OK) status = web_folder_finish(&i.folder, context);
  web_folder_close(&i.folder);
  free(i.database);
  return status;
}
