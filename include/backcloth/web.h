/* SPDX-License-Identifier: MIT */
/**
 * @file web.h
 * The page's server: the calls of docs/web.md over HTTP, one data folder, photos decoded by worker
 * processes that can neither open a file nor reach the network. A thin layer over the library.
 */
#ifndef BACKCLOTH_WEB_H
#define BACKCLOTH_WEB_H

#include <backcloth/base.h>

#ifdef __cplusplus
extern "C" {
#endif

typedef struct bc_web_options {
  const char *bind;       /**< address to listen on; default "127.0.0.1" */
  uint16_t port;          /**< 0: a free one; default 8137 */
  const char *data;       /**< the data folder, made when it is not there. Required. */
  const char *password;   /**< the owner's password, or its Argon2id form "$argon2id$…"; NULL: none, loopback only */
  const char *public_url; /**< how people reach the page through a reverse proxy, "https://…"; NULL: directly */
  const char *page;       /**< a folder from which the page's files are read, for those who work on them; NULL */
  bool recover;     /**< a damaged database gives what can still be read, and photos that none knows become pieces */
  unsigned workers; /**< processes of each kind; 0: as many as cores, at least 2 */
  /** Told the page's address once it listens. May be NULL. */
  void (*listening)(void *data, const char *url);
  /** Told in a sentence what whoever started it should know. May be NULL. */
  void (*notice)(void *data, const char *sentence);
  void *listening_data; /**< for both */
} bc_web_options;

BC_API bc_web_options bc_web_options_default(void);

/** Serves until SIGTERM or SIGINT, or until `bc_web_stop` is called in a signal handler or another thread;
 *  then finishes what is being saved. Call it while the process has one thread only: it forks.
 *  Errors: BC_BAD_USAGE (an address that is not loopback without a password), BC_CANNOT_WRITE (the data
 *  folder, or another server uses it), BC_NO_INPUT (the port is taken), BC_OUR_FAULT. */
BC_API bc_status bc_web_serve(bc_context *context, const bc_web_options *options);
BC_API void bc_web_stop(void);

/** What an archive holds. */
typedef struct bc_web_backup {
  size_t makers, photos;
  size_t missing; /**< photos whose file is not there */
} bc_web_backup;
/** Writes all that a data folder holds into one archive (ZIP), also while a server runs: the database, the photos under
 *  their titles, and index.html, which shows what was typed. An existing file is replaced by the whole new one.
 *  Errors: BC_NO_INPUT (no data folder), BC_BAD_DATA (a damaged one), BC_CANNOT_WRITE. */
BC_API bc_status bc_web_export(bc_web_backup *out, bc_context *context, const char *data, const char *file);
/** Makes a data folder of an archive; the folder must be empty or not there. Errors: BC_BAD_DATA (no such archive, or a
 *  damaged one), BC_CANNOT_WRITE (the folder holds other files, or the disk is full). */
BC_API bc_status bc_web_import(bc_web_backup *out, bc_context *context, const char *data, const char *file);

#ifdef __cplusplus
}
#endif
#endif
