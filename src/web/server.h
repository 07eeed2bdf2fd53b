/* SPDX-License-Identifier: MIT */
/* The server: what lives from its start to its end. */
#ifndef BC_SRC_WEB_SERVER_H
#define BC_SRC_WEB_SERVER_H

#include "web/store/folder.h"
#include "web/work/kept_images.h"
#include <backcloth/web.h>
#include <pthread.h>
#include <sodium.h>

typedef struct web_lane web_lane;
typedef struct web_patience web_patience;

typedef struct web_server {
  bc_web_options options;
  web_folder folder;
  web_store *store;
  char password_hash[crypto_pwhash_STRBYTES]; /* "" without a password */
  uint8_t secret[32];
  uint16_t port;
  bc_apart_nursery *nursery;
  bc_apart_pool *decoders, *planners;
  web_kept kept;
  web_lane *lane[3];
  struct MHD_Daemon *daemon;
  web_patience *patience;
  pthread_mutex_t entering; /* one password at a time: each takes 64 MB */
} web_server;

#endif
