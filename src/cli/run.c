/* SPDX-License-Identifier: MIT */
/* Chooses the command and runs it. */
#include "cli.h"

#include "progress.h"

#include <backcloth/photo_apart.h>
#include <backcloth/sentences.h>
#include <backcloth/store.h>

#include <fcntl.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static const cli_command *const commands[] = {
    &cli_command_read,    &cli_command_match,     &cli_command_look,  &cli_command_plan,
    &cli_command_arrange, &cli_command_elevation, &cli_command_loads, &cli_command_packing,
    &cli_command_sheet,   &cli_command_feedback,  &cli_command_serve,
};
enum { command_count = sizeof commands / sizeof commands[0] };

const cli_command *const *cli_commands(size_t *count) {
  *count = command_count;
  return commands;
}

typedef void speaker(const char *format, ...);

static void give_overview(speaker *tell) {
  tell(_("usage: backcloth COMMAND [OPTIONS] FILES\n\n"));
  tell(_("Choose the cloth behind handmade work, and plan the back wall of a market stand.\n\n"));
  for (size_t i = 0; i < command_count; i++) tell("  %-10s  %s\n", commands[i]->name, _(commands[i]->summary));
  tell(_("\nMore about one command: backcloth COMMAND --help\n"));
  tell(_("Exit codes: 0 done; 1 done, but something in the plan fails a check; 64 wrong use; 65 bad data; "
         "66 no such file; 70 our own fault; 73 cannot write.\n"));
}

static const cli_command *find_command(const char *name) {
  for (size_t i = 0; i < command_count; i++)
    if (strcmp(commands[i]->name, name) == 0) return commands[i];
  return NULL;
}

static int check_file_count(const cli_command *command, size_t count) {
  if (count < command->least_files) {
    cli_complain(_("%s: name at least one file. Try: backcloth %s --help"), command->name, command->name);
    return BC_BAD_USAGE;
  }
  if (count > command->most_files) {
    cli_complain(_("%s: takes one file; %zu were named."), command->name, count);
    return BC_BAD_USAGE;
  }
  return 0;
}

static void print_version(void) {
  cli_print("backcloth %s\n", bc_version());
}

static int run_files(const cli_command *command, const void *values, const cli_parsed *parsed, char **files,
                     int count) {
  cli command_line = {.command = command,
                      .values = values,
                      .files = (const char *const *)files,
                      .file_count = (size_t)count,
                      .given = parsed->given,
                      .no_store = parsed->no_store};
  int code = check_file_count(command, command_line.file_count);
  if (code != 0) return code;
  if (bc_context_new(&command_line.context) != BC_OK) return cli_fail_memory();
  bc_memory_forget();
  bc_status status = cli_check_rules(&command_line);
  if (status == BC_OK) status = cli_check_outputs(&command_line);
  if (status == BC_OK && command->opens_photos && !parsed->trust) status = bc_photo_keep_apart(command_line.context);
  if (status == BC_OK) cli_open_store(&command_line, !parsed->no_store);
  if (command->opens_photos && !command->counts_itself) progress_begin();
  code = status == BC_OK ? command->run(&command_line, values) : cli_fail(&command_line, status);
  progress_end();
  if (bc_memory_lacked() && (code == 0 || code == 1)) code = cli_fail_memory(); /* a library left something out */
  bc_context_free(command_line.context);
  cli_close_store();
  return code;
}

static int run_command(const cli_command *command, int argc, char **argv) {
  void *values = bc_allocate(1, command->values_size);
  if (!values) return cli_fail_memory();
  cli_parsed parsed = {0};
  command->defaults(values);
  int code = cli_parse(command, values, argc, argv, &parsed);
  if (code == 0 && parsed.wish == CLI_WISH_HELP)
    cli_print_help(command);
  else if (code == 0 && parsed.wish == CLI_WISH_VERSION)
    print_version();
  else if (code == 0) {
    cli_name_streams(command, values);
    code = run_files(command, values, &parsed, argv + parsed.first, argc - parsed.first);
  }
  cli_release(command, values);
  free(values);
  return code;
}

static int run_words(int argc, char **argv) {
  if (argc < 2) {
    give_overview(cli_tell);
    return BC_BAD_USAGE;
  }
  if (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "-h") == 0) {
    give_overview(cli_print);
    return 0;
  }
  if (strcmp(argv[1], "--version") == 0) {
    print_version();
    return 0;
  }
  const cli_command *command = find_command(argv[1]);
  if (command) return run_command(command, argc - 1, argv + 1);
  cli_complain(_("there is no command '%s'. backcloth --help lists them."), argv[1]);
  return BC_BAD_USAGE;
}

/* A file opened where a standard stream is missing would take what is meant for that stream. What stands in its
 * place here can be neither read nor written. */
static void fill_missing_streams(void) {
  while (true) {
    const int descriptor = open("/", O_PATH | O_DIRECTORY);
    if (descriptor > STDERR_FILENO) close(descriptor);
    if (descriptor < 0 || descriptor > STDERR_FILENO) return;
  }
}

int cli_run(int argc, char **argv) {
  fill_missing_streams();
  static char line[BUFSIZ];
  setvbuf(stderr, line, _IOLBF, sizeof line); /* a line at once, not a letter */
  signal(SIGPIPE, SIG_IGN);                   /* a closed pipe becomes a write error with a sentence */
  bc_language_start(BC_LOCALE_FOLDER);
  const int code = run_words(argc, argv);
  /* An error of an earlier write stays in ferror, even when this flush has nothing left to write. */
  if (fflush(stdout) == 0 && !ferror(stdout)) return code;
  cli_complain(_("standard output could not be written."));
  return code == 0 || code == 1 ? BC_CANNOT_WRITE : code;
}
