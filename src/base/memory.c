/* SPDX-License-Identifier: MIT */
/* Overflow-checked sizes and allocation, and copies of text. */
#include "base.h"

#include <malloc.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <unistd.h>

bool base_size_multiply(size_t first, size_t second, size_t *out) {
  size_t product;
  if (__builtin_mul_overflow(first, second, &product)) return false;
  *out = product;
  return true;
}

bool base_size_add(size_t first, size_t second, size_t *out) {
  size_t sum;
  if (__builtin_add_overflow(first, second, &sum)) return false;
  *out = sum;
  return true;
}

void *bc_allocate(size_t count, size_t size) {
  /* calloc checks the product itself; a block of nothing must still be distinguishable from failure. */
  return calloc(count ? count : 1, size ? size : 1);
}

/* ---- memory that was lacking ---- */

static _Thread_local bool lacked;

void bc_memory_note(void) {
  lacked = true;
}

bool bc_memory_lacked(void) {
  return lacked;
}

void bc_memory_forget(void) {
  lacked = false;
}

/* Thousands of fresh pages cost the kernel as long as the work on them takes. */
void *base_allocate_large(size_t count, size_t size) {
  const size_t page = (size_t)2 << 20;
  size_t bytes;
  void *block = NULL;
  if (!base_size_multiply(count ? count : 1, size ? size : 1, &bytes)) return NULL;
  if (bytes < page / 2) return malloc(bytes);
  if (!base_size_add(bytes, page - 1, &bytes)) return NULL;
  bytes -= bytes % page;
  if (posix_memalign(&block, page, bytes) != 0) return NULL;
  (void)madvise(block, bytes, MADV_HUGEPAGE);
  return block;
}

/* Kept in one heap of large pages, planes are asked of the kernel once and by the megabyte: by 4 kB at a time that
 * takes longer than the work on them. Nothing is taken before it is used. */
void bc_widen_heap(void) {
  enum { blocks = 6, size = 16 << 20 };
  void *block[blocks];
  const uintptr_t page = (uintptr_t)sysconf(_SC_PAGESIZE);
  mallopt(M_MMAP_THRESHOLD, 32 << 20); /* the most that glibc takes */
  mallopt(M_TRIM_THRESHOLD, 512 << 20);
  mallopt(M_ARENA_MAX, 1); /* else each thread has a heap of its own, of small pages, given back every time */
  for (int i = 0; i < blocks; i++) {
    block[i] = malloc(size);
    const uintptr_t from = ((uintptr_t)block[i] + page - 1) & ~(page - 1);
    if (block[i]) madvise((char *)block[i] + (from - (uintptr_t)block[i]), size - page, MADV_HUGEPAGE);
  }
  for (int i = 0; i < blocks; i++) free(block[i]);
}

void *bc_reallocate(void *block, size_t count, size_t size) {
  size_t bytes;
  if (!base_size_multiply(count ? count : 1, size ? size : 1, &bytes)) return NULL;
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
