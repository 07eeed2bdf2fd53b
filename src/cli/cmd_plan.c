/* SPDX-License-Identifier: MIT */
/* backcloth plan: what is wrong in a plan, in sentences. */
#include "cli.h"

#include <string.h>

typedef struct values {
  const char *output;
} values;

static const cli_option options[] = {
    {"output", 'o', CLI_TEXT, offsetof(values, output), "PLAN2.json",
     N_("where 'sold' and 'add' write the changed plan; without it nothing is written")},
};

static void defaults(void *into) {
  *(values *)into = (values){0};
}

static int tell(const bc_plan_findings *findings) {
  int code = 0;
  for (size_t i = 0; i < findings->count; i++) {
    const bc_plan_finding *finding = &findings->finding[i];
    printf("%s %s\n", finding->serious ? _("Must change:") : _("Worth a look:"), finding->text);
    if (finding->serious) code = 1;
  }
  if (findings->count == 0) puts(_("Nothing to change: the plan passes every check."));
  return code;
}

static int check(const cli *command_line, const char *path) {
  bc_plan *plan = NULL;
  bc_plan_findings findings = {0};
  bc_plan_options how = bc_plan_options_default();
  how.allow_missing = true; /* they are what this command is asked for */
  bc_status status = bc_plan_open(&plan, command_line->context, path, &how);
  if (status == BC_OK) status = bc_plan_check(&findings, command_line->context, plan);
  const int code = status == BC_OK ? tell(&findings) : cli_fail(command_line, status);
  bc_plan_findings_clear(&findings);
  bc_plan_free(plan);
  return code;
}

static void print_lines(const bc_notes *lines, const char *heading) {
  if (lines->count == 0) return;
  puts(heading);
  for (size_t i = 0; i < lines->count; i++) printf("  %zu. %s\n", i + 1, lines->text[i]);
}

/* plan sold ID PLAN, plan add ID PLAN: the fewest moves that make the wall right again. */
static int change(const cli *command_line, const values *chosen, bool sold, const char *id, const char *path) {
  bc_plan *plan = NULL;
  bc_change *done = NULL;
  bc_context *context = command_line->context;
  bc_status status = bc_plan_open(&plan, context, path, NULL);
  if (status == BC_OK)
    status = sold ? bc_arrange_sold(&done, context, plan, id, NULL) : bc_arrange_add(&done, context, plan, id, NULL);
  if (status == BC_OK && chosen->output) status = bc_plan_write(context, plan, chosen->output);
  if (status == BC_OK) {
    print_lines(&done->steps, _("To do:"));
    print_lines(&done->restock, _("To restock:"));
  }
  const int code = status == BC_OK ? 0 : cli_fail(command_line, status);
  bc_change_free(done);
  bc_plan_free(plan);
  return code;
}

static int run(const cli *command_line, const void *from) {
  const char *const *words = command_line->files;
  const size_t count = command_line->file_count;
  if (count == 2 && strcmp(words[0], "check") == 0) return check(command_line, words[1]);
  if (count == 3 && strcmp(words[0], "sold") == 0) return change(command_line, from, true, words[1], words[2]);
  if (count == 3 && strcmp(words[0], "add") == 0) return change(command_line, from, false, words[1], words[2]);
  cli_complain(_("plan: say what to do with the plan, for example: backcloth plan check market.json"));
  return BC_BAD_USAGE;
}

const cli_command cli_command_plan = {
    .name = "plan",
    .arguments = "check PLAN | sold ID PLAN | add ID PLAN",
    .summary = N_("check a plan, or change it during the market"),
    .details = N_("Example: backcloth plan check market.json\n"
                  "check: what overlaps, hides, hangs too high or is missing; exit code 1 says that something must "
                  "change.\n"
                  "sold ID: the piece is sold; what to move so that the wall looks right again, and what to restock.\n"
                  "add ID: finds a place for a piece of the plan that has none."),
    .options = options,
    .option_count = sizeof options / sizeof options[0],
    .values_size = sizeof(values),
    .least_files = 1,
    .most_files = 3,
    .defaults = defaults,
    .run = run,
};
