/* SPDX-License-Identifier: MIT */
/* backcloth match: ranks cloths for a collection of photos. */
#include "cli.h"
#include "match_collection.h"

#include <backcloth/sentences.h>
#include <stdlib.h>
#include <string.h>

#define PAIRS_TOLD 10 /* of wall cloth and table cloth */

typedef struct values {
  cli_study_values study;
  const char *plan, *readings;
  cli_texts cloth, table_cloth, see_through, polished;
  const char *cloths;
  const char *output;
  const char *compare, *landscape;
  const char *light;
  bool lights;
  double distance;
  cli_texts width;
  const char *statement;
  int suggest;
  const char *why;
  const char *masks;
  bool json;
  const char *format;
} values;

static const cli_option options[] = {
    {"plan", 0, CLI_FILE, offsetof(values, plan), "PLAN.json",
     N_("take photos, sizes, statement piece, tables and distance from a plan; its own cloth is matched, too")},
    {"readings", 0, CLI_FILE, offsetof(values, readings), "FILE",
     N_("readings made before by read --stored, one per line, in place of photos; - is standard input")},
    {"cloth", 0, CLI_SPECS, offsetof(values, cloth), "SPEC",
     N_("a candidate cloth: a CSS colour such as '#1f2430' or 'lab(30% 10 -20)', or photo:FILE; may be repeated")},
    {"table-cloth", 0, CLI_SPECS, offsetof(values, table_cloth), "SPEC",
     N_("a candidate for the table, chosen together with the wall's; needs --plan; may be repeated")},
    {"cloths", 0, CLI_CLOTHS, offsetof(values, cloths), "FILE.json", N_("a file of candidate cloths with names")},
    {"output", 'o', CLI_PICTURE, offsetof(values, output), "BOARD.png",
     N_("draw the match board: every piece on every cloth (.png, .pdf or .svg)")},
    CLI_FORMAT_OPTION(values, "png|pdf|svg"),
    {"compare", 0, CLI_PICTURE, offsetof(values, compare), "PAIR.png",
     N_("draw the first two cloths side by side, with the rim marked where it gets lost (.png, .pdf or .svg)")},
    {"landscape", 0, CLI_PICTURE, offsetof(values, landscape), "FILE.png",
     N_("draw which hues and lightnesses of cloth would serve, with yours marked (.png, .pdf or .svg)")},
    {"light", 0, CLI_TEXT, offsetof(values, light), "LIGHT",
     N_("the light at the stand: D50, D65, A, shade, warm-led, FL2, FL11 …; without it, daylight D50")},
    {"lights", 0, CLI_FLAG, offsetof(values, lights), NULL,
     N_("try every light and say where each cloth is at its worst")},
    {"distance", 0, CLI_NUMBER, offsetof(values, distance), "METRES",
     N_("how far away people stand; without it, the plan's, or 4")},
    {"width", 0, CLI_TEXTS, offsetof(values, width), "CM",
     N_("true width of a piece in cm, once for each photo in their order; needed to say from how far it is seen")},
    {"statement", 0, CLI_TEXT, offsetof(values, statement), "PHOTO",
     N_("which of the photos shows the statement piece")},
    {"see-through", 0, CLI_TEXTS, offsetof(values, see_through), "PHOTO[=PERCENT]",
     N_("this piece is clear glass or gauze: the cloth shows through it, by so much or as the photo shows; may be "
        "repeated")},
    {"polished", 0, CLI_TEXTS, offsetof(values, polished), "PHOTO[=PERCENT]",
     N_("this piece is polished metal or the like, of which so much mirrors (estimated from the photo if not said): "
        "judged for the room of the photo and for the stand; may be repeated")},
    {"suggest", 0, CLI_COUNT, offsetof(values, suggest), "N",
     N_("also search for the N best colours a cloth could have")},
    {"why", 0, CLI_TEXT, offsetof(values, why), "CLOTH",
     N_("each piece's figures on one cloth, named or 'best', and what would help most")},
    CLI_STUDY_OPTIONS(values),
    CLI_MASKS_OPTION(values),
    CLI_JSON_OPTION(values),
};

