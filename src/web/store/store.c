/* SPDX-License-Identifier: MIT */
/* The database: SQLite in WAL mode with full synchronisation, so that what was committed is on the disk; a handle for
 * each thread. What is deleted is overwritten (secure_delete). */
#include "store.h"
#include "handles.h"
#include "sql.h"

#include <backcloth/sentences.h>
#include <pthread.h>
#include <sodium.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

/* The first thing that is wrong in SQLite's own words, NULL without any. */
static char *what_is_wrong(sqlite3 *handle) {
  sqlite3_stmt *row = NULL;
  char *wrong = NULL;
  if (sqlite3_prepare_v2(handle, "PRAGMA quick_check(1)", -1, &row, NULL) != SQLITE_OK ||
      sqlite3_step(row) != SQLITE_ROW)
    wrong = bc_copy_text(sqlite3_errmsg(handle));
  else if (strcmp((const char *)sqlite3_column_text(row, 0), "ok") != 0)
    wrong = bc_copy_text((const char *)sqlite3_column_text(row, 0));
  sqlite3_finalize(row);
  return wrong;
}

static bc_status fail_damaged(bc_context *context, const web_store *store, const char *wrong) {
  return bc_fail(context, BC_BAD_DATA,
                 _("%s: the database is damaged (%s). Nothing was changed. Bring back a backup with --import into "
                   "another folder, or start with --recover, which keeps all that can still be read."),
                 store->path, wrong);
}

static bc_status check(web_store *store, bc_context *context) {
  sqlite3 *handle = store_handle(store);
  if (!handle && web_store_is_damaged()) return fail_damaged(context, store, "header");
  if (!handle)
    return bc_fail(context, BC_CANNOT_WRITE,
                   _("%s: the database cannot be opened. Check the disk and its permissions."), store->path);
  char *wrong = what_is_wrong(handle);
  if (wrong) {
    const bc_status status = fail_damaged(context, store, wrong);
    free(wrong);
    return status;
  }
  if (store_make_schema(handle)) return BC_OK;
  return bc_fail(context, BC_CANNOT_WRITE,
                 _("%s: the database cannot be opened (%s). Check the disk, or restore a backup."), store->path,
                 sqlite3_errmsg(handle));
}

bc_status web_store_open(web_store **out, bc_context *context, const char *path) {
  web_store *store = *out = bc_allocate(1, sizeof *store);
  if (!store) return bc_fail_memory(context);
  pthread_mutex_init(&store->lock, NULL);
  store->path = bc_copy_text(path);
  const bc_status status = store->path ? check(store, context) : bc_fail_memory(context);
  if (status == BC_OK) return BC_OK;
  web_store_close(store);
  *out = NULL;
  return status;
}

void web_store_close(web_store *store) {
  if (!store) return;
  for (size_t i = 0; i < store->count; i++) sqlite3_close(store->handle[i]);
  pthread_mutex_destroy(&store->lock);
  store_forget_handle();
  free(store->path);
  free(store);
}

bool web_store_begin(web_store *store) {
  return store_do(store, "BEGIN IMMEDIATE", "");
}

bool web_store_commit(web_store *store) {
  return store_do(store, "COMMIT", "");
}

void web_store_roll_back(web_store *store) {
  if (!sqlite3_get_autocommit(store_handle(store))) store_do(store, "ROLLBACK", "");
}

void web_new_id(char id[WEB_ID + 1]) {
  static const char letters[] = "abcdefghijkmnpqrstuvwxyz23456789";
  uint8_t bytes[WEB_ID];
  randombytes_buf(bytes, sizeof bytes);
  for (int i = 0; i < WEB_ID; i++) id[i] = letters[bytes[i] % 32];
  id[WEB_ID] = '\0';
}

int64_t web_time_ms(void) {
  struct timespec now;
  clock_gettime(CLOCK_REALTIME, &now);
  return (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

/* --- small values --------------------------------------------------------------------------------------- */

web_found web_state_get(web_store *store, const char *key, char **out, size_t *size) {
  store_rows rows = store_ask(store, "SELECT value FROM state WHERE key=?", "t", key);
  *out = NULL;
  *size = 0;
  const bool found = store_next(&rows);
  if (found) {
    *size = (size_t)sqlite3_column_bytes(rows.statement, 0);
    *out = bc_allocate(*size + 1, 1);
    if (*out && *size) memcpy(*out, sqlite3_column_blob(rows.statement, 0), *size);
  }
  if (!store_end(&rows) || (found && !*out)) return WEB_FAILED;
  return found ? WEB_FOUND : WEB_NONE;
}

bool web_state_put(web_store *store, const char *key, const void *value, size_t size) {
  return store_do(store, "INSERT OR REPLACE INTO state VALUES(?,?)", "tb", key, value, size);
}

bool web_state_put_text(web_store *store, const char *key, const char *value) {
  return store_do(store, "INSERT OR REPLACE INTO state VALUES(?,?)", "tt", key, value);
}

/* --- a copy ---------------------------------------------------------------------------------------------- */

/* Source: SQLite's online backup API. */
static bool copy_pages(sqlite3 *to, sqlite3 *from) {
  sqlite3_backup *copy = sqlite3_backup_init(to, "main", from, "main");
  int step = copy ? SQLITE_OK : SQLITE_ERROR;
  for (int tries = 0; copy && step != SQLITE_DONE && tries < 600; tries++) {
    step = sqlite3_backup_step(copy, -1);
    if (step != SQLITE_DONE && step != SQLITE_BUSY && step != SQLITE_LOCKED) break;
    if (step != SQLITE_DONE) sqlite3_sleep(100);
  }
  return sqlite3_backup_finish(copy) == SQLITE_OK && step == SQLITE_DONE;
}

bool web_store_copy_to(const char *from, const char *to) {
  sqlite3 *source = NULL, *target = NULL;
  const bool done =
      sqlite3_open_v2(from, &source, SQLITE_OPEN_READWRITE, store_checked_pages()) == SQLITE_OK &&
      sqlite3_busy_timeout(source, 10000) == SQLITE_OK &&
      sqlite3_open_v2(to, &target, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE, store_checked_pages()) == SQLITE_OK &&
      copy_pages(target, source);
  return (sqlite3_close(target) == SQLITE_OK) & (sqlite3_close(source) == SQLITE_OK) & done;
}
