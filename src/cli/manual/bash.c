/* SPDX-License-Identifier: MIT */
/* Completion for bash: commands, then a command's options, then what may follow an option. */
#include "manual.h"

#include <string.h>

static void put_choices(FILE *into, const char *value) {
  for (; value && *value; value++) fputc(*value == '|' ? ' ' : *value, into);
}

static void put_offer(FILE *into, manual_what what, const char *value) {
  switch (what) {
  case MANUAL_CHOICE:
    fputs("COMPREPLY=($(compgen -W '", into);
    put_choices(into, value);
    fputs("' -- \"$word\"))", into);
    break;
  case MANUAL_PHOTO:
    fputs("_backcloth_files '", into);
    manual_photo_suffixes(into, "|");
    fputs("'", into);
    break;
  case MANUAL_JSON:
    fputs("_backcloth_files json", into);
    break;
  case MANUAL_FOLDER:
    fputs("compopt -o filenames 2>/dev/null; mapfile -t COMPREPLY < <(compgen -d -- \"$word\")", into);
    break;
  case MANUAL_FILE:
    fputs("_backcloth_files ''", into);
    break;
  default:
    fputs(":", into);
  }
}

static void put_after_options(FILE *into, const cli_command *command) {
  const cli_option *option;
  for (size_t k = 0; (option = manual_option(command, k)); k++) {
    const manual_what what = manual_what_of(option);
    if (what == MANUAL_NOTHING) continue;
    fputs("      ", into);
    if (option->letter) fprintf(into, "%s/-%c | ", command->name, option->letter);
    fprintf(into, "%s/--%s) ", command->name, option->name);
    put_offer(into, what, option->value);
    fputs("; return ;;\n", into);
  }
}

static void put_own(FILE *into, const cli_command *command) {
  char words[200];
  const cli_option *option;
  fprintf(into, "      %s)\n        if [[ $word == -* ]]; then\n          COMPREPLY=($(compgen -W '", command->name);
  for (size_t k = 0; (option = manual_option(command, k)); k++) fprintf(into, "%s--%s", k ? " " : "", option->name);
  fputs("' -- \"$word\"))\n          return\n        fi\n        ", into);
  manual_first_words(words, command);
  if (words[0]) {
    fputs("if ((COMP_CWORD == 2)); then\n          COMPREPLY=($(compgen -W '", into);
    for (const char *w = words; *w; w += strlen(w) + 1) fprintf(into, "%s%s", w == words ? "" : " ", w);
    fputs("' -- \"$word\"))\n          return\n        fi\n        ", into);
  }
  put_offer(into, manual_what_of_files(command), NULL);
  fputs(" ;;\n", into);
}

void manual_bash(FILE *into) {
  size_t count = 0;
  const cli_command *const *commands = cli_commands(&count);
  fputs("# bash completion for backcloth. Made from the option tables of the program; change those.\n"
        "_backcloth_files() { # folders, and files whose suffix is one of $1; empty: all files\n"
        "  local file\n  compopt -o filenames 2>/dev/null\n  COMPREPLY=()\n"
        "  while IFS= read -r file; do\n"
        "    if [[ -d $file || -z $1 || ${file,,} =~ \\.($1)$ ]]; then COMPREPLY+=(\"$file\"); fi\n"
        "  done < <(compgen -f -- \"$word\")\n}\n\n"
        "_backcloth() {\n  local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]}\n"
        "  local command=${COMP_WORDS[1]}\n  COMPREPLY=()\n"
        "  if ((COMP_CWORD == 1)); then\n    COMPREPLY=($(compgen -W '",
        into);
  for (size_t i = 0; i < count; i++) fprintf(into, "%s ", commands[i]->name);
  fputs("--help --version' -- \"$word\"))\n    return\n  fi\n  case $command/$before in\n", into);
  for (size_t i = 0; i < count; i++) put_after_options(into, commands[i]);
  fputs("  esac\n  case $command in\n", into);
  for (size_t i = 0; i < count; i++) put_own(into, commands[i]);
  fputs("  esac\n}\ncomplete -F _backcloth backcloth\n", into);
}
