/* SPDX-License-Identifier: MIT */
/* Options from their table, through getopt_long. */
#include "cli.h"

#include <backcloth/sentences.h>
#include <ctype.h>
#include <errno.h>
#include <getopt.h>
#include <limits.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { FIRST_LONG = 1000, FIRST_COMMON = 900, MOST_OPTIONS = 60 };

const cli_option cli_common_options[CLI_COMMON_COUNT] = {
    [CLI_COMMON_TRUST] =
        {"trust", 0, CLI_FLAG, 0, NULL,
         N_("open photos in this process, not shut off from everything else: for photos that you made yourself")},
    [CLI_COMMON_NO_STORE] =
        {"no-store", 0, CLI_FLAG, 0, NULL,
         N_("keep nothing of what is read from photos, and take nothing from what was kept in your cache folder")},
    [CLI_COMMON_HELP] = {"help", 'h', CLI_FLAG, 0, NULL, N_("this help")},
    [CLI_COMMON_VERSION] = {"version", 0, CLI_FLAG, 0, NULL, N_("the program's version")},
};

bool cli_takes_common(const cli_command *command, int common) {
  if (common == CLI_COMMON_TRUST) return command->opens_photos;
  return common != CLI_COMMON_NO_STORE || command->keeps;
}

/* Numbers are always written with a point, whatever the language: LC_NUMERIC is left at "C". */
static bool read_number(const char *text, double *out) {
  char *end = NULL;
  errno = 0;
  const double value = strtod(text, &end);
  if (end == text || *end || errno == ERANGE || !isfinite(value)) return false;
  *out = value;
  return true;
}

/* Exactly `count` whole numbers between commas. */
static bool read_integers(const char *text, int *out, int count) {
  for (int i = 0; i < count; i++) {
    char *end = NULL;
    errno = 0;
    const long value = strtol(text, &end, 10);
    if (end == text || errno || value < INT_MIN || value > INT_MAX) return false;
    if (*end != (i + 1 < count ? ',' : '\0')) return false;
    out[i] = (int)value;
    text = end + 1;
  }
  return true;
}

static bool read_box(const char *text, cli_box *out) {
  int v[4];
  if (!read_integers(text, v, 4) || v[0] < 0 || v[1] < 0 || v[2] < 1 || v[3] < 1) return false;
  *out = (cli_box){.given = true, .box = {v[0], v[1], v[2], v[3]}};
  return true;
}

static bool add_text(const char *text, cli_texts *out) {
  const char **grown = bc_reallocate(out->text, out->count + 1, sizeof *grown);
  if (!grown) return false;
  out->text = grown;
  out->text[out->count++] = text;
  return true;
}

static bool add_point(const char *text, cli_points *out) {
  int xy[2];
  if (!read_integers(text, xy, 2)) return false;
  bc_point_px *grown = bc_reallocate(out->point, out->count + 1, sizeof *grown);
  if (!grown) return false;
  out->point = grown;
  out->point[out->count++] = (bc_point_px){xy[0], xy[1]};
  return true;
}

static bool add_box(const char *text, cli_boxes *out) {
  cli_box read = {0};
  if (!read_box(text, &read)) return false;
  bc_box *grown = bc_reallocate(out->box, out->count + 1, sizeof *grown);
  if (!grown) return false;
  out->box = grown;
  out->box[out->count++] = read.box;
  return true;
}

static bool read_units(const char *text, bc_units *out) {
  if (strcmp(text, "metric") == 0)
    *out = BC_UNITS_METRIC;
  else if (strcmp(text, "imperial") == 0)
    *out = BC_UNITS_IMPERIAL;
  else
    return false;
  return true;
}

static bool read_scale(const char *text, double *out) {
  if (strncmp(text, "1:", 2) == 0) text += 2;
  return read_number(text, out) && *out >= 1 && *out <= 1000;
}

static bool read_count(const char *text, int *out) {
  return read_integers(text, out, 1) && *out >= 0;
}

/* `text` is one of the words between bars. */
static bool is_choice(const char *words, const char *text) {
  const size_t length = strlen(text);
  for (const char *word = words; word; word = strchr(word, '|')) {
    word += *word == '|';
    if (length && strncmp(word, text, length) == 0 && (word[length] == '|' || !word[length])) return true;
  }
  return false;
}

static bool store(const cli_option *option, void *values, const char *text) {
  void *field = (char *)values + option->offset;
  switch (option->kind) {
  case CLI_FLAG:
    *(bool *)field = true;
    return true;
  case CLI_TEXT:
  case CLI_FILE:
  case CLI_SPEC:
  case CLI_CLOTHS:
  case CLI_MASKS:
  case CLI_PICTURE:
  case CLI_SHEET:
  case CLI_MASK:
  case CLI_PLAN:
  case CLI_FOLDER:
  case CLI_CACHE:
    *(const char **)field = text;
    return true;
  case CLI_TEXTS:
  case CLI_SPECS:
    return add_text(text, field);
  case CLI_NUMBER:
  case CLI_LENGTH:
    return read_number(text, field) && *(double *)field > 0;
  case CLI_COUNT:
    return read_count(text, field);
  case CLI_BOX:
    return read_box(text, field);
  case CLI_POINTS:
    return add_point(text, field);
  case CLI_BOXES:
    return add_box(text, field);
  case CLI_FORMAT:
    *(const char **)field = text;
    return is_choice(option->value, text);
  case CLI_CM:
    return bc_plan_length(field, text) && *(double *)field > 0;
  case CLI_UNITS:
    return read_units(text, field);
  case CLI_SCALE:
    return read_scale(text, field);
  }
  return false;
}

