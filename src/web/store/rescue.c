/* SPDX-License-Identifier: MIT */
/* A database that is damaged goes aside, and a new one is made of every row that can still be read. Pages whose
 * checksum does not fit are not believed. */
#include "backup.h"
#include "schema.h"
#include "sql.h"

#include <backcloth/sentences.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static const char *const tables[] = {"state",     "makers",   "photos", "cloths",
                                     "revisions", "comments", "links",  "sendings"};

/* The columns of a table that both databases have, comma after comma. malloc'd. */
static char *columns_of(sqlite3 *from, sqlite3 *to, const char *table) {
  bc_buffer list = {0};
  sqlite3_stmt *row = NULL;
  char *sql = bc_format("SELECT name FROM pragma_table_info('%s')", table);
  if (sql && sqlite3_prepare_v2(to, sql, -1, &row, NULL) == SQLITE_OK)
    while (sqlite3_step(row) == SQLITE_ROW) {
      const char *name = (const char *)sqlite3_column_text(row, 0);
      if (sqlite3_table_column_metadata(from, "main", table, name, NULL, NULL, NULL, NULL, NULL) == SQLITE_OK)
        bc_buffer_add(&list, "%s%s", list.length ? "," : "", name);
    }
  sqlite3_finalize(row);
  free(sql);
  return list.text;
}

static bool put_row(sqlite3_stmt *put, sqlite3_stmt *row, int columns) {
  sqlite3_reset(put);
  for (int i = 0; i < columns; i++) sqlite3_bind_value(put, i + 1, sqlite3_column_value(row, i + 1));
  return sqlite3_step(put) == SQLITE_DONE;
}

/* From one end until the first row that cannot be read. */
static size_t copy_rows(sqlite3 *from, sqlite3_stmt *put, const char *sql, int columns) {
  sqlite3_stmt *row = NULL;
  size_t copied = 0;
  if (sqlite3_prepare_v2(from, sql, -1, &row, NULL) == SQLITE_OK)
    while (sqlite3_step(row) == SQLITE_ROW)
      copied += put_row(put, row, columns) && sqlite3_changes(sqlite3_db_handle(put));
  sqlite3_finalize(row);
  return copied;
}

/* From both ends: what lies between two damaged pages is lost. */
static size_t copy_table(sqlite3 *from, sqlite3 *to, const char *table) {
  char *columns = columns_of(from, to, table), *marks = NULL, *sql = NULL;
  sqlite3_stmt *put = NULL;
  size_t copied = 0;
  int count = 1;
  for (const char *at = columns; at && *at; at++) count += *at == ',';
  bc_buffer list = {0};
  for (int i = 0; columns && i < count; i++) bc_buffer_add(&list, "%s?", i ? "," : "");
  marks = list.text;
  sql = columns && marks ? bc_format("INSERT OR IGNORE INTO %s(%s) VALUES(%s)", table, columns, marks) : NULL;
  if (sql && sqlite3_prepare_v2(to, sql, -1, &put, NULL) == SQLITE_OK)
    for (int back = 0; back < 2; back++) {
      char *ask = bc_format("SELECT rowid,%s FROM %s ORDER BY rowid%s", columns, table, back ? " DESC" : "");
      if (ask) copied += copy_rows(from, put, ask, count);
      free(ask);
    }
  sqlite3_finalize(put);
  free(columns);
  free(marks);
  free(sql);
  return copied;
}

/* Rows that lost what they belong to. */
static bool mend(web_store *store) {
  return store_do(
             store,
             "INSERT OR IGNORE INTO makers(id,name,changed) SELECT maker,'?',0 FROM (SELECT maker FROM photos UNION "
             "SELECT maker FROM cloths UNION SELECT maker FROM revisions)",
             "") &&
         store_do(
             store,
             "UPDATE makers SET wall=NULL,head=ifnull((SELECT max(number) FROM revisions WHERE maker=makers.id AND "
             "json_valid(plan)),0)",
             "");
}

static size_t copy_all(web_store *store, const char *path, bool sealed) {
  sqlite3 *from = NULL, *to = store_handle(store);
  size_t rows = 0;
  if (sqlite3_open_v2(path, &from, SQLITE_OPEN_READWRITE, sealed ? store_checked_pages() : NULL) == SQLITE_OK)
    for (size_t i = 0; i < sizeof tables / sizeof *tables; i++) rows += copy_table(from, to, tables[i]);
  sqlite3_close(from);
  return rows;
}

/* The database with its log, under a name that is free. malloc'd. */
static char *put_aside(const web_folder *folder) {
  static const char *const ends[] = {"", "-wal", "-shm"};
  char *to = NULL;
  for (int number = 1; number == 1 || (to && access(to, F_OK) == 0); number++) {
    free(to);
    to = bc_format("%s/damaged-%d.sqlite", folder->aside, number);
  }
  for (size_t i = 0; to && i < 3; i++) {
    char *from = bc_format("%s%s", folder->database, ends[i]), *there = bc_format("%s%s", to, ends[i]);
    if (from && there) rename(from, there);
    free(from);
    free(there);
  }
  return to;
}

bc_status web_store_rescue(web_store **out, bc_context *context, const web_folder *folder, size_t *rows) {
  bc_status status = web_store_open(out, context, folder->database);
  *rows = 0;
  if (status != BC_BAD_DATA) return status;
  const bool sealed = store_is_sealed(folder->database);
  char *aside = put_aside(folder);
  status = aside ? web_store_open(out, context, folder->database) : bc_fail_memory(context);
  if (status == BC_OK && web_store_begin(*out)) {
    *rows = copy_all(*out, aside, sealed);
    if (!*rows) *rows = copy_all(*out, aside, !sealed); /* its very first page is what is damaged */
    if (!mend(*out) || !web_store_commit(*out)) {
      web_store_roll_back(*out);
      status = bc_fail(context, BC_CANNOT_WRITE, _("%s: nothing can be written in this folder."), folder->data);
    }
  }
  free(aside);
  return status;
}
