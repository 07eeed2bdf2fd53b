/* SPDX-License-Identifier: MIT */
/* Loops over planes are compiled twice, and the wider vectors are taken where the machine has them. Each lane computes
 * the same, so results are identical. */
#ifndef BC_BASE_VECTORS_H
#define BC_BASE_VECTORS_H

/* Sanitizers and clang's fuzzers dislike the dispatching stubs. */
#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && !defined(__SANITIZE_ADDRESS__) &&               \
    !defined(__SANITIZE_THREAD__)
#define BC_WIDER_VECTORS __attribute__((target_clones("avx2", "default")))
#else
#define BC_WIDER_VECTORS
#endif

#endif
