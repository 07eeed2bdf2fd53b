/* SPDX-License-Identifier: MIT */
/* Text from outside (file names) made fit for JSON, SVG and Pango, which all insist on UTF-8.
 * Source: Unicode 15, table 3-7 (well-formed byte sequences). */
#include "base.h"

#include <string.h>

size_t bc_utf8_length(const char *text) {
  const unsigned char *const p = (const unsigned char *)text; /* a NUL ends every check */
  if (p[0] < 0x80) return 1;
  const size_t length = p[0] >= 0xC2 && p[0] <= 0xDF   ? 2
                        : (p[0] & 0xF0) == 0xE0        ? 3
                        : p[0] >= 0xF0 && p[0] <= 0xF4 ? 4
                                                       : 0;
  for (size_t i = 1; i < length; i++)
    if ((p[i] & 0xC0) != 0x80) return 0;
  if (p[0] == 0xE0 && p[1] < 0xA0) return 0; /* overlong */
  if (p[0] == 0xED && p[1] > 0x9F) return 0; /* surrogates */
  if (p[0] == 0xF0 && p[1] < 0x90) return 0; /* overlong */
  if (p[0] == 0xF4 && p[1] > 0x8F) return 0; /* beyond U+10FFFF */
  return length;
}

bool bc_is_control(const char *text) {
  const unsigned char *const p = (const unsigned char *)text;
  return (p[0] && p[0] < 0x20) || p[0] == 0x7F || (p[0] == 0xC2 && p[1] >= 0x80 && p[1] <= 0x9F);
}

/* `shown`: controls are written as \x1b; else they stay. */
static char *copy(const char *text, bool shown) {
  static const char replacement[] = "\xEF\xBF\xBD", digits[] = "0123456789abcdef";
  char *out = bc_allocate(strlen(text) + 1, 4);
  if (!out) return NULL;
  char *to = out;
  while (*text) {
    const size_t length = bc_utf8_length(text);
    if (shown && bc_is_control(text)) {
      const unsigned char last = (unsigned char)text[length - 1];
      memcpy(to, (const char[]){'\\', 'x', digits[last >> 4], digits[last & 15]}, 4);
      to += 4;
    } else {
      memcpy(to, length ? text : replacement, length ? length : 3);
      to += length ? length : 3;
    }
    text += length ? length : 1;
  }
  *to = '\0';
  return out;
}

char *bc_copy_utf8(const char *text) {
  return copy(text, false);
}

char *bc_copy_printable(const char *text) {
  return copy(text, true);
}

size_t base_letters(const char *utf8) {
  size_t count = 0;
  for (; *utf8; utf8++) count += ((unsigned char)*utf8 & 0xC0) != 0x80; /* a byte that continues none begins one */
  return count;
}
