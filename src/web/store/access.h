/* SPDX-License-Identifier: MIT */
/* Who may in: links, visits, and to whom a thing belongs. Tokens are here as hashes only. */
#ifndef BC_SRC_WEB_STORE_ACCESS_H
#define BC_SRC_WEB_STORE_ACCESS_H

#include "store.h"

typedef struct web_link {
  char id[WEB_ID + 1], maker[WEB_ID + 1];
  bool invites; /* to add photos; else to look */
  int64_t expires, photos_left, bytes_left;
} web_link;

typedef struct web_links {
  web_link *item;
  size_t count;
} web_links;

bool web_links_of(web_store *store, const char *maker, web_links *out);                      /* free out->item */
web_found web_link_by_token(web_store *store, const uint8_t token[WEB_HASH], web_link *out); /* that still holds */
web_found web_link_get(web_store *store, const char *id, web_link *out);
bool web_link_add(web_store *store, const web_link *link, const uint8_t token[WEB_HASH]);
bool web_link_delete(web_store *store, const char *id);
/* A photo of so many bytes off what it still allows; WEB_NONE: it allows no more. */
web_found web_link_spend(web_store *store, const char *id, int64_t bytes);
bool web_link_unspend(web_store *store, const char *id, int64_t bytes);

/* `stale`: the last visit was noted a while ago. */
web_found web_visit_find(web_store *store, const uint8_t token[WEB_HASH], bool *stale);
bool web_visit_note(web_store *store, const uint8_t token[WEB_HASH]);
bool web_visit_begin(web_store *store, const uint8_t token[WEB_HASH]);
bool web_visit_end(web_store *store, const uint8_t token[WEB_HASH]);
bool web_visits_end_all(web_store *store);
#define WEB_VISIT_DAYS 30 /* the password again after a month in any case */

typedef enum web_subject { WEB_OF_NONE = 0, WEB_OF_MAKER, WEB_OF_PHOTO, WEB_OF_REMARK, WEB_OF_LINK } web_subject;
/* The maker to whom a thing belongs; `gone`: it lies in the trash. */
web_found web_maker_of(web_store *store, web_subject what, const char *id, char maker[WEB_ID + 1], bool *gone);

#endif
