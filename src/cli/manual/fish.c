/* SPDX-License-Identifier: MIT */
/* Completion for fish. */
#include "manual.h"

#include <string.h>

static void put_quoted(FILE *into, const char *text) {
  fputc('\'', into);
  for (; *text; text++) {
    if (*text == '\'' || *text == '\\') fputc('\\', into);
    fputc(*text, into);
  }
  fputc('\'', into);
}

static void put_offer(FILE *into, manual_what what, const char *value) {
  switch (what) {
  case MANUAL_NOTHING:
    break;
  case MANUAL_CHOICE:
    fputs(" -x -a '", into);
    for (; *value; value++) fputc(*value == '|' ? ' ' : *value, into);
    fputc('\'', into);
    break;
  case MANUAL_FOLDER:
    fputs(" -x -a '(__fish_complete_directories)'", into);
    break;
  case MANUAL_JSON:
    fputs(" -x -a '(__fish_complete_suffix .json)'", into);
    break;
  case MANUAL_PHOTO:
  case MANUAL_FILE:
    fputs(" -r -F", into);
    break;
  default:
    fputs(" -x", into);
  }
}

static void put_command(FILE *into, const cli_command *command) {
  char words[200];
  const cli_option *option;
  fprintf(into, "complete -c backcloth -n __fish_use_subcommand -f -a %s -d ", command->name);
  put_quoted(into, command->summary);
  fputc('\n', into);
  for (size_t k = 0; (option = manual_option(command, k)); k++) {
    fprintf(into, "complete -c backcloth -n '__fish_seen_subcommand_from %s' -l %s", command->name, option->name);
    if (option->letter) fprintf(into, " -s %c", option->letter);
    put_offer(into, manual_what_of(option), option->value);
    fputs(" -d ", into);
    put_quoted(into, option->help);
    fputc('\n', into);
  }
  manual_first_words(words, command);
  for (const char *w = words; *w; w += strlen(w) + 1)
    fprintf(
        into,
        "complete -c backcloth -n '__fish_seen_subcommand_from %s; and test (count (commandline -opc)) -eq 2' -a %s\n",
        command->name, w);
  const manual_what files = manual_what_of_files(command);
  fprintf(into, "complete -c backcloth -n '__fish_seen_subcommand_from %s' %s\n", command->name,
          files == MANUAL_PHOTO    ? "-F"
          : files == MANUAL_JSON   ? "-f -a '(__fish_complete_suffix .json)'"
          : files == MANUAL_FOLDER ? "-f -a '(__fish_complete_directories)'"
                                   : "-f");
}

void manual_fish(FILE *into) {
  size_t count = 0;
  const cli_command *const *commands = cli_commands(&count);
  fputs("# Made from the option tables of the program; change those.\ncomplete -c backcloth -n __fish_use_subcommand "
        "-f\n",
        into);
  for (size_t i = 0; i < count; i++) put_command(into, commands[i]);
}
