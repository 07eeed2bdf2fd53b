/* SPDX-License-Identifier: MIT */
/* The program: everything is in cli_run, so that tests can call it too; and the program's malloc, which is the C
 * library's and notes when there was nothing to give, to the libraries as well (bc_memory_note). */
#include "cli.h"

#include <backcloth/program.h>
#include <errno.h>

#if !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__) /* they bring their own, which ends the program */

/* glibc's own, under the names that it keeps for this use. */
void *__libc_malloc(size_t size);
void *__libc_calloc(size_t count, size_t size);
void *__libc_realloc(void *block, size_t size);
void *__libc_memalign(size_t alignment, size_t size);

#define PROGRAM_WIDE __attribute__((visibility("default")))

static void *noted(void *block) {
  if (__builtin_expect(!block, 0)) bc_memory_note();
  return block;
}

PROGRAM_WIDE void *malloc(size_t size) {
  return noted(__libc_malloc(size));
}

PROGRAM_WIDE void *calloc(size_t count, size_t size) {
  return noted(__libc_calloc(count, size));
}

PROGRAM_WIDE void *realloc(void *block, size_t size) {
  void *grown = __libc_realloc(block, size);
  return size ? noted(grown) : grown; /* of no size it is freed */
}

PROGRAM_WIDE void *memalign(size_t alignment, size_t size) {
  return noted(__libc_memalign(alignment, size));
}

PROGRAM_WIDE void *aligned_alloc(size_t alignment, size_t size) {
  return noted(__libc_memalign(alignment, size));
}

PROGRAM_WIDE int posix_memalign(void **out, size_t alignment, size_t size) {
  void *block = noted(__libc_memalign(alignment, size));
  if (!block) return ENOMEM;
  *out = block;
  return 0;
}

#endif

int main(int argc, char **argv) {
  bc_widen_heap();
  return cli_run(argc, argv);
}
