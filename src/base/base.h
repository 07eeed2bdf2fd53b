/* SPDX-License-Identifier: MIT */
/* What the stages share among themselves and do not publish: failing with a sentence, checked
 * allocation, notes, text buffers, translation. Files of the library only. */
#ifndef BC_SRC_BASE_H
#define BC_SRC_BASE_H

#include <backcloth/base.h>
#include <stdarg.h>

/* --- translation: every sentence a person reads goes through these ----------------------------- */
/* Marks and translates. xgettext is told about both names. */
#define _(text) bc_text(text)
/* Marks a sentence of a table; it is translated where it is used. */
#define N_(text) text
const char *bc_text(const char *english) __attribute__((format_arg(1)));
const char *bc_text_plural(const char *one, const char *many, unsigned long count)
    __attribute__((format_arg(1), format_arg(2)));
/* A sentence of assets/locale/safety.tsv, which keeps somebody from harm: the translation, and the English beside it
 * until a native speaker has signed the language's safety sentences. */
const char *bc_text_safety(const char *english) __attribute__((format_arg(1)));
bool bc_language_signed(void);

/* --- sentences with figures ---------------------------------------------------------------------
 * What a person reads has its decimals as the language of the sentences writes them ("4,0 kg"); bc_note and bc_fail,
 * too. Data files (JSON, CSV, SVG) are written with bc_format and bc_buffer_add: a point in every language. */
void bc_decimal_mark(char mark[8]);
/* malloc'd or NULL */
char *bc_vsentence(const char *format, va_list values) __attribute__((format(printf, 1, 0)));
char *bc_sentence(const char *format, ...) __attribute__((format(printf, 1, 2)));
/* As snprintf. */
int bc_say(char *out, size_t size, const char *format, ...) __attribute__((format(printf, 3, 4)));

/* --- failing ------------------------------------------------------------------------------------ */
/* Puts the sentence into the context and returns the status, so that callers can `return bc_fail(…)`. */
bc_status bc_fail(bc_context *context, bc_status status, const char *format, ...) __attribute__((format(printf, 3, 4)));
/* Out of memory: the sentence is preset, nothing is allocated. */
bc_status bc_fail_memory(bc_context *context);

/* LittleCMS context of this bc_context (cmsContext), made on first use by src/colour; freed with
 * the given function when the context is freed. One slot is enough: only colour needs it. */
void *bc_context_engine(const bc_context *context);
void bc_context_set_engine(bc_context *context, void *engine, void (*free_engine)(void *));

/* --- sizes and memory ---------------------------------------------------------------------------- */
/* false on overflow; *out is then untouched. */
bool bc_size_multiply(size_t first, size_t second, size_t *out);
bool bc_size_add(size_t first, size_t second, size_t *out);
/* Zeroed array, or NULL when there is no memory or count x size overflows. count 0 gives a freeable pointer. */
void *bc_allocate(size_t count, size_t size);
/* The same for what is large and written before it is read: not zeroed, and the kernel is asked for large pages. */
void *bc_allocate_large(size_t count, size_t size);
/* Makes the heap of the process one of large pages, for programs through which planes of pixels come and go. */
void bc_widen_heap(void);
/* Grows an array to hold `count` elements; keeps the old block on failure and returns NULL. */
void *bc_reallocate(void *block, size_t count, size_t size);
char *bc_copy_text(const char *text); /* NULL in, NULL out */
/* A copy in which bytes that aren't UTF-8 are replaced by U+FFFD: file names may be anything. NULL without memory. */
char *bc_copy_utf8(const char *text);
size_t bc_letters(const char *utf8); /* characters of any script, not bytes */
char *bc_format(const char *format, ...) __attribute__((format(printf, 1, 2))); /* malloc'd or NULL */

/* --- memory that was lacking ------------------------------------------------------------------------
 * A library that gets no memory may leave something out and say nothing. The program's own malloc (src/cli/main.c)
 * notes every allocation that fails, whoever asked; what was made meanwhile is not handed out. Each thread has its own
 * count. bc_fail, bc_buffer_finish, bc_file_writer_commit and bc_json_whole ask it. */
void bc_memory_note(void);   /* an allocation failed */
bool bc_memory_lacked(void); /* one failed since the last that was told or forgotten */
void bc_memory_forget(void); /* a new piece of work begins */
/* BC_OK, or fails when memory was lacking. */
bc_status bc_memory_check(bc_context *context);

/* --- notes ---------------------------------------------------------------------------------------- */
/* Adds a formatted sentence; on lack of memory fails like everything else. */
bc_status bc_note(bc_notes *notes, bc_context *context, const char *format, ...) __attribute__((format(printf, 3, 4)));
bc_status bc_notes_copy(bc_notes *to, bc_context *context, const bc_notes *from); /* appends */
void bc_notes_clear(bc_notes *notes);

/* --- a text buffer that remembers failure --------------------------------------------------------- */
typedef struct bc_buffer {
  char *text; /* NUL-terminated once something was added */
  size_t length, capacity;
  bool failed;
} bc_buffer;
void bc_buffer_add(bc_buffer *buffer, const char *format, ...) __attribute__((format(printf, 2, 3)));
void bc_buffer_say(bc_buffer *buffer, const char *format, ...) __attribute__((format(printf, 2, 3)));
void bc_buffer_add_bytes(bc_buffer *buffer, const void *bytes, size_t size);
/* Hands the text over (never NULL on success), or fails if anything failed before. */
bc_status bc_buffer_finish(bc_buffer *buffer, char **out, bc_context *context);
void bc_buffer_clear(bc_buffer *buffer);

#endif
