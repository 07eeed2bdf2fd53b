/* SPDX-License-Identifier: MIT */
/* What the commands say: complaints on standard error, results on standard output. Nothing else of src/cli writes to
 * either, so that what a file is called never steers a terminal. */
#include "cli.h"

#include "progress.h"
#include "terminal.h"

#include <backcloth/sentences.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static bool output_is_taken; /* by a picture, mask or plan of this run */

void cli_take_output(void) {
  output_is_taken = true;
}

static FILE *results(void) {
  return output_is_taken ? stderr : stdout;
}

/* Several threads may speak; and the line of progress waits until all has left. */
static void say(FILE *stream, const char *before, const char *text) {
  flockfile(stream);
  progress_pause();
  if (*before && terminal_colours(stream))
    fprintf(stream, "\033[1m%s\033[0m", before);
  else
    fputs(before, stream);
  terminal_words(stream, text, (int)strlen(before));
  if (isatty(fileno(stream))) fflush(stream);
  progress_resume();
  funlockfile(stream);
}

/* What a word of the command line brings along is no end of a line. */
static void join_lines(char *text) {
  for (char *at = text; *at; at++)
    if (*at == '\n') *at = ' ';
}

/* Without memory for a long text its beginning is said. */
static void say_formatted(FILE *stream, const char *before, const char *format, va_list arguments) {
  char room[1024], *text = room;
  va_list again;
  va_copy(again, arguments);
  const int length = vsnprintf(room, sizeof room, format, arguments);
  if (length >= (int)sizeof room && vasprintf(&text, format, again) < 0) text = room;
  va_end(again);
  if (length >= 0 && *before && strcmp(format, "%s") != 0) join_lines(text);
  if (length >= 0) say(stream, before, text);
  if (text != room) free(text);
}

void cli_complain(const char *format, ...) {
  va_list arguments;
  va_start(arguments, format);
  flockfile(stderr);
  say_formatted(stderr, "backcloth: ", format, arguments);
  fputc('\n', stderr);
  funlockfile(stderr);
  va_end(arguments);
}

void cli_tell(const char *format, ...) {
  va_list arguments;
  va_start(arguments, format);
  say_formatted(stderr, "", format, arguments);
  va_end(arguments);
  fflush(stderr);
}

void cli_print(const char *format, ...) {
  va_list arguments;
  va_start(arguments, format);
  say_formatted(results(), "", format, arguments);
  va_end(arguments);
}

int cli_fail(const cli *command_line, bc_status status) {
  cli_complain("%s", bc_context_message(command_line->context));
  return (int)status;
}

int cli_fail_memory(void) {
  bc_memory_forget();
  cli_complain(_("There is not enough memory for this. Close other programs, or use smaller photos."));
  return BC_OUR_FAULT;
}

void cli_print_and_free(char *text, cli_form form) {
  if (!bc_memory_lacked()) { /* else something may be missing in it: run.c tells */
    const size_t length = strlen(text);
    FILE *const stream = form == CLI_WORDS ? results() : stdout;
    if (form == CLI_WORDS) {
      say(stream, "", text);
    } else {
      progress_pause();
      terminal_data(stream, text, form == CLI_JSON);
      progress_resume();
    }
    if (length && text[length - 1] != '\n') fputc('\n', stream);
    if (isatty(fileno(stream))) fflush(stream);
  }
  free(text);
}
