/* SPDX-License-Identifier: MIT */
/* The store's handles, one for each thread: handles.c. */
#ifndef BC_SRC_WEB_STORE_HANDLES_H
#define BC_SRC_WEB_STORE_HANDLES_H

#include "sql.h"
#include <pthread.h>

#define HANDLES 64

struct web_store {
  char *path;
  pthread_mutex_t lock;
  sqlite3 *handle[HANDLES];
  size_t count;
};

/* This thread's handle was closed. */
void store_forget_handle(void);

#endif
