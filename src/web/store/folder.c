/* SPDX-License-Identifier: MIT */
/* Taking a data folder, and what lies where in it. */
#include "folder.h"
#include "schema.h"

#include <backcloth/file.h>
#include <backcloth/sentences.h>
#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#define MARK "backcloth-data.txt"
#define FORMAT 2
#define DATABASE "backcloth.sqlite"

static const char mark_text[] =
    "backcloth data folder, format 2\n"
    "Photos, plans and remarks of `backcloth serve`. They belong together: copy the folder as "
    "a whole while the program does not run, or use `backcloth serve --export`.\n";

typedef enum kind { FRESH, OURS, NEWER, FIRST_VERSION, DAMAGED_FIRST_VERSION, FOREIGN } kind;

/* --- what a folder is ---------------------------------------------------------------------------------------- */

/* 0: there is no mark, or one that a crash left empty. */
static int format_of(const char *data) {
  char *path = bc_path_join(data, MARK);
  FILE *file = path ? fopen(path, "r") : NULL;
  int format = 0;
  if (file && fscanf(file, "backcloth data folder, format %d", &format) != 1) format = 0;
  if (file) fclose(file);
  free(path);
  return format;
}

static bool is_there(const char *data, const char *name) {
  char *path = bc_path_join(data, name);
  const bool there = path && access(path, F_OK) == 0;
  free(path);
  return there;
}

/* A crash in the very first moment leaves an empty mark; a disk of its own has lost+found. */
static bool is_empty(const char *data) {
  DIR *folder = opendir(data);
  const struct dirent *entry;
  bool empty = folder != NULL || errno == ENOENT;
  while (folder && empty && (entry = readdir(folder)))
    empty = strcmp(entry->d_name, ".") == 0 || strcmp(entry->d_name, "..") == 0 || strcmp(entry->d_name, MARK) == 0 ||
            strcmp(entry->d_name, "lost+found") == 0;
  if (folder) closedir(folder);
  return empty;
}

static kind kind_of(const char *data) {
  const int format = format_of(data);
  if (format == FORMAT) return OURS;
  if (format > FORMAT) return NEWER;
  if (is_empty(data)) return FRESH;
  char *database = bc_path_join(data, DATABASE);
  kind found = FOREIGN;
  if (database && access(database, F_OK) == 0) {
    if (store_is_sealed(database)) /* taken over, but for the mark */
      found = OURS;
    else if (store_is_first_version(database))
      found = FIRST_VERSION;
    else if (is_there(data, "photos") && is_there(data, "lock"))
      found = DAMAGED_FIRST_VERSION;
  }
  free(database);
  return found;
}

static bc_status refuse(bc_context *context, const char *data, kind found) {
  if (found == NEWER)
    return bc_fail(context, BC_CANNOT_WRITE,
                   _("%s: this data folder belongs to a newer version of the program. Nothing was changed."), data);
  if (found == DAMAGED_FIRST_VERSION)
    return bc_fail(context, BC_BAD_DATA,
                   _("%s: the database is damaged. Nothing was changed. Bring back a backup, or start with --recover, "
                     "which keeps all that can still be read."),
                   data);
  return bc_fail(
      context, BC_CANNOT_WRITE,
      _("%s: this folder holds other files, and nothing in it was touched. Name an empty folder, or one that "
        "does not exist yet."),
      data);
}

/* --- taking it ------------------------------------------------------------------------------------------------- */

static bool name_paths(web_folder *folder, const char *data) {
  *folder = (web_folder){.lock = -1};
  folder->data = bc_copy_text(data);
  folder->photos = bc_path_join(data, "photos");
  folder->aside = bc_path_join(data, "aside");
  folder->made = bc_path_join(data, "made");
  folder->incoming = bc_path_join(data, "incoming");
  folder->scratch = bc_path_join(data, "scratch");
  folder->database = bc_path_join(data, DATABASE);
  return folder->data && folder->photos && folder->aside && folder->made && folder->incoming && folder->scratch &&
         folder->database;
}

static bool make_folders(const web_folder *folder) {
  const char *const all[] = {folder->photos, folder->aside, folder->made, folder->incoming, folder->scratch};
  for (size_t i = 0; i < sizeof all / sizeof *all; i++)
    if (mkdir(all[i], 0700) != 0 && errno != EEXIST) return false;
  return store_sync_folder(folder->data);
}

static bool set_mark(const char *data) {
  char *path = bc_path_join(data, MARK);
  const int file = path ? open(path, O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0600) : -1;
  const size_t size = sizeof mark_text - 1;
  bool done = file >= 0 && write(file, mark_text, size) == (ssize_t)size && fsync(file) == 0;
  if (file >= 0 && close(file) != 0) done = false;
  free(path);
  return done && store_sync_folder(data);
}

