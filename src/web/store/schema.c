/* SPDX-License-Identifier: MIT */
/* The tables, and bringing a database of an earlier version up to date. */
#include "schema.h"
#include "sql.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static const char schema[] =
    "CREATE TABLE IF NOT EXISTS state(key TEXT PRIMARY KEY, value BLOB);"
    "CREATE TABLE IF NOT EXISTS makers(id TEXT PRIMARY KEY, name TEXT NOT NULL, changed INTEGER, head INTEGER NOT NULL "
    "DEFAULT 0, deleted INTEGER, archived INTEGER, wall TEXT, stamp INTEGER NOT NULL DEFAULT 0);"
    "CREATE TABLE IF NOT EXISTS photos(id TEXT PRIMARY KEY, maker TEXT NOT NULL, kind TEXT, name TEXT, title TEXT, "
    "hash "
    "TEXT, bytes INTEGER, width_cm REAL, height_cm REAL, weight_g REAL, help TEXT, facts TEXT, reading BLOB, version "
    "INTEGER, added INTEGER, deleted INTEGER, stood TEXT);" /* the piece in the plan when it was deleted */
    "CREATE INDEX IF NOT EXISTS photos_there ON photos(maker, deleted, kind, added);" /* the rows hold long readings */
    "CREATE INDEX IF NOT EXISTS photos_with ON photos(hash);"
    "CREATE TABLE IF NOT EXISTS cloths(id TEXT PRIMARY KEY, maker TEXT NOT NULL, name TEXT, spec TEXT, photo TEXT, "
    "facts "
    "TEXT, added INTEGER);"
    "CREATE TABLE IF NOT EXISTS revisions(maker TEXT, number INTEGER, plan TEXT, undo_to INTEGER, redo_to INTEGER, "
    "saved "
    "INTEGER, PRIMARY KEY(maker, number));"
    "CREATE TABLE IF NOT EXISTS comments(id TEXT PRIMARY KEY, maker TEXT NOT NULL, text TEXT, place TEXT, added "
    "INTEGER, "
    "done INTEGER NOT NULL DEFAULT 0, author TEXT, answers TEXT, deleted INTEGER);"
    "CREATE INDEX IF NOT EXISTS comments_of ON comments(maker);"
    "CREATE TABLE IF NOT EXISTS links(id TEXT PRIMARY KEY, maker TEXT NOT NULL, kind TEXT, token BLOB UNIQUE, expires "
    "INTEGER, photos_left INTEGER, bytes_left INTEGER);"
    "CREATE TABLE IF NOT EXISTS sendings(maker TEXT, key TEXT, photo TEXT, added INTEGER, PRIMARY KEY(maker, key));"
    "DROP TABLE IF EXISTS sessions;"
    "CREATE TABLE IF NOT EXISTS visits(token BLOB PRIMARY KEY, expires INTEGER, seen INTEGER);"
    "CREATE TABLE IF NOT EXISTS weakest(maker TEXT PRIMARY KEY, key BLOB, found TEXT);"
    "CREATE TABLE IF NOT EXISTS erasing(hash TEXT PRIMARY KEY);"; /* files that are to go, until they are gone */

/* Whatever the figures of a maker depend on gives it another stamp: its pieces, its cloths, its wall. */
#define STAMP(name, event, maker)                                                                                      \
  "CREATE TRIGGER IF NOT EXISTS " name " AFTER " event " BEGIN UPDATE makers SET stamp=stamp+1 WHERE id=" maker ";END" \
  ";"
static const char stamps[] =
    STAMP("photo_came", "INSERT ON photos", "NEW.maker") STAMP("photo_went", "DELETE ON photos", "OLD.maker")
        STAMP("photo_changed", "UPDATE OF kind,hash,version,width_cm,deleted ON photos", "NEW.maker")
            STAMP("cloth_came", "INSERT ON cloths", "NEW.maker") STAMP("cloth_went", "DELETE ON cloths", "OLD.maker")
                STAMP("cloth_changed", "UPDATE ON cloths", "NEW.maker")
                    STAMP("wall_changed", "UPDATE OF wall ON makers WHEN OLD.wall IS NOT NEW.wall", "NEW.id");

/* What tables of the first version lack. */
static const char *const later[][2] = {
    {"makers", "archived INTEGER"}, {"makers", "wall TEXT"},     {"makers", "stamp INTEGER NOT NULL DEFAULT 0"},
    {"photos", "stood TEXT"},       {"comments", "author TEXT"}, {"comments", "answers TEXT"},
    {"comments", "deleted INTEGER"}};

