/* SPDX-License-Identifier: MIT */
/* backcloth read: a reading per photo. */
#include "cli.h"

#include <backcloth/file.h>
#include <backcloth/sentences.h>
#include <stdlib.h>
#include <string.h>

typedef struct values {
  cli_study_values study;
  const char *mask_out;
  const char *masks;
  bool json, stored;
} values;

static const cli_option options[] = {
    CLI_STUDY_OPTIONS(values),
    CLI_MASKS_OPTION(values),
    {"mask-out", 0, CLI_MASK, offsetof(values, mask_out), "FILE.png",
     N_("also write the cut-out as a black-and-white picture of the photo's size; with --split FILE-1.png, "
        "FILE-2.png ...")},
    {"json", 0, CLI_FLAG, offsetof(values, json), NULL, N_("figures for programs: one JSON object per line")},
    {"stored", 0, CLI_FLAG, offsetof(values, stored), NULL,
     N_("the same with all that match --readings needs, so that the photo itself need not travel")},
};

static const cli_rule rules[] = {{"mask", CLI_NOT_WITH, "box keep drop guess masks"},
                                 {"masks", CLI_NOT_WITH, "box keep drop"},
                                 {"white", CLI_NOT_WITH, "as-shot"},
                                 {"white-is", CLI_NOT_WITH, "as-shot"},
                                 {NULL, CLI_NEEDS, NULL}};

static void defaults(void *into) {
  *(values *)into = (values){0};
}

static int print_reading(const cli *command_line, const bc_reading *reading, const values *chosen) {
  char *text = NULL;
  const bc_status status = chosen->stored ? bc_reading_to_stored_json(&text, command_line->context, reading)
                           : chosen->json ? bc_reading_to_json(&text, command_line->context, reading)
                                          : bc_reading_to_words(&text, command_line->context, reading);
  if (status != BC_OK) return cli_fail(command_line, status);
  cli_print_and_free(text, chosen->json || chosen->stored ? CLI_JSON : CLI_WORDS);
  return 0;
}

static int write_mask(const cli *command_line, const cli_studies *studies, size_t i, const char *path) {
  bc_study *study = studies->study[i];
  char *numbered = cli_mask_path(path, i + 1, studies->count);
  bc_status status =
      numbered ? bc_study_load_mask(study, command_line->context) : bc_fail_memory(command_line->context);
  if (status == BC_OK) status = bc_cutout_write_png(study->cutout, command_line->context, study->image, numbered);
  free(numbered);
  return status == BC_OK ? 0 : cli_fail(command_line, status);
}

static bool has_note(const bc_study *study, const char *note) {
  for (size_t i = 0; study && i < study->reading->notes.count; i++)
    if (strcmp(study->reading->notes.text[i], note) == 0) return true;
  return false;
}

/* True when an earlier photo has the same note, which has then been said. */
static bool said_before(const cli_studies *studies, size_t photo, const char *note) {
  for (size_t i = 0; i < photo; i++)
    if (has_note(studies->study[i], note)) return true;
  return false;
}

/* "- banner, cuff: sentence", or "- all: sentence": each note once, however many photos it is about. */
static void print_note(const cli_studies *studies, size_t first, const char *note) {
  size_t about = 0, read = 0;
  for (size_t i = 0; i < studies->count; i++) {
    read += studies->study[i] != NULL;
    about += has_note(studies->study[i], note);
  }
  bc_buffer line = {0};
  bc_buffer_add(&line, "- ");
  if (about == read && read > 1) bc_buffer_add(&line, _("all: %s\n"), note);
  for (size_t i = first, k = 0; i < studies->count && !(about == read && read > 1); i++) {
    if (!has_note(studies->study[i], note)) continue;
    char *title = bc_path_title(studies->study[i]->reading->photo);
    bc_buffer_add(&line, "%s%s", k++ ? ", " : "", title ? title : "");
    line.failed |= !title;
    free(title);
    if (k == about) bc_buffer_add(&line, ": %s\n", note);
  }
  if (line.text && !line.failed) cli_print("%s", line.text);
  bc_buffer_clear(&line);
}

static void print_notes(const cli_studies *studies) {
  bool heading = false;
  for (size_t i = 0; i < studies->count; i++)
    for (size_t n = 0; studies->study[i] && n < studies->study[i]->reading->notes.count; n++) {
      const char *note = studies->study[i]->reading->notes.text[n];
      if (said_before(studies, i, note)) continue;
      if (!heading) cli_print("%s\n", _("\nWorth knowing"));
      heading = true;
      print_note(studies, i, note);
    }
}

static int report(const cli *command_line, const values *chosen, const cli_studies *studies) {
  int code = studies->exit_code;
  for (size_t i = 0; i < studies->count; i++) {
    if (!studies->study[i]) continue;
    const int printed = print_reading(command_line, studies->study[i]->reading, chosen);
    const int masked = chosen->mask_out ? write_mask(command_line, studies, i, chosen->mask_out) : 0;
    if (code == 0) code = printed ? printed : masked;
  }
  if (!chosen->json && !chosen->stored) print_notes(studies);
  return code;
}

static int run(const cli *command_line, const void *from) {
  const values *chosen = from;
  bc_study_options study;
  if (chosen->mask_out && command_line->file_count != 1) {
    cli_complain(_("--mask-out writes one mask; name one photo at a time with it."));
    return BC_BAD_USAGE;
  }
  const int wrong = cli_study_options(command_line, &study, &chosen->study, command_line->file_count);
  if (wrong) return wrong;
  cli_studies studies;
  const bool room = cli_studies_open(&studies, command_line->files, command_line->file_count, &study, chosen->masks);
  cli_study_options_clear(&study);
  if (!room) return cli_fail(command_line, bc_fail_memory(command_line->context));
  const int code = report(command_line, chosen, &studies);
  cli_studies_clear(&studies);
  return code;
}

const cli_command cli_command_read = {
    .name = "read",
    .arguments = "PHOTO...",
    .summary = N_("what a photo says about a piece: its colours, lightness and outline"),
    .details = N_("Example: backcloth read basket.jpg --mask-out basket-mask.png\n"
                  "A photo that cannot be read is named and skipped; the others are still read."),
    .options = options,
    .option_count = sizeof options / sizeof options[0],
    .rules = rules,
    .values_size = sizeof(values),
    .least_files = 1,
    .most_files = (size_t)-1,
    .opens_photos = true,
    .keeps = true,
    .defaults = defaults,
    .run = run,
};
