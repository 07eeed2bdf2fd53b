/* SPDX-License-Identifier: MIT */
/* What kind of database a file is, and bringing one of the first version (without checksums) up to date. */
#ifndef BC_SRC_WEB_STORE_SCHEMA_H
#define BC_SRC_WEB_STORE_SCHEMA_H

#include <stdbool.h>

bool store_is_sealed(const char *path);
bool store_is_first_version(const char *path);
/* Puts a sealed copy in its place, or leaves it as it is. False: it could not be done, or the database is damaged. */
bool store_convert(const char *path);

bool store_sync_file(const char *path);
bool store_sync_folder(const char *path);
bool store_sync_folder_of(const char *path); /* the folder in which a file lies */

#endif
