/* SPDX-License-Identifier: MIT */
/* A growing text that remembers failure, so that callers check once, at the end. */
#include "base.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Room for `more` bytes and the NUL. */
static bool make_room(bc_buffer *buffer, size_t more) {
  size_t needed;
  if (buffer->failed || !base_size_add(buffer->length, more, &needed) || !base_size_add(needed, 1, &needed)) {
    buffer->failed = true;
    return false;
  }
  if (needed <= buffer->capacity) return true;
  const size_t capacity = needed < 256 ? 256 : needed + needed / 2;
  char *grown = bc_reallocate(buffer->text, capacity, 1);
  if (!grown) {
    buffer->failed = true;
    return false;
  }
  buffer->text = grown;
  buffer->capacity = capacity;
  return true;
}

void bc_buffer_add_bytes(bc_buffer *buffer, const void *bytes, size_t size) {
  if (!make_room(buffer, size)) return;
  if (size) memcpy(buffer->text + buffer->length, bytes, size);
  buffer->length += size;
  buffer->text[buffer->length] = '\0';
}

void bc_buffer_add(bc_buffer *buffer, const char *format, ...) {
  char *text = NULL;
  va_list arguments;
  va_start(arguments, format);
  const int length = vasprintf(&text, format, arguments);
  va_end(arguments);
  if (length < 0) {
    buffer->failed = true;
    return;
  }
  bc_buffer_add_bytes(buffer, text, (size_t)length);
  free(text);
}

void bc_buffer_say(bc_buffer *buffer, const char *format, ...) {
  va_list values;
  va_start(values, format);
  char *const text = bc_vsentence(format, values);
  va_end(values);
  if (!text)
    buffer->failed = true;
  else
    bc_buffer_add_bytes(buffer, text, strlen(text));
  free(text);
}

bc_status bc_buffer_finish(bc_buffer *buffer, char **out, bc_context *context) {
  *out = NULL;
  if (!make_room(buffer, 0) || bc_memory_lacked()) {
    bc_buffer_clear(buffer);
    return bc_fail_memory(context);
  }
  buffer->text[buffer->length] = '\0';
  *out = buffer->text;
  *buffer = (bc_buffer){0};
  return BC_OK;
}

void bc_buffer_clear(bc_buffer *buffer) {
  free(buffer->text);
  *buffer = (bc_buffer){0};
}
