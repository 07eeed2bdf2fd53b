/* SPDX-License-Identifier: MIT */
/* SQLite notices a page whose structure is broken, not a letter of a name that became another. So each page of the
 * database ends in a checksum, set when it is written and compared when it is read; one that does not fit is an error
 * of reading. The write-ahead log has checksums of its own.
 *
 *   page of 4096 bytes:  | what SQLite keeps there: 4088 | SipHash-2-4 of it and of its place: 8 |
 *
 * A VFS over the usual one, which sees only the main database. Source: SQLite, "The OS Backend (VFS)"; the bytes are
 * SQLite's own "reserved space" (file format, 1.3.4). */
#include "sql.h"

#include <sodium.h>
#include <stdlib.h>
#include <string.h>

typedef struct checked_file {
  sqlite3_file base;
  sqlite3_file *real; /* lies behind this */
  sqlite3_io_methods methods;
  uint8_t *page; /* as it is written */
} checked_file;

static sqlite3_file *real_of(sqlite3_file *file) {
  return ((checked_file *)file)->real;
}

/* SQLite writes and reads the main database by pages, besides a few bytes of its first one. */
static bool is_page(int size) {
  return size >= 512 && (size & (size - 1)) == 0;
}

static void seal_of(uint8_t out[STORE_SEAL], const uint8_t *page, int size, sqlite3_int64 place) {
  uint8_t key[crypto_shorthash_KEYBYTES] = "backcloth pages";
  memcpy(key, &place, 4);
  crypto_shorthash(out, page, (unsigned long long)(size - STORE_SEAL), key);
}

static bool is_sound(const uint8_t *page, int size, sqlite3_int64 place) {
  uint8_t wanted[STORE_SEAL];
  seal_of(wanted, page, size, place);
  return memcmp(wanted, page + size - STORE_SEAL, STORE_SEAL) == 0;
}

static int read_checked(sqlite3_file *file, void *into, int size, sqlite3_int64 place) {
  sqlite3_file *real = real_of(file);
  const int done = real->pMethods->xRead(real, into, size, place);
  if (done == SQLITE_OK && is_page(size) && !is_sound(into, size, place)) return SQLITE_IOERR_DATA;
  return done;
}

static int write_checked(sqlite3_file *file, const void *from, int size, sqlite3_int64 place) {
  checked_file *self = (checked_file *)file;
  if (!is_page(size)) return self->real->pMethods->xWrite(self->real, from, size, place);
  if (!self->page) self->page = malloc(65536);
  if (!self->page) return SQLITE_IOERR_NOMEM;
  memcpy(self->page, from, (size_t)(size - STORE_SEAL));
  seal_of(self->page + size - STORE_SEAL, self->page, size, place);
  return self->real->pMethods->xWrite(self->real, self->page, size, place);
}

static int close_file(sqlite3_file *file) {
  free(((checked_file *)file)->page);
  return real_of(file)->pMethods->xClose(real_of(file));
}
static int truncate_file(sqlite3_file *file, sqlite3_int64 size) {
  return real_of(file)->pMethods->xTruncate(real_of(file), size);
}
static int sync_file(sqlite3_file *file, int flags) {
  return real_of(file)->pMethods->xSync(real_of(file), flags);
}
static int file_size(sqlite3_file *file, sqlite3_int64 *size) {
  return real_of(file)->pMethods->xFileSize(real_of(file), size);
}
static int lock_file(sqlite3_file *file, int level) {
  return real_of(file)->pMethods->xLock(real_of(file), level);
}
static int unlock_file(sqlite3_file *file, int level) {
  return real_of(file)->pMethods->xUnlock(real_of(file), level);
}
static int is_locked(sqlite3_file *file, int *out) {
  return real_of(file)->pMethods->xCheckReservedLock(real_of(file), out);
}
static int control_file(sqlite3_file *file, int what, void *value) {
  return real_of(file)->pMethods->xFileControl(real_of(file), what, value);
}
static int sector_size(sqlite3_file *file) {
  return real_of(file)->pMethods->xSectorSize(real_of(file));
}
static int characteristics(sqlite3_file *file) {
  return real_of(file)->pMethods->xDeviceCharacteristics(real_of(file));
}
static int map_shared(sqlite3_file *file, int page, int size, int extend, void volatile **out) {
  return real_of(file)->pMethods->xShmMap(real_of(file), page, size, extend, out);
}
static int lock_shared(sqlite3_file *file, int offset, int count, int flags) {
  return real_of(file)->pMethods->xShmLock(real_of(file), offset, count, flags);
}
static void barrier(sqlite3_file *file) {
  real_of(file)->pMethods->xShmBarrier(real_of(file));
}
static int unmap_shared(sqlite3_file *file, int remove) {
  return real_of(file)->pMethods->xShmUnmap(real_of(file), remove);
}

/* Version 2: without memory mapping, under which pages would be read unseen. */
static const sqlite3_io_methods checked_methods = {
    2,           close_file,  read_checked, write_checked, truncate_file, sync_file,       file_size,
    lock_file,   unlock_file, is_locked,    control_file,  sector_size,   characteristics, map_shared,
    lock_shared, barrier,     unmap_shared, NULL,          NULL};

static sqlite3_vfs *usual(sqlite3_vfs *vfs) {
  return vfs->pAppData;
}

static int open_checked(sqlite3_vfs *vfs, const char *name, sqlite3_file *file, int flags, int *out_flags) {
  if (!(flags & SQLITE_OPEN_MAIN_DB)) return usual(vfs)->xOpen(usual(vfs), name, file, flags, out_flags);
  checked_file *self = (checked_file *)file;
  *self = (checked_file){.real = (sqlite3_file *)(self + 1)};
  const int done = usual(vfs)->xOpen(usual(vfs), name, self->real, flags, out_flags);
  self->base.pMethods = self->real->pMethods ? &checked_methods : NULL;
  return done;
}

const char *store_checked_pages(void) {
  static const char name[] = "backcloth-checked";
  static sqlite3_vfs checked;
  if (sqlite3_vfs_find(name)) return name;
  sqlite3_vfs *base = sqlite3_vfs_find(NULL);
  if (!base) return NULL;
  checked = *base; /* the rest is done by the usual one, whose own data it needs */
  checked.zName = name;
  checked.szOsFile = base->szOsFile + (int)sizeof(checked_file);
  checked.pNext = NULL;
  checked.pAppData = base;
  checked.xOpen = open_checked;
  return sqlite3_vfs_register(&checked, 0) == SQLITE_OK ? name : NULL;
}
