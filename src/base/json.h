/* SPDX-License-Identifier: MIT */
/* Texts as JSON values, for the stages that write JSON. */
#ifndef BC_SRC_BASE_JSON_H
#define BC_SRC_BASE_JSON_H

#include <jansson.h>
#include <stddef.h>

/* A string; what is not UTF-8 (a file's name) is made so. NULL when there is no memory, so that the
 * json_pack or json_array_append_new that takes it fails in its turn. */
json_t *bc_json_text(const char *text);
/* A list of such strings, for example the sentences of bc_notes. NULL when there is no memory. */
json_t *bc_json_texts(char *const *texts, size_t count);

#endif
