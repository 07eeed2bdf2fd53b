/* SPDX-License-Identifier: MIT */
/* backcloth plan: what is wrong in a plan, in sentences. */
#include "cli.h"

#include <backcloth/file.h>
#include <backcloth/sentences.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

typedef struct values {
  const char *output;
  const char *title;
  bc_units units;
  bool json;
} values;

static const cli_option options[] = {
    {"output", 'o', CLI_PLAN, offsetof(values, output), "PLAN2.json",
     N_("where 'start' writes the new plan, and 'sold' and 'add' the changed one; without it these write nothing")},
    {"title", 0, CLI_TEXT, offsetof(values, title), "TITLE", N_("start: whose wall it is, and where")},
    {"units", 0, CLI_UNITS, offsetof(values, units), "metric|imperial",
     N_("start: whether plain numbers are centimetres and grams, or inches and ounces")},
    {"json", 0, CLI_FLAG, offsetof(values, json), NULL,
     N_("check, sold and add: figures for programs, one JSON object")},
};

static void defaults(void *into) {
  *(values *)into = (values){0};
}

static int tell_json(const cli *command_line, const bc_plan_findings *findings) {
  char *text = NULL;
  const bc_status status = bc_plan_findings_to_json(&text, command_line->context, findings);
  if (status != BC_OK) return cli_fail(command_line, status);
  cli_print_and_free(text, CLI_JSON);
  for (size_t i = 0; i < findings->count; i++)
    if (findings->finding[i].serious) return 1;
  return 0;
}

static int tell(const bc_plan_findings *findings) {
  int code = 0;
  for (size_t i = 0; i < findings->count; i++) {
    const bc_plan_finding *finding = &findings->finding[i];
    cli_print("%s %s\n", finding->serious ? _("Must change:") : _("Worth a look:"), finding->text);
    if (finding->serious) code = 1;
  }
  if (findings->count == 0) cli_print("%s\n", _("Nothing to change: the plan passes every check."));
  return code;
}

static int check(const cli *command_line, const values *chosen, const char *path) {
  bc_plan *plan = NULL;
  bc_plan_findings findings = {0};
  bc_plan_options how = bc_plan_options_default();
  how.allow_missing = true; /* they are what this command is asked for */
  bc_status status = cli_open_plan(&plan, command_line, path, &how);
  if (status == BC_OK) status = bc_plan_check(&findings, command_line->context, plan);
  const int code = status != BC_OK ? cli_fail(command_line, status)
                   : chosen->json  ? tell_json(command_line, &findings)
                                   : tell(&findings);
  bc_plan_findings_clear(&findings);
  bc_plan_free(plan);
  return code;
}

static void print_lines(const bc_notes *lines, const char *heading) {
  if (lines->count == 0) return;
  cli_print("%s\n", heading);
  for (size_t i = 0; i < lines->count; i++) cli_print("  %zu. %s\n", i + 1, lines->text[i]);
}

/* plan sold ID PLAN, plan add ID PLAN: the fewest moves that make the wall right again. */
static int change(const cli *command_line, const values *chosen, bool sold, const char *id, const char *path) {
  bc_plan *plan = NULL;
  bc_change *done = NULL;
  bc_context *context = command_line->context;
  bc_status status = cli_open_plan(&plan, command_line, path, NULL);
  if (status == BC_OK)
    status = sold ? bc_arrange_sold(&done, context, plan, id, NULL) : bc_arrange_add(&done, context, plan, id, NULL);
  if (status == BC_OK && chosen->output) status = bc_plan_write(context, plan, chosen->output);
  char *text = NULL;
  if (status == BC_OK && chosen->json) status = bc_change_to_json(&text, context, plan, done);
  if (text) cli_print_and_free(text, CLI_JSON);
  if (status == BC_OK && !chosen->json) {
    print_lines(&done->steps, _("To do:"));
    print_lines(&done->restock, _("Sold so far:"));
  }
  const int code = status == BC_OK ? 0 : cli_fail(command_line, status);
  bc_change_free(done);
  bc_plan_free(plan);
  return code;
}

/* "sold PLAN ID" is understood as well as "sold ID PLAN". */
static int change_either_way(const cli *command_line, const values *chosen, bool sold, const char *first,
                             const char *second) {
  const bool swapped = access(first, F_OK) == 0 && access(second, F_OK) != 0;
  return change(command_line, chosen, sold, swapped ? second : first, swapped ? first : second);
}

/* One question on the terminal, one line as the answer. */
static char *ask_person(void *data, const char *question) {
  (void)data;
  char *line = NULL;
  size_t room = 0;
  cli_tell("%s ", question);
  const ssize_t length = getline(&line, &room, stdin);
  if (length < 0) {
    free(line);
    return NULL;
  }
  line[strcspn(line, "\r\n")] = '\0';
  return line;
}

