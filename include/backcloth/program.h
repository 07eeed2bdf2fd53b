/* SPDX-License-Identifier: MIT */
/**
 * @file program.h
 * What a program built on the library has in common with it, as its command line and its page's server have: failing
 * with a sentence, checked memory, notes, and texts that are put together.
 */
#ifndef BACKCLOTH_PROGRAM_H
#define BACKCLOTH_PROGRAM_H

#include <backcloth/base.h>

#ifdef __cplusplus
extern "C" {
#endif

/** Puts the sentence into the context and returns the status, so that callers can `return bc_fail(…)`. */
BC_API bc_status bc_fail(bc_context *context, bc_status status, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
/** Out of memory: the sentence is preset, nothing is allocated. Returns BC_OUR_FAULT. */
BC_API bc_status bc_fail_memory(bc_context *context);

/** A zeroed array, to be freed with free(); NULL when there is no memory or count x size overflows. A count of 0 gives
 * a block that can be freed. */
BC_API void *bc_allocate(size_t count, size_t size);
/** Grows an array to hold `count` elements; on failure the old block stays and NULL is returned. */
BC_API void *bc_reallocate(void *block, size_t count, size_t size);
/** A copy, malloc'd; NULL gives NULL. */
BC_API char *bc_copy_text(const char *text);
/** A copy in which bytes that aren't UTF-8 are replaced by U+FFFD: file names may be anything. NULL without memory. */
BC_API char *bc_copy_utf8(const char *text);
/** The same, and control characters (C0, DEL, C1) are written as \x1b: for what is shown to people. */
BC_API char *bc_copy_printable(const char *text);
/** Bytes of the well-formed character that text begins with; 0: it is none. */
BC_API size_t bc_utf8_length(const char *text);
/** Text begins with a control character; an end of text is none. */
BC_API bool bc_is_control(const char *text);
/** A text put together, malloc'd; NULL without memory. */
BC_API char *bc_format(const char *format, ...) __attribute__((format(printf, 1, 2)));

/** Memory that was lacking. A library that gets no memory may leave something out and say nothing. A program whose
 *  malloc calls bc_memory_note for every allocation that fails (src/cli/main.c does) is told: what was made meanwhile
 * is not handed out. Each thread has its own count. */
BC_API void bc_memory_note(void);
/** An allocation of this thread failed since the last that was told or forgotten. */
BC_API bool bc_memory_lacked(void);
/** A new piece of work begins. */
BC_API void bc_memory_forget(void);
/** Makes the heap of the process one of large pages, for programs through which planes of pixels come and go. Once, at
 *  the start. */
BC_API void bc_widen_heap(void);
/** The library divides large work in two halves where a second processor is free. A thread that shares a work with
 *  others already says `true` and is divided no more; returns what it was. */
BC_API bool bc_stay_single(bool stay);
/** Milliseconds on a clock that nobody sets (CLOCK_MONOTONIC), for deadlines. */
BC_API int64_t bc_now_ms(void);

/** Adds a formatted sentence. Errors: BC_OUR_FAULT (no memory), and the notes stay as they were. */
BC_API bc_status bc_note(bc_notes *notes, bc_context *context, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
/** Frees the sentences; the structure itself is the caller's. */
BC_API void bc_notes_clear(bc_notes *notes);

/** A text that grows and remembers failure, so that only its end asks. Begins as all zeros. */
typedef struct bc_buffer {
  char *text; /**< NUL-terminated once something was added */
  size_t length, capacity;
  bool failed;
} bc_buffer;
BC_API void bc_buffer_add(bc_buffer *buffer, const char *format, ...) __attribute__((format(printf, 2, 3)));
/** The same with decimals as the language of the sentences writes them; bc_buffer_add has a point in every language. */
BC_API void bc_buffer_say(bc_buffer *buffer, const char *format, ...) __attribute__((format(printf, 2, 3)));
BC_API void bc_buffer_add_bytes(bc_buffer *buffer, const void *bytes, size_t size);
/** Hands the text over, which the caller frees with free(); or fails if anything failed before. */
BC_API bc_status bc_buffer_finish(bc_buffer *buffer, char **out, bc_context *context);
BC_API void bc_buffer_clear(bc_buffer *buffer);

/** For programs that write JSON with Jansson, whose json_t this is: a string, made UTF-8 where it was not. NULL when
 *  there is no memory, so that the json_pack or json_array_append_new that takes it fails in its turn. */
BC_API struct json_t *bc_json_text(const char *text);
/** A list of such strings, for example the sentences of bc_notes. NULL when there is no memory. */
BC_API struct json_t *bc_json_texts(char *const *texts, size_t count);

#ifdef __cplusplus
}
#endif
#endif
