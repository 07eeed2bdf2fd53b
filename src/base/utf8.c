/* SPDX-License-Identifier: MIT */
/* Text from outside (file names) made fit for JSON, SVG and Pango, which all insist on UTF-8.
 * Source: Unicode 15, table 3-7 (well-formed byte sequences). */
#include "base.h"

#include <string.h>

/* Length of the well-formed sequence at `p`, 0 if there is none. A NUL ends every check. */
static size_t sequence(const unsigned char *p) {
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

char *bc_copy_utf8(const char *text) {
  static const char replacement[] = "\xEF\xBF\xBD";
  const unsigned char *from = (const unsigned char *)text;
  char *out = bc_allocate(strlen(text) + 1, 3);
  if (!out) return NULL;
  char *to = out;
  while (*from) {
    const size_t length = sequence(from);
    memcpy(to, length ? (const void *)from : replacement, length ? length : 3);
    to += length ? length : 3;
    from += length ? length : 1;
  }
  *to = '\0';
  return out;
}

size_t base_letters(const char *utf8) {
  size_t count = 0;
  for (; *utf8; utf8++) count += ((unsigned char)*utf8 & 0xC0) != 0x80; /* a byte that continues none begins one */
  return count;
}
