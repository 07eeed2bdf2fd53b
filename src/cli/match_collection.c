/* SPDX-License-Identifier: MIT */
/* Gathers what `backcloth match` judges: readings with sizes and places, glass, statement piece, candidate cloths.
 * In: studies, a plan's facts, options. Out: bc_collection. */
#include "match_collection.h"

#include <backcloth/file.h>
#include <backcloth/sentences.h>
#include <stdlib.h>
#include <string.h>

void cli_collection_clear(cli_collection *collection) {
  free(collection->study);
  bc_collection_clear(&collection->all);
}

static bc_status gather_one(cli_collection *to, bc_context *context, bc_study *study, const cli_subjects *subjects,
                            size_t subject) {
  const bc_status status = bc_collection_lend(&to->all, context, study->reading);
  if (status != BC_OK) return status;
  if (subject == subjects->statement && to->all.statement == SIZE_MAX) to->all.statement = to->count;
  const char *photo = subjects->photo[subject]; /* a photo that was split shows several pieces: its title is of none */
  if (photo && strcmp(photo, study->reading->photo) == 0) to->all.piece[to->count].title = subjects->title[subject];
  to->all.piece[to->count].width_cm = subjects->width_cm[subject];
  to->all.piece[to->count].standing = subjects->standing[subject];
  if (subjects->polished[subject]) bc_reading_polish(study->reading, 0);
  to->study[to->count++] = study;
  return BC_OK;
}

/* A photo that was split gives several pieces of one subject. */
bc_status cli_collection_gather(cli_collection *out, bc_context *context, const cli_studies *studies,
                                const cli_studies *stored, const cli_subjects *subjects) {
  *out = (cli_collection){.all = bc_collection_start()};
  out->study = bc_allocate(studies->count + stored->count, sizeof(bc_study *));
  bc_status status = out->study ? BC_OK : bc_fail_memory(context);
  for (size_t i = 0; status == BC_OK && i < studies->count; i++)
    if (studies->study[i]) status = gather_one(out, context, studies->study[i], subjects, studies->path[i]);
  for (size_t i = 0; status == BC_OK && i < stored->count; i++)
    status = gather_one(out, context, stored->study[i], subjects, subjects->count - stored->count + i);
  return status;
}

/* --- cloths ------------------------------------------------------------------------------------------ */

static bc_status add_cloth(bc_cloth_list *list, bc_context *context, const char *spec) {
  bc_cloth *cloth = NULL;
  const bc_status status = bc_cloth_parse(&cloth, context, spec, NULL);
  return status == BC_OK ? bc_cloths_add(list, context, cloth) : status;
}

static bc_status add_each(bc_cloth_list *list, bc_context *context, const cli_texts *specs) {
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < specs->count; i++) status = add_cloth(list, context, specs->text[i]);
  return status;
}

/* One that was named already, perhaps by another name, isn't added again. */
static bool has_colour(const bc_cloth_list *list, bc_colour colour) {
  for (size_t i = 0; i < list->count; i++)
    if (list->cloth[i]->spread_l <= 0 && bc_delta_e00(list->cloth[i]->colour.lab, colour.lab) < 0.1) return true;
  return false;
}

/* The cloth that the plan already has is a candidate like the others. */
static bc_status add_planned_cloth(bc_cloth_list *list, bc_context *context, const bc_plan *plan) {
  if (!plan || !plan->cloth.given) return BC_OK;
  if (!plan->cloth.photo && has_colour(list, plan->cloth.colour)) return BC_OK;
  char *spec = plan->cloth.photo ? bc_format("photo:%s", plan->cloth.photo) : bc_copy_text(plan->cloth.colour_css);
  const bc_status status = spec ? add_cloth(list, context, spec) : bc_fail_memory(context);
  free(spec);
  return status;
}

bc_status cli_collection_add_cloths(cli_collection *to, bc_context *context, const char *cloths_file,
                                    const cli_texts *wall, const cli_texts *table, const bc_plan *plan) {
  bc_status status = cloths_file ? bc_cloths_open(&to->all.cloths, context, cloths_file) : BC_OK;
  if (status == BC_OK) status = add_each(&to->all.cloths, context, wall);
  if (status == BC_OK) status = add_planned_cloth(&to->all.cloths, context, plan);
  return status == BC_OK ? add_each(&to->all.tables, context, table) : status;
}

