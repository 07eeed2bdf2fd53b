/* SPDX-License-Identifier: MIT */
/* Texts as JSON values; a text that cannot be kept fails the whole, never falls out of a list. */

#include "base.h"

#include <backcloth/program.h>
#include <jansson.h>
#include <stdlib.h>

json_t *bc_json_text(const char *text) {
  char *valid = bc_copy_utf8(text);
  json_t *string = valid ? json_string(valid) : NULL;
  free(valid);
  return string;
}

json_t *bc_json_texts(char *const *texts, size_t count) {
  json_t *list = json_array();
  for (size_t i = 0; list && i < count; i++) {
    if (json_array_append_new(list, bc_json_text(texts[i])) == 0) continue;
    json_decref(list);
    list = NULL;
  }
  return list;
}