static void tell_started(const bc_plan *plan, const char *path) {
  const unsigned long missing = plan->missing.count;
  char *shown = bc_path_shown(path);
  cli_tell(bc_text_plural("%s: a plan with %zu piece.\n", "%s: a plan with %zu pieces.\n", plan->piece_count),
           shown ? shown : "", plan->piece_count);
  if (missing > 0)
    cli_tell(
        bc_text_plural("%lu size is marked \"?\": measure it and write it in; \"backcloth plan check\" names it.\n",
                       "%lu sizes are marked \"?\": measure them and write them in; \"backcloth plan check\" names "
                       "them.\n",
                       missing),
        missing);
  free(shown);
}

/* plan start FOLDER: a piece for each photo; sizes are asked for when a person sits at the terminal. */
static int start(const cli *command_line, const values *chosen, const char *folder) {
  if (!chosen->output) {
    cli_complain(_("plan start: say where the plan goes, for example: backcloth plan start photos -o plan.json"));
    return BC_BAD_USAGE;
  }
  if (strcmp(chosen->output, "-") != 0 && access(chosen->output, F_OK) == 0) {
    cli_complain(_("%s is there already and is not written over. Choose another name with -o."), chosen->output);
    return BC_CANNOT_WRITE;
  }
  bc_plan_start_options how = bc_plan_start_options_default();
  how.title = chosen->title;
  how.units = chosen->units;
  const bool person = isatty(STDIN_FILENO) && isatty(STDERR_FILENO);
  if (person) {
    how.ask = ask_person;
    cli_tell(
        "%s",
        how.units == BC_UNITS_IMPERIAL
            ? _("Answer in inches and ounces, or with a unit (4 ft 2 in, 850 g). Enter alone skips a question.\n")
            : _("Answer in centimetres and grams, or with a unit (4 ft 2 in, 2 lb). Enter alone skips a question.\n"));
  }
  bc_plan *plan = NULL;
  bc_status status = bc_plan_start(&plan, command_line->context, folder, &how);
  if (status == BC_OK) status = bc_plan_write(command_line->context, plan, chosen->output);
  if (status == BC_OK) tell_started(plan, chosen->output);
  bc_plan_free(plan);
  return status == BC_OK ? 0 : cli_fail(command_line, status);
}

/* Which options go with which word; the others are refused. */
static bool refuses(const cli *command_line, const char *word, const char *own) {
  for (size_t i = 0; i < command_line->command->option_count; i++) {
    const char *name = command_line->command->options[i].name;
    if (!cli_given(command_line, name) || strstr(own, name)) continue;
    cli_complain(_("plan: --%s changes nothing with '%s'; leave it out."), name, word);
    return true;
  }
  return false;
}

static int run(const cli *command_line, const void *from) {
  const char *const *words = command_line->files;
  const size_t count = command_line->file_count;
  const char *own = strcmp(words[0], "check") == 0   ? "json"
                    : strcmp(words[0], "start") == 0 ? "output title units"
                                                     : "output json";
  if (refuses(command_line, words[0], own)) return BC_BAD_USAGE;
  if (count == 2 && strcmp(words[0], "check") == 0) return check(command_line, from, words[1]);
  if (count == 2 && strcmp(words[0], "start") == 0) return start(command_line, from, words[1]);
  if (count == 3 && strcmp(words[0], "sold") == 0)
    return change_either_way(command_line, from, true, words[1], words[2]);
  if (count == 3 && strcmp(words[0], "add") == 0)
    return change_either_way(command_line, from, false, words[1], words[2]);
  cli_complain(_("plan: say what to do with the plan, for example: backcloth plan check market.json"));
  return BC_BAD_USAGE;
}

const cli_command cli_command_plan = {
    .name = "plan",
    .arguments = "start FOLDER | check PLAN | sold PIECE PLAN | add PIECE PLAN",
    .summary = N_("start a plan from photos, check it, or change it during the market"),
    .details =
        N_("Example: backcloth plan check market.json\n"
           "start: a new plan with a piece for each photo of the folder; on a terminal it asks for sizes and weights, "
           "one at a time. What is skipped is marked \"?\", never guessed.\n"
           "check: what overlaps, hides, hangs too high or is missing; exit code 1 says that something must change.\n"
           "sold PIECE: the piece (its id) is sold; what to move so that the wall looks right again, and what to "
           "restock.\n"
           "add PIECE: finds a place for a piece of the plan that has none."),
    .options = options,
    .option_count = sizeof options / sizeof options[0],
    .values_size = sizeof(values),
    .least_files = 1,
    .most_files = 3,
    .defaults = defaults,
    .run = run,
};
