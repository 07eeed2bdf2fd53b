/* SPDX-License-Identifier: MIT */
/* Opening and closing a store. In: a folder. Out: bc_store. */
#include "kept.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* --- the folder --- */

/* $XDG_CACHE_HOME/backcloth; a relative one is to be ignored, says the specification. malloc'd. */
static char *usual_folder(void) {
  const char *cache = getenv("XDG_CACHE_HOME"), *home = getenv("HOME");
  if (cache && cache[0] == '/') return bc_format("%s/backcloth", cache);
  return home && home[0] == '/' ? bc_format("%s/.cache/backcloth", home) : NULL;
}

/* The folder and, for a cache folder that nobody has needed yet, those above it. */
static bool make_folders(char *path) {
  if (mkdir(path, 0700) == 0 || errno == EEXIST) return true;
  if (errno != ENOENT) return false;
  char *slash = strrchr(path, '/');
  if (!slash || slash == path) return false;
  *slash = '\0';
  const bool above = make_folders(path);
  *slash = '/';
  return above && (mkdir(path, 0700) == 0 || errno == EEXIST);
}

/* Tells programs that back up folders to leave this one out (Cache Directory Tagging Specification, bford.info). */
static const char tag[] = "Signature: 8a477f597d28d172789f06886806bc55\n"
                          "# What backcloth has read from photos. This folder can be deleted at any time.\n";

static void leave_tag(int folder) {
  const int file = openat(folder, "CACHEDIR.TAG", O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC | O_NOFOLLOW, 0600);
  if (file < 0) return; /* it has one, or nothing can be written here */
  (void)!write(file, tag, sizeof tag - 1);
  close(file);
}

/* What pieces look like is nobody else's business: the folder must be this person's, and shut to others. */
static bool is_private(int folder) {
  struct stat about;
  return fstat(folder, &about) == 0 && S_ISDIR(about.st_mode) && about.st_uid == geteuid() &&
         (about.st_mode & 077) == 0;
}

static bc_status open_folder(bc_store *store, bc_context *context) {
  if (!make_folders(store->path))
    return bc_fail(context, BC_CANNOT_WRITE,
                   _("%s: this folder cannot be made (%s), so nothing is kept there and every photo is read anew. "
                     "--no-store does so without asking."),
                   store->path, strerror(errno));
  store->folder = open(store->path, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (store->folder >= 0 && is_private(store->folder)) {
    leave_tag(store->folder);
    return BC_OK;
  }
  return bc_fail(context, BC_CANNOT_WRITE,
                 _("%s: this folder is not yours alone, so nothing is kept there and every photo is read anew. Make it "
                   "so with 'chmod 700', or delete it."),
                 store->path);
}

static bc_store *store_new(uint64_t most) {
  bc_store *store = bc_allocate(1, sizeof *store);
  if (!store) return NULL;
  store->folder = -1;
  store->most = most ? most : BC_STORE_BYTES;
  return store;
}

static void store_free(bc_store *store) {
  if (store->folder >= 0) close(store->folder);
  free(store->path);
  free(store->trouble);
  free(store);
}

bc_status bc_store_open(bc_store **out, bc_context *context, const char *folder, uint64_t most_bytes) {
  *out = NULL;
  if (sodium_init() < 0) return bc_fail_memory(context);
  bc_store *store = store_new(most_bytes);
  if (!store) return bc_fail_memory(context);
  store->path = folder ? bc_copy_text(folder) : usual_folder();
  bc_status status = BC_OK;
  if (!store->path)
    status = bc_memory_lacked() ? bc_fail_memory(context)
                                : bc_fail(context, BC_CANNOT_WRITE,
                                          _("There is no home folder to keep readings in, so every photo is read anew. "
                                            "--no-store does so without asking."));
  else
    status = open_folder(store, context);
  if (status == BC_OK && !kept_identify(store)) status = bc_fail_memory(context);
  if (status == BC_OK)
    *out = store;
  else
    store_free(store);
  return status;
}

bc_status bc_store_open_for_now(bc_store **out, bc_context *context, const char *parent) {
  *out = NULL;
  char *path = bc_format("%s/.readings-XXXXXX", parent);
  if (!path) return bc_fail_memory(context);
  bc_store *made = NULL;
  const bc_status status = mkdtemp(path) ? bc_store_open(&made, context, path, UINT64_MAX)
                                         : bc_fail(context, BC_CANNOT_WRITE, _("%s: nothing can be written here (%s)."),
                                                   parent, strerror(errno));
  if (made)
    made->for_now = true;
  else
    rmdir(path);
  *out = made;
  free(path);
  return status;
}

void bc_store_close(bc_store *store) {
  if (!store) return;
  if (store->for_now) {
    kept_sweep(store->folder, 0);
    unlinkat(store->folder, "CACHEDIR.TAG", 0);
    rmdir(store->path);
  } else if (atomic_load(&store->since) > 0) {
    kept_sweep(store->folder, store->most);
  }
  store_free(store);
}

const char *bc_store_trouble(bc_store *store) {
  const int error = atomic_load(&store->error);
  if (error && !store->trouble)
    store->trouble = bc_format(_("%s: what was read could not be kept here (%s), so it will be read anew next time."),
                               store->path, strerror(error));
  return store->trouble ? store->trouble : "";
}
