/* SPDX-License-Identifier: MIT */
/* backcloth feedback: a feedback sheet per maker and an index page. */
#include "cli.h"

#include "progress.h"
#include <backcloth/file.h>

#include <backcloth/feedback.h>
#include <backcloth/sentences.h>
#include <stdlib.h>
#include <strings.h>
#include <sys/stat.h>
#include <unistd.h>

typedef struct values {
  const char *output, *cloths, *cache, *language, *paper;
  int jobs;
  bc_units units;
  bool json;
} values;

static const cli_option options[] = {
    {"output", 'o', CLI_FOLDER, offsetof(values, output), "OUT",
     N_("the folder for the sheets, the index page and makers.csv")},
    {"cloths", 0, CLI_CLOTHS, offsetof(values, cloths), "FILE.json",
     N_("candidate cloths for makers without a cloths.json of their own; without it, colours are searched for")},
    {"jobs", 0, CLI_COUNT, offsetof(values, jobs), "N", N_("so many processes at once; without it, one a core")},
    {"language", 0, CLI_TEXT, offsetof(values, language), "xx[,yy]",
     N_("language of the sheets, or two side by side; without it, yours")},
    {"paper", 0, CLI_TEXT, offsetof(values, paper), "a4|letter", N_("the paper; without it, a4")},
    {"cache", 0, CLI_CACHE, offsetof(values, cache), "FOLDER",
     N_("the folder in which readings are kept from run to run; without it, your own cache folder")},
    CLI_UNITS_OPTION(values),
    {"json", 0, CLI_FLAG, offsetof(values, json), NULL, N_("figures for programs: one JSON object per line and maker")},
};

static void defaults(void *into) {
  *(values *)into = (values){.units = BC_UNITS_METRIC, .paper = "a4"};
}

static void print_line(void *data, const char *json) {
  (void)data;
  char *line = bc_copy_text(json);
  if (line) cli_print_and_free(line, CLI_JSON);
}

static void complain(void *data, const char *sentence) {
  (void)data;
  cli_complain("%s", sentence);
}

static void show_progress(void *data, const bc_feedback_progress *p) {
  (void)data;
  char words[200];
  const char *format = p->seconds_left >= 60  ? _("photos %zu of %zu, makers %zu of %zu, about %.0f min left")
                       : p->seconds_left >= 0 ? _("photos %zu of %zu, makers %zu of %zu, about %.0f s left")
                                              : _("photos %zu of %zu, makers %zu of %zu");
  snprintf(words, sizeof words, format, p->photos_done, p->photos, p->makers_done, p->makers,
           p->seconds_left >= 60 ? p->seconds_left / 60 : p->seconds_left);
  const double of = (double)(p->photos + p->makers);
  progress_line(of > 0 ? (double)(p->photos_done + p->makers_done) / of : -1, words);
}

static void tell(const values *chosen, const bc_feedback_result *result) {
  cli_print(bc_text_plural("%zu sheet made, %zu unchanged, %zu not possible.\n",
                           "%zu sheets made, %zu unchanged, %zu not possible.\n", result->written),
            result->written, result->unchanged, result->failed);
  cli_print(bc_text_plural("%zu photo: %zu read now, %zu could not be read.\n",
                           "%zu photos: %zu read now, %zu could not be read.\n", result->photos),
            result->photos, result->photos_read, result->not_read);
  char *shown = bc_path_shown(chosen->output);
  if (shown) cli_print(_("Open %s/index.html\n"), shown);
  free(shown);
}

/* Another store than the user's own, for this run. */
static int open_named_store(bc_store **out, const cli *command_line, const char *folder) {
  struct stat about;
  *out = NULL;
  if (!folder) return 0;
  if (stat(folder, &about) == 0 && !S_ISDIR(about.st_mode)) {
    cli_complain(_("%s: --cache names a folder, in which readings are kept; this is a file of an earlier version, or "
                   "something else. Choose another name, or leave --cache out."),
                 folder);
    return BC_BAD_USAGE;
  }
  const bc_status status = bc_store_open(out, command_line->context, folder, 0);
  if (status != BC_OK) return cli_fail(command_line, status);
  bc_context_use_store(command_line->context, *out);
  return 0;
}

static int run(const cli *command_line, const void *from) {
  const values *chosen = from;
  if (!chosen->output) {
    cli_complain(_("feedback: say where the sheets go, for example -o sheets"));
    return BC_BAD_USAGE;
  }
  if (chosen->cache && command_line->no_store) {
    cli_complain(_("feedback: --cache says where to keep readings, --no-store to keep none; leave one of them out."));
    return BC_BAD_USAGE;
  }
  if (strcasecmp(chosen->paper, "a4") != 0 && strcasecmp(chosen->paper, "letter") != 0) {
    cli_complain(_("feedback: the paper is a4 or letter, not '%s'."), chosen->paper);
    return BC_BAD_USAGE;
  }
  bc_feedback_options how = bc_feedback_options_default();
  how.output = chosen->output;
  how.cloths = chosen->cloths;
  how.language = chosen->language;
  how.units = chosen->units;
  how.paper = strcasecmp(chosen->paper, "letter") == 0 ? BC_PAPER_LETTER : BC_PAPER_A4;
  how.jobs = chosen->jobs;
  how.line = chosen->json ? print_line : NULL;
  how.progress = show_progress;
  how.complain = complain;
  bc_feedback_result result;
  bc_store *named = NULL;
  const int wrong = open_named_store(&named, command_line, chosen->cache);
  if (wrong) return wrong;
  const bc_status status =
      bc_feedback_run(&result, command_line->context, command_line->files, command_line->file_count, &how);
  bc_context_use_store(command_line->context, cli_store());
  bc_store_close(named);
  progress_end();
  if (status != BC_OK) return cli_fail(command_line, status);
  if (!chosen->json) tell(chosen, &result);
  return (int)result.first_failure;
}

const cli_command cli_command_feedback = {
    .name = "feedback",
    .arguments = "FOLDER... -o OUT",
    .summary = N_("for a mentor: a feedback sheet for each maker's folder, and an index over all"),
    .details =
        N_("Example: backcloth feedback makers/* -o sheets --cloths cloths.json\n"
           "A folder holds a maker's photos and, if there are any, plan.json, cloths.json and notes.txt.\n"
           "A photo or plan that cannot be read is named, on the sheet too, and left out; the rest is still made.\n"
           "Run it again after something changed: only that is done again."),
    .options = options,
    .option_count = sizeof options / sizeof options[0],
    .values_size = sizeof(values),
    .least_files = 1,
    .most_files = (size_t)-1,
    .opens_photos = true,
    .keeps = true,
    .counts_itself = true,
    .defaults = defaults,
    .run = run,
};
