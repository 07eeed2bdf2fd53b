/* SPDX-License-Identifier: MIT */
/* Fills a struct from a JSON object by its table of keys, and refuses what the table does not allow. */
#include "plan_internal.h"

#include <backcloth/colour.h>
#include <backcloth/file.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define TEXT_LETTERS 500 /* a title that fits a sheet; ids and groups are shorter anyway */

static void *member(void *target, size_t offset) {
  return (char *)target + offset;
}

static const char *kind_name(const json_t *value) {
  switch (json_typeof(value)) {
  case JSON_OBJECT:
    return _("a group in { }");
  case JSON_ARRAY:
    return _("a list in [ ]");
  case JSON_STRING:
    return _("text in quotation marks");
  case JSON_INTEGER:
  case JSON_REAL:
    return _("a number");
  case JSON_TRUE:
  case JSON_FALSE:
    return _("true or false");
  default:
    return _("empty (null)");
  }
}

static bc_status fail_kind(const plan_reader *reader, const plan_place *place, const char *wanted,
                           const json_t *value) {
  if (json_is_string(value) && json_string_length(value) > 0 && json_string_length(value) <= 40)
    return plan_fail(reader, place, _("this must be %s; it is the text \"%s\". Change it, or leave it out."), wanted,
                     json_string_value(value));
  return plan_fail(reader, place, _("this must be %s; it is %s. Change it, or leave it out."), wanted,
                   kind_name(value));
}

/* A number as a sentence names it: "127 cm", and what the file says when that is another unit. */
static char *amount_said(double number, const json_t *value, const plan_field *field) {
  const char *gap = field->unit[0] ? " " : "";
  if (json_is_string(value)) return bc_format("\"%s\" (%g%s%s)", json_string_value(value), number, gap, field->unit);
  const double given = json_number_value(value);
  if (given != number) return bc_format("%g (%g%s%s)", given, number, gap, field->unit);
  return bc_format("%g", number);
}

static bc_status check_bounds(const plan_reader *reader, const json_t *value, const plan_field *field, double number,
                              const plan_place *place) {
  const bool low = field->above ? number > field->low : number >= field->low;
  if (low && number <= field->high) return BC_OK;
  char *said = amount_said(number, value, field);
  if (!said) return bc_fail_memory(reader->context);
  const char *gap = field->unit[0] ? " " : "";
  bc_status status;
  if (!low && field->above)
    status = plan_fail(reader, place, _("%s must be more than %g%s%s; it is %s. %s"), _(field->what), field->low, gap,
                       field->unit, said, _(field->remedy));
  else if (!low)
    status = plan_fail(reader, place, _("%s must be at least %g%s%s; it is %s. %s"), _(field->what), field->low, gap,
                       field->unit, said, _(field->remedy));
  else
    status = plan_fail(reader, place, _("%s can be at most %g%s%s; it is %s. Check the unit. %s"), _(field->what),
                       field->high, gap, field->unit, said, _(field->remedy));
  free(said);
  return status;
}

static bc_status fail_amount(const plan_reader *reader, const json_t *value, const plan_field *field, plan_amount why,
                             const plan_place *place) {
  const bool unit = strcmp(field->unit, "cm") == 0 || strcmp(field->unit, "mm") == 0 || strcmp(field->unit, "g") == 0 ||
                    strcmp(field->unit, "kg") == 0 || strcmp(field->unit, "g/m2") == 0;
  if (why == PLAN_AMOUNT_NO_NUMBER || !unit || json_string_length(value) > 40)
    return fail_kind(reader, place, _("a number without quotation marks"), value);
  const bool length = strcmp(field->unit, "cm") == 0 || strcmp(field->unit, "mm") == 0;
  const char *examples = length ? _("50 cm, 1.2 m, 50 in, 4 ft 2 in, 3 1/2 in") : _("850 g, 1.2 kg, 12 oz, 2 lb 3 oz");
  if (!length && strcmp(field->unit, "g/m2") == 0) examples = _("280 g/m2, 8 oz/yd2");
  return plan_fail(reader, place, _("\"%s\" is not understood as %s. Write a number, or text like: %s."),
                   json_string_value(value), _(field->what), examples);
}

static bool is_size_of_piece(const plan_place *place) {
  const plan_place *element = place->up, *list = element && !element->key ? element->up : NULL;
  return list && list->key && !list->up && strcmp(list->key, "pieces") == 0;
}

