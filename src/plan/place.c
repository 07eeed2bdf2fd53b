/* SPDX-License-Identifier: MIT */
/* Finds the line and column of a key's path in the plan's text, so that every sentence names them.
 * The text has been accepted by jansson before, so the scanner need not check, only walk. */
#include "plan_internal.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct scanner {
  const char *text;
  size_t size, at;
} scanner;

static char peek(const scanner *scan) {
  return scan->at < scan->size ? scan->text[scan->at] : '\0';
}

static void skip_space(scanner *scan) {
  while (scan->at < scan->size && strchr(" \t\r\n", scan->text[scan->at]) && scan->text[scan->at]) scan->at++;
}

static void skip_string(scanner *scan) {
  scan->at++;
  while (scan->at < scan->size && scan->text[scan->at] != '"') scan->at += scan->text[scan->at] == '\\' ? 2 : 1;
  if (scan->at < scan->size) scan->at++;
}

/* Any value, without recursion: brackets outside strings are counted. */
static void skip_value(scanner *scan) {
  size_t depth = 0;
  do {
    skip_space(scan);
    const char c = peek(scan);
    if (c == '\0') return;
    if (c == '"') {
      skip_string(scan);
    } else if (c == '{' || c == '[') {
      depth++;
      scan->at++;
    } else if (c == '}' || c == ']') {
      depth--;
      scan->at++;
    } else if (c == ',' || c == ':') {
      scan->at++;
    } else {
      while (scan->at < scan->size && !strchr(" \t\r\n,]}", scan->text[scan->at])) scan->at++;
    }
  } while (depth > 0);
}

/* A key in the text may be written with escapes; jansson decodes those. */
static bool same_key(const char *quoted, size_t size, const char *key) {
  if (!memchr(quoted, '\\', size)) return strlen(key) == size - 2 && memcmp(quoted + 1, key, size - 2) == 0;
  json_t *decoded = json_loadb(quoted, size, JSON_DECODE_ANY, NULL);
  const bool same = decoded && strcmp(json_string_value(decoded), key) == 0;
  json_decref(decoded);
  return same;
}

/* From an object's '{' to the value of `key` (or to the key itself); false if it is not there. */
static bool enter_key(scanner *scan, const char *key, bool stay_at_key) {
  if (peek(scan) != '{') return false;
  scan->at++;
  for (;;) {
    skip_space(scan);
    if (peek(scan) == ',') {
      scan->at++;
      continue;
    }
    if (peek(scan) != '"') return false;
    const size_t start = scan->at;
    skip_string(scan);
    const bool found = same_key(scan->text + start, scan->at - start, key);
    if (found && stay_at_key) {
      scan->at = start;
      return true;
    }
    skip_space(scan);
    scan->at++; /* the colon */
    skip_space(scan);
    if (found) return true;
    skip_value(scan);
  }
}

static bool enter_element(scanner *scan, size_t index) {
  if (peek(scan) != '[') return false;
  scan->at++;
  for (;;) {
    skip_space(scan);
    if (peek(scan) == ']' || peek(scan) == '\0') return false;
    if (index == 0) return true;
    index--;
    skip_value(scan);
    skip_space(scan);
    if (peek(scan) == ',') scan->at++;
  }
}

static bool walk(scanner *scan, const plan_place *place, bool key) {
  if (!place) {
    skip_space(scan);
    return true;
  }
  if (!walk(scan, place->up, false)) return false;
  const size_t before = scan->at;
  if (place->key ? enter_key(scan, place->key, key) : enter_element(scan, place->index)) return true;
  scan->at = before; /* not there: the parent is the place to look at */
  return false;
}

/* Offset in the text of the value at `place` (or of its key), or of its nearest parent that exists. */
static size_t plan_locate(const char *text, size_t size, const plan_place *place, bool key) {
  scanner scan = {.text = text, .size = size};
  walk(&scan, place, key);
  return scan.at < size ? scan.at : size;
}

