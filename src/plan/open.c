/* SPDX-License-Identifier: MIT */
/* A plan file becomes a bc_plan: jansson reads the JSON, the tables of keys fill the struct, then
 * names are checked. jansson's own error messages are turned into sentences here. */
#include "plan_internal.h"

#include <backcloth/file.h>
#include <stdlib.h>
#include <string.h>

bc_plan_options bc_plan_options_default(void) {
  return (bc_plan_options){.keep_in_folder = false};
}

void bc_plan_free(bc_plan *plan) {
  if (!plan) return;
  plan_clear(&plan_root, plan);
  bc_notes_clear(&plan->missing);
  free(plan->path);
  free(plan->folder);
  json_decref(plan->document);
  free(plan);
}

/* The word at which jansson stopped, as it quotes it: "… near 'wdith'". Empty if it quotes none. */
static void stopped_at(const json_error_t *error, char *out, size_t size) {
  out[0] = '\0';
  const char *start = strstr(error->text, "near '");
  if (!start) return;
  start += strlen("near '");
  const char *end = strrchr(start, '\'');
  const size_t length = end && end > start ? (size_t)(end - start) : 0;
  if (length == 0 || length >= size || memchr(start, '\n', length)) return;
  const size_t quote = length > 2 && *start == '"' && end[-1] == '"'; /* the sentence has its own quotation marks */
  memcpy(out, start + quote, length - 2 * quote);
  out[length - 2 * quote] = '\0';
}

static bc_status fail_syntax(bc_context *context, const char *name, const json_error_t *error) {
  char near[48];
  stopped_at(error, near, sizeof near);
  if (near[0])
    return bc_fail(
        context, BC_BAD_DATA,
        _("%s, line %d, column %d: this is not as a plan file is written, near \"%s\". Look just before it for a "
          "comma, colon, quotation mark or bracket that is missing or one too many."),
        name, error->line, error->column, near);
  return bc_fail(context, BC_BAD_DATA,
                 _("%s, line %d, column %d: this is not as a plan file is written. Look just before it for a comma, "
                   "colon, quotation mark or bracket that is missing or one too many."),
                 name, error->line, error->column);
}

static bc_status fail_json(bc_context *context, const char *name, const json_error_t *error) {
  const int line = error->line, column = error->column;
  switch (json_error_code(error)) {
  case json_error_out_of_memory:
    return bc_fail_memory(context);
  case json_error_duplicate_key:
    return bc_fail(context, BC_BAD_DATA,
                   _("%s, line %d, column %d: the same key is given twice in one group. Take one of the two out."),
                   name, line, column);
  case json_error_invalid_utf8:
    return bc_fail(context, BC_BAD_DATA,
                   _("%s, line %d, column %d: a letter here is not UTF-8. Save the file as UTF-8 text."), name, line,
                   column);
  case json_error_premature_end_of_input:
    return bc_fail(context, BC_BAD_DATA,
                   _("%s, line %d, column %d: the file ends too early. Close every { with }, every [ with ] and every "
                     "quotation mark."),
                   name, line, column);
  case json_error_end_of_input_expected:
    return bc_fail(context, BC_BAD_DATA,
                   _("%s, line %d, column %d: something follows the end of the plan. Take it out."), name, line,
                   column);
  case json_error_numeric_overflow:
    return bc_fail(context, BC_BAD_DATA, _("%s, line %d, column %d: this number is far too large. Check it."), name,
                   line, column);
  case json_error_stack_overflow:
    return bc_fail(context, BC_BAD_DATA, _("%s, line %d, column %d: too many brackets inside each other. Check them."),
                   name, line, column);
  case json_error_null_character:
  case json_error_null_byte_in_key:
    return bc_fail(context, BC_BAD_DATA, _("%s, line %d, column %d: a text here holds a zero byte. Take it out."), name,
                   line, column);
  default:
    return fail_syntax(context, name, error);
  }
}

/* What people save by mistake: nothing, a picture, UTF-16 from a word processor. */
static bc_status refuse_other_files(bc_context *context, const char *text, size_t size, const char *name) {
  if (size >= 2 && (memcmp(text, "\xff\xfe", 2) == 0 || memcmp(text, "\xfe\xff", 2) == 0))
    return bc_fail(context, BC_BAD_DATA, _("%s: this text is UTF-16. Save it as UTF-8."), name);
  for (size_t i = 0; i < size; i++)
    if (!strchr(" \t\r\n", text[i]) || !text[i]) return BC_OK;
  return bc_fail(context, BC_BAD_DATA, _("%s: the file is empty. A plan begins with { \"backcloth\": 1."), name);
}

