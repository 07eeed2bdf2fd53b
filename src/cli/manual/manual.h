/* SPDX-License-Identifier: MIT */
/* Man pages and completions, written from the same tables that parsing and --help read (cli.h). English; a program of
 * the build, not installed. */
#ifndef BC_SRC_CLI_MANUAL_H
#define BC_SRC_CLI_MANUAL_H

#include "cli/cli.h"

/* What may stand where an option's value or a file stands. */
typedef enum manual_what {
  MANUAL_NOTHING, /* a flag */
  MANUAL_FREE,    /* words or figures: nothing to offer */
  MANUAL_CHOICE,  /* one of the words in the option's value: a|b|c */
  MANUAL_PHOTO,
  MANUAL_JSON,
  MANUAL_FILE,
  MANUAL_FOLDER
} manual_what;

manual_what manual_what_of(const cli_option *option);
/* Of the files that follow the options, by how the table names them: PHOTO, PLAN, FOLDER. */
manual_what manual_what_of_files(const cli_command *command);
/* The words that come first: "start\0check\0…\0\0" of `plan`; empty for other commands. At most 200 letters. */
void manual_first_words(char out[200], const cli_command *command);
/* The k-th option that a command takes, its own first; NULL after the last. */
const cli_option *manual_option(const cli_command *command, size_t k);

void manual_man(const cli_command *command, FILE *into); /* NULL: the page of the program as a whole */
void manual_bash(FILE *into);
void manual_zsh(FILE *into);
void manual_fish(FILE *into);

/* Suffixes of photos that can be read, between `between`. */
void manual_photo_suffixes(FILE *into, const char *between);

#endif
