/* SPDX-License-Identifier: MIT */
/* One man page per command, in the macros of man(7). */
#include "manual.h"

#include <ctype.h>
#include <string.h>

/* Letters as they are: a backslash, a hyphen that is typed, a dot that begins a line. */
static void put(FILE *into, const char *text, size_t length) {
  if (length && (text[0] == '.' || text[0] == '\'')) fputs("\\&", into);
  for (size_t i = 0; i < length; i++) {
    if (text[i] == '\\')
      fputs("\\e", into);
    else if (text[i] == '-')
      fputs("\\-", into);
    else if (text[i] == '\'')
      fputs("\\(aq", into);
    else
      fputc(text[i], into);
  }
}

static void put_text(FILE *into, const char *text) {
  put(into, text, strlen(text));
}

/* ---- the lines of a command's details ---- */

typedef enum line_kind { LINE_EXAMPLE, LINE_EXIT, LINE_PROSE } line_kind;

static line_kind kind_of(const char *line) {
  if (strncmp(line, "Example: ", 9) == 0 || strncmp(line, "         ", 9) == 0) return LINE_EXAMPLE;
  return strncmp(line, "Exit code ", 10) == 0 ? LINE_EXIT : LINE_PROSE;
}

/* Lines of one kind, each after `before`. How many there were. */
static size_t put_lines(FILE *into, const cli_command *command, line_kind kind, const char *before) {
  size_t count = 0;
  for (const char *line = command->details; line && *line;) {
    const size_t length = strcspn(line, "\n");
    if (kind_of(line) == kind) {
      fputs(before, into);
      const size_t skipped = kind == LINE_EXAMPLE ? 9 : 0;
      put(into, line + skipped, length - skipped);
      fputc('\n', into);
      count++;
    }
    line += length + (line[length] == '\n');
  }
  return count;
}

/* ---- sections ---- */

static void put_capital(FILE *into, const char *sentence) {
  const bool letter = isalpha((unsigned char)sentence[0]);
  if (letter) fputc(toupper((unsigned char)sentence[0]), into);
  put_text(into, sentence + letter);
  if (sentence[strlen(sentence) - 1] != '.') fputc('.', into);
  fputc('\n', into);
}

static void put_option(FILE *into, const cli_option *option) {
  fputs(".TP\n", into);
  if (option->letter) fprintf(into, "\\fB\\-%c\\fR, ", option->letter);
  fputs("\\fB\\-\\-", into);
  put_text(into, option->name);
  fputs("\\fR", into);
  if (option->value) {
    fputs(" \\fI", into);
    put_text(into, option->value);
    fputs("\\fR", into);
  }
  fputc('\n', into);
  put_capital(into, option->help);
}

static void put_exit_status(FILE *into, const cli_command *command) {
  static const struct {
    int code;
    const char *means;
  } codes[] = {{0, "Done."},
               {1, "Done, and something in the plan fails a check: an overload, a collision, something not known."},
               {64, "Wrong use: an option, a value, a name that does not go."},
               {65, "Bad data: a photo, plan or list that cannot be read."},
               {66, "No such input."},
               {70, "Our own fault, or memory ended."},
               {73, "Cannot write."}};
  fputs(".SH \"EXIT STATUS\"\nAs in sysexits.h.\n", into);
  for (size_t i = 0; i < sizeof codes / sizeof codes[0]; i++)
    fprintf(into, ".TP\n.B %d\n%s\n", codes[i].code, codes[i].means);
  if (command) put_lines(into, command, LINE_EXIT, ".PP\n");
}

static const char *use_of(cli_kind kind) {
  switch (kind) {
  case CLI_FILE:
    return "Read.";
  case CLI_CLOTHS:
    return "Read: candidate cloths, each {\"name\",\"colour\"} or {\"name\",\"photo\"}.";
  case CLI_MASKS:
    return "A folder that is read.";
  case CLI_PICTURE:
    return "Written: .png, .pdf or .svg.";
  case CLI_SHEET:
    return "Written: .pdf or .png.";
  case CLI_MASK:
    return "Written: .png.";
  case CLI_PLAN:
    return "Written: .json.";
  case CLI_FOLDER:
    return "A folder that is written into.";
  case CLI_CACHE:
    return "Written.";
  default:
    return NULL;
  }
}

