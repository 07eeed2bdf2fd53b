/* SPDX-License-Identifier: MIT */
/* Reduced images for further strokes. A piece is 1024 pixels long at the most, 16 bytes each. */
#ifndef BC_SRC_WEB_KEPT_IMAGES_H
#define BC_SRC_WEB_KEPT_IMAGES_H

#include <backcloth/apart.h>
#include <pthread.h>

#define WEB_KEPT 8
#define WEB_KEPT_BYTES ((size_t)24 << 20)
typedef struct web_kept_image {
  char *key; /* NULL: none */
  int file;
  uint64_t size, used;
} web_kept_image;
typedef struct web_kept {
  web_kept_image image[WEB_KEPT];
  uint64_t clock;
  pthread_mutex_t lock;
} web_kept;
void web_kept_start(web_kept *kept);
void web_kept_stop(web_kept *kept);
void web_kept_put(web_kept *kept, const char *key, const bc_apart_part *part);
int web_kept_open(web_kept *kept, const char *key, uint64_t *bytes); /* an open file, or -1 */

#endif
