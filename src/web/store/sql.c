/* SPDX-License-Identifier: MIT */
/* Statements, their values and their rows. */
#include "sql.h"

#include <stdarg.h>
#include <string.h>

static bool bind_one(sqlite3_stmt *statement, int at, char type, va_list *values) {
  if (type == 't') {
    const char *text = va_arg(*values, const char *);
    return sqlite3_bind_text(statement, at, text, -1, SQLITE_TRANSIENT) == SQLITE_OK;
  }
  if (type == 'i') return sqlite3_bind_int64(statement, at, va_arg(*values, int64_t)) == SQLITE_OK;
  if (type == 'r') return sqlite3_bind_double(statement, at, va_arg(*values, double)) == SQLITE_OK;
  const void *bytes = va_arg(*values, const void *);
  const size_t size = va_arg(*values, size_t);
  return sqlite3_bind_blob64(statement, at, bytes, size, SQLITE_TRANSIENT) == SQLITE_OK;
}

static sqlite3_stmt *prepare(web_store *store, const char *sql, const char *types, va_list *values) {
  sqlite3 *handle = store_handle(store);
  sqlite3_stmt *statement = NULL;
  if (!handle) return NULL;
  if (sqlite3_prepare_v2(handle, sql, -1, &statement, NULL) != SQLITE_OK) {
    store_note_failure(sqlite3_extended_errcode(handle));
    return NULL;
  }
  bool bound = true;
  for (int i = 0; bound && types[i]; i++) bound = bind_one(statement, i + 1, types[i], values);
  if (bound) return statement;
  sqlite3_finalize(statement);
  return NULL;
}

store_rows store_ask(web_store *store, const char *sql, const char *types, ...) {
  va_list values;
  va_start(values, types);
  const store_rows rows = {prepare(store, sql, types, &values), SQLITE_ERROR};
  va_end(values);
  return rows;
}

bool store_next(store_rows *rows) {
  if (!rows->statement || rows->step == SQLITE_DONE) return false;
  rows->step = sqlite3_step(rows->statement);
  if (rows->step != SQLITE_ROW && rows->step != SQLITE_DONE)
    store_note_failure(sqlite3_extended_errcode(sqlite3_db_handle(rows->statement)));
  return rows->step == SQLITE_ROW;
}

bool store_end(store_rows *rows) {
  sqlite3_finalize(rows->statement);
  rows->statement = NULL;
  return rows->step == SQLITE_DONE || rows->step == SQLITE_ROW;
}

bool store_do(web_store *store, const char *sql, const char *types, ...) {
  va_list values;
  va_start(values, types);
  store_rows rows = {prepare(store, sql, types, &values), SQLITE_ERROR};
  va_end(values);
  while (store_next(&rows)) continue;
  sqlite3_finalize(rows.statement);
  return rows.step == SQLITE_DONE;
}

int store_changes(web_store *store) {
  return sqlite3_changes(store_handle(store));
}

web_found store_has(web_store *store, const char *sql, const char *value) {
  store_rows rows = store_ask(store, sql, "t", value);
  const bool found = store_next(&rows);
  if (!store_end(&rows)) return WEB_FAILED;
  return found ? WEB_FOUND : WEB_NONE;
}

const char *store_text(const store_rows *rows, int column) {
  return (const char *)sqlite3_column_text(rows->statement, column);
}

char *store_copy(const store_rows *rows, int column) {
  return bc_copy_text(store_text(rows, column));
}

int64_t store_number(const store_rows *rows, int column) {
  return sqlite3_column_int64(rows->statement, column);
}

double store_real(const store_rows *rows, int column) {
  return sqlite3_column_double(rows->statement, column);
}

void store_id(char id[WEB_ID + 1], const store_rows *rows, int column) {
  const char *text = store_text(rows, column);
  strncpy(id, text ? text : "", WEB_ID);
  id[WEB_ID] = '\0';
}
