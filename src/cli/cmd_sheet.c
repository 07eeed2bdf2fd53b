/* SPDX-License-Identifier: MIT */
/* backcloth sheet: the set-up sheet for whoever hangs the wall. */
#include "cli.h"

#include <backcloth/sentences.h>
#include <backcloth/sheet.h>
#include <stdlib.h>
#include <strings.h>

typedef struct values {
  const char *output, *language, *paper, *masks;
  bc_units units;
  const char *format;
} values;

static const cli_option options[] = {
    {"output", 'o', CLI_SHEET, offsetof(values, output), "SHEET.pdf",
     N_("the sheet: .pdf, or .png with its pages one below another")},
    CLI_FORMAT_OPTION(values, "pdf|png"),
    {"language", 0, CLI_TEXT, offsetof(values, language), "xx",
     N_("language of the sheet, for example es or ar; without it, yours")},
    {"paper", 0, CLI_TEXT, offsetof(values, paper), "a4|letter", N_("the paper; without it, a4")},
    CLI_MASKS_OPTION(values),
    CLI_UNITS_OPTION(values),
};

static void defaults(void *into) {
  *(values *)into = (values){.units = CLI_UNITS_OF_PLAN, .paper = "a4"};
}

/* A sheet without its code says so: whoever misses it should know that nothing is broken. */
static bc_status mention_code(bc_context *context, const bc_plan *plan) {
  char *text = NULL;
  const bc_status status = bc_setup_sheet_code_text(&text, context, plan);
  if (status == BC_OK && !text[0])
    cli_complain(_("This plan is too long for a QR code that a phone can read from paper, so the sheet has none."));
  free(text);
  return status;
}

static bc_status draw(const cli *command_line, const void *from, const bc_plan *plan, const cli_studies *studies,
                      bool *failing) {
  const values *chosen = from;
  bc_context *context = command_line->context;
  bc_loads *loads = NULL;
  bc_packing *packing = NULL;
  bc_setup_sheet_options how = bc_setup_sheet_options_default();
  how.units = cli_units_of(chosen->units, plan);
  how.paper = strcasecmp(chosen->paper, "letter") == 0 ? BC_PAPER_LETTER : BC_PAPER_A4;
  bc_status status = bc_loads_of(&loads, context, plan);
  if (status == BC_OK) status = bc_packing_of(&packing, context, plan);
  if (status == BC_OK)
    status =
        bc_setup_sheet(context, &(bc_setup_sheet_input){plan, studies->study, loads, packing}, &how, chosen->output);
  if (status == BC_OK) status = mention_code(context, plan);
  *failing = status == BC_OK && (loads->overloaded || loads->uncertain);
  if (*failing) cli_complain("%s", packing->warning);
  bc_packing_free(packing);
  bc_loads_free(loads);
  return status;
}

static int run(const cli *command_line, const void *from) {
  const values *chosen = from;
  if (!chosen->output) {
    cli_complain(_("sheet: say where the sheet goes, for example -o sheet.pdf"));
    return BC_BAD_USAGE;
  }
  if (strcasecmp(chosen->paper, "a4") != 0 && strcasecmp(chosen->paper, "letter") != 0) {
    cli_complain(_("sheet: the paper is a4 or letter, not '%s'."), chosen->paper);
    return BC_BAD_USAGE;
  }
  if (chosen->language && !bc_language_use(chosen->language)) {
    cli_complain(_("sheet: there is no catalogue for the language '%s'. Try en."), chosen->language);
    return BC_BAD_USAGE;
  }
  bc_plan *plan = NULL;
  const bc_status status = cli_open_plan(&plan, command_line, command_line->files[0], NULL);
  if (status != BC_OK) return cli_fail(command_line, status);
  const int code = cli_draw_with_photos(command_line, chosen, plan, chosen->masks, draw);
  bc_plan_free(plan);
  return code;
}

const cli_command cli_command_sheet = {
    .name = "sheet",
    .arguments = "PLAN -o SHEET.pdf",
    .summary = N_("the set-up sheet: pictures and few words for whoever hangs the wall"),
    .details = N_(
        "Example: backcloth sheet plan.json -o sheet.pdf --language es\n"
        "Exit code 1 says that something on the wall does not hold or is not known to hold; the sheet is still made."),
    .options = options,
    .option_count = sizeof options / sizeof options[0],
    .values_size = sizeof(values),
    .least_files = 1,
    .most_files = 1,
    .opens_photos = true,
    .keeps = true,
    .defaults = defaults,
    .run = run,
};
