/* SPDX-License-Identifier: MIT */
/* Base64, both ways. Source: RFC 4648 section 4. */
#include "base64.h"

#include <string.h>

static const char digits[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

void base_base64(char *out, const unsigned char *bytes, size_t size) {
  for (size_t i = 0; i < size; i += 3) {
    const size_t left = size - i;
    const unsigned second = left > 1 ? bytes[i + 1] : 0u, third = left > 2 ? bytes[i + 2] : 0u;
    const unsigned group = (unsigned)bytes[i] << 16 | second << 8 | third;
    *out++ = digits[group >> 18];
    *out++ = digits[group >> 12 & 63];
    *out++ = left > 1 ? digits[group >> 6 & 63] : '=';
    *out++ = left > 2 ? digits[group & 63] : '=';
  }
  *out = '\0';
}

static int value_of(char digit) {
  const char *at = digit ? strchr(digits, digit) : NULL;
  return at ? (int)(at - digits) : -1;
}

bool base_base64_read(unsigned char *out, size_t size, const char *text) {
  if (strlen(text) != BC_BASE64_ROOM(size) - 1) return false;
  for (size_t i = 0; i < size; i += 3, text += 4) {
    const size_t left = size - i < 3 ? size - i : 3;
    unsigned group = 0;
    for (size_t k = 0; k < 4; k++) {
      const int value = k <= left ? value_of(text[k]) : text[k] == '=' ? 0 : -1;
      if (value < 0) return false;
      group = group << 6 | (unsigned)value;
    }
    for (size_t k = 0; k < left; k++) out[i + k] = (unsigned char)(group >> (16 - 8 * k));
  }
  return true;
}
