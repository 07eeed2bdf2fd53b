/* SPDX-License-Identifier: MIT */
/* What a person typed. */
#include "calls.h"

#include <string.h>

const char *web_given(const web_request *r, const char *key) {
  return json_string_value(json_object_get(r->json, key));
}

/* jansson has seen to it that it is UTF-8 without a NUL; a character begins with each byte that continues none. */
bool web_is_text(const char *text, size_t most, bool lines) {
  size_t count = 0;
  for (const unsigned char *at = (const unsigned char *)text; *at; at++) {
    if ((*at & 0xC0) != 0x80 && ++count > most) return false;
    if (*at == 0x7F || (*at < 0x20 && !(lines && strchr("\n\r\t", *at)))) return false;
  }
  return true;
}
