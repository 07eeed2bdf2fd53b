/* SPDX-License-Identifier: MIT */
/* Plans: every save is a revision, kept, so that undo works after a reload and two people who edit at once are merged
 * against what they started from. */
#ifndef BC_SRC_WEB_STORE_PLANS_H
#define BC_SRC_WEB_STORE_PLANS_H

#include "store.h"
#include <jansson.h>

typedef struct web_revision {
  int64_t number;           /* 0: nothing was saved yet */
  int64_t undo_to, redo_to; /* the revisions whose plan they bring back; 0: none */
  json_t *plan;             /* the caller's */
} web_revision;

web_found web_plan_at(web_store *store, const char *maker, int64_t number, web_revision *out);
web_found web_plan_head(web_store *store, const char *maker, web_revision *out); /* number 0, no plan: none saved */
web_found web_plan_head_number(web_store *store, const char *maker, int64_t *number);
bool web_plan_add(web_store *store, const char *maker, const web_revision *revision);

/* Three-way merge, by key and by id: merge.c. */
json_t *web_merge(const json_t *base, const json_t *mine, const json_t *theirs, json_t *overruled);

#endif