/* Kept for bc_plan.missing: the plan is refused at the end, or listed, with all of them at once. */
static bc_status note_missing(const plan_reader *reader, const plan_field *field, const plan_place *place) {
  if (!field->required) return BC_OK; /* as if it were left out, and told where it is wanted */
  if (reader->options.from_form && is_size_of_piece(place)) return BC_OK; /* bc_plan_check tells of it */
  bc_status status = plan_fail(reader, place, _("%s is still missing. %s"), _(field->what), _(field->remedy));
  if (status != BC_BAD_DATA || reader->options.from_form) return status;
  char *sentence = bc_copy_text(bc_context_message(reader->context));
  status =
      sentence ? bc_note(&reader->plan->missing, reader->context, "%s", sentence) : bc_fail_memory(reader->context);
  free(sentence);
  return status;
}

/* A number within the field's range. The sentence names the bound that is passed. */
static bc_status read_bounded(const plan_reader *reader, const json_t *value, const plan_field *field, double *out,
                              const plan_place *place) {
  const bool by_also = place->key && field->also && strcmp(place->key, field->also) == 0;
  double number = 0;
  const plan_amount read = plan_read_amount(&number, value, field, by_also, reader->plan->units);
  if (read == PLAN_AMOUNT_MISSING && field->kind == PLAN_NUMBER) return note_missing(reader, field, place);
  if (read != PLAN_AMOUNT_FINE) return fail_amount(reader, value, field, read, place);
  const bc_status status = check_bounds(reader, value, field, number, place);
  if (status == BC_OK) *out = number;
  return status;
}

static bc_status read_whole(const plan_reader *reader, const json_t *value, const plan_field *field, int *out,
                            const plan_place *place) {
  double number = 0;
  const bc_status status = read_bounded(reader, value, field, &number, place);
  if (status != BC_OK) return status;
  if (number != floor(number))
    return plan_fail(reader, place, _("%s is a whole number; it is %g. %s"), _(field->what), number, _(field->remedy));
  *out = (int)number;
  return BC_OK;
}

static bool has_control(const char *text) {
  for (; *text; text++)
    if ((unsigned char)*text < 0x20 || *text == 0x7f) return true;
  return false;
}

static bc_status read_text(const plan_reader *reader, const json_t *value, char **out, const plan_place *place) {
  if (!json_is_string(value)) return fail_kind(reader, place, _("text in quotation marks"), value);
  const char *text = json_string_value(value);
  if (text[strspn(text, " \t\r\n")] == '\0')
    return plan_fail(reader, place, _("this text is empty. Write something, or leave it out."));
  if (base_letters(text) > TEXT_LETTERS)
    return plan_fail(reader, place, _("this text is longer than %d letters. Shorten it."), TEXT_LETTERS);
  if (has_control(text))
    return plan_fail(reader, place,
                     _("this text holds a line break or another control character. Keep it on one line."));
  char *copy = bc_copy_text(text);
  if (!copy) return bc_fail_memory(reader->context);
  free(*out);
  *out = copy;
  return BC_OK;
}

static bc_status read_word(const plan_reader *reader, const json_t *value, const plan_field *field, int *out,
                           const plan_place *place) {
  bc_buffer list = {0};
  for (int i = 0; field->words[i]; i++) {
    if (json_is_string(value) && strcmp(json_string_value(value), field->words[i]) == 0) {
      *out = i;
      bc_buffer_clear(&list);
      return BC_OK;
    }
    bc_buffer_add(&list, "%s%s", i ? ", " : "", field->words[i]);
  }
  char *words = NULL;
  bc_status status = bc_buffer_finish(&list, &words, reader->context);
  if (status != BC_OK) return status;
  if (json_is_string(value) && json_string_length(value) <= 40)
    status = plan_fail(reader, place, _("\"%s\" is not one of the words for this. Choose one of: %s."),
                       json_string_value(value), words);
  else
    status = plan_fail(reader, place, _("this must be one of the words: %s."), words);
  free(words);
  return status;
}

/* The colour stage writes the sentence; this adds the place. */
static bc_status read_colour(plan_reader *reader, const json_t *value, char **css, bc_colour *colour,
                             const plan_place *place) {
  bc_status status = read_text(reader, value, css, place);
  if (status != BC_OK) return status;
  status = bc_colour_parse_css(colour, reader->context, *css);
  if (status != BC_BAD_DATA && status != BC_BAD_USAGE) return status;
  char *sentence = bc_copy_text(bc_context_message(reader->context));
  if (!sentence) return bc_fail_memory(reader->context);
  status = plan_fail(reader, place, "%s", sentence);
  free(sentence);
  return status;
}

