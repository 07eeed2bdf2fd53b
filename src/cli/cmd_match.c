/* SPDX-License-Identifier: MIT */
/* backcloth match: ranks cloths for a collection of photos. */
#include "cli.h"

#include "base/base.h"

#include <stdlib.h>

typedef struct values {
  cli_study_values study;
  cli_texts cloth;
  const char *cloths;
  const char *output;
  bool json;
} values;

static const cli_option options[] = {
    {"cloth", 0, CLI_TEXTS, offsetof(values, cloth), "SPEC",
     N_("a candidate cloth: a CSS colour such as '#1f2430' or 'lab(30% 10 -20)', or photo:FILE; may be repeated")},
    {"cloths", 0, CLI_TEXT, offsetof(values, cloths), "FILE.json", N_("a file of candidate cloths with names")},
    {"output", 'o', CLI_TEXT, offsetof(values, output), "BOARD.png",
     N_("draw the match board: every piece on every cloth (.png, .pdf or .svg)")},
    CLI_STUDY_OPTIONS(values),
    {"json", 0, CLI_FLAG, offsetof(values, json), NULL, N_("figures for programs: one JSON object")},
};

static void defaults(void *into) {
  *(values *)into = (values){0};
}

/* The photos that could be read, without gaps, and what is ranked. */
typedef struct collection {
  bc_study **study;
  const bc_reading **reading;
  size_t count;
  bc_cloth_list cloths;
} collection;

static void collection_clear(collection *all) {
  free(all->study);
  free(all->reading);
  bc_cloths_clear(&all->cloths);
}

static bool gather(collection *all, const cli_studies *studies) {
  all->study = bc_allocate(studies->count, sizeof(bc_study *));
  all->reading = bc_allocate(studies->count, sizeof(bc_reading *));
  if (!all->study || !all->reading) return false;
  for (size_t i = 0; i < studies->count; i++) {
    if (!studies->study[i]) continue;
    all->study[all->count] = studies->study[i];
    all->reading[all->count++] = studies->study[i]->reading;
  }
  return true;
}

static bc_status add_cloth(bc_cloth_list *list, bc_context *context, const char *spec) {
  bc_cloth *cloth = NULL;
  const bc_status status = bc_cloth_parse(&cloth, context, spec, NULL);
  if (status != BC_OK) return status;
  bc_cloth **grown = bc_reallocate(list->cloth, list->count + 1, sizeof *grown);
  if (!grown) {
    bc_cloth_free(cloth);
    return bc_fail_memory(context);
  }
  list->cloth = grown;
  list->cloth[list->count++] = cloth;
  return BC_OK;
}

static bc_status gather_cloths(collection *all, bc_context *context, const values *chosen) {
  bc_status status = chosen->cloths ? bc_cloths_open(&all->cloths, context, chosen->cloths) : BC_OK;
  for (size_t i = 0; status == BC_OK && i < chosen->cloth.count; i++)
    status = add_cloth(&all->cloths, context, chosen->cloth.text[i]);
  return status;
}

static bc_status report(const cli *command_line, const values *chosen, const collection *all, const bc_match *match) {
  const bc_cloth *const *cloths = (const bc_cloth *const *)all->cloths.cloth;
  bc_status status = BC_OK;
  if (chosen->output) status = bc_drawing_board(command_line->context, match, all->study, cloths, chosen->output);
  char *text = NULL;
  if (status == BC_OK)
    status = chosen->json ? bc_match_to_json(&text, command_line->context, match, all->reading, cloths, "D50")
                          : bc_match_to_words(&text, command_line->context, match, all->reading, cloths);
  if (status != BC_OK) return status;
  fputs(text, stdout);
  if (chosen->json) putchar('\n');
  free(text);
  return BC_OK;
}

static bc_status rank_and_report(const cli *command_line, const values *chosen, collection *all) {
  bc_status status = gather_cloths(all, command_line->context, chosen);
  bc_match *match = NULL;
  if (status == BC_OK)
    status = bc_match_rank(&match, command_line->context, all->reading, all->count,
                           (const bc_cloth *const *)all->cloths.cloth, all->cloths.count);
  if (status == BC_OK) status = report(command_line, chosen, all, match);
  bc_match_free(match);
  return status;
}

static int run_on(const cli *command_line, const values *chosen, const cli_studies *studies) {
  collection all = {0};
  bc_status status;
  if (!gather(&all, studies))
    status = bc_fail_memory(command_line->context);
  else if (all.count == 0)
    return collection_clear(&all), studies->exit_code; /* each photo's own sentence has been said */
  else
    status = rank_and_report(command_line, chosen, &all);
  collection_clear(&all);
  return status == BC_OK ? studies->exit_code : cli_fail(command_line, status);
}

static int run(const cli *command_line, const void *from) {
  const values *chosen = from;
  if (chosen->cloth.count == 0 && !chosen->cloths) {
    cli_complain(_("match: name at least one cloth, for example --cloth '#1f2430'."));
    return BC_BAD_USAGE;
  }
  bc_study_options study;
  const int wrong = cli_study_options(command_line, &study, &chosen->study, command_line->file_count);
  if (wrong) return wrong;
  cli_studies studies;
  if (!cli_studies_open(&studies, command_line->files, command_line->file_count, &study))
    return cli_fail(command_line, bc_fail_memory(command_line->context));
  const int code = run_on(command_line, chosen, &studies);
  cli_studies_clear(&studies);
  return code;
}

const cli_command cli_command_match = {
    .name = "match",
    .arguments = "PHOTO...",
    .summary = N_("which cloth serves the whole collection, and what gets lost on which"),
    .details = N_("Example: backcloth match *.jpg --cloth '#1f2430' --cloth '#efe6d2' -o board.png\n"
                  "A photo that cannot be read is told and left out; the others are still matched."),
    .options = options,
    .option_count = sizeof options / sizeof options[0],
    .values_size = sizeof(values),
    .least_files = 1,
    .most_files = (size_t)-1,
    .defaults = defaults,
    .run = run,
};
