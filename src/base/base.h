/* SPDX-License-Identifier: MIT */
/* What the stages share among themselves, beside what programs built on the library may use, too (program.h, file.h,
 * sentences.h): sizes, memory for planes, the colour engine's place. Files of the library only. */
#ifndef BC_SRC_BASE_H
#define BC_SRC_BASE_H

#include <backcloth/program.h>
#include <backcloth/sentences.h>

/* LittleCMS context of this bc_context (cmsContext), made on first use by src/colour; freed with
 * the given function when the context is freed. One slot is enough: only colour needs it. */
void *base_context_engine(const bc_context *context);
void base_context_set_engine(bc_context *context, void *engine, void (*free_engine)(void *));

/* false on overflow; *out is then untouched. */
bool base_size_multiply(size_t first, size_t second, size_t *out);
bool base_size_add(size_t first, size_t second, size_t *out);
/* As bc_allocate for what is large and written before it is read: not zeroed, and the kernel is asked for large pages.
 */
void *base_allocate_large(size_t count, size_t size);
/* BC_OK, or fails when memory was lacking (program.h); bc_fail, bc_buffer_finish and bc_file_writer_commit ask, too. */
bc_status base_memory_check(bc_context *context);

bc_status base_notes_copy(bc_notes *to, bc_context *context, const bc_notes *from); /* appends */
size_t base_letters(const char *utf8); /* characters of any script, not bytes */

#endif
