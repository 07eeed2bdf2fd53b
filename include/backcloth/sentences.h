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

#ifdef __cplusplus
}
#endif
#endif
