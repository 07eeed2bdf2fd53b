/* SPDX-License-Identifier: MIT */
/* One archive (ZIP) with all that a data folder holds, made while a server runs, and a folder made of one. It can be
 * read without the program, too: index.html shows what was typed, with the photos under their titles. */
#ifndef BC_SRC_WEB_STORE_BACKUP_H
#define BC_SRC_WEB_STORE_BACKUP_H

#include "folder.h"

typedef struct web_backup {
  size_t makers, photos, missing; /* missing: photos whose file is not there */
} web_backup;

/* Errors: BC_NO_INPUT (no data folder), BC_BAD_DATA (a damaged one), BC_CANNOT_WRITE. The file is replaced only by a
 * whole one. */
bc_status web_export(web_backup *out, bc_context *context, const char *data, const char *file);
/* Into a folder that is empty or not there. Errors: BC_BAD_DATA (no such archive, or a damaged one), BC_CANNOT_WRITE.
 */
bc_status web_import(web_backup *out, bc_context *context, const char *data, const char *file);

/* index.html of an archive; malloc'd. `name_of` gives the place of a photo in the archive. */
typedef const char *web_name_of(const void *data, const char *photo);
bc_status web_backup_page(char **out, bc_context *context, web_store *store, web_name_of *name_of, const void *data);

/* Opens the database, and if it is damaged puts it aside and makes one of what can still be read. `rows`: how many. */
bc_status web_store_rescue(web_store **out, bc_context *context, const web_folder *folder, size_t *rows);

#endif
