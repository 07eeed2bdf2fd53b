/* SPDX-License-Identifier: MIT */
/* manual FOLDER: writes man pages and completions into a folder that is there, with the folders man, bash, zsh and fish
 * in it. */
#include "manual.h"

#include <stdlib.h>

static FILE *open_in(const char *folder, const char *name) {
  char *path = bc_format("%s/%s", folder, name);
  FILE *out = path ? fopen(path, "w") : NULL;
  if (!out) perror(path);
  free(path);
  if (!out) exit(BC_CANNOT_WRITE);
  return out;
}

static void close_written(FILE *out) {
  if (fclose(out) == 0) return;
  perror("manual");
  exit(BC_CANNOT_WRITE);
}

static void write_page(const char *folder, const cli_command *command) {
  char *name = command ? bc_format("man/backcloth-%s.1", command->name) : bc_copy_text("man/backcloth.1");
  FILE *out = open_in(folder, name);
  free(name);
  manual_man(command, out);
  close_written(out);
}

static void write_completion(const char *folder, const char *name, void (*put)(FILE *)) {
  FILE *out = open_in(folder, name);
  put(out);
  close_written(out);
}

int main(int argc, char **argv) {
  if (argc != 2) {
    fputs("usage: manual FOLDER\n", stderr);
    return BC_BAD_USAGE;
  }
  size_t count = 0;
  const cli_command *const *commands = cli_commands(&count);
  write_page(argv[1], NULL);
  for (size_t i = 0; i < count; i++) write_page(argv[1], commands[i]);
  write_completion(argv[1], "bash/backcloth", manual_bash);
  write_completion(argv[1], "zsh/_backcloth", manual_zsh);
  write_completion(argv[1], "fish/backcloth.fish", manual_fish);
  return 0;
}
