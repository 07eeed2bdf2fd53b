/* SPDX-License-Identifier: MIT */
/* assets/model/guess.bin as part of the program, so that it is there without any file: the assembler takes it in. */
#include "network.h"

#include "base/base.h"

#include <pthread.h>

__asm__(".section .rodata\n"
        ".hidden network_bytes\n"
        ".globl network_bytes\n"
        ".balign 16\n"
        "network_bytes:\n"
        ".incbin \"" BC_NETWORK_WEIGHTS "\"\n"
        ".hidden network_bytes_end\n"
        ".globl network_bytes_end\n"
        "network_bytes_end:\n"
        ".byte 0\n"
        ".previous\n");
extern const uint8_t network_bytes[], network_bytes_end[];

/* Read once, at the first photo; never changed and never freed. A failure is tried again by the next photo. */
static network *ours;
static pthread_mutex_t reading = PTHREAD_MUTEX_INITIALIZER;

bc_status network_ours(const network **out, bc_context *context) {
  /* Two symbols, not two places of one array: as numbers they may be subtracted. */
  const size_t bytes = (uintptr_t)network_bytes_end - (uintptr_t)network_bytes;
  bc_status status = BC_OK;
  pthread_mutex_lock(&reading);
  if (!ours) status = network_read(&ours, context, network_bytes, bytes);
  *out = ours;
  pthread_mutex_unlock(&reading);
  return status;
}
