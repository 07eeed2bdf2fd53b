/* SPDX-License-Identifier: MIT */
/* The data folder on the disk:
 *
 *   backcloth-data.txt  its mark: what the folder is, and its format
 *   backcloth.sqlite    (-wal, -shm)
 *   photos/XX/HASH      each photo by the BLAKE2b-256 of its content
 *   aside/              photos that the database did not know, and databases that could not be read
 *   made/               pictures made from photos, made again when they are missing
 *   incoming/ scratch/  what is being sent and drawn
 *   lock
 *
 * Only a folder that is empty, or has the mark, or holds a database of the first version is taken. */
#ifndef BC_SRC_WEB_STORE_FOLDER_H
#define BC_SRC_WEB_STORE_FOLDER_H

#include "store.h"

typedef struct web_folder {
  char *data, *photos, *aside, *made, *incoming, *scratch, *database;
  int lock; /* held while the folder is used; -1 */
} web_folder;

/* Makes what is missing. `rescue`: a database that is damaged or missing is no reason to refuse the folder. */
bc_status web_folder_open(web_folder *out, bc_context *context, const char *data, bool rescue);
void web_folder_close(web_folder *folder);
/* A new one, for an import: without its mark, which says that all is there, until it is finished. */
bc_status web_folder_begin(web_folder *out, bc_context *context, const char *data);
bc_status web_folder_finish(const web_folder *folder, bc_context *context);
/* For looking while a server runs: no lock, and nothing is made or changed. */
bc_status web_folder_look(web_folder *out, bc_context *context, const char *data);

char *web_photo_path(const web_folder *folder, const char *hash); /* malloc'd */
/* Puts a file that was written whole to its place, for good. Its bytes are synchronised by the caller. */
bool web_photo_keep(const web_folder *folder, const char *from, const char *hash);
char *web_made_path(const web_folder *folder, const char *id, int64_t version, const char *what);

typedef struct web_strangers {
  size_t put_aside, brought_back;
} web_strangers;
/* Photos that the database does not know go aside, those it knows come back. Nothing is removed. At a start only. */
bool web_folder_tidy(const web_folder *folder, web_store *store, web_strangers *out);

/* --- going for good: sweep.c ------------------------------------------------------------------------------ */

/* Forgets what lay in the trash for 30 days, with its files and what older plans say of it. Asked often: at most once
 * a day it does so, and only what was in the trash for 29 days at the time before, so that a clock that jumps ahead
 * for an hour costs nothing. */
bool web_sweep(web_store *store, const web_folder *folder);
/* At once. WEB_NONE: it is not in the trash. */
web_found web_photo_forget(web_store *store, const web_folder *folder, const char *id);
web_found web_maker_forget(web_store *store, const web_folder *folder, const char *id);

#endif
