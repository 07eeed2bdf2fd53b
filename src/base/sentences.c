/* SPDX-License-Identifier: MIT */
/* Sentences with figures in them: decimals as the language of the sentences writes them, "4,0 kg" in French. The C
 * library would do it after setlocale(LC_NUMERIC), but only for locales that the computer has, and for the data files,
 * too, which are the same in every language. */
#include "base.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MARK_ROOM = 8, OPEN = 0xfe, CLOSE = 0xff }; /* two bytes that no UTF-8 text has */

/* The format with each fraction between two marks. Positions ("%2$.1f") stay as they are. */
static char *marked(const char *format) {
  char *const out = malloc(3 * strlen(format) + 1);
  char *to = out;
  while (out && *format) {
    const size_t spec = *format == '%' ? 1 + strspn(format + 1, "0123456789$-+ #.hlzjt") : 0;
    const bool fraction = spec && format[spec] && strchr("fFeEgG", format[spec]);
    const size_t length = !spec ? 1 : spec + (format[spec] != '\0');
    if (fraction) *to++ = (char)OPEN;
    memcpy(to, format, length);
    to += length;
    if (fraction) *to++ = (char)CLOSE;
    format += length;
  }
  if (out) *to = '\0';
  return out;
}

/* Takes the marks out and puts the decimal mark between them; a mark of two bytes takes the place of a byte and of one
 * of the two marks around the figure. */
static void put_mark(char *text, const char *mark) {
  const size_t length = strlen(mark);
  bool inside = false;
  char *to = text;
  for (const char *from = text; *from; from++) {
    const unsigned char byte = (unsigned char)*from;
    if (byte == OPEN || byte == CLOSE) {
      inside = byte == OPEN;
    } else if (inside && byte == '.' && length <= 2) {
      memcpy(to, mark, length);
      to += length;
    } else {
      *to++ = (char)byte;
    }
  }
  *to = '\0';
}

#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wformat-nonliteral"
char *bc_vsentence(const char *format, va_list values) {
  char mark[MARK_ROOM], *text = NULL;
  bc_decimal_mark(mark);
  if (strcmp(mark, ".") == 0) return vasprintf(&text, format, values) < 0 ? NULL : text;
  char *const with_marks = marked(format);
  if (!with_marks || vasprintf(&text, with_marks, values) < 0) text = NULL;
  free(with_marks);
  if (text) put_mark(text, mark);
  return text;
}
#pragma GCC diagnostic pop

char *bc_sentence(const char *format, ...) {
  va_list values;
  va_start(values, format);
  char *const text = bc_vsentence(format, values);
  va_end(values);
  return text;
}

int bc_say(char *out, size_t size, const char *format, ...) {
  va_list values;
  va_start(values, format);
  char *const text = bc_vsentence(format, values);
  va_end(values);
  const int length = snprintf(out, size, "%s", text ? text : "");
  free(text);
  return length;
}