static bc_status take_suggested(bc_cloth_list *list, bc_context *context, const bc_match *match) {
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < match->suggested_count; i++)
    status = add_cloth(list, context, match->suggested[i].css);
  return status;
}

/* A match needs a cloth; the search doesn't look at it. */
bc_status cli_collection_search_cloths(cli_collection *to, bc_context *context, size_t wanted) {
  bc_cloth_list found = {0};
  bc_match *match = NULL;
  bc_status status = add_cloth(&to->all.cloths, context, "white");
  if (status == BC_OK) status = bc_match_rank(&match, context, &to->all, NULL);
  if (status == BC_OK) status = bc_match_suggest(match, context, wanted);
  if (status == BC_OK) status = take_suggested(&found, context, match);
  bc_match_free(match);
  bc_cloths_clear(&to->all.cloths);
  to->all.cloths = found;
  return status;
}

/* --- single pieces ----------------------------------------------------------------------------------- */

static bool is_called(const char *photo, const char *text, size_t length) {
  const char *name = bc_path_name(photo);
  return (strlen(photo) == length && strncmp(photo, text, length) == 0) ||
         (strlen(name) == length && strncmp(name, text, length) == 0);
}

/* "vase.jpg=60" or "vase.jpg". */
typedef struct marked {
  double percent; /* 0: not said */
  size_t piece;
} marked;

/* False: the percentage isn't one of 1 to `most`. `piece` is SIZE_MAX where no photo is called so. */
static bool read_marked(marked *out, const cli_collection *of, const char *text, double most) {
  const char *sign = strrchr(text, '=');
  char *end = NULL;
  *out = (marked){.percent = sign ? strtod(sign + 1, &end) : 0, .piece = SIZE_MAX};
  const size_t length = sign ? (size_t)(sign - text) : strlen(text);
  if (sign && (end == sign + 1 || *end || !(out->percent > 0 && out->percent <= most))) return false;
  for (size_t i = 0; i < of->count && out->piece == SIZE_MAX; i++)
    if (is_called(of->all.piece[i].reading->photo, text, length)) out->piece = i;
  return true;
}

bc_status cli_collection_see_through(cli_collection *of, bc_context *context, const char *text) {
  marked glass;
  if (!read_marked(&glass, of, text, 95))
    return bc_fail(context, BC_BAD_USAGE,
                   _("--see-through %s is not understood; write it like vase.jpg=60, with 1 to "
                     "95 per cent."),
                   text);
  if (glass.piece == SIZE_MAX)
    return bc_fail(context, BC_BAD_USAGE, _("--see-through %s is not one of the photos that could be read."), text);
  const bc_status status = bc_study_see_through(of->study[glass.piece], context, glass.percent / 100);
  of->all.piece[glass.piece].reading = of->study[glass.piece]->reading;
  return status;
}

bc_status cli_collection_polished(cli_collection *of, bc_context *context, const char *text) {
  marked metal;
  if (!read_marked(&metal, of, text, 100))
    return bc_fail(context, BC_BAD_USAGE,
                   _("--polished %s is not understood; write it like ring.jpg=60, with 1 to 100 per cent."), text);
  if (metal.piece == SIZE_MAX)
    return bc_fail(context, BC_BAD_USAGE, _("--polished %s is not one of the photos that could be read."), text);
  bc_reading_polish(of->study[metal.piece]->reading, metal.percent / 100);
  return BC_OK;
}

bc_status cli_collection_choose_statement(cli_collection *of, bc_context *context, const char *photo) {
  for (size_t i = 0; i < of->count; i++)
    if (strcmp(of->all.piece[i].reading->photo, photo) == 0) {
      of->all.statement = i;
      return BC_OK;
    }
  return bc_fail(context, BC_BAD_USAGE, _("--statement %s is not one of the photos that could be read."), photo);
}
