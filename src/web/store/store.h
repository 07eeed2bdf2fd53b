/* SPDX-License-Identifier: MIT */
/* The room of what is kept: the data folder and its database. Nothing outside it knows SQL; whoever asks gets values
 * that belong to the caller. This header: opening, transactions, names, time; the others: one for each kind of thing.
 */
#ifndef BC_SRC_WEB_STORE_H
#define BC_SRC_WEB_STORE_H

#include <backcloth/program.h>

#define WEB_ID 16 /* characters of an id */
#define WEB_HASH 32
#define WEB_DAY_MS ((int64_t)24 * 3600 * 1000)

typedef struct web_store web_store;

/* What came of a question about one thing. An error is never "there is none". */
typedef enum web_found { WEB_FAILED = -1, WEB_NONE = 0, WEB_FOUND = 1 } web_found;

/* Opens the database, makes it when `fresh`, brings an older one up to date. A damaged one is not opened: the sentence
 * says what to do. */
bc_status web_store_open(web_store **out, bc_context *context, const char *path);
void web_store_close(web_store *store); /* from any thread, when no other one asks any more */

/* One transaction at a time in each thread. */
bool web_store_begin(web_store *store);
bool web_store_commit(web_store *store);
void web_store_roll_back(web_store *store);

/* Whether this thread's last failure is damage, which a fuller disk does not explain. */
bool web_store_is_damaged(void);

void web_new_id(char id[WEB_ID + 1]);
int64_t web_time_ms(void); /* since 1970 */

/* A small value under a name: the secret, the password's hash, when was last swept. */
web_found web_state_get(web_store *store, const char *key, char **out, size_t *size); /* malloc'd, NUL after it */
bool web_state_put(web_store *store, const char *key, const void *value, size_t size);
bool web_state_put_text(web_store *store, const char *key, const char *value);

/* Copies the database into a file of its own while others write; read and written by SQLite alone. */
bool web_store_copy_to(const char *from, const char *to);

#endif
