/* SPDX-License-Identifier: MIT */
/* Readings that another run or another host has made: one JSON object a line, as `read --stored` prints them. */
#include "cli.h"

#include <backcloth/file.h>
#include <backcloth/sentences.h>
#include <stdlib.h>
#include <string.h>

#define STORED_MOST ((uint64_t)256 << 20) /* bytes: ten thousand readings of about 25 kB */

/* Takes the reading; false when memory is lacking, and then frees it. */
static bool append(cli_studies *studies, bc_reading *reading) {
  bc_study *study = bc_allocate(1, sizeof *study);
  bc_study **grown = study ? bc_reallocate(studies->study, studies->count + 1, sizeof *grown) : NULL;
  if (!grown) {
    bc_reading_free(reading);
    free(study);
    return false;
  }
  *study = (bc_study){.reading = reading};
  studies->study = grown;
  studies->study[studies->count++] = study;
  return true;
}

static bool blank(const char *line, size_t length) {
  for (size_t i = 0; i < length; i++)
    if (!strchr(" \t\r", line[i])) return false;
  return true;
}

/* A line that is no reading is told and left out, like a photo that cannot be read. */
static bool take_line(cli_studies *studies, bc_context *context, const char *name, const char *line, size_t length) {
  if (blank(line, length)) return true;
  bc_reading *reading = NULL;
  const bc_status status = bc_reading_from_json(&reading, context, line, length, name);
  if (status == BC_OK) return append(studies, reading);
  cli_complain("%s", bc_context_message(context));
  if (studies->exit_code == 0) studies->exit_code = (int)status;
  return true;
}

static bc_status take_lines(cli_studies *studies, bc_context *context, const char *path, const char *text,
                            size_t size) {
  size_t number = 1;
  for (size_t at = 0; at < size; number++) {
    const char *end = memchr(text + at, '\n', size - at);
    const size_t length = end ? (size_t)(end - text) - at : size - at;
    char *name = bc_format(_("%s, line %zu"), path, number);
    const bool room = name && take_line(studies, context, name, text + at, length);
    free(name);
    if (!room) return bc_fail_memory(context);
    at += length + 1;
  }
  return BC_OK;
}

bc_status cli_stored_readings(cli_studies *out, bc_context *context, const char *path) {
  *out = (cli_studies){0};
  uint8_t *bytes = NULL;
  size_t size = 0;
  bc_status status = bc_file_read(&bytes, &size, context, path, STORED_MOST);
  if (status == BC_OK) status = take_lines(out, context, path, (const char *)bytes, size);
  free(bytes);
  return status;
}
