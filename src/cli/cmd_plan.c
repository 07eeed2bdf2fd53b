/* SPDX-License-Identifier: MIT */
/* backcloth plan: what is wrong in a plan, in sentences. */
#include "cli.h"

#include "base/base.h"

#include <string.h>

typedef struct values {
  bool unused;
} values;

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
  bc_status status = bc_plan_open(&plan, command_line->context, path, NULL);
  if (status == BC_OK) status = bc_plan_check(&findings, command_line->context, plan);
  const int code = status == BC_OK ? tell(&findings) : cli_fail(command_line, status);
  bc_plan_findings_clear(&findings);
  bc_plan_free(plan);
  return code;
}

static int run(const cli *command_line, const void *from) {
  (void)from;
  if (command_line->file_count == 2 && strcmp(command_line->files[0], "check") == 0)
    return check(command_line, command_line->files[1]);
  cli_complain(_("plan: say what to do with the plan, for example: backcloth plan check market.json"));
  return BC_BAD_USAGE;
}

const cli_command cli_command_plan = {
    .name = "plan",
    .arguments = "check PLAN",
    .summary = N_("check a plan: what overlaps, hides, hangs too high or is missing"),
    .details = N_("Example: backcloth plan check market.json\nExit code 1 says that something must change."),
    .options = NULL,
    .option_count = 0,
    .values_size = sizeof(values),
    .least_files = 1,
    .most_files = 2,
    .defaults = defaults,
    .run = run,
};
