/* SPDX-License-Identifier: MIT */
/* Brings a library and fills its slots. In: its name. Out: where its functions are.
 * Source: dlopen(3); System V ABI, AMD64 supplement, 3.2.3 (registers in which arguments are passed). */
#include "late.h"
#include "base/base.h"

#include <dlfcn.h>
#include <pthread.h>
#include <stdint.h>
#include <stdio.h>
#include <sys/mman.h>
#include <unistd.h>

/* Generated into the program; elsewhere there are none. */
#define PROGRAM_ONLY __attribute__((weak, visibility("hidden")))
extern const late_library late_libraries[] PROGRAM_ONLY;
extern const size_t late_count PROGRAM_ONLY;

static pthread_mutex_t lock = PTHREAD_MUTEX_INITIALIZER;
static uint64_t loaded; /* a bit for each */

static _Noreturn void end_without(const char *file) {
  const char *why = dlerror();
  char *said =
      bc_format(_("%s cannot be loaded (%s). Install backcloth again, with all that it needs."), file, why ? why : "");
  fprintf(stderr, "backcloth: %s\n", said ? said : file);
  _exit(BC_OUR_FAULT);
}

/* All at once, so that none is missing later, and then never written again. */
static void fill(const late_library *library, void *handle) {
  for (size_t i = 0; i < library->count; i++) {
    void *const found = dlsym(handle, library->names[i]);
    if (!found) end_without(library->file);
    __atomic_store_n(&library->slots[i], found, __ATOMIC_RELEASE);
  }
  if (mprotect(library->slots, library->bytes, PROT_READ) != 0) end_without(library->file);
}

static void load(size_t which) {
  const uint64_t bit = UINT64_C(1) << which;
  pthread_mutex_lock(&lock);
  if (!(loaded & bit)) {
    void *const handle = dlopen(late_libraries[which].file, RTLD_NOW | RTLD_LOCAL);
    if (!handle) end_without(late_libraries[which].file);
    fill(&late_libraries[which], handle);
    loaded |= bit;
  }
  pthread_mutex_unlock(&lock);
}

bool late_there_are(void) {
  return &late_count != NULL;
}

void late_load_all(void) {
  for (size_t i = 0; late_there_are() && i < late_count; i++) load(i);
}

#if defined(__x86_64__)

/* The first call of a function. `which`: library and function, as LATE_CALL numbers them. */
__attribute__((used)) static void *late_resolve(uint32_t which) {
  load(which >> 16);
  return __atomic_load_n(&late_libraries[which >> 16].slots[which & 0xffff], __ATOMIC_ACQUIRE);
}

/* Keeps what was passed (rax: how many vector registers a variadic call uses) and goes on to the function. */
__asm__(".pushsection .text\n.globl late_enter\n.hidden late_enter\n.type late_enter, @function\nlate_enter:\n"
        "  push %rax\n  push %rdi\n  push %rsi\n  push %rdx\n  push %rcx\n  push %r8\n  push %r9\n"
        "  sub $136, %rsp\n"
        "  movups %xmm0, (%rsp)\n  movups %xmm1, 16(%rsp)\n  movups %xmm2, 32(%rsp)\n  movups %xmm3, 48(%rsp)\n"
        "  movups %xmm4, 64(%rsp)\n  movups %xmm5, 80(%rsp)\n  movups %xmm6, 96(%rsp)\n  movups %xmm7, 112(%rsp)\n"
        "  mov 192(%rsp), %edi\n  call late_resolve\n  mov %rax, %r11\n"
        "  movups (%rsp), %xmm0\n  movups 16(%rsp), %xmm1\n  movups 32(%rsp), %xmm2\n  movups 48(%rsp), %xmm3\n"
        "  movups 64(%rsp), %xmm4\n  movups 80(%rsp), %xmm5\n  movups 96(%rsp), %xmm6\n  movups 112(%rsp), %xmm7\n"
        "  add $136, %rsp\n"
        "  pop %r9\n  pop %r8\n  pop %rcx\n  pop %rdx\n  pop %rsi\n  pop %rdi\n  pop %rax\n"
        "  add $8, %rsp\n  jmp *%r11\n.size late_enter, . - late_enter\n.popsection");

#endif
