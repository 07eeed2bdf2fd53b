/* SPDX-License-Identifier: MIT */
/* Sentences that keep somebody from harm. No native speaker has read the catalogues yet (docs/languages.md); until one
 * has signed a language's safety sentences, the English stands beside each of them, wherever it is read. The signature
 * is a line in the head of the catalogue: "X-Safety-Signed: name, date". */
#include "base.h"

#include <ctype.h>
#include <libintl.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { PAIRS = 256, CONVERSION = 24 };

/* A translation and the English made into one format, kept for good: callers hold it as they hold a translation. */
static struct pair {
  const char *english, *translated;
  char *both;
} pairs[PAIRS];
static pthread_mutex_t pairs_lock = PTHREAD_MUTEX_INITIALIZER;

bool bc_language_signed(void) {
  static const char field[] = "\nX-Safety-Signed: ", head_of[] = ""; /* its empty sentence is a catalogue's head */
  const char *const head = dgettext("backcloth", head_of);
  if (!head || !*head) return true; /* no catalogue: the English itself */
  const char *const line = strstr(head, field);
  return line && line[sizeof field - 1] && line[sizeof field - 1] != '\n';
}

/* Appends the format with a number in each conversion ("%s" becomes "%1$s"), so that each value can be shown twice. */
static void add_numbered(bc_buffer *out, const char *format) {
  int next = 0;
  while (*format) {
    const size_t plain = strcspn(format, "%");
    bc_buffer_add_bytes(out, format, plain);
    format += plain;
    if (!*format) return;
    const bool percent = format[1] == '%';
    const size_t digits = strspn(format + 1, "0123456789");
    if (!percent && format[1 + digits] != '$')
      bc_buffer_add(out, "%%%d$", ++next);
    else
      bc_buffer_add_bytes(out, format, percent ? 2 : 1);
    format += percent ? 2 : 1;
  }
}

static char *both_of(const char *english, const char *translated) {
  bc_buffer text = {0};
  const size_t space = isspace((unsigned char)*english) ? 1 : 0; /* which joins it to the sentence before */
  const bool isolate = bc_language_right_to_left();
  add_numbered(&text, translated);
  bc_buffer_add(&text, isolate ? " \u2066[" : " [");
  add_numbered(&text, english + space);
  bc_buffer_add(&text, isolate ? "]\u2069" : "]");
  if (text.failed) bc_buffer_clear(&text);
  return text.text;
}

const char *bc_text_safety(const char *english) {
  const char *const translated = bc_text(english);
  if (bc_language_signed() || strcmp(translated, english) == 0) return translated;
  pthread_mutex_lock(&pairs_lock);
  size_t i = 0;
  while (i < PAIRS && pairs[i].both && (pairs[i].translated != translated || strcmp(pairs[i].english, english) != 0))
    i++;
  if (i < PAIRS && !pairs[i].both) pairs[i] = (struct pair){english, translated, both_of(english, translated)};
  const char *const both = i < PAIRS ? pairs[i].both : NULL;
  pthread_mutex_unlock(&pairs_lock);
  return both ? both : english; /* better the English alone than a translation that nobody has signed */
}
