/* SPDX-License-Identifier: MIT */
/* backcloth loads: the hanging-load notes of a plan. */
#include "cli.h"

#include <backcloth/sentences.h>
#include <stdlib.h>

typedef struct values {
  bc_units units;
  bool json, csv;
} values;

static const cli_option options[] = {
    CLI_UNITS_OPTION(values),
    CLI_JSON_OPTION(values),
    {"csv", 0, CLI_FLAG, offsetof(values, csv), NULL, N_("the figures for a spreadsheet")},
};

static const cli_rule rules[] = {
    {"json", CLI_NOT_WITH, "csv units"}, {"csv", CLI_NOT_WITH, "units"}, {NULL, CLI_NEEDS, NULL}};

static void defaults(void *into) {
  *(values *)into = (values){.units = CLI_UNITS_OF_PLAN};
}

static bc_status report(const cli *command_line, const values *chosen, const bc_loads *loads, const bc_plan *plan) {
  char *text = NULL;
  const bc_status status =
      chosen->json  ? bc_loads_to_json(&text, command_line->context, loads)
      : chosen->csv ? bc_loads_to_csv(&text, command_line->context, loads)
                    : bc_loads_to_words(&text, command_line->context, loads, plan, cli_units_of(chosen->units, plan));
  if (status != BC_OK) return status;
  cli_print_and_free(text, chosen->json ? CLI_JSON : chosen->csv ? CLI_CSV : CLI_WORDS);
  return BC_OK;
}

static int run(const cli *command_line, const void *from) {
  const values *chosen = from;
  bc_plan *plan = NULL;
  bc_loads *loads = NULL;
  bc_status status = cli_open_plan(&plan, command_line, command_line->files[0], NULL);
  if (status == BC_OK) status = bc_loads_of(&loads, command_line->context, plan);
  if (status == BC_OK) status = report(command_line, chosen, loads, plan);
  const int code = status != BC_OK ? cli_fail(command_line, status) : loads->overloaded || loads->uncertain ? 1 : 0;
  bc_loads_free(loads);
  bc_plan_free(plan);
  return code;
}

const cli_command cli_command_loads = {
    .name = "loads",
    .arguments = "PLAN",
    .summary = N_("the load on every hanging point, and whether it holds"),
    .details = N_("Example: backcloth loads plan.json\n"
                  "This is planning help. Local codes, the venue and a licensed person decide.\n"
                  "Exit code 1 says that something does not hold, or that nobody can know whether it does."),
    .options = options,
    .option_count = sizeof options / sizeof options[0],
    .rules = rules,
    .values_size = sizeof(values),
    .least_files = 1,
    .most_files = 1,
    .defaults = defaults,
    .run = run,
};
