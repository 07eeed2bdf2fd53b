/* SPDX-License-Identifier: MIT */
/* Questions to the database, for the files of this room. A row that cannot be read is told as that: */
/*   store_rows rows = store_ask(store, "SELECT …", "t", id);
 *   while (store_next(&rows)) …
 *   return store_end(&rows);      false: not all rows were seen, so what was gathered is no answer */
#ifndef BC_SRC_WEB_STORE_SQL_H
#define BC_SRC_WEB_STORE_SQL_H

#include "store.h"
#include <sqlite3.h>

typedef struct store_rows {
  sqlite3_stmt *statement; /* NULL: the question could not be put */
  int step;
} store_rows;

/* `types`: t text (or NULL), i int64_t, r double, b bytes and size_t. */
store_rows store_ask(web_store *store, const char *sql, const char *types, ...);
bool store_next(store_rows *rows);
bool store_end(store_rows *rows);
/* Does what gives no rows. */
bool store_do(web_store *store, const char *sql, const char *types, ...);
int store_changes(web_store *store); /* rows that the last store_do of this thread changed */
/* Whether there is a row. */
web_found store_has(web_store *store, const char *sql, const char *value);

const char *store_text(const store_rows *rows, int column); /* borrowed until the next row; NULL */
char *store_copy(const store_rows *rows, int column);       /* malloc'd; NULL */
int64_t store_number(const store_rows *rows, int column);
double store_real(const store_rows *rows, int column); /* 0 for none */
void store_id(char id[WEB_ID + 1], const store_rows *rows, int column);

sqlite3 *store_handle(web_store *store); /* this thread's; NULL */
void store_note_failure(int code);

/* The VFS under which the database's pages carry checksums: checked_pages.c. Registered once; its name. */
const char *store_checked_pages(void);
#define STORE_SEAL 8 /* bytes at the end of each page */

/* schema.c */
#define STORE_APPLICATION 0x42634C74 /* "BcLt" */
#define STORE_VERSION 2
bool store_make_schema(sqlite3 *handle);

#endif
