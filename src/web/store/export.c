/* SPDX-License-Identifier: MIT */
/* The database is copied by SQLite while others write; photos are then those of the copy. */
#include "backup.h"
#include "makers.h"
#include "photos.h"
#include "schema.h"

#include <archive.h>
#include <archive_entry.h>
#include <backcloth/file.h>
#include <backcloth/sentences.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define NAME_BYTES 120
#define BLOCK 262144

typedef struct named {
  char photo[WEB_ID + 1], hash[2 * WEB_HASH + 1];
  char *path; /* in the archive */
} named;

typedef struct exporting {
  bc_context *context;
  const web_folder *folder;
  web_store *store;
  struct archive *zip;
  named *photo;
  size_t count;
  web_backup *told;
} exporting;

static const char *name_of(const void *data, const char *photo) {
  const exporting *e = data;
  for (size_t i = 0; i < e->count; i++)
    if (strcmp(e->photo[i].photo, photo) == 0) return e->photo[i].path;
  return NULL;
}

/* --- names -------------------------------------------------------------------------------------------------- */

/* A name that every file system takes, cut between characters. malloc'd. */
static char *plain_name(const char *text) {
  char *name = bc_copy_text(text);
  if (!name) return NULL;
  size_t end = strlen(name);
  if (end > NAME_BYTES)
    for (end = NAME_BYTES; end > 0 && ((unsigned char)name[end] & 0xC0) == 0x80; end--) continue;
  name[end] = '\0';
  for (char *at = name; *at; at++)
    if ((unsigned char)*at < 0x20 || strchr("/\\:*?\"<>|", *at) || (*at == '.' && at == name)) *at = '_';
  return name;
}

static bool is_taken(const exporting *e, const char *path) {
  for (size_t i = 0; i < e->count; i++)
    if (e->photo[i].path && strcasecmp(e->photo[i].path, path) == 0) return true;
  return false;
}

static char *free_path(const exporting *e, const char *folder, const web_photo *photo) {
  char *title = plain_name(*photo->title ? photo->title : "photo"), *path = NULL;
  const char *dot = strrchr(photo->name, '.');
  const bool suffix = dot && strlen(dot) <= 6 && !strpbrk(dot, "/\\ ");
  for (int number = 1; title && (number == 1 || (path && is_taken(e, path))); number++) {
    char again[16] = "";
    if (number > 1) snprintf(again, sizeof again, " (%d)", number);
    free(path);
    path = bc_format("makers/%s/%s%s%s", folder, title, again, suffix ? dot : ".jpg");
  }
  free(title);
  return path;
}

static bool name_photos(exporting *e, const char *folder, const char *maker, bool deleted) {
  web_photos photos;
  if (!web_photos_of(e->store, maker, WEB_ALL_PHOTOS, deleted, &photos)) return false;
  bool fine = true;
  for (size_t i = 0; fine && i < photos.count; i++) {
    named *grown = bc_reallocate(e->photo, e->count + 1, sizeof *grown);
    fine = grown != NULL;
    if (!fine) break;
    e->photo = grown;
    named *one = &grown[e->count];
    *one = (named){.path = free_path(e, folder, &photos.item[i])};
    memcpy(one->photo, photos.item[i].id, sizeof one->photo);
    memcpy(one->hash, photos.item[i].hash, sizeof one->hash);
    fine = one->path != NULL;
    e->count++;
  }
  web_photos_clear(&photos);
  return fine;
}

static bool name_makers(exporting *e, web_shelf shelf) {
  web_makers makers;
  if (!web_makers_list(e->store, shelf, &makers)) return false;
  bool fine = true;
  for (size_t i = 0; fine && i < makers.count; i++) {
    char *name = plain_name(makers.item[i].name);
    fine = name && name_photos(e, name, makers.item[i].id, false) && name_photos(e, name, makers.item[i].id, true);
    free(name);
  }
  e->told->makers += makers.count;
  web_makers_clear(&makers);
  return fine;
}

/* --- entries -------------------------------------------------------------------------------------------------- */

static bool add_header(exporting *e, const char *name, int64_t size, bool squeeze) {
  struct archive_entry *entry = archive_entry_new();
  archive_entry_set_pathname_utf8(entry, name);
  archive_entry_set_size(entry, size);
  archive_entry_set_filetype(entry, AE_IFREG);
  archive_entry_set_perm(entry, 0600);
  archive_entry_set_mtime(entry, (time_t)(web_time_ms() / 1000), 0);
  if (squeeze)
    archive_write_zip_set_compression_deflate(e->zip);
  else
    archive_write_zip_set_compression_store(e->zip);
  const bool done = archive_write_header(e->zip, entry) == ARCHIVE_OK;
  archive_entry_free(entry);
  return done;
}

static bool add_text(exporting *e, const char *name, const char *text) {
  const size_t size = strlen(text);
  return add_header(e, name, (int64_t)size, true) && archive_write_data(e->zip, text, size) == (la_ssize_t)size;
}

