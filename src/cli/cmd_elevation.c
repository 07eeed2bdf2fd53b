/* SPDX-License-Identifier: MIT */
/* backcloth elevation: the wall to scale. */
#include "cli.h"

#include <backcloth/file.h>
#include <backcloth/sentences.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

typedef struct values {
  const char *output;
  double scale;
  double pixels_per_cm;
  const char *masks;
  const char *view;
  const char *paper;
  int crowd; /* -1: the plan's */
  bool bare, json;
  bc_units units;
  const char *format;
} values;

static const cli_option options[] = {
    {"output", 'o', CLI_PICTURE, offsetof(values, output), "WALL.png", N_("the drawing: .png, .pdf or .svg")},
    CLI_FORMAT_OPTION(values, "png|pdf|svg"),
    {"scale", 0, CLI_SCALE, offsetof(values, scale), "1:20",
     N_("scale of a .pdf or .svg; without it, the largest that fits")},
    {"paper", 0, CLI_TEXT, offsetof(values, paper), "a4|a3|letter|tabloid",
     N_("the paper; without it, the smallest of A4, A3 … that shows the wall well")},
    {"pixels-per-cm", 0, CLI_NUMBER, offsetof(values, pixels_per_cm), "N", N_("pixels of a .png for each cm of wall")},
    {"view", 0, CLI_TEXT, offsetof(values, view), "front|aisle",
     N_("straight from the front and to scale, or as a visitor in the aisle sees it")},
    {"crowd", 0, CLI_COUNT, offsetof(values, crowd), "N",
     N_("with --view aisle: so many people stand in the stand, 0 to 6; without it, as the plan says")},
    {"bare", 0, CLI_FLAG, offsetof(values, bare), NULL,
     N_("two pictures side by side: the bare wall, and the wall with its cloth")},
    {"json", 0, CLI_FLAG, offsetof(values, json), NULL,
     N_("how much of each piece visitors see past 0 to 6 people, as one JSON object; -o may be left out")},
    CLI_MASKS_OPTION(values),
    CLI_UNITS_OPTION(values),
};

static const cli_rule rules[] = {{"bare", CLI_NOT_WITH, "scale paper"},
                                 {"format", CLI_NEEDS, "output"},
                                 {"scale", CLI_NEEDS, "output"},
                                 {"paper", CLI_NEEDS, "output"},
                                 {"pixels-per-cm", CLI_NEEDS, "output"},
                                 {"view", CLI_NEEDS, "output"},
                                 {"crowd", CLI_NEEDS, "output"},
                                 {"bare", CLI_NEEDS, "output"},
                                 {"masks", CLI_NEEDS, "output"},
                                 {"units", CLI_NEEDS, "output"},
                                 {NULL, CLI_NEEDS, NULL}};

static void defaults(void *into) {
  const bc_elevation_options usual = bc_elevation_options_default();
  *(values *)into = (values){.scale = usual.scale,
                             .pixels_per_cm = usual.pixels_per_cm,
                             .units = CLI_UNITS_OF_PLAN,
                             .view = "front",
                             .crowd = -1};
}

static bool paper_of(const char *name, bc_sheet *out) {
  static const struct {
    const char *name;
    bc_sheet sheet;
  } papers[] = {{"a4", BC_SHEET_A4}, {"a3", BC_SHEET_A3}, {"letter", BC_SHEET_LETTER}, {"tabloid", BC_SHEET_TABLOID}};
  *out = BC_SHEET_FITTING;
  if (!name) return true;
  for (size_t i = 0; i < sizeof papers / sizeof papers[0]; i++) {
    if (strcasecmp(name, papers[i].name) != 0) continue;
    *out = papers[i].sheet;
    return true;
  }
  cli_complain(_("elevation: --paper is a4, a3, letter or tabloid, not '%s'"), name);
  return false;
}

static bool has_serious(const bc_plan_findings *findings) {
  bool serious = false;
  for (size_t i = 0; i < findings->count; i++) {
    if (!findings->finding[i].serious) continue;
    serious = true;
    cli_complain("%s", findings->finding[i].text);
  }
  return serious;
}

/* Why the exit code is 1, beside what the plan's check says. */
static bc_status say_what_fails(const cli *command_line, const bc_loads *loads, const bc_plan *plan) {
  char *warning = NULL;
  const bc_status status = bc_loads_warning(&warning, command_line->context, loads, plan, 12);
  if (status == BC_OK && warning[0]) cli_complain("%s", warning);
  free(warning);
  return status;
}

static bc_status draw_aisle(const cli *command_line, const bc_plan *plan, const cli_studies *studies,
                            const values *chosen, const bc_elevation_options *how) {
  bc_aisle_options people = bc_aisle_options_default();
  people.crowd = chosen->crowd >= 0 ? chosen->crowd : plan->viewers.crowd;
  bc_aisle *figures = NULL;
  char *words = NULL;
  bc_status status = bc_aisle_of(&figures, command_line->context, plan, &people);
  if (status == BC_OK)
    status = bc_drawing_aisle(command_line->context, plan, studies->study, &(bc_aisle_company){&people, figures}, how,
                              chosen->output);
  if (status == BC_OK && !chosen->json) status = bc_aisle_to_words(&words, command_line->context, plan, figures);
  if (status == BC_OK && words) cli_print_and_free(words, CLI_WORDS);
  bc_aisle_free(figures);
  return status;
}

