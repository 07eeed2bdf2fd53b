/* SPDX-License-Identifier: MIT */
/* Files that the database does not know: after a crash, or when the database was lost or is an older one. A photo is
 * never removed for that; it goes aside, and comes back when a database knows it again. */
#include "folder.h"
#include "schema.h"
#include "sql.h"

#include <ctype.h>
#include <dirent.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static bool is_hash(const char *name) {
  return strlen(name) == (size_t)2 * WEB_HASH && strspn(name, "0123456789abcdef") == (size_t)2 * WEB_HASH;
}

typedef struct tidying {
  const web_folder *folder;
  web_store *store;
  web_strangers *count;
} tidying;

typedef bool each_file(const tidying *all, const char *folder, const char *name);

/* A doubt changes nothing: it ends the walk. */
static bool walk(const tidying *all, const char *path, each_file *act) {
  DIR *folder = opendir(path);
  const struct dirent *entry;
  bool fine = true;
  while (fine && folder && (entry = readdir(folder)))
    if (entry->d_name[0] != '.') fine = act(all, path, entry->d_name);
  if (folder) closedir(folder);
  return fine;
}

static web_found is_known(const tidying *all, const char *hash) {
  return store_has(all->store, "SELECT 1 FROM photos WHERE hash=?", hash);
}

static bool put_aside(const tidying *all, const char *folder, const char *name) {
  if (!is_hash(name)) return true;
  const web_found known = is_known(all, name);
  if (known != WEB_NONE) return known == WEB_FOUND;
  char *from = bc_format("%s/%s", folder, name), *to = bc_format("%s/%s", all->folder->aside, name);
  const bool done = from && to && rename(from, to) == 0;
  all->count->put_aside += done;
  free(from);
  free(to);
  return done;
}

static bool look_into(const tidying *all, const char *folder, const char *name) {
  char *path = strlen(name) == 2 ? bc_format("%s/%s", folder, name) : NULL;
  const bool fine = !path || walk(all, path, put_aside);
  free(path);
  return fine;
}

static bool bring_back(const tidying *all, const char *folder, const char *name) {
  if (!is_hash(name)) return true;
  const web_found known = is_known(all, name);
  if (known != WEB_FOUND) return known == WEB_NONE;
  char *from = bc_format("%s/%s", folder, name);
  const bool done = from && web_photo_keep(all->folder, from, name);
  all->count->brought_back += done;
  free(from);
  return done;
}

/* ID-VERSION-WHAT, as web_made_path names them; anything else is not ours. */
static bool is_made(const char *name) {
  static const char *const kinds[] = {"preview", "cutout", "cutout-webp", "mask"};
  for (size_t i = 0; i < WEB_ID; i++)
    if (!islower((unsigned char)name[i]) && !isdigit((unsigned char)name[i])) return false;
  const char *version = name + WEB_ID + 1;
  const size_t digits = name[WEB_ID] == '-' ? strspn(version, "0123456789") : 0;
  for (size_t i = 0; digits && version[digits] == '-' && i < 4; i++)
    if (strcmp(version + digits + 1, kinds[i]) == 0) return true;
  return false;
}

/* Pictures that can be made again need no photo of theirs to be kept for. */
static bool forget_made(const tidying *all, const char *folder, const char *name) {
  char id[WEB_ID + 1];
  if (!is_made(name)) return true;
  snprintf(id, sizeof id, "%.*s", WEB_ID, name);
  const web_found known = store_has(all->store, "SELECT 1 FROM photos WHERE id=?", id);
  if (known != WEB_NONE) return known == WEB_FOUND;
  char *path = bc_format("%s/%s", folder, name);
  if (path) unlink(path);
  free(path);
  return true;
}

bool web_folder_tidy(const web_folder *folder, web_store *store, web_strangers *out) {
  *out = (web_strangers){0};
  const tidying all = {folder, store, out};
  return walk(&all, folder->photos, look_into) && walk(&all, folder->aside, bring_back) &&
         walk(&all, folder->made, forget_made) && store_sync_folder(folder->aside);
}