static bool says(sqlite3 *handle, const char *sql) {
  return sqlite3_exec(handle, sql, NULL, NULL, NULL) == SQLITE_OK;
}

static int number_of(sqlite3 *handle, const char *sql) {
  sqlite3_stmt *row = NULL;
  int number = -1;
  if (sqlite3_prepare_v2(handle, sql, -1, &row, NULL) == SQLITE_OK && sqlite3_step(row) == SQLITE_ROW)
    number = sqlite3_column_int(row, 0);
  sqlite3_finalize(row);
  return number;
}

static bool add_column(sqlite3 *handle, const char *table, const char *column) {
  char *sql = bc_format("SELECT count(*) FROM pragma_table_info('%s') WHERE name='%.*s'", table,
                        (int)strcspn(column, " "), column);
  const int there = sql ? number_of(handle, sql) : -1;
  free(sql);
  sql = there == 0 ? bc_format("ALTER TABLE %s ADD COLUMN %s", table, column) : NULL;
  const bool done = there > 0 || (sql && says(handle, sql));
  free(sql);
  return done;
}

bool store_make_schema(sqlite3 *handle) {
  char version[96];
  snprintf(version, sizeof version, "PRAGMA application_id=%d; PRAGMA user_version=%d;", STORE_APPLICATION,
           STORE_VERSION);
  if (number_of(handle, "PRAGMA user_version") == STORE_VERSION) return true;
  bool done = says(handle, "BEGIN IMMEDIATE") && says(handle, schema);
  for (size_t i = 0; done && i < sizeof later / sizeof *later; i++) done = add_column(handle, later[i][0], later[i][1]);
  if (done && says(handle, "DROP INDEX IF EXISTS photos_of") && says(handle, stamps) && says(handle, version) &&
      says(handle, "COMMIT"))
    return true;
  says(handle, "ROLLBACK");
  return false;
}

/* --- a database of the first version ---------------------------------------------------------------------- */

bool store_is_sealed(const char *path) {
  uint8_t head[100] = {0};
  FILE *file = fopen(path, "rb");
  const bool whole = file && fread(head, sizeof head, 1, file) == 1;
  if (file) fclose(file);
  const uint32_t application =
      (uint32_t)head[68] << 24 | (uint32_t)head[69] << 16 | (uint32_t)head[70] << 8 | (uint32_t)head[71];
  return whole && memcmp(head, "SQLite format 3", 16) == 0 && head[20] == STORE_SEAL &&
         application == STORE_APPLICATION;
}

static sqlite3 *open_plain(const char *path) {
  sqlite3 *handle = NULL;
  if (sqlite3_open_v2(path, &handle, SQLITE_OPEN_READWRITE | SQLITE_OPEN_URI, NULL) == SQLITE_OK) return handle;
  sqlite3_close(handle);
  return NULL;
}

bool store_is_first_version(const char *path) {
  sqlite3 *handle = open_plain(path);
  const int tables = handle ? number_of(handle, "SELECT count(*) FROM sqlite_master WHERE type='table' AND name IN "
                                                "('state','makers','photos','cloths','revisions','comments','links')")
                            : 0;
  sqlite3_close(handle);
  return tables == 7;
}

static bool is_sound(sqlite3 *handle) {
  sqlite3_stmt *row = NULL;
  const bool sound = sqlite3_prepare_v2(handle, "PRAGMA integrity_check(1)", -1, &row, NULL) == SQLITE_OK &&
                     sqlite3_step(row) == SQLITE_ROW && strcmp((const char *)sqlite3_column_text(row, 0), "ok") == 0;
  sqlite3_finalize(row);
  return sound;
}

bool store_convert(const char *path) {
  char *made = bc_format("%s.new", path), *sql = NULL;
  sqlite3 *handle = made && store_checked_pages() ? open_plain(path) : NULL;
  int seal = STORE_SEAL;
  if (made) unlink(made);
  sql = sqlite3_mprintf("VACUUM INTO 'file:%q?vfs=%s'", made, store_checked_pages());
  bool done = handle && sql && is_sound(handle) && says(handle, "PRAGMA journal_mode=DELETE") &&
              sqlite3_file_control(handle, "main", SQLITE_FCNTL_RESERVE_BYTES, &seal) == SQLITE_OK && says(handle, sql);
  done = sqlite3_close(handle) == SQLITE_OK && done;
  done = done && store_sync_file(made) && rename(made, path) == 0 && store_sync_folder_of(path);
  sqlite3_free(sql);
  free(made);
  return done;
}
