/* SPDX-License-Identifier: MIT */
/* A plan becomes text again: the keys that the file gave, and those whose value is not the default.
 * Follows the same tables of keys as reading does. */
#include "plan_internal.h"

#include <backcloth/file.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LINE 120 /* groups and lists that fit a line of so many letters stay on one */

/* How photos' paths are rewritten; folders are absolute. `from` NULL: as the plan has them. */
typedef struct plan_writer {
  const bc_plan *plan;
  const char *from, *to;
} plan_writer;

static const void *member(const void *from, size_t offset) {
  return (const char *)from + offset;
}

/* Whole numbers without a point: 300, not 300.0. */
static json_t *number(double value) {
  if (value == floor(value) && fabs(value) < 1e15) return json_integer((json_int_t)value);
  return json_real(value);
}

/* The value as the file had it when it still says the same; else a number in the file's units. */
static json_t *amount(const plan_writer *writer, const json_t *was, const plan_field *field, bool by_also,
                      double value) {
  const bc_units units = writer->plan->units;
  double before = 0;
  const plan_amount read = plan_read_amount(&before, was, field, by_also, units);
  const bool missing = read == PLAN_AMOUNT_MISSING && value == PLAN_STAND_IN_CM && field->required;
  if (missing || (read == PLAN_AMOUNT_FINE && before == value)) return json_deep_copy(was);
  return number(plan_write_amount(value, field, by_also, units));
}

static json_t *amounts(const plan_writer *writer, const json_t *was, const plan_field *field, const double *values,
                       size_t count) {
  json_t *list = json_array();
  for (size_t i = 0; list && i < count; i++)
    if (json_array_append_new(list, amount(writer, json_array_get(was, i), field, false, values[i])) != 0) {
      json_decref(list);
      return NULL;
    }
  return list;
}

/* --- is a value the default? ----------------------------------------------------------------------- */
static bool same_text(const char *first, const char *second) {
  return first == second || (first && second && strcmp(first, second) == 0);
}

static bool same_value(const plan_field *field, const void *first, const void *second) {
  const void *a = member(first, field->offset), *b = member(second, field->offset);
  switch (field->kind) {
  case PLAN_NUMBER:
    return *(const double *)a == *(const double *)b;
  case PLAN_WHOLE:
  case PLAN_WORD:
    return *(const int *)a == *(const int *)b;
  case PLAN_TRUTH:
    return *(const bool *)a == *(const bool *)b;
  case PLAN_SPOTS: {
    const size_t count = *(const size_t *)member(first, field->second);
    return count == *(const size_t *)member(second, field->second) && memcmp(a, b, count * sizeof(double)) == 0;
  }
  default:
    return false;
  }
}

/* A default may follow from other values (a table is centred): unset the field and derive it again. */
static bool is_derived(const plan_writer *writer, const plan_field *field, const plan_table *table, const void *from,
                       const void *fallback) {
  if (!table->derive || (field->kind != PLAN_NUMBER && field->kind != PLAN_SPOTS && field->kind != PLAN_WHOLE))
    return false;
  char *copy = malloc(table->size);
  if (!copy) return false; /* then it is written, which is never wrong */
  memcpy(copy, from, table->size);
  const bool spots = field->kind == PLAN_SPOTS;
  const size_t size = spots ? sizeof(size_t) : field->kind == PLAN_WHOLE ? sizeof(int) : sizeof(double);
  const size_t offset = spots ? field->second : field->offset;
  memcpy(copy + offset, member(fallback, offset), size);
  table->derive(copy, writer->plan);
  const bool same = same_value(field, copy, from);
  free(copy);
  return same;
}

static bool is_default(const plan_writer *writer, const plan_field *field, const plan_table *table, const void *from,
                       const void *fallback) {
  const void *value = member(from, field->offset);
  switch (field->kind) {
  case PLAN_TEXT:
  case PLAN_COLOUR: {
    const char *usual = *(char *const *)(field->like ? member(from, field->like - 1) : member(fallback, field->offset));
    return same_text(*(char *const *)value, usual);
  }
  case PLAN_PHOTO:
    return *(char *const *)member(from, field->second) == NULL;
  case PLAN_POINT:
    return !*(const bool *)member(from, field->second);
  case PLAN_LIST:
    return *(const size_t *)member(from, field->second) == 0;
  case PLAN_OBJECT:
    return field->second ? !*(const bool *)member(from, field->second) : false;
  default:
    return same_value(field, from, fallback) || is_derived(writer, field, table, from, fallback);
  }
}

