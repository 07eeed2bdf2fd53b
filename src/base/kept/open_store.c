/* SPDX-License-Identifier: MIT */
/* Opening and closing a store, and blocks in and out of it. In: a folder. Out: bytes under a key. */
#include "kept.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/random.h>
#include <sys/stat.h>
#include <unistd.h>

#define BLOCK_MOST ((size_t)256 << 20) /* no cut-out is as large */
#define NAME_ROOM 128

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
  if (status == BC_OK) {
    kept_identity(store->identity);
    *out = store;
  } else {
    store_free(store);
  }
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

/* --- blocks --- */

static bool name_of(char out[NAME_ROOM], const char *key, const char *kind) {
  return strlen(key) == KEPT_KEY - 1 && snprintf(out, NAME_ROOM, "%s.%s", key, kind) < NAME_ROOM && kept_is_name(out);
}

static void hash_of(unsigned char out[KEPT_HASH], const char *name, const void *bytes, size_t size) {
  crypto_generichash_state state;
  crypto_generichash_init(&state, NULL, 0, KEPT_HASH);
  crypto_generichash_update(&state, bytes, size);
  crypto_generichash_update(&state, (const unsigned char *)name, strlen(name));
  crypto_generichash_final(&state, out, KEPT_HASH);
}

void kept_block_clear(kept_block *block) {
  free(block->whole);
  *block = (kept_block){0};
}

static bool read_whole(uint8_t *out, size_t size, int file) {
  for (size_t at = 0; at < size;) {
    const ssize_t got = read(file, out + at, size - at);
    if (got == 0 || (got < 0 && errno != EINTR)) return false;
    if (got > 0) at += (size_t)got;
  }
  return true;
}

/* Ours and whole; what is ours and damaged goes, so that it can be kept anew. */
static bool take(kept_block *out, const bc_store *store, int file, const char *name) {
  struct stat about;
  if (fstat(file, &about) != 0 || !S_ISREG(about.st_mode) || about.st_size > (off_t)BLOCK_MOST) return false;
  const size_t size = (size_t)about.st_size;
  out->whole = bc_reallocate(NULL, size + 1, 1);
  if (!out->whole || !read_whole(out->whole, size, file)) return false;
  unsigned char hash[KEPT_HASH];
  const bool ours = size >= 16 && memcmp(out->whole, KEPT_MAGIC, 16) == 0;
  if (!ours) return false;
  if (size >= KEPT_HEAD) {
    out->bytes = out->whole + KEPT_HEAD;
    out->size = size - KEPT_HEAD;
    hash_of(hash, name, out->bytes, out->size);
    if (memcmp(hash, out->whole + 16, KEPT_HASH) == 0) return true;
  }
  unlinkat(store->folder, name, 0);
  return false;
}

bool kept_get(kept_block *out, bc_context *context, const char *key, const char *kind) {
  *out = (kept_block){0};
  const bc_store *store = bc_context_store(context);
  char name[NAME_ROOM];
  if (!store || !name_of(name, key, kind)) return false;
  const int file = openat(store->folder, name, O_RDONLY | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK);
  if (file < 0) return false;
  const bool got = take(out, store, file, name);
  if (got) (void)futimens(file, NULL); /* it was used now */
  close(file);
  if (!got) kept_block_clear(out);
  return got;
}

bool kept_has(bc_context *context, const char *key, const char *kind) {
  const bc_store *store = bc_context_store(context);
  char name[NAME_ROOM];
  return store && name_of(name, key, kind) && kept_is_ours(store->folder, name);
}

static bool write_whole(int file, const void *bytes, size_t size) {
  for (size_t at = 0; at < size;) {
    const ssize_t put = write(file, (const uint8_t *)bytes + at, size - at);
    if (put < 0 && errno != EINTR) return false;
    if (put > 0) at += (size_t)put;
  }
  return true;
}

/* A name that no other process takes. */
static int open_part(char out[NAME_ROOM], int folder) {
  uint64_t random;
  if (getrandom(&random, sizeof random, 0) != sizeof random) return -1;
  snprintf(out, NAME_ROOM, KEPT_PART "%016llx", (unsigned long long)random);
  return openat(folder, out, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC | O_NOFOLLOW, 0600);
}

static bool is_foreign(int folder, const char *name) {
  struct stat about;
  return fstatat(folder, name, &about, AT_SYMLINK_NOFOLLOW) == 0 && !kept_is_ours(folder, name);
}

static bool write_entry(bc_store *store, const char *name, const void *bytes, size_t size) {
  char part[NAME_ROOM];
  unsigned char head[KEPT_HEAD] = KEPT_MAGIC;
  const int file = open_part(part, store->folder);
  if (file < 0) return false;
  hash_of(head + 16, name, bytes, size);
  bool done = write_whole(file, head, sizeof head) && write_whole(file, bytes, size);
  int error = done ? 0 : errno;
  if (close(file) != 0 && done) error = errno, done = false;
  if (done && renameat(store->folder, part, store->folder, name) != 0) error = errno, done = false;
  if (!done) unlinkat(store->folder, part, 0);
  errno = error;
  return done;
}

bool kept_put(bc_context *context, const char *key, const char *kind, const void *bytes, size_t size) {
  bc_store *store = bc_context_store(context);
  char name[NAME_ROOM];
  if (!store || atomic_load(&store->error) || size > BLOCK_MOST - KEPT_HEAD || !name_of(name, key, kind)) return false;
  if (is_foreign(store->folder, name)) return false;
  if (!write_entry(store, name, bytes, size)) {
    int none = 0;
    atomic_compare_exchange_strong(&store->error, &none, errno ? errno : EIO);
    return false;
  }
  const uint64_t since = atomic_fetch_add(&store->since, size) + size;
  if (since > store->most / 8 && atomic_exchange(&store->since, 1) >= since) kept_sweep(store->folder, store->most);
  return true;
}

void kept_note_others(bc_context *context) {
  bc_store *store = bc_context_store(context);
  if (store) atomic_fetch_add(&store->since, 1);
}
