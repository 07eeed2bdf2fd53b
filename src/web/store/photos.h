/* SPDX-License-Identifier: MIT */
/* Photos: their rows, and their files by the hash of their content. */
#ifndef BC_SRC_WEB_STORE_PHOTOS_H
#define BC_SRC_WEB_STORE_PHOTOS_H

#include "store.h"

typedef struct web_photo {
  char id[WEB_ID + 1], maker[WEB_ID + 1];
  char hash[2 * WEB_HASH + 1];
  bool is_cloth;
  char *name, *title, *help, *facts;      /* help and facts: JSON */
  double width_cm, height_cm, weight_g;   /* 0: not told */
  int64_t bytes, version, added, deleted; /* deleted 0: not */
  char *stood;                            /* the piece as the plan had it when it was deleted, JSON, or NULL */
  void *reading;                          /* packed; only where it is asked for, or when it is added */
  size_t reading_size;
} web_photo;

typedef struct web_photos {
  web_photo *item;
  size_t count;
} web_photos;

typedef enum web_photo_kind { WEB_PIECES = 1, WEB_TEXTILES = 2, WEB_ALL_PHOTOS = 3 } web_photo_kind;
/* Those that are there, or (`deleted`) those in the trash, in the order in which they came. */
bool web_photos_of(web_store *store, const char *maker, web_photo_kind kinds, bool deleted, web_photos *out);
bool web_photos_with_readings(web_store *store, const char *maker, web_photos *out); /* pieces */
void web_photos_clear(web_photos *photos);

web_found web_photo_get(web_store *store, const char *id, web_photo *out); /* deleted or not */
void web_photo_clear(web_photo *photo);
bool web_photo_add(web_store *store, const web_photo *photo);
/* A new cut-out: help, facts, reading and version. */
bool web_photo_read_anew(web_store *store, const web_photo *photo);
bool web_photo_set_title(web_store *store, const char *id, const char *title);
typedef enum web_measure { WEB_WIDTH, WEB_HEIGHT, WEB_WEIGHT } web_measure;
bool web_photo_set_measure(web_store *store, const char *id, web_measure which, double value); /* 0: not told */
bool web_photo_delete(web_store *store, const char *id, const char *stood);
bool web_photo_restore(web_store *store, const char *id);

/* A photo whose answer was lost on the way comes again under the same key. */
web_found web_sending_get(web_store *store, const char *maker, const char *key, char photo[WEB_ID + 1]);
bool web_sending_put(web_store *store, const char *maker, const char *key, const char *photo);

#endif
