/* SPDX-License-Identifier: MIT */
/* What was asked for, as it was written: RFC 9112 section 3.2.1 (origin-form) with RFC 3986's escapes, which stand for
 * UTF-8 here. MHD unescapes as far as it can and goes on, so that half an address would be answered as another one. */
#include "address.h"

#include <backcloth/program.h>
#include <ctype.h>
#include <jansson.h>
#include <stdlib.h>
#include <string.h>

static int digit(char c) {
  return isdigit((unsigned char)c) ? c - '0' : tolower((unsigned char)c) - 'a' + 10;
}

/* In place; -1: a broken escape, or a control character, written out or escaped. */
static long unescape(char *text) {
  char *to = text;
  for (const char *at = text; *at; at++) {
    unsigned char c = (unsigned char)*at;
    if (c == '%') {
      if (!isxdigit((unsigned char)at[1]) || !isxdigit((unsigned char)at[2])) return -1;
      c = (unsigned char)(digit(at[1]) * 16 + digit(at[2]));
      at += 2;
    }
    if (c < 0x20 || c == 0x7F) return -1;
    *to++ = (char)c;
  }
  return to - text;
}

static bool is_utf8(const char *text, size_t size) {
  json_t *value = json_stringn(text, size);
  json_decref(value);
  return value != NULL;
}

bool web_address_is_whole(const char *raw) {
  if (raw[0] != '/' || strlen(raw) > WEB_ADDRESS_MOST) return false;
  char *text = bc_copy_text(raw);
  const long size = text ? unescape(text) : -1;
  const bool whole = size >= 0 && is_utf8(text, (size_t)size);
  free(text);
  return whole;
}
