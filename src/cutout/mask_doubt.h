/* SPDX-License-Identifier: MIT */
/* What is doubtful about a mask, written into its own PNG and read back while nobody has changed it. */
#ifndef BC_SRC_CUTOUT_MASK_DOUBT_H
#define BC_SRC_CUTOUT_MASK_DOUBT_H

#include <backcloth/cutout.h>

/* FNV-1a, 64 bits (Fowler, Noll and Vo, RFC 9923): of all bytes of the file before the text. */
#define CUTOUT_SUM_START UINT64_C(14695981039346656037)
uint64_t cutout_sum(uint64_t sum, const void *bytes, size_t size);

/* The data of a PNG tEXt chunk: keyword, NUL, text. The caller frees it with free(). */
bc_status cutout_doubt_text(char **out, size_t *size, bc_context *context, const bc_cutout *cutout, uint64_t sum);
/* Sets confidence and doubts from such a chunk of the file; leaves them alone where there is none, or where the file
 * was changed since. */
void cutout_doubt_read(bc_cutout *cutout, const char *path);

#endif
