/* SPDX-License-Identifier: MIT */
/* Blocks of bytes in and out of a store. In: a key. Out: what was kept under it, whole, or nothing. */
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
  return kept_get_from(out, bc_context_store(context), key, kind);
}

bool kept_get_from(kept_block *out, const bc_store *store, const char *key, const char *kind) {
  *out = (kept_block){0};
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
  return kept_put_into(bc_context_store(context), key, kind, bytes, size);
}

bool kept_put_into(bc_store *store, const char *key, const char *kind, const void *bytes, size_t size) {
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
