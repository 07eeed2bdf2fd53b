/* SPDX-License-Identifier: MIT */
/* Overflow-checked sizes and allocation, and copies of text. */
#include "base.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

bool bc_size_multiply(size_t first, size_t second, size_t *out) {
  size_t product;
  if (__builtin_mul_overflow(first, second, &product)) return false;
  *out = product;
  return true;
}

bool bc_size_add(size_t first, size_t second, size_t *out) {
  size_t sum;
  if (__builtin_add_overflow(first, second, &sum)) return false;
  *out = sum;
  return true;
}

void *bc_allocate(size_t count, size_t size) {
  /* calloc checks the product itself; a block of nothing must still be distinguishable from failure. */
  return calloc(count ? count : 1, size ? size : 1);
}

void *bc_reallocate(void *block, size_t count, size_t size) {
  size_t bytes;
  if (!bc_size_multiply(count ? count : 1, size ? size : 1, &bytes)) return NULL;
  return realloc(block, bytes);
}

char *bc_copy_text(const char *text) {
  return text ? strdup(text) : NULL;
}

char *bc_format(const char *format, ...) {
  char *text = NULL;
  va_list arguments;
  va_start(arguments, format);
  const int length = vasprintf(&text, format, arguments);
  va_end(arguments);
  return length < 0 ? NULL : text;
}
