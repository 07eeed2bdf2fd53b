/* SPDX-License-Identifier: MIT */
/* What the commands say: complaints on standard error, results on standard output. */
#include "cli.h"

#include "base/base.h"

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

int cli_print_and_free(const cli *command_line, char *text) {
  (void)command_line;
  const int written = fputs(text, stdout);
  free(text);
  if (written >= 0) return 0;
  cli_complain(_("standard output could not be written."));
  return BC_CANNOT_WRITE;
}
