/* SPDX-License-Identifier: MIT */
/* Remarks, pinned to a photo or the wall, and answers to them. */
#ifndef BC_SRC_WEB_STORE_REMARKS_H
#define BC_SRC_WEB_STORE_REMARKS_H

#include "store.h"

typedef struct web_remark {
  char id[WEB_ID + 1];
  char answers[WEB_ID + 1]; /* the remark that it answers, or "" */
  char *text, *place;       /* place: JSON */
  bool by_owner, by_maker;  /* neither: from before authors were kept */
  int64_t added;
  bool done;
} web_remark;

typedef struct web_remarks {
  web_remark *item;
  size_t count;
} web_remarks;

bool web_remarks_of(web_store *store, const char *maker, web_remarks *out); /* those that are there */
void web_remarks_clear(web_remarks *remarks);
bool web_remark_add(web_store *store, const char *maker, const web_remark *remark);
bool web_remark_set_done(web_store *store, const char *id, bool done);
bool web_remark_set_text(web_store *store, const char *id, const char *text);
bool web_remark_delete(web_store *store, const char *id, bool deleted); /* false: it comes back */

#endif
