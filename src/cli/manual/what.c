/* SPDX-License-Identifier: MIT */
/* What the tables say of a value, as completions and man pages ask it. */
#include "manual.h"

#include <ctype.h>
#include <string.h>

static bool is_choice(const char *value) {
  return value && strchr(value, '|') && strspn(value, "abcdefghijklmnopqrstuvwxyz0123456789|-") == strlen(value);
}

manual_what manual_what_of(const cli_option *option) {
  switch (option->kind) {
  case CLI_FLAG:
    return MANUAL_NOTHING;
  case CLI_CLOTHS:
  case CLI_PLAN:
    return MANUAL_JSON;
  case CLI_MASKS:
  case CLI_FOLDER:
    return MANUAL_FOLDER;
  case CLI_FILE:
    return option->value && strstr(option->value, ".json") ? MANUAL_JSON : MANUAL_FILE;
  case CLI_PICTURE:
  case CLI_SHEET:
  case CLI_MASK:
  case CLI_CACHE:
    return MANUAL_FILE;
  default:
    if (is_choice(option->value)) return MANUAL_CHOICE;
    if (option->value && strncmp(option->value, "FOLDER", 6) == 0) return MANUAL_FOLDER;
    return MANUAL_FREE;
  }
}

manual_what manual_what_of_files(const cli_command *command) {
  if (!command->most_files) return MANUAL_NOTHING;
  if (strstr(command->arguments, "PHOTO")) return MANUAL_PHOTO;
  if (strstr(command->arguments, "PLAN")) return MANUAL_JSON;
  return MANUAL_FOLDER;
}

void manual_first_words(char out[200], const cli_command *command) {
  size_t at = 0;
  const bool has = islower((unsigned char)command->arguments[0]);
  for (const char *part = has ? command->arguments : ""; *part && at < 180;) {
    while (islower((unsigned char)*part) && at < 180) out[at++] = *part++;
    out[at++] = '\0';
    const char *next = strstr(part, "| ");
    part = next ? next + 2 : "";
  }
  out[at] = '\0';
}

const cli_option *manual_option(const cli_command *command, size_t k) {
  if (k < command->option_count) return &command->options[k];
  k -= command->option_count;
  for (int common = 0; common < CLI_COMMON_COUNT; common++)
    if (cli_takes_common(command, common) && k-- == 0) return &cli_common_options[common];
  return NULL;
}

void manual_photo_suffixes(FILE *into, const char *between) {
  static const char *const suffix[] = {"jpg", "jpeg", "png", "heic", "heif", "avif", "webp", "tif", "tiff"};
  for (size_t i = 0; i < sizeof suffix / sizeof suffix[0]; i++) fprintf(into, "%s%s", i ? between : "", suffix[i]);
}
