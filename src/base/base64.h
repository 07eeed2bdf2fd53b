/* SPDX-License-Identifier: MIT */
/* Base64 as in RFC 4648 section 4, with padding. */
#ifndef BC_SRC_BASE64_H
#define BC_SRC_BASE64_H

#include <stdbool.h>
#include <stddef.h>

/* Room that `size` bytes need as text, the NUL included. */
#define BC_BASE64_ROOM(size) (((size) + 2) / 3 * 4 + 1)
void base_base64(char *out, const unsigned char *bytes, size_t size);
/* Reads exactly `size` bytes; false when the text is anything else. */
bool base_base64_read(unsigned char *out, size_t size, const char *text);

#endif