static bc_status read_photo(plan_reader *reader, const json_t *value, char **path, char **written,
                            const plan_place *place) {
  const bc_status status = read_text(reader, value, written, place);
  if (status != BC_OK) return status;
  if (reader->options.keep_in_folder && !bc_path_stays_inside(*written))
    return plan_fail(reader, place,
                     _("\"%s\" leads out of the plan's folder. Put the photo into the folder of the plan."), *written);
  *path = bc_path_join(reader->plan->folder, *written);
  return *path ? BC_OK : bc_fail_memory(reader->context);
}

static bc_status read_point(plan_reader *reader, const json_t *value, const plan_field *field, bc_point_cm *out,
                            const plan_place *place) {
  if (!json_is_array(value) || json_array_size(value) != 2)
    return plan_fail(reader, place, _("a place is two numbers in [ ]. %s"), _(field->remedy));
  double both[2] = {0, 0};
  for (size_t i = 0; i < 2; i++) {
    const plan_place here = {.up = place, .index = i};
    const bc_status status = plan_go_on(reader, read_bounded(reader, json_array_get(value, i), field, &both[i], &here));
    if (status != BC_OK) return status;
  }
  *out = (bc_point_cm){both[0], both[1]};
  return BC_OK;
}

static bc_status read_spots(plan_reader *reader, const json_t *value, const plan_field *field, double *out,
                            size_t *count, const plan_place *place) {
  if (!json_is_array(value)) return fail_kind(reader, place, _("a list of numbers in [ ]"), value);
  if (json_array_size(value) < 1 || json_array_size(value) > field->most)
    return plan_fail(reader, place, _("this list has %zu numbers; it may have 1 to %zu."), json_array_size(value),
                     field->most);
  if (json_array_size(value) < field->least) return plan_fail(reader, place, "%s", _(field->few));
  for (size_t i = 0; i < json_array_size(value); i++) {
    const plan_place here = {.up = place, .index = i};
    const bc_status status = plan_go_on(reader, read_bounded(reader, json_array_get(value, i), field, &out[i], &here));
    if (status != BC_OK) return status;
  }
  *count = json_array_size(value);
  return BC_OK;
}

static bc_status read_list(plan_reader *reader, const json_t *value, const plan_field *field, void *target,
                           const plan_place *place) {
  if (!json_is_array(value)) return fail_kind(reader, place, _("a list in [ ]"), value);
  const size_t most = field->most ? field->most : bc_context_limits(reader->context)->plan_pieces;
  const size_t count = json_array_size(value);
  if (count > most)
    return plan_fail(reader, place, _("this list has %zu entries; %zu are accepted. Split the plan."), count, most);
  const plan_table *table = field->table;
  char *elements = bc_allocate(count, table->size);
  if (!elements) return bc_fail_memory(reader->context);
  /* Kept in the plan from now on, so that whatever is read is freed with it. */
  *(void **)member(target, field->offset) = elements;
  *(size_t *)member(target, field->second) = count;
  for (size_t i = 0; i < count; i++)
    if (!table->prepare(elements + i * table->size, reader->plan, i)) return bc_fail_memory(reader->context);
  for (size_t i = 0; i < count; i++) {
    const plan_place here = {.up = place, .index = i};
    const bc_status status = plan_go_on(
        reader, plan_read_object(reader, json_array_get(value, i), table, elements + i * table->size, &here));
    if (status != BC_OK) return status;
  }
  return BC_OK;
}

static bc_status read_field(plan_reader *reader, const json_t *value, const plan_field *field, void *target,
                            const plan_place *place) {
  void *out = member(target, field->offset), *second = member(target, field->second);
  switch (field->kind) {
  case PLAN_NUMBER:
    return read_bounded(reader, value, field, out, place);
  case PLAN_WHOLE:
    return read_whole(reader, value, field, out, place);
  case PLAN_TRUTH:
    if (!json_is_boolean(value)) return fail_kind(reader, place, _("true or false, without quotation marks"), value);
    *(bool *)out = json_is_true(value);
    return BC_OK;
  case PLAN_TEXT:
    return read_text(reader, value, out, place);
  case PLAN_WORD:
    return read_word(reader, value, field, out, place);
  case PLAN_COLOUR:
    return read_colour(reader, value, out, second, place);
  case PLAN_PHOTO:
    return read_photo(reader, value, out, second, place);
  case PLAN_POINT:
    *(bool *)second = true;
    return read_point(reader, value, field, out, place);
  case PLAN_SPOTS:
    return read_spots(reader, value, field, out, second, place);
  case PLAN_OBJECT:
    if (field->second) *(bool *)second = true;
    return plan_read_object(reader, value, field->table, out, place);
  case PLAN_LIST:
    return read_list(reader, value, field, target, place);
  }
  return BC_OUR_FAULT;
}

