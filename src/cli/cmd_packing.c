/* SPDX-License-Identifier: MIT */
/* backcloth packing: what to cut, buy and bring for a plan. */
#include "cli.h"

#include <backcloth/packing.h>
#include <backcloth/program.h>
#include <backcloth/sentences.h>

#include <stdlib.h>

typedef struct values {
  bc_units units;
  bool json, csv;
} values;

static const cli_option options[] = {
    CLI_UNITS_OPTION(values),
    CLI_JSON_OPTION(values),
    {"csv", 0, CLI_FLAG, offsetof(values, csv), NULL, N_("the list for a spreadsheet")},
};

static const cli_rule rules[] = {
    {"json", CLI_NOT_WITH, "csv units"}, {"csv", CLI_NOT_WITH, "units"}, {NULL, CLI_NEEDS, NULL}};

static void defaults(void *into) {
  *(values *)into = (values){.units = CLI_UNITS_OF_PLAN};
}

static bc_status report(const cli *command_line, const values *chosen, const bc_plan *plan, const bc_packing *packing) {
  char *text = NULL;
  const bc_status status =
      chosen->json  ? bc_packing_to_json(&text, command_line->context, packing)
      : chosen->csv ? bc_packing_to_csv(&text, command_line->context, packing)
                    : bc_packing_to_words(&text, command_line->context, packing, cli_units_of(chosen->units, plan));
  if (status != BC_OK) return status;
  cli_print_and_free(text, chosen->json ? CLI_JSON : chosen->csv ? CLI_CSV : CLI_WORDS);
  return BC_OK;
}

static int run(const cli *command_line, const void *from) {
  const values *chosen = from;
  bc_plan *plan = NULL;
  bc_packing *packing = NULL;
  bc_status status = cli_open_plan(&plan, command_line, command_line->files[0], NULL);
  if (status == BC_OK) status = bc_packing_of(&packing, command_line->context, plan);
  if (status == BC_OK) status = report(command_line, chosen, plan, packing);
  const int code = status != BC_OK ? cli_fail(command_line, status)
                   : packing->too_heavy || packing->too_large || packing->holds != BC_HOLDS_YES ? 1
                                                                                                : 0;
  bc_packing_free(packing);
  bc_plan_free(plan);
  return code;
}

const cli_command cli_command_packing = {
    .name = "packing",
    .arguments = "PLAN",
    .summary = N_("what to cut, buy and bring, and the weight of each bag"),
    .details = N_("Example: backcloth packing plan.json\n"
                  "Hems, shrinkage, the width of the bolt and the bags' limit are in the plan under \"packing\".\n"
                  "Exit code 1 says that something is too heavy or too large for a bag, or that something on the wall "
                  "does not hold or is not known to hold."),
    .options = options,
    .option_count = sizeof options / sizeof options[0],
    .rules = rules,
    .values_size = sizeof(values),
    .least_files = 1,
    .most_files = 1,
    .defaults = defaults,
    .run = run,
};
