/* SPDX-License-Identifier: MIT */
/* A handle of the database for each thread, and what failed last. */
#include "handles.h"

static __thread int last_failure;

void store_note_failure(int code) {
  last_failure = code;
}

bool web_store_is_damaged(void) {
  const int kind = last_failure & 0xFF;
  return kind == SQLITE_CORRUPT || kind == SQLITE_NOTADB || last_failure == SQLITE_IOERR_DATA ||
         last_failure == SQLITE_IOERR_READ || last_failure == SQLITE_IOERR_SHORT_READ;
}

static __thread sqlite3 *mine;
static __thread const web_store *mine_of;

static sqlite3 *open_handle(const web_store *store) {
  sqlite3 *handle = NULL;
  int seal = STORE_SEAL;
  const int flags = SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE | SQLITE_OPEN_NOMUTEX;
  if (sqlite3_open_v2(store->path, &handle, flags, store_checked_pages()) == SQLITE_OK &&
      sqlite3_busy_timeout(handle, 10000) == SQLITE_OK &&
      sqlite3_file_control(handle, "main", SQLITE_FCNTL_RESERVE_BYTES, &seal) == SQLITE_OK &&
      sqlite3_exec(handle, "PRAGMA secure_delete=ON; PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL;", NULL, NULL,
                   NULL) == SQLITE_OK)
    return handle;
  store_note_failure(handle ? sqlite3_extended_errcode(handle) : SQLITE_NOMEM);
  sqlite3_close(handle);
  return NULL;
}

sqlite3 *store_handle(web_store *store) {
  if (mine && mine_of == store) return mine;
  sqlite3 *handle = open_handle(store);
  if (!handle) return NULL;
  pthread_mutex_lock(&store->lock);
  const bool room = store->count < HANDLES;
  if (room) store->handle[store->count++] = handle;
  pthread_mutex_unlock(&store->lock);
  if (!room) sqlite3_close(handle);
  mine = room ? handle : NULL;
  mine_of = store;
  return mine;
}

void store_forget_handle(void) {
  mine = NULL;
}