static const cli_rule rules[] = {{"mask", CLI_NOT_WITH, "box keep drop guess masks"},
                                 {"masks", CLI_NOT_WITH, "box keep drop"},
                                 {"white", CLI_NOT_WITH, "as-shot"},
                                 {"white-is", CLI_NOT_WITH, "as-shot"},
                                 {"light", CLI_NOT_WITH, "lights"},
                                 {NULL, CLI_NEEDS, NULL}};

static void defaults(void *into) {
  *(values *)into = (values){.distance = 0}; /* the plan's, or the usual one */
}

/* The place in rank order of the cloth called `name`; SIZE_MAX when there is none. */
static size_t find_cloth(const bc_match *match, const char *name) {
  if (strcmp(name, "best") == 0) return 0;
  for (size_t i = 0; i < match->cloth_count; i++) {
    const bc_cloth *cloth = match->collection->cloths.cloth[match->cloths[i].cloth];
    if (strcmp(cloth->name, name) == 0 || strcmp(cloth->spec, name) == 0) return i;
  }
  return SIZE_MAX;
}

static bc_status make_text(char **out, bc_context *context, const values *chosen, bc_match *match) {
  if (!chosen->why) return (chosen->json ? bc_match_to_json : bc_match_to_words)(out, context, match);
  const size_t position = find_cloth(match, chosen->why);
  if (position == SIZE_MAX)
    return bc_fail(context, BC_BAD_USAGE,
                   _("none of the cloths is called '%s'. Use its name, its colour as written, or "
                     "'best'."),
                   chosen->why);
  if (!chosen->json) return bc_match_why(out, context, match, position);
  const bc_status status = bc_match_explain(match, context, position);
  return status == BC_OK ? bc_match_to_json(out, context, match) : status;
}

/* The place in rank order of a cloth by its place in the list given. */
static size_t place_of_cloth(const bc_match *match, size_t cloth) {
  size_t i = 0;
  while (i < match->cloth_count && match->cloths[i].cloth != cloth) i++;
  return i;
}

static bc_status draw_landscape(bc_context *context, const bc_match *match, const char *path) {
  bc_landscape *landscape = NULL;
  bc_status status = bc_match_landscape(&landscape, context, match->collection);
  if (status == BC_OK) status = bc_drawing_landscape(context, match, landscape, path);
  free(landscape);
  return status;
}

static bc_status draw_pictures(bc_context *context, const values *chosen, bc_study *const *studies,
                               const bc_match *match) {
  bc_status status = BC_OK;
  if (chosen->output) status = bc_drawing_board(context, match, studies, chosen->output);
  if (status == BC_OK && chosen->compare)
    status = bc_drawing_compare(context, match, studies, place_of_cloth(match, 0), place_of_cloth(match, 1),
                                chosen->compare);
  if (status == BC_OK && chosen->landscape) status = draw_landscape(context, match, chosen->landscape);
  return status;
}

static bc_status report(bc_context *context, const values *chosen, bc_study *const *studies, bc_match *match) {
  bc_status status = draw_pictures(context, chosen, studies, match);
  char *text = NULL;
  if (status == BC_OK) status = make_text(&text, context, chosen, match);
  if (status != BC_OK) return status;
  cli_print_and_free(text, chosen->json ? CLI_JSON : CLI_WORDS);
  return BC_OK;
}

/* Widths given for the photos of the command line, which follow those of the plan. */
static bc_status read_widths(cli_subjects *subjects, bc_context *context, const cli_texts *given) {
  if (given->count > subjects->count - subjects->planned)
    return bc_fail(context, BC_BAD_USAGE,
                   _("--width is given %zu times, but the number of photos on the command line is %zu."), given->count,
                   subjects->count - subjects->planned);
  for (size_t i = 0; i < given->count; i++) {
    char *end = NULL;
    const double value = strtod(given->text[i], &end);
    if (end == given->text[i] || *end || !(value > 0 && value < 10000))
      return bc_fail(context, BC_BAD_USAGE,
                     _("--width %s is not understood; it should be a width in cm, for example "
                       "--width 32."),
                     given->text[i]);
    subjects->width_cm[subjects->planned + i] = value;
  }
  return BC_OK;
}

