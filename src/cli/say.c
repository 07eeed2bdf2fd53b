/* SPDX-License-Identifier: MIT */
/* What the commands say: complaints on standard error, results on standard output. */
#include "cli.h"

#include <backcloth/sentences.h>
#include <stdarg.h>
#include <stdlib.h>

void cli_complain(const char *format, ...) {
  flockfile(stderr); /* several threads may complain */
  fputs("backcloth: ", stderr);
  va_list arguments;
  va_start(arguments, format);
  vfprintf(stderr, format, arguments);
  va_end(arguments);
  fputc('\n', stderr);
  funlockfile(stderr);
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

void cli_print_and_free(char *text, bool end_line) {
  if (!bc_memory_lacked()) { /* else something may be missing in it: run.c tells */
    fputs(text, stdout);
    if (end_line) putchar('\n');
  }
  free(text);
}