static void fill_getopt(const cli_command *command, struct option *longs, char *letters) {
  char *letter = letters;
  *letter++ = ':'; /* a missing value is told apart from an unknown option */
  size_t i = 0;
  for (; i < command->option_count; i++) {
    const cli_option *option = &command->options[i];
    const int argument = option->kind == CLI_FLAG ? no_argument : required_argument;
    longs[i] = (struct option){option->name, argument, NULL, FIRST_LONG + (int)i};
    if (!option->letter) continue;
    *letter++ = option->letter;
    if (argument) *letter++ = ':';
  }
  for (int k = 0; k < CLI_COMMON_COUNT; k++)
    if (cli_takes_common(command, k))
      longs[i++] = (struct option){cli_common_options[k].name, no_argument, NULL, FIRST_COMMON + k};
  longs[i] = (struct option){0};
  *letter++ = 'h';
  *letter = '\0';
}

static const cli_option *find_option(const cli_command *command, int code) {
  if (code >= FIRST_LONG) return &command->options[code - FIRST_LONG];
  for (size_t i = 0; i < command->option_count; i++)
    if (command->options[i].letter == code) return &command->options[i];
  return NULL;
}

static int complain_about(const cli_command *command, int code, char **argv) {
  const char *written = argv[optind - 1];
  if (code == ':')
    cli_complain(_("%s: %s needs a value. Try: backcloth %s --help"), command->name, written, command->name);
  else
    cli_complain(_("%s: there is no option %s. Try: backcloth %s --help"), command->name, written, command->name);
  return BC_BAD_USAGE;
}

int cli_parse(const cli_command *command, void *values, int argc, char **argv, cli_parsed *out) {
  struct option longs[MOST_OPTIONS + CLI_COMMON_COUNT + 1];
  char letters[2 * MOST_OPTIONS + 4];
  fill_getopt(command, longs, letters);
  opterr = 0;
  optind = 0; /* glibc: start afresh, since tests call this many times */
  int code;
  while ((code = getopt_long(argc, argv, letters, longs, NULL)) != -1) {
    if (code == 'h' || code == FIRST_COMMON + CLI_COMMON_HELP || code == FIRST_COMMON + CLI_COMMON_VERSION) {
      out->wish = code == FIRST_COMMON + CLI_COMMON_VERSION ? CLI_WISH_VERSION : CLI_WISH_HELP;
      return 0;
    }
    if (code == FIRST_COMMON + CLI_COMMON_TRUST) {
      out->trust = true;
      continue;
    }
    if (code == FIRST_COMMON + CLI_COMMON_NO_STORE) {
      out->no_store = true;
      continue;
    }
    const cli_option *option = code == '?' || code == ':' ? NULL : find_option(command, code);
    if (!option) return complain_about(command, code, argv);
    if (!store(option, values, optarg)) {
      if (bc_memory_lacked()) return cli_fail_memory();
      cli_complain(_("%s: --%s %s is not understood; it should be --%s %s (%s)."), command->name, option->name, optarg,
                   option->name, option->value, _(option->help));
      return BC_BAD_USAGE;
    }
    out->given |= UINT64_C(1) << (option - command->options);
  }
  out->first = optind;
  return 0;
}

void cli_release(const cli_command *command, void *values) {
  for (size_t i = 0; i < command->option_count; i++) {
    void *field = (char *)values + command->options[i].offset;
    if (command->options[i].kind == CLI_TEXTS || command->options[i].kind == CLI_SPECS)
      free(((cli_texts *)field)->text);
    if (command->options[i].kind == CLI_BOXES) free(((cli_boxes *)field)->box);
    if (command->options[i].kind == CLI_POINTS) free(((cli_points *)field)->point);
  }
}

static void print_option(const cli_option *option) {
  const char *space = option->value ? " " : "", *value = option->value ? option->value : "";
  char *left = option->letter ? bc_format("-%c, --%s%s%s", option->letter, option->name, space, value)
                              : bc_format("--%s%s%s", option->name, space, value);
  cli_print("  %-26s  %s\n", left ? left : option->name, _(option->help));
  free(left);
}

void cli_print_help(const cli_command *command) {
  cli_print(_("usage: backcloth %s [OPTIONS] %s\n\n"), command->name, command->arguments);
  cli_print("%s\n\n", _(command->summary));
  if (command->details) cli_print("%s\n\n", _(command->details));
  for (size_t i = 0; i < command->option_count; i++) print_option(&command->options[i]);
  for (int k = 0; k < CLI_COMMON_COUNT; k++)
    if (cli_takes_common(command, k)) print_option(&cli_common_options[k]);
}