static bc_status rank(bc_context *context, const values *chosen, const cli_collection *collection,
                      const bc_view *view) {
  bc_match *match = NULL;
  bc_status status = bc_match_rank(&match, context, &collection->all, view);
  const int suggest = chosen->suggest > 0 ? chosen->suggest : chosen->landscape ? 3 : 0; /* a picture without is bare */
  if (status == BC_OK && suggest > 0) status = bc_match_suggest(match, context, (size_t)suggest);
  if (status == BC_OK && collection->all.tables.count) status = bc_match_together(match, context, PAIRS_TOLD);
  if (status == BC_OK && chosen->lights) status = bc_match_lights(match, context);
  if (status == BC_OK) status = report(context, chosen, collection->study, match);
  bc_match_free(match);
  return status;
}

static double distance_m(const values *chosen, const bc_plan *plan) {
  if (chosen->distance > 0) return chosen->distance;
  return plan ? plan->viewers.distance / 100 : bc_view_default().distance_m;
}

/* What goes together and what does not; finds the light. */
static bc_status check_options(const bc_light **light, bc_context *context, const values *chosen) {
  if (chosen->why && !chosen->json && (chosen->suggest > 0 || chosen->lights))
    return bc_fail(context, BC_BAD_USAGE,
                   _("--why explains one cloth only; ask for --suggest and --lights in a run of their own."));
  return chosen->light ? bc_light_parse(light, context, chosen->light) : BC_OK;
}

static bc_status rank_and_report(bc_context *context, const values *chosen, const bc_plan *plan,
                                 cli_collection *collection) {
  const bc_light *light = NULL;
  bc_view view = bc_view_default();
  view.distance_m = distance_m(chosen, plan);
  bc_status status = check_options(&light, context, chosen);
  for (size_t i = 0; status == BC_OK && i < chosen->see_through.count; i++)
    status = cli_collection_see_through(collection, context, chosen->see_through.text[i]);
  for (size_t i = 0; status == BC_OK && i < chosen->polished.count; i++)
    status = cli_collection_polished(collection, context, chosen->polished.text[i]);
  if (status == BC_OK)
    status = cli_collection_add_cloths(collection, context, chosen->cloths, &chosen->cloth, &chosen->table_cloth, plan);
  if (status == BC_OK && !collection->all.cloths.count)
    status = cli_collection_search_cloths(collection, context, (size_t)chosen->suggest);
  if (status == BC_OK && chosen->compare && collection->all.cloths.count < 2)
    status = bc_fail(context, BC_BAD_USAGE, _("--compare needs two cloths; name them with --cloth."));
  if (status == BC_OK && chosen->statement)
    status = cli_collection_choose_statement(collection, context, chosen->statement);
  if (status == BC_OK && light) status = bc_collection_put_under_light(&collection->all, context, light);
  return status == BC_OK ? rank(context, chosen, collection, &view) : status;
}

static int run_on(const cli *command_line, const values *chosen, const bc_plan *plan, const cli_studies *studies,
                  const cli_studies *stored, const cli_subjects *subjects) {
  cli_collection collection;
  const int exit_code = studies->exit_code ? studies->exit_code : stored->exit_code;
  bc_status status = cli_collection_gather(&collection, command_line->context, studies, stored, subjects);
  if (status == BC_OK && collection.count) /* without a piece each photo's own sentence has been said */
    status = rank_and_report(command_line->context, chosen, plan, &collection);
  cli_collection_clear(&collection);
  return status == BC_OK ? exit_code : cli_fail(command_line, status);
}

/* Readings made before have been cut out and lit already. */
static bool refuse_photo_options(const cli *command_line) {
  static const char *const name[] = {"masks", "split", "white-is", "as-shot", "guess"};
  for (size_t i = 0; i < sizeof name / sizeof name[0]; i++) {
    if (!cli_given(command_line, name[i])) continue;
    cli_complain(_("match: --%s is for photos, and none is named; give it to the read that makes the readings."),
                 name[i]);
    return true;
  }
  return false;
}

