/* SPDX-License-Identifier: MIT */
/* backcloth look: a photo of a real wall, straightened, measured and judged. */
#include "cli.h"

#include <backcloth/sentences.h>
#include <math.h>
#include <stdlib.h>

typedef struct values {
  double wall_width, wall_height;
  const char *corners;
  cli_boxes box;
  const char *cloth, *output;
  bc_units units;
  bool json;
  const char *format;
} values;

static const cli_option options[] = {
    {"wall-width", 0, CLI_CM, offsetof(values, wall_width), "CM",
     N_("how wide the wall really is, for example 300 or \"9 ft 10 in\"; must be given")},
    {"wall-height", 0, CLI_CM, offsetof(values, wall_height), "CM",
     N_("how high it really is; without it, it is worked out from the photo")},
    {"corners", 0, CLI_TEXT, offsetof(values, corners), "X,Y,X,Y,X,Y,X,Y",
     N_("the wall's four corners, in pixels of the upright photo from its top left corner")},
    {"box", 0, CLI_BOXES, offsetof(values, box), "X,Y,W,H",
     N_("a box round a piece in the photo; may be repeated; without any the pieces are found")},
    {"cloth", 0, CLI_SPEC, offsetof(values, cloth), "SPEC", N_("a cloth to put behind the pieces, as for match")},
    {"output", 'o', CLI_PICTURE, offsetof(values, output), "FILE",
     N_("also draw the straightened wall with all that was found; by the suffix .png, .pdf or .svg")},
    CLI_FORMAT_OPTION(values, "png|pdf|svg"),
    CLI_UNITS_OPTION(values),
    CLI_JSON_OPTION(values),
};

static void defaults(void *into) {
  *(values *)into = (values){0};
}

/* Exactly eight numbers between commas. */
static bool read_corners(const char *text, bc_look_point corner[BC_LOOK_CORNERS]) {
  double number[2 * BC_LOOK_CORNERS];
  for (int i = 0; i < 2 * BC_LOOK_CORNERS; i++) {
    char *end = NULL;
    number[i] = strtod(text, &end);
    if (end == text || !isfinite(number[i]) || *end != (i + 1 < 2 * BC_LOOK_CORNERS ? ',' : '\0')) return false;
    text = end + 1;
  }
  for (size_t i = 0; i < BC_LOOK_CORNERS; i++) corner[i] = (bc_look_point){number[2 * i], number[2 * i + 1]};
  return true;
}

static int look_options(bc_look_options *out, const values *chosen) {
  *out = bc_look_options_default();
  if (!(chosen->wall_width > 0)) {
    cli_complain(_("look needs the wall's width: --wall-width 300 (cm) or --wall-width \"9 ft 10 in\"."));
    return BC_BAD_USAGE;
  }
  out->width_cm = chosen->wall_width;
  out->height_cm = chosen->wall_height;
  out->boxes = chosen->box.box;
  out->box_count = chosen->box.count;
  out->has_corners = chosen->corners != NULL;
  if (!chosen->corners || read_corners(chosen->corners, out->corner)) return 0;
  cli_complain(_("--corners %s is not understood. Write four points: X,Y,X,Y,X,Y,X,Y in pixels."), chosen->corners);
  return BC_BAD_USAGE;
}

static int tell(const cli *command_line, const values *chosen, const bc_look *look) {
  char *text = NULL;
  const bc_status status = chosen->json ? bc_look_to_json(&text, command_line->context, look)
                                        : bc_look_to_words(&text, command_line->context, look, chosen->units);
  if (status != BC_OK) return cli_fail(command_line, status);
  cli_print_and_free(text, chosen->json ? CLI_JSON : CLI_WORDS);
  return 0;
}

/* The guess goes to programs, too; the sentence has said what to do with it. */
static void tell_guess(const cli *command_line, const bc_look_outline *guess) {
  char *text = NULL;
  if (bc_look_guess_to_json(&text, command_line->context, command_line->files[0], guess) == BC_OK)
    cli_print_and_free(text, CLI_JSON);
}

static int run(const cli *command_line, const void *from) {
  const values *const chosen = from;
  bc_look_options how;
  const int wrong = look_options(&how, chosen);
  if (wrong) return wrong;
  bc_cloth *cloth = NULL;
  bc_look *look = NULL;
  bc_status status = BC_OK;
  if (chosen->json && !chosen->output && cli_given(command_line, "units"))
    status = bc_fail(command_line->context, BC_BAD_USAGE,
                     _("look: --units is for words and pictures; the figures of --json are always metric."));
  if (status == BC_OK && chosen->cloth) status = bc_cloth_parse(&cloth, command_line->context, chosen->cloth, NULL);
  bc_look_outline guess = {.confidence = -1};
  how.cloth = cloth;
  how.guess = &guess;
  if (status == BC_OK) status = bc_look_open(&look, command_line->context, command_line->files[0], &how);
  if (status == BC_OK && chosen->output)
    status = bc_drawing_look(command_line->context, look, chosen->units, chosen->output);
  const int code = status == BC_OK ? tell(command_line, chosen, look) : cli_fail(command_line, status);
  if (chosen->json && guess.confidence >= 0) tell_guess(command_line, &guess);
  bc_look_free(look);
  bc_cloth_free(cloth);
  return code;
}

const cli_command cli_command_look = {
    .name = "look",
    .arguments = "PHOTO",
    .summary = N_("a photo of a real wall: its pieces to scale, and how each stands out there"),
    .details = N_("Example: backcloth look stand.jpg --wall-width 300 --cloth '#1f2430' -o look.png\n"
                  "The wall's corners are found where they show clearly; otherwise give them with --corners."),
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
