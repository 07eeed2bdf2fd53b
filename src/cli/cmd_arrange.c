/* SPDX-License-Identifier: MIT */
/* backcloth arrange: places what a plan leaves unplaced. */
#include "cli.h"

#include <backcloth/file.h>
#include <backcloth/sentences.h>
#include <stdlib.h>
#include <string.h>

typedef struct values {
  const char *output;
  const char *style;
  int seed;
  bool afresh;
  bool json;
  bool groups;
  const char *group_by;
  bc_units units;
} values;

static const cli_option options[] = {
    {"output", 'o', CLI_PLAN, offsetof(values, output), "PLAN2.json", N_("the plan with every piece in its place")},
    {"style", 0, CLI_TEXT, offsetof(values, style), "STYLE",
     N_("'centred group', 'level rows' or 'satellites'; without it, the best of the three")},
    {"afresh", 0, CLI_FLAG, offsetof(values, afresh), NULL, N_("move all pieces but the pinned ones")},
    {"seed", 0, CLI_COUNT, offsetof(values, seed), "N", N_("another number tries other ways; the same gives the same")},
    {"groups", 0, CLI_FLAG, offsetof(values, groups), NULL,
     N_("only propose groups: by colour, size, mount, function, material and technique")},
    {"group-by", 0, CLI_TEXT, offsetof(values, group_by), "WHAT",
     N_("keep together what --groups proposes by 'colour', 'size', 'mount', 'function', 'material' or 'technique'")},
    CLI_UNITS_OPTION(values),
    CLI_JSON_OPTION(values),
};

static const cli_rule rules[] = {{"groups", CLI_NOT_WITH, "output style afresh seed group-by"},
                                 {NULL, CLI_NEEDS, NULL}};

static void defaults(void *into) {
  *(values *)into = (values){.seed = 1, .units = CLI_UNITS_OF_PLAN};
}

/* The arrangement asked for, the best one, or NULL after saying which there are. */
static const bc_arrangement *choose(const bc_arrangements *all, const char *style) {
  if (!style) return all->arrangement[0];
  for (int i = 0; i < BC_ARRANGE_STYLES; i++)
    if (strcmp(bc_arrange_style_word((bc_arrange_style)i), style) == 0) return all->arrangement[all->of_style[i]];
  cli_complain(_("arrange: there is no arrangement '%s' of this plan. There are:"), style);
  for (int i = 0; i < BC_ARRANGE_STYLES; i++) cli_tell("  %s\n", bc_arrange_style_word((bc_arrange_style)i));
  return NULL;
}

static bc_status write_plan(const cli *command_line, bc_plan *plan, const bc_arrangement *chosen, const char *path) {
  const bc_status status = bc_arrange_apply(plan, command_line->context, chosen);
  return status == BC_OK ? bc_plan_write(command_line->context, plan, path) : status;
}

/* Which of the three went into the file, and how to have another. */
static void tell_saved(const bc_arrangement *saved, const char *path) {
  char *shown = bc_path_shown(path);
  if (shown)
    cli_tell(
        _("%s now has this arrangement: %s. For another: --style 'centred group', 'level rows' or 'satellites'.\n"),
        shown, bc_arrange_style_text(saved->style));
  free(shown);
}

static bc_status tell(const cli *command_line, const values *chosen, const bc_plan *plan, const bc_arrangements *all) {
  char *text = NULL;
  const bc_status status = chosen->json ? bc_arrange_to_json(&text, command_line->context, plan, all)
                                        : bc_arrange_to_words(&text, command_line->context, plan, all);
  if (status != BC_OK) return status;
  cli_print_and_free(text, chosen->json ? CLI_JSON : CLI_WORDS);
  return BC_OK;
}

static int arrange(const cli *command_line, const values *chosen, bc_plan *plan, bc_units own) {
  bc_arrange_options how = bc_arrange_options_default();
  how.seed = (uint64_t)chosen->seed;
  how.keep = chosen->afresh ? BC_ARRANGE_KEEP_PINNED : BC_ARRANGE_KEEP_PLACED;
  bc_arrangements *all = NULL;
  bc_status status = bc_arrange(&all, command_line->context, plan, &how);
  if (status != BC_OK) return cli_fail(command_line, status);
  int code = BC_BAD_USAGE;
  const bc_arrangement *best = choose(all, chosen->style);
  if (best) {
    status = tell(command_line, chosen, plan, all);
    if (status == BC_OK && chosen->output) {
      plan->units = own;
      status = write_plan(command_line, plan, best, chosen->output);
      if (status == BC_OK) tell_saved(best, chosen->output);
    }
    code = status != BC_OK ? cli_fail(command_line, status) : best->left_off > 0;
  }
  bc_arrangements_free(all);
  return code;
}