static bool add_bytes_of(exporting *e, int file, int64_t size) {
  char *block = malloc(BLOCK);
  int64_t left = block ? size : -1;
  while (left > 0) {
    const ssize_t got = read(file, block, left < BLOCK ? (size_t)left : BLOCK);
    if (got <= 0 || archive_write_data(e->zip, block, (size_t)got) != got) break;
    left -= got;
  }
  free(block);
  return left == 0;
}

/* WEB_NONE: there is no such file. */
static web_found add_file(exporting *e, const char *name, const char *path, bool squeeze) {
  struct stat about;
  const int file = path ? open(path, O_RDONLY | O_CLOEXEC) : -1;
  if (file < 0) return WEB_NONE;
  const bool done =
      fstat(file, &about) == 0 && add_header(e, name, about.st_size, squeeze) && add_bytes_of(e, file, about.st_size);
  close(file);
  return done ? WEB_FOUND : WEB_FAILED;
}

static bool add_photos(exporting *e) {
  for (size_t i = 0; i < e->count; i++) {
    char *path = web_photo_path(e->folder, e->photo[i].hash);
    const web_found done = add_file(e, e->photo[i].path, path, false);
    free(path);
    if (done == WEB_FAILED) return false;
    e->told->photos += done == WEB_FOUND;
    e->told->missing += done == WEB_NONE;
  }
  return true;
}

/* --- the whole -------------------------------------------------------------------------------------------------- */

static bc_status fill(exporting *e, const char *copy) {
  char *page = NULL;
  bc_status status = web_store_open(&e->store, e->context, copy);
  if (status != BC_OK) return status;
  const bool fine = name_makers(e, WEB_ON_DESK) && name_makers(e, WEB_ARCHIVED) && name_makers(e, WEB_IN_TRASH);
  status = fine ? web_backup_page(&page, e->context, e->store, name_of, e)
                : bc_fail(e->context, BC_BAD_DATA, _("The database cannot be read as a whole. Start with --recover."));
  web_store_close(e->store);
  if (status == BC_OK &&
      !(add_text(e, "backcloth-archive.txt",
                 "backcloth archive, format 1\nOpen index.html in a browser to read it. "
                 "`backcloth serve --data FOLDER --import FILE` makes a data folder of it.\n") &&
        add_text(e, "index.html", page) && add_file(e, "backcloth.sqlite", copy, true) == WEB_FOUND && add_photos(e)))
    status = bc_fail(e->context, BC_CANNOT_WRITE, _("The archive could not be written (%s)."),
                     archive_error_string(e->zip) ? archive_error_string(e->zip) : "");
  free(page);
  return status;
}

static bc_status write_archive(exporting *e, const char *copy, const char *part) {
  const int file = open(part, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
  if (file < 0) return bc_fail(e->context, BC_CANNOT_WRITE, _("%s: this file cannot be written."), part);
  e->zip = archive_write_new();
  bc_status status = BC_CANNOT_WRITE;
  if (e->zip && archive_write_set_format_zip(e->zip) == ARCHIVE_OK && archive_write_open_fd(e->zip, file) == ARCHIVE_OK)
    status = fill(e, copy);
  const bool closed = archive_write_close(e->zip) == ARCHIVE_OK && fsync(file) == 0;
  archive_write_free(e->zip);
  close(file);
  if (status == BC_OK && !closed)
    status = bc_fail(e->context, BC_CANNOT_WRITE, _("%s: this file cannot be written."), part);
  return status;
}

static bc_status export_from(exporting *e, const char *file) {
  char *copy = bc_format("%s.database", file), *part = bc_format("%s.part", file);
  bc_status status = copy && part ? BC_OK : bc_fail_memory(e->context);
  if (status == BC_OK && (access(copy, F_OK) == 0 || access(part, F_OK) == 0))
    status = bc_fail(e->context, BC_CANNOT_WRITE,
                     _("%s or %s is there already. Remove it if no other export is running."), copy, part);
  else if (status == BC_OK) {
    if (!web_store_copy_to(e->folder->database, copy))
      status = bc_fail(e->context, BC_CANNOT_WRITE,
                       _("The database could not be copied to %s. Check that the disk is not full."), copy);
    if (status == BC_OK) status = write_archive(e, copy, part);
    if (status == BC_OK && (rename(part, file) != 0 || !store_sync_folder_of(file)))
      status = bc_fail(e->context, BC_CANNOT_WRITE, _("%s: this file cannot be written."), file);
    if (status != BC_OK) unlink(part);
    unlink(copy);
  }
  free(copy);
  free(part);
  return status;
}

bc_status web_export(web_backup *out, bc_context *context, const char *data, const char *file) {
  web_folder folder;
  *out = (web_backup){0};
  exporting e = {.context = context, .folder = &folder, .told = out};
  bc_status status = web_folder_look(&folder, context, data);
  if (status == BC_OK) status = export_from(&e, file);
  for (size_t i = 0; i < e.count; i++) free(e.photo[i].path);
  free(e.photo);
  web_folder_close(&folder);
  return status;
}
