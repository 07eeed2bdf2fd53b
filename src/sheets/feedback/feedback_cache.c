/* SPDX-License-Identifier: MIT */
/* What was made in an output folder, and from what: whatever is in it can be made again, so a fault of it costs time
 * only. Readings are in the store (base/kept). Source: SQLite; hashes are BLAKE2b (RFC 7693) of 32 bytes by libsodium.
 */
#include "feedback_internal.h"

#include <backcloth/file.h>
#include <sodium.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

struct feedback_cache {
  sqlite3 *handle;
};

static const char schema[] =
    "PRAGMA journal_mode=WAL; PRAGMA synchronous=NORMAL;"
    "DROP TABLE IF EXISTS reading; DROP TABLE IF EXISTS file;" /* of earlier versions */
    "CREATE TABLE IF NOT EXISTS seen(path TEXT PRIMARY KEY, size INTEGER, seconds INTEGER, nanoseconds INTEGER,"
    " changed INTEGER, changed_nanoseconds INTEGER, inode INTEGER, hash TEXT) WITHOUT ROWID;"
    "CREATE TABLE IF NOT EXISTS sheet(name TEXT PRIMARY KEY, inputs TEXT, line TEXT, complaints TEXT, others TEXT);";

bc_status feedback_cache_open(feedback_cache **out, bc_context *context, const char *path) {
  *out = bc_allocate(1, sizeof **out);
  if (!*out) return bc_fail_memory(context);
  sqlite3 *handle = NULL;
  if (sqlite3_open_v2(path, &handle, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE | SQLITE_OPEN_NOMUTEX, NULL) ==
          SQLITE_OK &&
      sqlite3_busy_timeout(handle, 30000) == SQLITE_OK && sqlite3_exec(handle, schema, NULL, NULL, NULL) == SQLITE_OK) {
    (*out)->handle = handle;
    return BC_OK;
  }
  bc_fail(context, BC_CANNOT_WRITE, _("%s: this file cannot be opened (%s). Delete it: it can be made again."), path,
          handle ? sqlite3_errmsg(handle) : "");
  sqlite3_close(handle);
  free(*out);
  *out = NULL;
  return BC_CANNOT_WRITE;
}

void feedback_cache_close(feedback_cache *cache) {
  if (!cache) return;
  sqlite3_close(cache->handle);
  free(cache);
}

static sqlite3_stmt *prepare(feedback_cache *cache, const char *sql, const char *key) {
  sqlite3_stmt *statement = NULL;
  if (!cache || sqlite3_prepare_v2(cache->handle, sql, -1, &statement, NULL) != SQLITE_OK) return NULL;
  sqlite3_bind_text(statement, 1, key, -1, SQLITE_TRANSIENT);
  return statement;
}

/* ---- hashes ---- */

void feedback_text_hash(char out[FEEDBACK_HASH], const char *text, size_t size) {
  unsigned char bytes[32];
  crypto_generichash(bytes, sizeof bytes, (const unsigned char *)text, size, NULL, 0);
  sodium_bin2hex(out, FEEDBACK_HASH, bytes, sizeof bytes);
}

static bool same_file(sqlite3_stmt *row, const struct stat *now) {
  return sqlite3_column_int64(row, 0) == (sqlite3_int64)now->st_size &&
         sqlite3_column_int64(row, 1) == (sqlite3_int64)now->st_mtim.tv_sec &&
         sqlite3_column_int64(row, 2) == (sqlite3_int64)now->st_mtim.tv_nsec &&
         sqlite3_column_int64(row, 3) == (sqlite3_int64)now->st_ctim.tv_sec &&
         sqlite3_column_int64(row, 4) == (sqlite3_int64)now->st_ctim.tv_nsec &&
         sqlite3_column_int64(row, 5) == (sqlite3_int64)now->st_ino;
}