/* --- photos seen from another folder ------------------------------------------------------------------ */
/* The way from one absolute folder to a path below another: up by "..", then down. */
static char *rebase(const plan_writer *writer, const char *written) {
  if (!writer->from || written[0] == '/') return bc_copy_text(written);
  const char *from = writer->from, *to = writer->to;
  size_t shared = 0;
  for (size_t i = 0;; i++) {
    const bool end_from = from[i] == '/' || !from[i], end_to = to[i] == '/' || !to[i];
    if (end_from && end_to) shared = i;
    if (from[i] != to[i] || !from[i]) break;
  }
  bc_buffer path = {0};
  for (const char *rest = to + shared; *rest; rest++)
    if (*rest == '/' && rest[1]) bc_buffer_add(&path, "../");
  const char *down = from + shared;
  while (*down == '/') down++;
  if (*down) bc_buffer_add(&path, "%s/", down);
  bc_buffer_add(&path, "%s", written);
  return path.failed ? NULL : path.text;
}

static json_t *write_photo(const plan_writer *writer, const char *written) {
  char *path = rebase(writer, written);
  json_t *value = path ? json_string(path) : NULL;
  free(path);
  return value;
}

/* --- values --------------------------------------------------------------------------------------------- */
static json_t *write_object(const plan_writer *writer, const json_t *was, const plan_table *table, const void *from,
                            size_t index);

/* The file's entry from which an element came, found by its id. */
static const json_t *same_entry(const json_t *list, const void *element, const plan_table *table, size_t index) {
  if (strcmp(table->fields[0].key, "id") != 0) return json_array_get(list, index);
  const char *id = *(char *const *)member(element, table->fields[0].offset);
  const json_t *guess = json_array_get(list, index); /* nearly always */
  const char *guessed = json_string_value(json_object_get(guess, "id"));
  if (!guessed || same_text(id, guessed)) return guess;
  size_t i;
  json_t *entry;
  json_array_foreach((json_t *)list, i, entry) {
    const char *other = json_string_value(json_object_get(entry, "id"));
    if (other && same_text(id, other)) return entry;
  }
  return NULL;
}

static json_t *write_list(const plan_writer *writer, const json_t *was, const plan_field *field, const void *from) {
  json_t *list = json_array();
  const char *elements = *(char *const *)member(from, field->offset);
  const size_t count = *(const size_t *)member(from, field->second);
  for (size_t i = 0; list && i < count; i++) {
    const void *element = elements + i * field->table->size;
    json_t *entry = write_object(writer, same_entry(was, element, field->table, i), field->table, element, i);
    if (!entry || json_array_append_new(list, entry) != 0) {
      json_decref(list);
      return NULL;
    }
  }
  return list;
}

static json_t *write_value(const plan_writer *writer, const json_t *was, const plan_field *field, bool by_also,
                           const void *from) {
  const void *value = member(from, field->offset), *second = member(from, field->second);
  switch (field->kind) {
  case PLAN_NUMBER:
    return amount(writer, was, field, by_also, *(const double *)value);
  case PLAN_WHOLE:
    return json_integer(*(const int *)value);
  case PLAN_TRUTH:
    return json_boolean(*(const bool *)value);
  case PLAN_WORD:
    return json_string(field->words[*(const int *)value]);
  case PLAN_TEXT:
  case PLAN_COLOUR:
    return json_string(*(char *const *)value);
  case PLAN_PHOTO:
    return write_photo(writer, *(char *const *)second);
  case PLAN_POINT:
    return amounts(writer, was, field,
                   (const double[]){((const bc_point_cm *)value)->x, ((const bc_point_cm *)value)->y}, 2);
  case PLAN_SPOTS:
    return amounts(writer, was, field, value, *(const size_t *)second);
  case PLAN_OBJECT:
    return write_object(writer, was, field->table, value, 0);
  case PLAN_LIST:
    return write_list(writer, was, field, from);
  }
  return NULL;
}

/* Nothing to write, whatever the file had: a text or photo that is gone, a place that was taken back. */
static bool is_absent(const plan_field *field, const void *from) {
  if (field->kind == PLAN_TEXT || field->kind == PLAN_COLOUR)
    return *(char *const *)member(from, field->offset) == NULL;
  if (field->kind == PLAN_PHOTO) return *(char *const *)member(from, field->second) == NULL;
  if (field->kind == PLAN_POINT) return !*(const bool *)member(from, field->second);
  return false;
}

static bool is_missing(const json_t *given) {
  return json_is_string(given) && strcmp(json_string_value(given), PLAN_MISSING) == 0;
}

