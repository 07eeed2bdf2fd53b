/* SPDX-License-Identifier: MIT */
/* Makers and their cloths. */
#ifndef BC_SRC_WEB_STORE_MAKERS_H
#define BC_SRC_WEB_STORE_MAKERS_H

#include "store.h"

typedef struct web_maker {
  char id[WEB_ID + 1];
  char *name;
  char *wall;                         /* the cloth of its newest plan, JSON; NULL: not noted yet */
  char *figures;                      /* JSON that was kept for this stamp; NULL */
  int64_t stamp;                      /* another one whenever the figures may be others */
  int64_t changed, deleted, archived; /* 0: not */
  int64_t pieces, remarks;            /* photos of pieces; open remarks */
  char newest[WEB_ID + 1];            /* photo of a piece, or "" */
} web_maker;

typedef struct web_makers {
  web_maker *item;
  size_t count;
} web_makers;

typedef enum web_shelf { WEB_ON_DESK, WEB_ARCHIVED, WEB_IN_TRASH } web_shelf;
bool web_makers_list(web_store *store, web_shelf shelf, web_makers *out); /* last changed first */
void web_makers_clear(web_makers *makers);
web_found web_maker_get(web_store *store, const char *id, web_maker *out);
void web_maker_clear(web_maker *maker);

web_found web_maker_name(web_store *store, const char *id, char **name); /* malloc'd */
bool web_maker_add(web_store *store, const char *id, const char *name);
bool web_maker_rename(web_store *store, const char *id, const char *name);
bool web_maker_move(web_store *store, const char *id, web_shelf shelf); /* to the trash, to the archive, back */
bool web_maker_changed(web_store *store, const char *id);

typedef struct web_cloth {
  char id[WEB_ID + 1];
  char *name, *css, *facts; /* facts: JSON; css NULL for a photographed one */
  char photo[WEB_ID + 1];   /* or "" */
} web_cloth;

typedef struct web_cloths {
  web_cloth *item;
  size_t count;
} web_cloths;

bool web_cloths_of(web_store *store, const char *maker, web_cloths *out);
void web_cloths_clear(web_cloths *cloths);
bool web_cloth_add(web_store *store, const char *maker, const web_cloth *cloth);
bool web_cloth_delete(web_store *store, const char *maker, const char *id);

/* Keeps what was found for a maker while it had this stamp. */
bool web_figures_put(web_store *store, const char *maker, int64_t stamp, const char *figures);

#endif