static bool remembered(char out[FEEDBACK_HASH], feedback_cache *cache, const char *path, const struct stat *now) {
  sqlite3_stmt *row = prepare(
      cache, "SELECT size, seconds, nanoseconds, changed, changed_nanoseconds, inode, hash FROM seen WHERE path=?1",
      path);
  bool found = row && sqlite3_step(row) == SQLITE_ROW && same_file(row, now);
  const char *hash = found ? (const char *)sqlite3_column_text(row, 6) : NULL;
  found = hash && strlen(hash) == FEEDBACK_HASH - 1;
  if (found) strcpy(out, hash);
  sqlite3_finalize(row);
  return found;
}

static void remember(feedback_cache *cache, const char *path, const struct stat *now, const char *hash) {
  sqlite3_stmt *row = prepare(cache, "INSERT OR REPLACE INTO seen VALUES(?1,?2,?3,?4,?5,?6,?7,?8)", path);
  if (!row) return;
  sqlite3_bind_int64(row, 2, (sqlite3_int64)now->st_size);
  sqlite3_bind_int64(row, 3, (sqlite3_int64)now->st_mtim.tv_sec);
  sqlite3_bind_int64(row, 4, (sqlite3_int64)now->st_mtim.tv_nsec);
  sqlite3_bind_int64(row, 5, (sqlite3_int64)now->st_ctim.tv_sec);
  sqlite3_bind_int64(row, 6, (sqlite3_int64)now->st_ctim.tv_nsec);
  sqlite3_bind_int64(row, 7, (sqlite3_int64)now->st_ino);
  sqlite3_bind_text(row, 8, hash, -1, SQLITE_TRANSIENT);
  sqlite3_step(row);
  sqlite3_finalize(row);
}

bc_status feedback_file_hash(char out[FEEDBACK_HASH], feedback_cache *cache, bc_context *context, const char *path) {
  struct stat now = {0};
  char *whole = realpath(path, NULL);
  const bool told = whole && stat(whole, &now) == 0;
  bc_status status = BC_OK;
  if (!told || !remembered(out, cache, whole, &now)) {
    uint8_t *bytes = NULL;
    size_t size = 0;
    status = bc_file_read(&bytes, &size, context, path, bc_context_limits(context)->file_bytes);
    if (status == BC_OK) feedback_text_hash(out, (const char *)bytes, size);
    if (status == BC_OK && told) remember(cache, whole, &now, out);
    free(bytes);
  }
  free(whole);
  return status;
}

/* ---- makers ---- */

void feedback_made_clear(feedback_made *made) {
  free(made->inputs);
  free(made->line);
  free(made->complaints);
  free(made->others);
  *made = (feedback_made){0};
}

bool feedback_cache_get_maker(feedback_made *out, feedback_cache *cache, const char *name) {
  *out = (feedback_made){0};
  sqlite3_stmt *row = prepare(cache, "SELECT inputs, line, complaints, others FROM sheet WHERE name=?1", name);
  if (row && sqlite3_step(row) == SQLITE_ROW) {
    out->inputs = bc_copy_text((const char *)sqlite3_column_text(row, 0));
    out->line = bc_copy_text((const char *)sqlite3_column_text(row, 1));
    out->complaints = bc_copy_text((const char *)sqlite3_column_text(row, 2));
    out->others = bc_copy_text((const char *)sqlite3_column_text(row, 3));
  }
  sqlite3_finalize(row);
  if (out->inputs && out->line && out->complaints && out->others) return true;
  feedback_made_clear(out);
  return false;
}

bool feedback_cache_put_maker(feedback_cache *cache, const char *name, const feedback_made *made) {
  sqlite3_stmt *row = prepare(cache, "INSERT OR REPLACE INTO sheet VALUES(?1,?2,?3,?4,?5)", name);
  if (!row) return false;
  sqlite3_bind_text(row, 2, made->inputs, -1, SQLITE_TRANSIENT);
  sqlite3_bind_text(row, 3, made->line, -1, SQLITE_TRANSIENT);
  sqlite3_bind_text(row, 4, made->complaints ? made->complaints : "", -1, SQLITE_TRANSIENT);
  sqlite3_bind_text(row, 5, made->others ? made->others : "", -1, SQLITE_TRANSIENT);
  const bool done = sqlite3_step(row) == SQLITE_DONE;
  sqlite3_finalize(row);
  return done;
}