static int run_with_subjects(const cli *command_line, const values *chosen, const bc_plan *plan,
                             const cli_studies *stored, cli_subjects *subjects) {
  bc_study_options study;
  const bc_status status = read_widths(subjects, command_line->context, &chosen->width);
  if (status != BC_OK) return cli_fail(command_line, status);
  if (!subjects->count) {
    if (stored->exit_code) return stored->exit_code; /* each line's own sentence has been said */
    cli_complain(_("match: the plan has no piece with a photo; name a photo."));
    return BC_BAD_USAGE;
  }
  if (subjects->count == stored->count && refuse_photo_options(command_line)) return BC_BAD_USAGE;
  const int wrong = cli_study_options(command_line, &study, &chosen->study, subjects->count - stored->count);
  if (wrong) return wrong;
  cli_studies studies;
  const bool pictures = chosen->output || chosen->compare;
  const bool room = (pictures ? cli_studies_open_to_draw : cli_studies_open)(
      &studies, subjects->photo, subjects->count - stored->count, &study, chosen->masks);
  cli_study_options_clear(&study);
  if (!room) return cli_fail(command_line, bc_fail_memory(command_line->context));
  const int code = run_on(command_line, chosen, plan, &studies, stored, subjects);
  cli_studies_clear(&studies);
  return code;
}

static int run_with_stored(const cli *command_line, const values *chosen, const bc_plan *plan,
                           const cli_studies *stored) {
  cli_subjects subjects;
  const int code = cli_match_subjects(&subjects, plan, command_line->files, command_line->file_count, stored->count)
                       ? run_with_subjects(command_line, chosen, plan, stored, &subjects)
                       : cli_fail(command_line, bc_fail_memory(command_line->context));
  cli_match_subjects_clear(&subjects);
  return code;
}

static int run_with_plan(const cli *command_line, const values *chosen, const bc_plan *plan) {
  if (chosen->cloth.count == 0 && !chosen->cloths && !(plan && plan->cloth.given) && chosen->suggest < 1) {
    cli_complain(
        _("match: name at least one cloth, for example --cloth '#1f2430', or ask for colours with --suggest 3."));
    return BC_BAD_USAGE;
  }
  cli_studies stored = {0};
  const bc_status status =
      chosen->readings ? cli_stored_readings(&stored, command_line->context, chosen->readings) : BC_OK;
  const int code =
      status == BC_OK ? run_with_stored(command_line, chosen, plan, &stored) : cli_fail(command_line, status);
  cli_studies_clear(&stored);
  return code;
}

static int run(const cli *command_line, const void *from) {
  const values *chosen = from;
  if (chosen->readings && (chosen->output || chosen->compare || chosen->see_through.count)) {
    cli_complain(_("match: readings have no pictures, so --readings does not go with -o, --compare or --see-through; "
                   "name the photos instead."));
    return BC_BAD_USAGE;
  }
  if (!chosen->plan && !chosen->readings && command_line->file_count == 0) {
    cli_complain(_("match: name at least one photo, or a plan with --plan. Try: backcloth match --help"));
    return BC_BAD_USAGE;
  }
  if (!chosen->plan && chosen->table_cloth.count) {
    cli_complain(_("match: --table-cloth needs --plan, which says which pieces stand on a table."));
    return BC_BAD_USAGE;
  }
  bc_plan *plan = NULL;
  const bc_status status = chosen->plan ? cli_open_plan(&plan, command_line, chosen->plan, NULL) : BC_OK;
  if (status != BC_OK) return cli_fail(command_line, status);
  const int code = run_with_plan(command_line, chosen, plan);
  bc_plan_free(plan);
  return code;
}

const cli_command cli_command_match = {
    .name = "match",
    .arguments = "[PHOTO...]",
    .summary = N_("which cloth serves the whole collection, and what gets lost on which"),
    .details = N_("Example: backcloth match *.jpg --cloth '#1f2430' --cloth '#efe6d2' -o board.png\n"
                  "         backcloth match --plan plan.json --cloths cloths.json --table-cloth black\n"
                  "A photo that cannot be read is named and left out; the others are still matched."),
    .options = options,
    .option_count = sizeof options / sizeof options[0],
    .rules = rules,
    .values_size = sizeof(values),
    .least_files = 0,
    .most_files = (size_t)-1,
    .opens_photos = true,
    .keeps = true,
    .defaults = defaults,
    .run = run,
};
