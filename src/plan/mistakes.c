/* SPDX-License-Identifier: MIT */
/* The mistakes of a plan, kept while it is read, so that all are told at once. */
#include "plan_internal.h"

#include <stdlib.h>

bc_status plan_go_on(plan_reader *reader, bc_status status) {
  if (status != BC_BAD_DATA || reader->wrong.count >= PLAN_WRONG_MOST) return status; /* enough: reading stops */
  char *sentence = bc_copy_text(bc_context_message(reader->context));
  reader->wrong_at[reader->wrong.count] = *reader->failed_at;
  status = sentence ? bc_note(&reader->wrong, reader->context, "%s", sentence) : bc_fail_memory(reader->context);
  free(sentence);
  return status;
}

/* Keys are read in the order of the tables; whoever corrects a file goes through it from top to bottom. */
static void sort_wrong(plan_reader *reader) {
  for (size_t i = 1; i < reader->wrong.count; i++)
    for (size_t k = i; k > 0 && reader->wrong_at[k - 1] > reader->wrong_at[k]; k--) {
      const size_t at = reader->wrong_at[k];
      char *text = reader->wrong.text[k];
      reader->wrong_at[k] = reader->wrong_at[k - 1];
      reader->wrong.text[k] = reader->wrong.text[k - 1];
      reader->wrong_at[k - 1] = at;
      reader->wrong.text[k - 1] = text;
    }
}

bc_status plan_fail_all(plan_reader *reader) {
  if (reader->wrong.count == 0) return BC_OK;
  sort_wrong(reader);
  bc_buffer all = {0};
  const size_t told = reader->options.from_form ? 1 : reader->wrong.count; /* a form shows one line */
  for (size_t i = 0; i < told; i++) bc_buffer_add(&all, i > 0 ? "\n%s" : "%s", reader->wrong.text[i]);
  if (reader->wrong.count >= PLAN_WRONG_MOST && !reader->options.from_form)
    bc_buffer_add(&all, "\n%s",
                  _("There are more mistakes than are listed here. Correct these first, then look again."));
  const bc_status status =
      all.failed ? bc_fail_memory(reader->context) : bc_fail(reader->context, BC_BAD_DATA, "%s", all.text);
  bc_buffer_clear(&all);
  return status;
}