static bc_status lock(web_folder *folder, bc_context *context) {
  char *path = bc_path_join(folder->data, "lock");
  folder->lock = path ? open(path, O_RDWR | O_CREAT | O_CLOEXEC, 0600) : -1;
  free(path);
  if (folder->lock < 0)
    return bc_fail(context, BC_CANNOT_WRITE, _("%s: nothing can be written in this folder."), folder->data);
  if (flock(folder->lock, LOCK_EX | LOCK_NB) != 0)
    return bc_fail(context, BC_CANNOT_WRITE, _("%s: another server uses this data folder. End it first."),
                   folder->data);
  return BC_OK;
}

/* What an earlier run left half done was never told to be saved: files under names that we give, and no others. */
static void forget_half_done(const char *path, const char *start) {
  DIR *folder = opendir(path);
  const struct dirent *entry;
  while (folder && (entry = readdir(folder)))
    if (strncmp(entry->d_name, start, strlen(start)) == 0) unlinkat(dirfd(folder), entry->d_name, 0);
  if (folder) closedir(folder);
}

static bc_status take(web_folder *folder, bc_context *context, kind found, bool rescue) {
  const char *data = folder->data;
  if ((found == FRESH && !set_mark(data)) || !make_folders(folder))
    return bc_fail(context, BC_CANNOT_WRITE, _("%s: the data folder cannot be made (%s)."), data, strerror(errno));
  const bc_status status = lock(folder, context);
  if (status != BC_OK) return status;
  if (found == FIRST_VERSION && !store_convert(folder->database) && !rescue)
    return bc_fail(context, BC_CANNOT_WRITE,
                   _("%s: the database of an earlier version could not be taken over; it is as it was. Check that the "
                     "disk is not full; if it is damaged, start with --recover."),
                   data);
  if (found != FRESH && format_of(data) == 0 && !set_mark(data))
    return bc_fail(context, BC_CANNOT_WRITE, _("%s: nothing can be written in this folder."), data);
  forget_half_done(folder->incoming, "sent-");
  forget_half_done(folder->scratch, "drawn-");
  return BC_OK;
}

bc_status web_folder_open(web_folder *out, bc_context *context, const char *data, bool rescue) {
  if (!name_paths(out, data)) return bc_fail_memory(context);
  if (mkdir(data, 0700) != 0 && errno != EEXIST)
    return bc_fail(context, BC_CANNOT_WRITE, _("%s: the data folder cannot be made (%s)."), data, strerror(errno));
  const kind found = kind_of(data);
  if (found == NEWER || found == FOREIGN || (found == DAMAGED_FIRST_VERSION && !rescue))
    return refuse(context, data, found);
  return take(out, context, found, rescue);
}

bc_status web_folder_look(web_folder *out, bc_context *context, const char *data) {
  if (!name_paths(out, data)) return bc_fail_memory(context);
  if (kind_of(data) == OURS && access(out->database, R_OK) == 0) return BC_OK;
  return bc_fail(context, BC_NO_INPUT,
                 _("%s: this is no data folder of `backcloth serve`, or one of an earlier version "
                   "that was not started yet."),
                 data);
}

bc_status web_folder_begin(web_folder *out, bc_context *context, const char *data) {
  if (!name_paths(out, data)) return bc_fail_memory(context);
  if (mkdir(data, 0700) != 0 && errno != EEXIST)
    return bc_fail(context, BC_CANNOT_WRITE, _("%s: the data folder cannot be made (%s)."), data, strerror(errno));
  if (kind_of(data) != FRESH) return refuse(context, data, FOREIGN);
  if (!make_folders(out))
    return bc_fail(context, BC_CANNOT_WRITE, _("%s: the data folder cannot be made (%s)."), data, strerror(errno));
  return lock(out, context);
}

bc_status web_folder_finish(const web_folder *folder, bc_context *context) {
  if (set_mark(folder->data)) return BC_OK;
  return bc_fail(context, BC_CANNOT_WRITE, _("%s: nothing can be written in this folder."), folder->data);
}

void web_folder_close(web_folder *folder) {
  if (folder->lock >= 0) close(folder->lock);
  free(folder->data);
  free(folder->photos);
  free(folder->aside);
  free(folder->made);
  free(folder->incoming);
  free(folder->scratch);
  free(folder->database);
  *folder = (web_folder){.lock = -1};
}

/* --- files of photos -------------------------------------------------------------------------------------------- */

char *web_photo_path(const web_folder *folder, const char *hash) {
  return bc_format("%s/%.2s/%s", folder->photos, hash, hash);
}

char *web_made_path(const web_folder *folder, const char *id, int64_t version, const char *what) {
  return bc_format("%s/%s-%lld-%s", folder->made, id, (long long)version, what);
}

bool web_photo_keep(const web_folder *folder, const char *from, const char *hash) {
  char *path = web_photo_path(folder, hash), *inside = path ? bc_path_folder(path) : NULL;
  const bool done = inside && (mkdir(inside, 0700) == 0 || errno == EEXIST) && rename(from, path) == 0 &&
                    store_sync_folder(inside) && store_sync_folder(folder->photos);
  free(path);
  free(inside);
  return done;
}