/* Which proposal is asked for; -1 after saying which there are. */
static int grouping_called(const char *word) {
  for (int by = 0; by < BC_GROUPINGS; by++)
    if (strcmp(bc_group_by_word((bc_group_by)by), word) == 0) return by;
  cli_complain(_("arrange: pieces cannot be grouped by '%s'. Choose one of: colour, size, mount, function, material, "
                 "technique."),
               word);
  return -1;
}

/* Colours come from the photos, so these are read only when groups by colour are wanted. */
static bc_status propose(const cli *command_line, const bc_plan *plan, bool colours, bc_grouping out[BC_GROUPINGS]) {
  if (!colours) return bc_arrange_groupings(out, command_line->context, plan, NULL);
  const char **paths = bc_allocate(plan->piece_count, sizeof *paths);
  const bc_reading **readings = bc_allocate(plan->piece_count, sizeof *readings);
  cli_studies studies = {0};
  bc_status status = BC_OUR_FAULT;
  for (size_t i = 0; paths && i < plan->piece_count; i++) paths[i] = plan->pieces[i].photo;
  if (paths && readings && cli_studies_open(&studies, paths, plan->piece_count, NULL, NULL)) {
    for (size_t i = 0; i < studies.count; i++) readings[i] = studies.study[i] ? studies.study[i]->reading : NULL;
    status = bc_arrange_groupings(out, command_line->context, plan, readings);
  } else {
    bc_fail_memory(command_line->context);
  }
  cli_studies_clear(&studies);
  free(paths);
  free(readings);
  return status;
}

static int tell_groups(const cli *command_line, const values *chosen, const bc_plan *plan) {
  bc_grouping proposals[BC_GROUPINGS] = {0};
  char *text = NULL;
  bc_status status = propose(command_line, plan, true, proposals);
  if (status == BC_OK)
    status = chosen->json ? bc_groupings_to_json(&text, command_line->context, plan, proposals)
                          : bc_groupings_to_words(&text, command_line->context, plan, proposals);
  if (status == BC_OK) cli_print_and_free(text, chosen->json ? CLI_JSON : CLI_WORDS);
  bc_groupings_clear(proposals);
  return status == BC_OK ? 0 : cli_fail(command_line, status);
}

static int group(const cli *command_line, const char *word, bc_plan *plan) {
  const int by = grouping_called(word);
  if (by < 0) return BC_BAD_USAGE;
  bc_grouping proposals[BC_GROUPINGS] = {0};
  bc_status status = propose(command_line, plan, by == BC_GROUP_BY_COLOUR, proposals);
  if (status == BC_OK) status = bc_arrange_apply_grouping(plan, command_line->context, &proposals[by]);
  if (status == BC_OK && proposals[by].text) cli_tell("%s\n", proposals[by].text);
  bc_groupings_clear(proposals);
  return status == BC_OK ? 0 : cli_fail(command_line, status);
}

static int run(const cli *command_line, const void *from) {
  const values *chosen = from;
  bc_plan *plan = NULL;
  const bc_status status = cli_open_plan(&plan, command_line, command_line->files[0], NULL);
  if (status != BC_OK) return cli_fail(command_line, status);
  int code = 0;
  const bc_units own = plan->units;
  plan->units = cli_units_of(chosen->units, plan); /* for the words; the file keeps its own */
  if (chosen->groups)
    code = tell_groups(command_line, chosen, plan);
  else if (chosen->group_by)
    code = group(command_line, chosen->group_by, plan);
  if (code == 0 && !chosen->groups) code = arrange(command_line, from, plan, own);
  bc_plan_free(plan);
  return code;
}

const cli_command cli_command_arrange = {
    .name = "arrange",
    .arguments = "PLAN",
    .summary = N_("find a place on the wall for every piece, in three ways to choose from"),
    .details =
        N_("Example: backcloth arrange plan.json -o arranged.json\n"
           "Pieces that have a place keep it, unless all have one: then all but the pinned ones are placed anew.\n"
           "Exit code 1 says that something had to be left off; the words say what, and why."),
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
