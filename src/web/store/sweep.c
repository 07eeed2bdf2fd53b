/* SPDX-License-Identifier: MIT */
/* Upkeep of the data folder. A crash may leave the file of a photo whose row was never committed; a maker in
 * the trash for 30 days goes with all that is theirs. Only files that the server itself names so are touched. */
#include "web/server.h"

#include <dirent.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

bool web_forget_trash(web_server *server) {
  static const char *const theirs[] = {"photos", "cloths", "revisions", "comments", "links", "weakest"};
  const sqlite3_int64 before = web_time_ms() - WEB_TRASH_MS;
  if (!web_begin(server)) return false;
  bool done = true;
  for (size_t i = 0; done && i < sizeof theirs / sizeof *theirs; i++) {
    char *sql = bc_format("DELETE FROM %s WHERE maker IN (SELECT id FROM makers WHERE deleted<?)", theirs[i]);
    done = sql && web_do(server, sql, "i", before);
    free(sql);
  }
  if (done && web_do(server, "DELETE FROM makers WHERE deleted<?", "i", before) && web_commit(server)) return true;
  web_roll_back(server);
  return false;
}

/* A question that could not be put counts as yes: nothing is removed on a doubt. */
static bool is_named(web_server *server, const char *sql, const char *value) {
  sqlite3_stmt *row = web_sql(server, sql, "t", value);
  const int step = row ? sqlite3_step(row) : SQLITE_ERROR;
  sqlite3_finalize(row);
  return step != SQLITE_DONE;
}

/* Removes the files of a folder whose names' first `length` letters no row knows. */
static void sweep_folder(web_server *server, const char *path, size_t length, const char *sql) {
  DIR *folder = opendir(path);
  const struct dirent *entry;
  while (folder && (entry = readdir(folder))) {
    char name[2 * WEB_HASH + 1];
    if (entry->d_name[0] == '.' || strlen(entry->d_name) < length) continue;
    memcpy(name, entry->d_name, length);
    name[length] = '\0';
    if (!is_named(server, sql, name)) unlinkat(dirfd(folder), entry->d_name, 0);
  }
  if (folder) closedir(folder);
}

void web_sweep(web_server *server) {
  DIR *folder = opendir(server->photos);
  const struct dirent *entry;
  while (folder && (entry = readdir(folder))) {
    char *path = strlen(entry->d_name) == 2 && entry->d_name[0] != '.'
                     ? bc_format("%s/%s", server->photos, entry->d_name)
                     : NULL;
    if (path) sweep_folder(server, path, 2 * WEB_HASH, "SELECT 1 FROM photos WHERE hash=?");
    free(path);
  }
  if (folder) closedir(folder);
  sweep_folder(server, server->made, WEB_ID, "SELECT 1 FROM photos WHERE id=?");
}
