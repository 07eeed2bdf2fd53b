/* SPDX-License-Identifier: MIT */
/**
 * @file sentences.h
 * Sentences in the reader's language, for programs built on the library, as its command line is. It defines the two
 * short names that are the custom with gettext; include it in a program's own files, not in its headers for others.
 * Sentences that the catalogues do not know come back in English. The language: base.h.
 */
#ifndef BACKCLOTH_SENTENCES_H
#define BACKCLOTH_SENTENCES_H

#include <backcloth/base.h>
#include <stdarg.h>

#ifdef __cplusplus
extern "C" {
#endif

/** Marks a sentence and translates it. */
#define _(text) bc_text(text)
/** Marks a sentence of a table; it is translated where it is used. */
#define N_(text) text

/** The sentence in the language now in use; borrowed for as long as the language is. */
BC_API const char *bc_text(const char *english) __attribute__((format_arg(1)));
/** The form that goes with this count. */
BC_API const char *bc_text_plural(const char *one, const char *many, unsigned long count)
    __attribute__((format_arg(1), format_arg(2)));

/** A sentence that keeps somebody from harm (assets/locale/safety.tsv): the translation, and the English beside it
 * until a native speaker has signed the language's safety sentences. */
BC_API const char *bc_text_safety(const char *english) __attribute__((format_arg(1)));
/** A native speaker has signed the safety sentences of the language now in use. English needs nobody. */
BC_API bool bc_language_signed(void);

/** What stands between whole and decimals in the language now in use. Data files have a point in every language: write
 *  them with bc_format and bc_buffer_add. */
BC_API void bc_decimal_mark(char mark[8]);
/** A sentence with its decimals as the language writes them ("4,0 kg"), malloc'd; NULL without memory. */
BC_API char *bc_sentence(const char *format, ...) __attribute__((format(printf, 1, 2)));
BC_API char *bc_vsentence(const char *format, va_list values) __attribute__((format(printf, 1, 0)));
/** The same into `out`, as snprintf. */
BC_API int bc_say(char *out, size_t size, const char *format, ...) __attribute__((format(printf, 3, 4)));

#ifdef __cplusplus
}
#endif
#endif