static json_t *write_object(const plan_writer *writer, const json_t *was, const plan_table *table, const void *from,
                            size_t index) {
  json_t *object = json_object();
  char *fallback = bc_allocate(1, table->size);
  bool fine = object && fallback && table->prepare(fallback, writer->plan, index);
  json_t *notes = json_object_get(was, PLAN_NOTES);
  for (size_t i = 0; fine && i < table->count; i++) {
    const plan_field *field = &table->fields[i];
    if (i == 1 && notes) fine = json_object_set(object, PLAN_NOTES, notes) == 0;
    bool by_also;
    const json_t *given = plan_get(was, field, &by_also);
    if (is_absent(field, from)) continue;
    if (!given && !field->required && is_default(writer, field, table, from, fallback)) continue;
    const bool still_missing =
        is_missing(given) && !field->required && is_default(writer, field, table, from, fallback);
    json_t *value = still_missing ? json_deep_copy(given) : write_value(writer, given, field, by_also, from);
    /* A group without a mark of its own is written only when something in it is. */
    const bool empty = field->kind == PLAN_OBJECT && !field->second && !given && json_object_size(value) == 0;
    if (empty)
      json_decref(value);
    else
      fine = value && json_object_set_new(object, by_also ? field->also : field->key, value) == 0;
  }
  if (fallback) plan_clear(table, fallback);
  free(fallback);
  if (fine) return object;
  json_decref(object);
  return NULL;
}

/* --- text ------------------------------------------------------------------------------------------------- */
/* Numbers keep 15 digits: what a person wrote comes back as written. */
#define FLAGS (JSON_ENCODE_ANY | JSON_REAL_PRECISION(15))

static void add_value(bc_buffer *buffer, const json_t *value, size_t depth);

static void add_members(bc_buffer *buffer, const json_t *value, size_t depth) {
  const bool object = json_is_object(value);
  bool first = true;
  bc_buffer_add(buffer, object ? "{" : "[");
  if (object) {
    const char *key;
    json_t *member_value;
    json_object_foreach((json_t *)value, key, member_value) {
      bc_buffer_add(buffer, "%s\n%*s\"%s\": ", first ? "" : ",", (int)(2 * depth + 2), "", key);
      add_value(buffer, member_value, depth + 1);
      first = false;
    }
  } else {
    size_t i;
    json_t *element;
    json_array_foreach((json_t *)value, i, element) {
      bc_buffer_add(buffer, "%s\n%*s", first ? "" : ",", (int)(2 * depth + 2), "");
      add_value(buffer, element, depth + 1);
      first = false;
    }
  }
  bc_buffer_add(buffer, "\n%*s%s", (int)(2 * depth), "", object ? "}" : "]");
}

static void add_value(bc_buffer *buffer, const json_t *value, size_t depth) {
  char *line = json_dumps(value, FLAGS);
  if (!line) {
    buffer->failed = true;
    return;
  }
  const bool group = json_is_object(value) || json_is_array(value);
  if (depth > 0 && (!group || strlen(line) + 2 * depth <= LINE))
    bc_buffer_add(buffer, "%s", line);
  else
    add_members(buffer, value, depth);
  free(line);
}

static bc_status to_text(char **out, bc_context *context, const plan_writer *writer) {
  *out = NULL;
  json_t *object = write_object(writer, writer->plan->document, &plan_root, writer->plan, 0);
  if (!object) return bc_fail_memory(context);
  bc_buffer buffer = {0};
  add_value(&buffer, object, 0);
  bc_buffer_add(&buffer, "\n");
  json_decref(object);
  return bc_buffer_finish(&buffer, out, context);
}

bc_status bc_plan_to_json(char **out, bc_context *context, const bc_plan *plan) {
  const plan_writer writer = {.plan = plan};
  return to_text(out, context, &writer);
}

/* Fills in the two folders when they differ. */
static bc_status see_from(plan_writer *writer, char **from, char **to, bc_context *context, const char *path) {
  if (strcmp(path, "-") == 0) return BC_OK;
  char *folder = bc_path_folder(path);
  if (!folder) return bc_fail_memory(context);
  *from = realpath(writer->plan->folder, NULL);
  *to = realpath(folder, NULL);
  free(folder);
  if (!*to)
    return bc_fail(context, BC_CANNOT_WRITE,
                   _("%s: the folder for this file is not there. Make it first, or choose another."), path);
  if (*from && strcmp(*from, *to) != 0) {
    writer->from = *from;
    writer->to = *to;
  }
  return BC_OK;
}

bc_status bc_plan_write(bc_context *context, const bc_plan *plan, const char *path) {
  plan_writer writer = {.plan = plan};
  char *from = NULL, *to = NULL, *text = NULL;
  bc_file_writer *file = NULL;
  bc_status status = see_from(&writer, &from, &to, context, path);
  if (status == BC_OK) status = to_text(&text, context, &writer);
  if (status == BC_OK) status = bc_file_writer_open(&file, context, path);
  if (status == BC_OK) {
    bc_file_writer_write(file, text, strlen(text));
    status = bc_file_writer_commit(file, context);
  }
  free(text);
  free(from);
  free(to);
  return status;
}