/* With BC_BAD_DATA *out is what can be read in spite of a key that is given twice, or NULL. */
static bc_status load(json_t **out, bc_context *context, const char *text, size_t size, const char *name) {
  *out = NULL;
  const bc_status status = refuse_other_files(context, text, size, name);
  if (status != BC_OK) return status;
  json_error_t error;
  *out = json_loadb(text, size, JSON_REJECT_DUPLICATES, &error);
  if (*out) return BC_OK;
  const bool twice = json_error_code(&error) == json_error_duplicate_key;
  if (twice) *out = json_loadb(text, size, 0, NULL); /* the rest can be read all the same */
  return fail_json(context, name, &error);
}

static bc_status new_plan(bc_plan **out, bc_context *context, const char *path) {
  bc_plan *plan = bc_allocate(1, sizeof *plan);
  if (!plan) return bc_fail_memory(context);
  plan->path = bc_copy_text(path);
  plan->folder = bc_path_folder(path);
  if (!plan->path || !plan->folder || !plan_root.prepare(plan, plan, 0)) {
    bc_plan_free(plan);
    return bc_fail_memory(context);
  }
  *out = plan;
  return BC_OK;
}

/* Sizes marked "?" are never guessed: the first is named with its place, the rest are counted. */
static bc_status refuse_missing(const plan_reader *reader) {
  const bc_notes *missing = &reader->plan->missing;
  if (reader->options.allow_missing || missing->count == 0) return BC_OK;
  if (missing->count == 1) return bc_fail(reader->context, BC_BAD_DATA, "%s", missing->text[0]);
  const unsigned long others = missing->count - 1;
  return bc_fail(reader->context, BC_BAD_DATA,
                 bc_text_plural("%s %lu more size is marked \"?\" too; \"backcloth plan check\" names all.",
                                "%s %lu more sizes are marked \"?\" too; \"backcloth plan check\" names all.", others),
                 missing->text[0], others);
}

/* All that is wrong is told at once; a size that is still missing is asked for when nothing else is wrong. */
static bc_status read_all(plan_reader *reader) {
  bc_status status =
      plan_go_on(reader, plan_read_object(reader, reader->plan->document, &plan_root, reader->plan, NULL));
  if (status == BC_OK) status = plan_check_names(reader);
  if (status == BC_OK || status == BC_BAD_DATA) status = plan_fail_all(reader);
  return status == BC_OK ? refuse_missing(reader) : status;
}

bc_status bc_plan_parse(bc_plan **out, bc_context *context, const char *text, size_t size, const char *path,
                        const bc_plan_options *options) {
  *out = NULL;
  const char *name = strcmp(path, "-") == 0 ? _("standard input") : path;
  const uint64_t most = bc_context_limits(context)->plan_bytes;
  if (size > most)
    return bc_fail(context, BC_BAD_DATA, _("%s: the plan is larger than the %.1f MB that are accepted."), name,
                   (double)most / 1048576.0);
  if (size >= 3 && memcmp(text, "\xef\xbb\xbf", 3) == 0) { /* the mark some editors put before UTF-8 */
    text += 3;
    size -= 3;
  }
  json_t *document = NULL;
  bc_plan *plan = NULL;
  size_t failed_at = 0; /* a key that is given twice is told first: what follows is read of its last value */
  plan_reader reader = {.context = context,
                        .text = text,
                        .size = size,
                        .name = name,
                        .failed_at = &failed_at,
                        .options = options ? *options : bc_plan_options_default()};
  bc_status status = load(&document, context, text, size, name);
  if (document && status == BC_BAD_DATA) status = plan_go_on(&reader, status);
  if (status == BC_OK) status = new_plan(&plan, context, path);
  if (status != BC_OK) {
    bc_notes_clear(&reader.wrong);
    json_decref(document);
    return status;
  }
  reader.plan = plan;
  plan->document = document;
  status = read_all(&reader);
  bc_notes_clear(&reader.wrong);
  if (status == BC_OK)
    *out = plan;
  else
    bc_plan_free(plan);
  return status;
}

bc_status bc_plan_open(bc_plan **out, bc_context *context, const char *path, const bc_plan_options *options) {
  *out = NULL;
  uint8_t *text = NULL;
  size_t size = 0;
  bc_status status = bc_file_read(&text, &size, context, path, bc_context_limits(context)->plan_bytes);
  if (status == BC_OK) status = bc_plan_parse(out, context, (const char *)text, size, path, options);
  free(text);
  return status;
}
