/* SPDX-License-Identifier: MIT */
/* Libraries that the program brings only when something of them is called: type and drawing, the server's, and those of
 * the photo formats that cameras seldom write are three quarters of what it takes to start. Only `backcloth` itself is
 * linked so (src/package/late.cmake, on x86-64); libbackcloth and the tests bring all at their start, and here find
 * nothing to do. A library's calls are all looked up at once and then only to be read, as what is bound at the start
 * is.
 *
 *   call ──> the library's own name, in the program ──jmp──> slot ──the first time──> late_resolve: dlopen, all slots
 *                                                                └─every other time──> the library */
#ifndef BC_SRC_BASE_LATE_H
#define BC_SRC_BASE_LATE_H

#include <stdbool.h>
#include <stddef.h>

typedef struct late_library {
  const char *file;         /* as the loader looks for it: libtiff.so.6 */
  const char *const *names; /* of the functions that we call */
  void **slots;             /* where each call goes; whole pages of their own */
  size_t count, bytes;      /* of the names; of the pages */
} late_library;

/* Whether this program brings any late. */
bool late_there_are(void);
/* Brings all of them: for a process that soon can open no file, and where an answer's origin is to be known. Ends the
 * process with a sentence when one is not there, as the loader would have done at its start. */
void late_load_all(void);

/* --- for what the build generates (src/package/late_calls.sh) --- */

/* Defines the function `symbol`, the `index`th of a library. What a caller has put into registers goes on untouched. */
#define LATE_CALL(library, index, symbol)                                                                              \
  __asm__(".pushsection .text\n"                                                                                       \
          ".globl " #symbol "\n.hidden " #symbol "\n.type " #symbol ", @function\n" #symbol ":\n"                      \
          "  endbr64\n  jmp *late_slots_" #library " + 8 * " #index "(%rip)\n"                                         \
          "1:\n  endbr64\n  push $(" #library " * 65536 + " #index ")\n  jmp late_enter\n"                             \
          ".size " #symbol ", . - " #symbol "\n.popsection\n"                                                          \
          ".pushsection .data.late_" #library ", \"aw\", @progbits\n  .quad 1b\n.popsection")

/* Before and after the calls of a library. Its name also stands in the program as loaders and packagers look for it:
 * the ELF dlopen metadata specification of the UAPI group. */
#define LATE_BEGIN(library, file)                                                                                      \
  extern void *late_slots_##library[] __attribute__((visibility("hidden")));                                           \
  __asm__(".pushsection .note.dlopen, \"a\", @note\n.balign 4\n.long 4, 2f - 1f, 0x407c0c0a\n.asciz \"FDO\"\n1:\n"     \
          ".asciz \"[{\\\"soname\\\":[\\\"" #file                                                                      \
          "\\\"],\\\"priority\\\":\\\"required\\\"}]\"\n2:\n.balign 4\n.popsection\n"                                  \
          ".pushsection .data.late_" #library ", \"aw\", @progbits\n.balign 4096\n"                                    \
          ".globl late_slots_" #library "\n.hidden late_slots_" #library "\nlate_slots_" #library ":\n.popsection")
#define LATE_END(library) __asm__(".pushsection .data.late_" #library ", \"aw\", @progbits\n.balign 4096\n.popsection")

#endif
