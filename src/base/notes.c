/* SPDX-License-Identifier: MIT */
/* Notes: the sentences that accompany a result. */
#include "base.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>

/* Takes over `sentence`, also on failure. */
static bc_status append(bc_notes *notes, bc_context *context, char *sentence) {
  char **grown = sentence ? bc_reallocate(notes->text, notes->count + 1, sizeof *grown) : NULL;
  if (!grown) {
    free(sentence);
    return bc_fail_memory(context);
  }
  notes->text = grown;
  notes->text[notes->count++] = sentence;
  return BC_OK;
}

bc_status bc_note(bc_notes *notes, bc_context *context, const char *format, ...) {
  va_list arguments;
  va_start(arguments, format);
  char *const sentence = bc_vsentence(format, arguments);
  va_end(arguments);
  return append(notes, context, sentence);
}

bc_status base_notes_copy(bc_notes *to, bc_context *context, const bc_notes *from) {
  for (size_t i = 0; i < from->count; i++) {
    const bc_status status = append(to, context, bc_copy_text(from->text[i]));
    if (status != BC_OK) return status;
  }
  return BC_OK;
}

void bc_notes_clear(bc_notes *notes) {
  for (size_t i = 0; i < notes->count; i++) free(notes->text[i]);
  free(notes->text);
  *notes = (bc_notes){0};
}
