/* SPDX-License-Identifier: MIT */
/* Names of styles and parts, and the arrangements as plain text and as JSON. */
#include "problem.h"

#include <backcloth/program.h>
#include <jansson.h>
#include <stdlib.h>

static const struct {
  const char *word, *text;
} styles[BC_ARRANGE_STYLES] = {
    {"centred group", N_("a centred group")},
    {"level rows", N_("level rows")},
    {"satellites", N_("one dominant piece with satellites")},
};

static const struct {
  const char *word, *text;
} parts[BC_ARRANGE_PARTS] = {
    {"focus", N_("statement piece in the focus")},
    {"clear", N_("clear space round it")},
    {"sight", N_("within the sight band")},
    {"balance", N_("left and right in balance")},
    {"symmetry", N_("left mirrors right")},
    {"lines", N_("shared lines")},
    {"gaps", N_("equal gaps")},
    {"spacing", N_("near enough to belong together")},
    {"order", N_("larger high, smaller low")},
    {"together", N_("groups together")},
    {"seen", N_("nothing hidden")},
    {"style", N_("true to its kind")},
};

const char *bc_arrange_part_text(bc_arrange_part part) {
  return _(parts[part].text);
}
const char *bc_arrange_part_word(bc_arrange_part part) {
  return parts[part].word;
}
const char *bc_arrange_style_word(bc_arrange_style style) {
  return styles[style].word;
}
const char *bc_arrange_style_text(bc_arrange_style style) {
  return _(styles[style].text);
}

static const char *state_word(bc_place_state state) {
  return state == BC_PLACE_KEPT ? "kept" : state == BC_PLACE_PLACED ? "placed" : "left off";
}

/* --- words ------------------------------------------------------------------------------------------------ */

static void add_notes(bc_buffer *text, const bc_notes *notes, const char *mark) {
  for (size_t i = 0; i < notes->count; i++) bc_buffer_add(text, "%s%s\n", mark, notes->text[i]);
}

static void add_places(bc_buffer *text, const bc_plan *plan, const bc_arrangement *a) {
  if (a->left_off == 0) return;
  bc_buffer_add(text, "  %s\n", _("Leave off:"));
  for (size_t i = 0; i < a->place_count; i++)
    if (a->places[i].state == BC_PLACE_LEFT_OFF)
      bc_buffer_add(text, "    %s: %s\n", plan->pieces[i].title, a->places[i].why);
}

static void add_arrangement(bc_buffer *text, const bc_plan *plan, const bc_arrangement *a, size_t number) {
  bc_buffer_add(text, "%zu. %s: ", number, bc_arrange_style_text(a->style));
  bc_buffer_add(text, _("%.0f of 100"), a->score);
  bc_buffer_add(text, "\n");
  add_notes(text, &a->reasons, "  - ");
  add_notes(text, &a->cautions, "  ! ");
  bc_buffer_add(text, "  (");
  for (int i = 0; i < BC_ARRANGE_PARTS; i++)
    bc_buffer_add(text, "%s%s %.0f", i > 0 ? ", " : "", bc_arrange_part_text((bc_arrange_part)i), 100 * a->part[i]);
  bc_buffer_add(text, ")\n");
  add_places(text, plan, a);
}

bc_status bc_arrange_to_words(char **out, bc_context *context, const bc_plan *plan,
                              const bc_arrangements *arrangements) {
  bc_buffer text = {0};
  bc_buffer_add(&text, "%s\n", plan->title);
  for (size_t i = 0; i < arrangements->count; i++) add_arrangement(&text, plan, arrangements->arrangement[i], i + 1);
  add_notes(&text, &arrangements->notes, "");
  return bc_buffer_finish(&text, out, context);
}

/* --- JSON --------------------------------------------------------------------------------------------------- */

static const char *const causes[] = {"room", "rating", "unknown"};

static json_t *place_json(const bc_piece *piece, const bc_place *place) {
  json_t *object = json_object();
  json_object_set_new(object, "piece", json_string(piece->id));
  json_object_set_new(object, "state", json_string(state_word(place->state)));
  if (place->state != BC_PLACE_LEFT_OFF) json_object_set_new(object, "at", json_pack("[ff]", place->at.x, place->at.y));
  if (place->on) json_object_set_new(object, "on", json_string(place->on));
  if (place->why) json_object_set_new(object, "why", json_string(place->why));
  if (place->state == BC_PLACE_LEFT_OFF) json_object_set_new(object, "cause", json_string(causes[place->cause]));
  return object;
}

static json_t *arrangement_json(const bc_plan *plan, const bc_arrangement *a) {
  json_t *object = json_object(), *figures = json_object(), *places = json_array();
  json_object_set_new(object, "style", json_string(bc_arrange_style_word(a->style)));
  json_object_set_new(object, "score", json_real(a->score));
  for (int i = 0; i < BC_ARRANGE_PARTS; i++)
    json_object_set_new(figures, bc_arrange_part_word((bc_arrange_part)i), json_real(a->part[i]));
  json_object_set_new(object, "parts", figures);
  for (size_t i = 0; i < a->place_count; i++)
    json_array_append_new(places, place_json(&plan->pieces[i], &a->places[i]));
  json_object_set_new(object, "places", places);
  json_object_set_new(object, "reasons", bc_json_texts(a->reasons.text, a->reasons.count));
  json_object_set_new(object, "cautions", bc_json_texts(a->cautions.text, a->cautions.count));
  return object;
}

bc_status bc_arrange_to_json(char **out, bc_context *context, const bc_plan *plan,
                             const bc_arrangements *arrangements) {
  *out = NULL;
  json_t *object = json_object(), *list = json_array();
  for (size_t i = 0; i < arrangements->count; i++)
    json_array_append_new(list, arrangement_json(plan, arrangements->arrangement[i]));
  json_object_set_new(object, "arrangements", list);
  json_object_set_new(object, "notes", bc_json_texts(arrangements->notes.text, arrangements->notes.count));
  *out = json_dumps(object, JSON_COMPACT | JSON_REAL_PRECISION(12));
  json_decref(object);
  return *out ? BC_OK : bc_fail_memory(context);
}