static const plan_field *find_field(const plan_table *table, const char *key) {
  for (size_t i = 0; i < table->count; i++)
    if (strcmp(table->fields[i].key, key) == 0 || (table->fields[i].also && strcmp(table->fields[i].also, key) == 0))
      return &table->fields[i];
  return NULL;
}

/* Explanations are for people: one text or a list of them, read by nobody here. */
static bc_status check_notes(const plan_reader *reader, const json_t *value, const plan_place *place) {
  const plan_place here = {.up = place, .key = PLAN_NOTES};
  bool texts = json_is_string(value) || json_is_array(value);
  for (size_t i = 0; json_is_array(value) && i < json_array_size(value); i++)
    if (!json_is_string(json_array_get(value, i))) texts = false;
  return texts ? BC_OK : fail_kind(reader, &here, _("text in quotation marks, or a list of texts in [ ]"), value);
}

static bc_status refuse_unknown(plan_reader *reader, const json_t *value, const plan_table *table,
                                const plan_place *place) {
  const char *key;
  json_t *ignored;
  json_object_foreach((json_t *)value, key, ignored) {
    if (find_field(table, key)) continue;
    if (strcmp(key, PLAN_NOTES) == 0) {
      const bc_status status = plan_go_on(reader, check_notes(reader, ignored, place));
      if (status != BC_OK) return status;
      continue;
    }
    const char *near = plan_nearest_key(table, key);
    /* A very long key would drown the sentence; line and column lead to it. */
    const bool shown = strlen(key) <= 60 && !has_control(key);
    const plan_place here = {.up = place, .key = key};
    bc_status status;
    if (!shown)
      status = plan_fail_key(reader, place, _("one of the keys here is not known. Take it out."));
    else if (near)
      status = plan_fail_key(reader, &here, _("there is no key of this name here. Did you mean \"%s\"?"), near);
    else
      status = plan_fail_key(reader, &here,
                             _("there is no key of this name here. Take it out, or see docs/plan.md for the keys."));
    status = plan_go_on(reader, status);
    if (status != BC_OK) return status;
  }
  return BC_OK;
}

bc_status plan_read_object(plan_reader *reader, const json_t *value, const plan_table *table, void *target,
                           const plan_place *place) {
  const size_t before = reader->wrong.count;
  if (!json_is_object(value)) {
    if (place && !place->key) reader->names_doubtful = true; /* an element of a list */
    return fail_kind(reader, place, _("a group in { }"), value);
  }
  bc_status status = refuse_unknown(reader, value, table, place);
  for (size_t i = 0; status == BC_OK && i < table->count; i++) {
    const plan_field *field = &table->fields[i];
    plan_place here = {.up = place, .key = field->key};
    /* Lists fill in their own defaults; a group's must be there also when the plan leaves it out. */
    if (field->kind == PLAN_OBJECT && !field->table->prepare(member(target, field->offset), reader->plan, 0))
      return bc_fail_memory(reader->context);
    bool by_also;
    const json_t *given = plan_get(value, field, &by_also);
    if (by_also) here.key = field->also;
    if (given && !by_also && field->also && json_object_get(value, field->also))
      status = plan_fail(reader, &here, _("\"%s\" and \"%s\" say the same. Take one of the two out."), field->key,
                         field->also);
    else if (given)
      status = read_field(reader, given, field, target, &here);
    else if (field->required)
      status = plan_fail(reader, place, _("the key \"%s\" is missing. %s"), field->key,
                         field->remedy ? _(field->remedy) : "");
    if (status != BC_OK && (field->kind == PLAN_LIST || strcmp(field->key, "id") == 0)) reader->names_doubtful = true;
    status = plan_go_on(reader, status);
  }
  if (status != BC_OK || reader->wrong.count > before) return status; /* what is half read is not judged as a whole */
  if (table->derive) table->derive(target, reader->plan);
  return table->finish ? plan_go_on(reader, table->finish(reader, target, place)) : BC_OK;
}

void plan_clear(const plan_table *table, void *target) {
  for (size_t i = 0; i < table->count; i++) {
    const plan_field *field = &table->fields[i];
    void *out = member(target, field->offset);
    if (field->kind == PLAN_TEXT || field->kind == PLAN_COLOUR || field->kind == PLAN_PHOTO) free(*(char **)out);
    if (field->kind == PLAN_PHOTO) free(*(char **)member(target, field->second));
    if (field->kind == PLAN_OBJECT) plan_clear(field->table, out);
    if (field->kind == PLAN_LIST) {
      char *elements = *(char **)out;
      const size_t count = *(size_t *)member(target, field->second);
      for (size_t k = 0; elements && k < count; k++) plan_clear(field->table, elements + k * field->table->size);
      free(elements);
    }
  }
}
