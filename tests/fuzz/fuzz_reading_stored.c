/* SPDX-License-Identifier: MIT */
/* Any line as a stored reading: refused with a sentence, or a reading that is written and read again as the same. */
#include <backcloth/reading.h>

#include <stdlib.h>
#include <string.h>

#define PROMISE(condition)                                                                                             \
  if (!(condition)) abort()

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
  bc_context *context = NULL;
  bc_reading *reading = NULL, *again = NULL;
  char *text = NULL, *second = NULL;
  if (bc_context_new(&context) != BC_OK) return 0;
  const bc_status status = bc_reading_from_json(&reading, context, (const char *)data, size, "readings.ndjson");
  PROMISE((status == BC_OK) == (reading != NULL));
  PROMISE((status != BC_OK) == (bc_context_message(context)[0] != 0));
  if (reading && bc_reading_to_stored_json(&text, context, reading) == BC_OK) {
    PROMISE(bc_reading_from_json(&again, context, text, strlen(text), "again") == BC_OK);
    PROMISE(bc_reading_to_stored_json(&second, context, again) == BC_OK && strcmp(text, second) == 0);
  }
  free(text);
  free(second);
  bc_reading_free(reading);
  bc_reading_free(again);
  bc_context_free(context);
  return 0;
}