static bc_status draw(const cli *command_line, const void *from, const bc_plan *plan, const cli_studies *studies,
                      bool *failing) {
  const values *chosen = from;
  bc_loads *loads = NULL;
  bc_plan_findings findings = {0};
  bc_status status = bc_plan_check(&findings, command_line->context, plan);
  if (status == BC_OK) status = bc_loads_of(&loads, command_line->context, plan);
  bc_elevation_options how = bc_elevation_options_default();
  how.scale = chosen->scale;
  how.pixels_per_cm = chosen->pixels_per_cm;
  how.units = cli_units_of(chosen->units, plan);
  bc_notes told = {0};
  how.told = &told;
  paper_of(chosen->paper, &how.sheet); /* looked at before */
  if (status == BC_OK && strcmp(chosen->view, "aisle") == 0)
    status = draw_aisle(command_line, plan, studies, chosen, &how);
  else if (status == BC_OK && chosen->bare)
    status = bc_drawing_before_after(command_line->context, plan, studies->study, &how, chosen->output);
  else if (status == BC_OK)
    status = bc_drawing_elevation(command_line->context, plan, studies->study, loads, &how, chosen->output);
  for (size_t i = 0; status == BC_OK && i < told.count; i++) cli_complain("%s", told.text[i]);
  bc_notes_clear(&told);
  if (status == BC_OK) *failing = has_serious(&findings) || loads->overloaded || loads->uncertain;
  if (status == BC_OK) status = say_what_fails(command_line, loads, plan);
  bc_plan_findings_clear(&findings);
  bc_loads_free(loads);
  return status;
}

static bc_status print_json(const cli *command_line, const bc_plan *plan) {
  char *text = NULL;
  const bc_status status = bc_aisle_to_json(&text, command_line->context, plan, NULL);
  if (status == BC_OK) cli_print_and_free(text, CLI_JSON);
  return status;
}

/* A scale is of paper, pixels are of a picture; what is seen in perspective has no scale. */
static int check_size(const cli *command_line, const values *chosen) {
  const bool png = chosen->output && bc_path_has_suffix(chosen->output, "png");
  const bool scale = cli_given(command_line, "scale"), pixels = cli_given(command_line, "pixels-per-cm");
  if (scale && strcmp(chosen->view, "aisle") == 0)
    cli_complain(_("elevation: --view aisle shows the wall as an eye sees it, which has no scale; leave out --scale."));
  else if (scale && png)
    cli_complain(_("elevation: --scale is for a .pdf or .svg; a .png takes --pixels-per-cm."));
  else if (pixels && !png && chosen->output)
    cli_complain(_("elevation: --pixels-per-cm is for a .png; a .pdf or .svg takes --scale."));
  else
    return 0;
  return BC_BAD_USAGE;
}

static int run(const cli *command_line, const void *from) {
  const values *chosen = from;
  if (!chosen->output && !chosen->json) {
    cli_complain(_("elevation: say where the drawing goes, for example -o wall.png"));
    return BC_BAD_USAGE;
  }
  const bool aisle = strcmp(chosen->view, "aisle") == 0;
  if (!aisle && strcmp(chosen->view, "front") != 0) {
    cli_complain(_("elevation: --view is 'front' or 'aisle', not '%s'"), chosen->view);
    return BC_BAD_USAGE;
  }
  if (!aisle && chosen->crowd >= 0) {
    cli_complain(_("elevation: --crowd belongs to --view aisle"));
    return BC_BAD_USAGE;
  }
  if (check_size(command_line, chosen)) return BC_BAD_USAGE;
  bc_sheet sheet;
  if (!paper_of(chosen->paper, &sheet)) return BC_BAD_USAGE;
  if (aisle && chosen->bare) {
    cli_complain(_("elevation: --bare shows the wall from the front; leave out --view aisle"));
    return BC_BAD_USAGE;
  }
  bc_plan *plan = NULL;
  bc_status status = cli_open_plan(&plan, command_line, command_line->files[0], NULL);
  if (status == BC_OK && chosen->json) status = print_json(command_line, plan);
  if (status != BC_OK) {
    bc_plan_free(plan);
    return cli_fail(command_line, status);
  }
  const int code = chosen->output ? cli_draw_with_photos(command_line, chosen, plan, chosen->masks, draw) : 0;
  bc_plan_free(plan);
  return code;
}

const cli_command cli_command_elevation = {
    .name = "elevation",
    .arguments = "PLAN -o WALL.png",
    .summary = N_("the back wall drawn to scale, with heights, loads and a figure for size"),
    .details = N_("Example: backcloth elevation plan.json -o wall.pdf --scale 1:20\n"
                  "A piece whose photo cannot be read is drawn as an outline.\n"
                  "Exit code 1 says that something in the plan must change; the drawing is still made."),
    .options = options,
    .option_count = sizeof options / sizeof options[0],
    .rules = rules,
    .values_size = sizeof(values),
    .least_files = 1,
    .most_files = 1,
    .opens_photos = true,
    .keeps = true,
    .defaults = defaults,
    .run = run,
};