static void put_files(FILE *into, const cli_command *command) {
  fputs(".SH FILES\n", into);
  for (size_t k = 0; command && k < command->option_count; k++) {
    const cli_option *option = &command->options[k];
    if (!use_of(option->kind)) continue;
    fputs(".TP\n\\fB\\-\\-", into);
    put_text(into, option->name);
    fprintf(into, "\\fR \\fI");
    put_text(into, option->value);
    fprintf(into, "\\fR\n%s\n", use_of(option->kind));
  }
  if (!command || strcmp(command->name, "serve") == 0)
    fputs(".TP\n.I $XDG_DATA_HOME/backcloth\n(~/.local/share/backcloth) What the page keeps, unless \\-\\-data names "
          "another folder.\n.TP\n.I ~/.config/backcloth/serve.conf\nOptions for the user service, as "
          "BACKCLOTH_OPTIONS=\"\\-\\-port 8137\".\n",
          into);
  fputs(".PP\nNothing is written over a file that is read in the same run. An output that fails leaves what was there "
        "before.\n",
        into);
}

static void put_rest(FILE *into) {
  fputs(
      ".SH ENVIRONMENT\nLANGUAGE, LC_ALL, LC_MESSAGES and LANG choose the language of the words. Figures in JSON, SVG "
      "and PDF do not depend on them.\n"
      ".SH CAUTION\nWhat hangs can fall. Loads are planning help with a design factor; ratings come from the packaging "
      "of your hardware. Local codes, the venue\\(aqs rules and a licensed person decide. Nothing here advises about "
      "wind.\n",
      into);
}

static void put_see_also(FILE *into, const cli_command *own) {
  size_t count = 0;
  const cli_command *const *commands = cli_commands(&count);
  fputs(".SH \"SEE ALSO\"\n", into);
  if (own) fputs(".BR backcloth (1),\n", into);
  for (size_t i = 0; i < count; i++)
    if (commands[i] != own) fprintf(into, ".BR backcloth\\-%s (1),\n", commands[i]->name);
  fputs("and the guides in /usr/share/doc/backcloth.\n", into);
}

static void put_head(FILE *into, const char *dash, const char *name, const char *about) {
  fputs(".\\\" Made from the option tables of the program; change those.\n.TH \"BACKCLOTH", into);
  fputs(dash, into);
  for (const char *letter = name; *letter; letter++) fputc(toupper((unsigned char)*letter), into);
  fprintf(into, "\" 1 \"\" \"backcloth %s\" \"backcloth\"\n.SH NAME\nbackcloth%s%s \\- ", bc_version(), dash, name);
  put_text(into, about);
  fputc('\n', into);
}

static void put_command(const cli_command *command, FILE *into) {
  put_head(into, "-", command->name, command->summary);
  fprintf(into, ".SH SYNOPSIS\n.B backcloth %s\n[OPTIONS] ", command->name);
  put_text(into, command->arguments);
  fputs("\n.SH DESCRIPTION\n", into);
  put_capital(into, command->summary);
  put_lines(into, command, LINE_PROSE, ".PP\n");
  fputs(".SH OPTIONS\n", into);
  const cli_option *option;
  for (size_t k = 0; (option = manual_option(command, k)); k++) put_option(into, option);
  put_exit_status(into, command);
  put_files(into, command);
  put_rest(into);
  fputs(".SH EXAMPLES\n", into);
  put_lines(into, command, LINE_EXAMPLE, ".PP\n");
  put_see_also(into, command);
}

static void put_program(FILE *into) {
  size_t count = 0;
  const cli_command *const *commands = cli_commands(&count);
  put_head(into, "", "", "choose the cloth behind handmade work, and plan the wall of a market stand");
  fputs(".SH SYNOPSIS\n.B backcloth\nCOMMAND [OPTIONS] FILES\n.SH DESCRIPTION\nReads photos of handmade work, says how "
        "clearly each piece stands out on each cloth, and plans and draws the back wall of a market stand to scale.\n",
        into);
  for (size_t i = 0; i < count; i++) {
    fprintf(into, ".TP\n.BR backcloth\\-%s (1)\n", commands[i]->name);
    put_capital(into, commands[i]->summary);
  }
  fputs(".SH OPTIONS\nEach command has its own.\n", into);
  for (int k = CLI_COMMON_HELP; k < CLI_COMMON_COUNT; k++) put_option(into, &cli_common_options[k]);
  put_exit_status(into, NULL);
  put_files(into, NULL);
  put_rest(into);
  fputs(".SH EXAMPLES\n", into);
  for (size_t i = 0; i < count; i++) put_lines(into, commands[i], LINE_EXAMPLE, ".PP\n");
  put_see_also(into, NULL);
}

void manual_man(const cli_command *command, FILE *into) {
  if (command)
    put_command(command, into);
  else
    put_program(into);
}
