/* SPDX-License-Identifier: MIT */
/* The database: SQLite in WAL mode with full synchronisation, so that what was committed is on the disk. */
#include "web/server.h"

#include <stdlib.h>
#include <string.h>
#include <time.h>

static const char schema[] =
    "CREATE TABLE IF NOT EXISTS state(key TEXT PRIMARY KEY, value BLOB);"
    "CREATE TABLE IF NOT EXISTS makers(id TEXT PRIMARY KEY, name TEXT NOT NULL, changed INTEGER, head INTEGER NOT NULL "
    "DEFAULT 0, deleted INTEGER);"
    "CREATE TABLE IF NOT EXISTS photos(id TEXT PRIMARY KEY, maker TEXT NOT NULL, kind TEXT, name TEXT, title TEXT, "
    "hash "
    "TEXT, bytes INTEGER, width_cm REAL, height_cm REAL, weight_g REAL, help TEXT, facts TEXT, reading BLOB, version "
    "INTEGER, added INTEGER, deleted INTEGER);"
    "CREATE INDEX IF NOT EXISTS photos_of ON photos(maker);"
    "CREATE TABLE IF NOT EXISTS cloths(id TEXT PRIMARY KEY, maker TEXT NOT NULL, name TEXT, spec TEXT, photo TEXT, "
    "facts "
    "TEXT, added INTEGER);"
    "CREATE TABLE IF NOT EXISTS revisions(maker TEXT, number INTEGER, plan TEXT, undo_to INTEGER, redo_to INTEGER, "
    "saved "
    "INTEGER, PRIMARY KEY(maker, number));"
    "CREATE TABLE IF NOT EXISTS comments(id TEXT PRIMARY KEY, maker TEXT NOT NULL, text TEXT, place TEXT, added "
    "INTEGER, "
    "done INTEGER NOT NULL DEFAULT 0);"
    "CREATE TABLE IF NOT EXISTS links(id TEXT PRIMARY KEY, maker TEXT NOT NULL, kind TEXT, token BLOB UNIQUE, expires "
    "INTEGER, photos_left INTEGER, bytes_left INTEGER);"
    "CREATE TABLE IF NOT EXISTS sendings(maker TEXT, key TEXT, photo TEXT, added INTEGER, PRIMARY KEY(maker, key));"
    "DROP TABLE IF EXISTS sessions;"
    "CREATE TABLE IF NOT EXISTS visits(token BLOB PRIMARY KEY, expires INTEGER, seen INTEGER);"
    "CREATE TABLE IF NOT EXISTS weakest(maker TEXT PRIMARY KEY, key BLOB, found TEXT);";

static __thread sqlite3 *mine;
static __thread const web_server *mine_of;

static sqlite3 *open_handle(const web_server *server) {
  sqlite3 *handle = NULL;
  if (sqlite3_open_v2(server->database, &handle, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE | SQLITE_OPEN_NOMUTEX,
                      NULL) == SQLITE_OK &&
      sqlite3_busy_timeout(handle, 10000) == SQLITE_OK &&
      sqlite3_exec(handle, "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL;", NULL, NULL, NULL) == SQLITE_OK)
    return handle;
  sqlite3_close(handle);
  return NULL;
}

sqlite3 *web_store(web_server *server) {
  if (mine && mine_of == server) return mine;
  mine = open_handle(server);
  mine_of = server;
  pthread_mutex_lock(&server->handles);
  if (mine && server->handle_count < sizeof server->handle / sizeof *server->handle)
    server->handle[server->handle_count++] = mine;
  pthread_mutex_unlock(&server->handles);
  return mine;
}

static bool take_secret(web_server *server) {
  uint8_t fresh[sizeof server->secret];
  randombytes_buf(fresh, sizeof fresh);
  if (!web_do(server, "INSERT OR IGNORE INTO state VALUES('secret',?)", "b", fresh, sizeof fresh)) return false;
  sqlite3_stmt *row = web_sql(server, "SELECT value FROM state WHERE key='secret'", "");
  const bool found = row && sqlite3_step(row) == SQLITE_ROW && sqlite3_column_bytes(row, 0) == (int)sizeof fresh;
  if (found) memcpy(server->secret, sqlite3_column_blob(row, 0), sizeof fresh);
  sqlite3_finalize(row);
  return found;
}