/* "pieces[3].width"; nothing at the root. */
static void add_path(bc_buffer *buffer, const plan_place *place) {
  if (!place) return;
  add_path(buffer, place->up);
  if (place->key)
    bc_buffer_add(buffer, "%s%s", place->up ? "." : "", place->key);
  else
    bc_buffer_add(buffer, "[%zu]", place->index);
}

/* The title or id of the piece, rod or other thing that `place` is in; NULL when it is in none. */
static const char *thing_at(const plan_reader *reader, const plan_place *place) {
  while (place && (place->key || !place->up || place->up->up)) place = place->up;
  if (!place) return NULL;
  const json_t *thing = json_array_get(json_object_get(reader->plan->document, place->up->key), place->index);
  const char *title = json_string_value(json_object_get(thing, "title"));
  return title ? title : json_string_value(json_object_get(thing, "id"));
}

#define NAMED_MOST 60 /* letters of a name in a sentence: a longer one would drown it */

/* malloc'd; cut after a whole character. */
static char *short_name(const char *name) {
  size_t end = 0, letters = 0;
  for (; name[end]; end++)
    if (((unsigned char)name[end] & 0xc0) != 0x80 && letters++ == NAMED_MOST) return bc_format("%.*s…", (int)end, name);
  return bc_copy_text(name);
}

/* Whoever fills in a form sees no lines and no keys. Takes the sentence over. */
static bc_status fail_by_name(const plan_reader *reader, const plan_place *place, char *sentence) {
  const char *name = thing_at(reader, place);
  char *thing = name ? short_name(name) : NULL;
  /* TRANSLATORS: the name of a piece or of another thing on the wall, then a sentence. */
  const bc_status status = thing ? bc_fail(reader->context, BC_BAD_DATA, _("\"%s\": %s"), thing, sentence)
                                 : bc_fail(reader->context, BC_BAD_DATA, "%s", sentence);
  free(thing);
  free(sentence);
  return status;
}

static bc_status fail_at(const plan_reader *reader, const plan_place *place, bool key, const char *format,
                         va_list arguments) {
  char *sentence = NULL;
  if (vasprintf(&sentence, format, arguments) < 0) return bc_fail_memory(reader->context);
  if (reader->options.from_form) return fail_by_name(reader, place, sentence);
  bc_buffer path = {0};
  add_path(&path, place);
  bc_buffer_add(&path, "%s", place ? ": " : "");
  char *shown = NULL;
  bc_status status = bc_buffer_finish(&path, &shown, reader->context);
  if (status == BC_OK) {
    size_t line = 1, column = 1;
    const size_t offset = plan_locate(reader->text, reader->size, place, key);
    *reader->failed_at = offset;
    for (size_t i = 0; i < offset; i++) {
      if (reader->text[i] == '\n') {
        line++;
        column = 1;
      } else if (((unsigned char)reader->text[i] & 0xc0) != 0x80) {
        column++; /* characters, not bytes */
      }
    }
    /* TRANSLATORS: file, line, column, then the key's path with a colon (or nothing), then a sentence. */
    status = bc_fail(reader->context, BC_BAD_DATA, _("%s, line %zu, column %zu, %s%s"), reader->name, line, column,
                     shown, sentence);
  }
  free(shown);
  free(sentence);
  return status;
}

bc_status plan_fail(const plan_reader *reader, const plan_place *place, const char *format, ...) {
  va_list arguments;
  va_start(arguments, format);
  const bc_status status = fail_at(reader, place, false, format, arguments);
  va_end(arguments);
  return status;
}

bc_status plan_fail_key(const plan_reader *reader, const plan_place *place, const char *format, ...) {
  va_list arguments;
  va_start(arguments, format);
  const bc_status status = fail_at(reader, place, true, format, arguments);
  va_end(arguments);
  return status;
}
