/* SPDX-License-Identifier: MIT */
/* Completion for zsh, in the words of _arguments. */
#include "manual.h"

#include <string.h>

/* Inside single quotes and a specification: quotes, brackets and colons. */
static void put(FILE *into, const char *text) {
  for (; *text; text++) {
    if (*text == '\'')
      fputs("'\\''", into);
    else if (strchr("[]:\\", *text))
      fprintf(into, "\\%c", *text);
    else
      fputc(*text, into);
  }
}

static void put_action(FILE *into, manual_what what, const char *value) {
  switch (what) {
  case MANUAL_CHOICE:
    fputc('(', into);
    for (; value && *value; value++) fputc(*value == '|' ? ' ' : *value, into);
    fputc(')', into);
    break;
  case MANUAL_PHOTO:
    fputs("_files -g \"(#i)*.(", into);
    manual_photo_suffixes(into, "|");
    fputs(")\"", into);
    break;
  case MANUAL_JSON:
    fputs("_files -g \"*.json\"", into);
    break;
  case MANUAL_FOLDER:
    fputs("_files -/", into);
    break;
  case MANUAL_FILE:
    fputs("_files", into);
    break;
  default:
    fputc(' ', into);
  }
}

static void put_spec(FILE *into, const cli_option *option, const char *dashes, const char *name) {
  const bool often =
      option->kind == CLI_TEXTS || option->kind == CLI_SPECS || option->kind == CLI_POINTS || option->kind == CLI_BOXES;
  fprintf(into, " \\\n        '%s%s%s[", often ? "*" : "", dashes, name);
  put(into, option->help);
  fputc(']', into);
  if (option->value) {
    fputc(':', into);
    put(into, option->value);
    fputc(':', into);
    put_action(into, manual_what_of(option), option->value);
  }
  fputc('\'', into);
}

static void put_command(FILE *into, const cli_command *command) {
  char words[200];
  const cli_option *option;
  fprintf(into, "    %s)\n      _arguments -s", command->name);
  for (size_t k = 0; (option = manual_option(command, k)); k++) {
    const char letter[2] = {option->letter, '\0'};
    put_spec(into, option, "--", option->name);
    if (option->letter) put_spec(into, option, "-", letter);
  }
  manual_first_words(words, command);
  if (words[0]) {
    fputs(" \\\n        '1:what:(", into);
    for (const char *w = words; *w; w += strlen(w) + 1) fprintf(into, "%s%s", w == words ? "" : " ", w);
    fputs(")'", into);
  }
  const manual_what files = manual_what_of_files(command);
  if (files != MANUAL_NOTHING) {
    fputs(" \\\n        '*:file:", into);
    put_action(into, files, NULL);
    fputc('\'', into);
  }
  fputs(" ;;\n", into);
}

void manual_zsh(FILE *into) {
  size_t count = 0;
  const cli_command *const *commands = cli_commands(&count);
  fputs("#compdef backcloth\n# Made from the option tables of the program; change those.\n_backcloth() {\n"
        "  local -a commands\n  commands=(\n",
        into);
  for (size_t i = 0; i < count; i++) {
    fprintf(into, "    '%s:", commands[i]->name);
    put(into, commands[i]->summary);
    fputs("'\n", into);
  }
  fputs("  )\n  if ((CURRENT == 2)); then\n    _describe command commands\n    return\n  fi\n"
        "  local command=$words[2]\n  shift words\n  ((CURRENT--))\n  case $command in\n",
        into);
  for (size_t i = 0; i < count; i++) put_command(into, commands[i]);
  fputs("  esac\n}\n_backcloth \"$@\"\n", into);
}
