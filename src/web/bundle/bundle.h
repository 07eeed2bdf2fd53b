/* SPDX-License-Identifier: MIT */
/* The page's files inside the program; the table is written by bundle/bundle.c while building. */
#ifndef BC_SRC_WEB_BUNDLE_H
#define BC_SRC_WEB_BUNDLE_H

#include <stddef.h>

typedef struct web_bundled {
  const char *name;
  const unsigned char *bytes;
  size_t size;
  const unsigned char *gzip;
  size_t gzip_size; /* 0: compressing it gains nothing */
} web_bundled;
extern const web_bundled web_bundle[];
extern const size_t web_bundle_count;
extern const char web_bundle_hash[];

#endif