bool web_store_open(web_server *server, bc_context *context) {
  sqlite3 *handle = web_store(server);
  if (handle && sqlite3_exec(handle, schema, NULL, NULL, NULL) == SQLITE_OK && take_secret(server)) return true;
  bc_fail(context, BC_CANNOT_WRITE, _("%s: the database cannot be opened (%s). Check the disk, or restore a backup."),
          server->database, handle ? sqlite3_errmsg(handle) : "");
  return false;
}

void web_store_close(web_server *server) {
  for (size_t i = 0; i < server->handle_count; i++) sqlite3_close(server->handle[i]);
  server->handle_count = 0;
  mine = NULL;
}

static bool bind_one(sqlite3_stmt *statement, int at, char type, va_list *values) {
  if (type == 't') {
    const char *text = va_arg(*values, const char *);
    return sqlite3_bind_text(statement, at, text, -1, SQLITE_TRANSIENT) == SQLITE_OK;
  }
  if (type == 'i') return sqlite3_bind_int64(statement, at, va_arg(*values, sqlite3_int64)) == SQLITE_OK;
  if (type == 'r') return sqlite3_bind_double(statement, at, va_arg(*values, double)) == SQLITE_OK;
  const void *bytes = va_arg(*values, const void *);
  const size_t size = va_arg(*values, size_t);
  return sqlite3_bind_blob64(statement, at, bytes, size, SQLITE_TRANSIENT) == SQLITE_OK;
}

static sqlite3_stmt *prepare(web_server *server, const char *sql, const char *types, va_list *values) {
  sqlite3 *handle = web_store(server);
  sqlite3_stmt *statement = NULL;
  if (!handle || sqlite3_prepare_v2(handle, sql, -1, &statement, NULL) != SQLITE_OK) return NULL;
  bool bound = true;
  for (int i = 0; bound && types[i]; i++) bound = bind_one(statement, i + 1, types[i], values);
  if (bound) return statement;
  sqlite3_finalize(statement);
  return NULL;
}

sqlite3_stmt *web_sql(web_server *server, const char *sql, const char *types, ...) {
  va_list values;
  va_start(values, types);
  sqlite3_stmt *statement = prepare(server, sql, types, &values);
  va_end(values);
  return statement;
}

bool web_do(web_server *server, const char *sql, const char *types, ...) {
  va_list values;
  va_start(values, types);
  sqlite3_stmt *statement = prepare(server, sql, types, &values);
  va_end(values);
  int step = SQLITE_ERROR;
  if (statement) do
      step = sqlite3_step(statement);
    while (step == SQLITE_ROW);
  sqlite3_finalize(statement);
  return step == SQLITE_DONE;
}

bool web_begin(web_server *server) {
  return web_do(server, "BEGIN IMMEDIATE", "");
}

bool web_commit(web_server *server) {
  return web_do(server, "COMMIT", "");
}

void web_roll_back(web_server *server) {
  web_do(server, "ROLLBACK", "");
}

const char *web_column(sqlite3_stmt *row, int column) {
  return (const char *)sqlite3_column_text(row, column);
}

void web_new_id(char id[WEB_ID + 1]) {
  static const char letters[] = "abcdefghijkmnpqrstuvwxyz23456789";
  uint8_t bytes[WEB_ID];
  randombytes_buf(bytes, sizeof bytes);
  for (int i = 0; i < WEB_ID; i++) id[i] = letters[bytes[i] % 32];
  id[WEB_ID] = '\0';
}

sqlite3_int64 web_time_ms(void) {
  struct timespec now;
  clock_gettime(CLOCK_REALTIME, &now);
  return (sqlite3_int64)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}
