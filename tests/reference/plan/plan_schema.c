/* SPDX-License-Identifier: MIT */
/* Prints docs/plan.schema.json from the tables of keys by which plans are read: JSON Schema 2020-12. Bounds of plain
 * numbers depend on the file's units, so each group has two definitions. What relates two values of a plan (a mesh
 * narrower than its panel, ids used once) and the size of a number written as text are no business of a schema. */
#include "plan/plan_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Text between quotation marks of JSON. */
static void quoted(const char *text) {
  json_t *string = json_string(text);
  char *dumped = json_dumps(string, JSON_ENCODE_ANY | JSON_ENSURE_ASCII);
  fputs(dumped ? dumped : "null", stdout);
  free(dumped);
  json_decref(string);
}

static const char *sentence(const char *text) {
  return text ? text : "";
}

/* The shortest figure that is read as this very double. */
static void figure(double value) {
  char text[40];
  for (int digits = 15; digits <= 17; digits++) {
    snprintf(text, sizeof text, "%.*g", digits, value);
    if (strtod(text, NULL) == value) break;
  }
  fputs(text, stdout);
}

static double read_plain(double plain, const plan_field *field, bool by_also, bc_units units) {
  json_t *number = json_real(plain);
  double read = NAN;
  if (plan_read_amount(&read, number, field, by_also, units) != PLAN_AMOUNT_FINE) read = NAN;
  json_decref(number);
  return read;
}

/* The outermost plain number that the program takes: a bound in the field's unit, brought back into the file's. */
static double plain_bound(double bound, bool low, const plan_field *field, bool by_also, bc_units units) {
  const double scale = read_plain(1, field, by_also, units), inwards = low ? INFINITY : -INFINITY;
  if (bound == 0) return 0;
  double plain = bound / scale;
  for (int i = 0; i < 4; i++) plain = nextafter(plain, -inwards);
  for (int i = 0; i < 9; i++) {
    const double read = read_plain(plain, field, by_also, units);
    if (low ? read >= bound : read <= bound) break;
    plain = nextafter(plain, inwards);
  }
  return plain;
}

static void bounds(const plan_field *field, bool by_also, bc_units units) {
  printf(", \"%s\": ", field->above ? "exclusiveMinimum" : "minimum");
  figure(field->above ? field->low : plain_bound(field->low, true, field, by_also, units));
  printf(", \"maximum\": ");
  figure(plain_bound(field->high, false, field, by_also, units));
}

static const char *text_of_unit(const plan_field *field) {
  if (strcmp(field->unit, "cm") == 0 || strcmp(field->unit, "mm") == 0) return "length_text";
  if (strcmp(field->unit, "g") == 0 || strcmp(field->unit, "kg") == 0) return "mass_text";
  return strcmp(field->unit, "g/m2") == 0 ? "cloth_weight_text" : NULL;
}

/* A plain number, or text with a unit, or the mark of what is still missing. */
static void amount(const plan_field *field, bool by_also, bc_units units, bool may_miss) {
  printf("\"anyOf\": [{\"type\": \"number\"");
  bounds(field, by_also, units);
  printf("}");
  if (text_of_unit(field)) printf(", {\"$ref\": \"#/$defs/%s\"}", text_of_unit(field));
  if (may_miss) printf(", {\"$ref\": \"#/$defs/missing\"}");
  printf("]");
}

static void words(const char *const *word) {
  printf("\"enum\": [");
  for (size_t i = 0; word[i]; i++) {
    printf("%s", i ? ", " : "");
    quoted(word[i]);
  }
  printf("]");
}

static const char *unit_word(bc_units units) {
  return units == BC_UNITS_IMPERIAL ? "inches" : "centimetres";
}

static void list(const plan_field *field, bc_context *context, bc_units units) {
  const size_t most = field->most ? field->most : bc_context_limits(context)->plan_pieces;
  printf("\"type\": \"array\", \"maxItems\": %zu, \"items\": {\"$ref\": \"#/$defs/%s in %s\"}", most, field->key,
         unit_word(units));
}

static void description(const plan_field *field, bool by_also) {
  if (!field->what) return;
  printf("\"description\": ");
  char *text = bc_format("%s. %s", field->what, sentence(field->remedy));
  const bool fixed =
      field->unit && (!strcmp(field->unit, "mm") || !strcmp(field->unit, "g") || !strcmp(field->unit, "kg"));
  char *whole = bc_format("%s%s%s", text, fixed && !by_also ? " A plain number is in " : "",
                          fixed && !by_also ? field->unit : "");
  quoted(whole);
  printf(", ");
  free(text);
  free(whole);
}

static void value(const plan_field *field, bool by_also, bc_context *context, bc_units units) {
  description(field, by_also);
  switch (field->kind) {
  case PLAN_NUMBER:
    amount(field, by_also, units, true);
    break;
  case PLAN_WHOLE:
    printf("\"type\": \"integer\"");
    bounds(field, by_also, units);
    break;
  case PLAN_TRUTH:
    printf("\"type\": \"boolean\"");
    break;
  case PLAN_TEXT:
  case PLAN_COLOUR:
  case PLAN_PHOTO:
    printf("\"$ref\": \"#/$defs/%s\"", field->kind == PLAN_COLOUR ? "colour" : "text");
    break;
  case PLAN_WORD:
    words(field->words);
    break;
  case PLAN_POINT:
  case PLAN_SPOTS:
    printf("\"type\": \"array\", \"minItems\": %zu, \"maxItems\": %zu, \"items\": {",
           field->kind == PLAN_POINT ? 2
           : field->least > 1        ? field->least
                                     : 1,
           field->kind == PLAN_POINT ? 2 : field->most);
    amount(field, by_also, units, false);
    printf("}");
    break;
  case PLAN_OBJECT:
    printf("\"$ref\": \"#/$defs/%s in %s\"", field->key, unit_word(units));
    break;
  case PLAN_LIST:
    list(field, context, units);
    break;
  }
}

static void not_both(const char *first, const char *second, bool *any) {
  printf("%s{\"not\": {\"required\": [\"%s\", \"%s\"]}}", *any ? ", " : ",\n      \"allOf\": [", first, second);
  *any = true;
}

/* What depends on another key of the same group. */
static void together(const char *name, const plan_table *table) {
  bool any = false;
  for (size_t i = 0; i < table->count; i++)
    if (table->fields[i].also) not_both(table->fields[i].key, table->fields[i].also, &any);
  if (strcmp(name, "cloth") == 0) not_both("colour", "photo", &any);
  if (any) printf("]");
  if (strcmp(name, "pieces") == 0)
    printf(",\n      \"if\": {\"required\": [\"pinned\"], \"properties\": {\"pinned\": {\"const\": true}}},\n"
           "      \"then\": {\"required\": [\"at\"]}");
  if (strcmp(name, "mount") == 0)
    printf(",\n      \"if\": {\"required\": [\"cord_angles\"]},\n"
           "      \"then\": {\"required\": [\"kind\", \"points\"], \"properties\": {\"kind\": {\"const\": \"cord\"}, "
           "\"points\": {\"const\": 2}}},\n"
           "      \"not\": {\"required\": [\"kind\", \"points\"], \"properties\": {\"kind\": {\"const\": \"cord\"}, "
           "\"points\": {\"exclusiveMinimum\": 2}}}");
}

static void group(const char *name, const plan_table *table, bc_context *context, bc_units units) {
  printf(",\n    \"%s in %s\": {\n      \"type\": \"object\",\n      \"additionalProperties\": false,\n", name,
         unit_word(units));
  printf("      \"required\": [");
  bool first = true;
  for (size_t i = 0; i < table->count; i++) {
    if (!table->fields[i].required) continue;
    printf("%s\"%s\"", first ? "" : ", ", table->fields[i].key);
    first = false;
  }
  printf("],\n      \"properties\": {\n        \"notes\": {\"$ref\": \"#/$defs/notes\"}");
  for (size_t i = 0; i < table->count; i++)
    for (int by_also = 0; by_also < (table->fields[i].also ? 2 : 1); by_also++) {
      printf(",\n        \"%s\": {", by_also ? table->fields[i].also : table->fields[i].key);
      value(&table->fields[i], by_also, context, units);
      printf("}");
    }
  printf("\n      }");
  together(name, table);
  printf("\n    }");
  for (size_t i = 0; i < table->count; i++)
    if (table->fields[i].table) group(table->fields[i].key, table->fields[i].table, context, units);
}

/* The texts with units, as src/plan/amount.c reads them: each unit smaller than the one before, all of one system. */
#define FIGURE "(?:[0-9]+\\.?[0-9]*|\\.[0-9]+)(?:/0*[1-9][0-9]*|[ \\t]+[0-9]+/0*[1-9][0-9]*)?[ \\t]*"
#define TERM(unit) "(?:" FIGURE "(?:" unit ")(?![a-zA-Z])[ \\t]*)"
#define SIGN "^[ \\t]*[-+]?[ \\t]*(?=[0-9.])"
#define END "(?![\\s\\S])"
#define FEET "[fF][tT]|[fF][oO][oO][tT]|[fF][eE][eE][tT]|'|\u2032"
#define INCHES "[iI][nN](?:[cC][hH](?:[eE][sS])?)?|\"|\u2033"
#define METRES TERM("[mM]") "?" TERM("[cC][mM]") "?" TERM("[mM][mM]") "?"
#define YARDS TERM("[yY][dD]") "?" TERM(FEET) "?" TERM(INCHES) "?"
#define GRAMS TERM("[kK][gG]") "?" TERM("[gG]") "?"
#define POUNDS TERM("[lL][bB][sS]?|[pP][oO][uU][nN][dD][sS]?") "?" TERM("[oO][zZ]|[oO][uU][nN][cC][eE][sS]?") "?"
#define PER_AREA TERM("[gG]/[mM][2\u00b2]|[oO][zZ]/[yY][dD][2\u00b2]")

static void shared(void) {
  printf("    \"notes\": {\"description\": \"explanations for people; kept when the plan is written\", \"anyOf\": "
         "[{\"type\": \"string\"}, {\"type\": \"array\", \"items\": {\"type\": \"string\"}}]},\n"
         "    \"missing\": {\"description\": \"marks what is still to be measured\", \"const\": \"?\"},\n"
         "    \"text\": {\"description\": \"on one line, not empty\", \"type\": \"string\", \"maxLength\": 500, "
         "\"pattern\": ");
  quoted("^(?![\\s\\S]*[\\u0000-\\u001f\\u007f])[\\s\\S]*[^ ]");
  printf("},\n    \"colour\": {\"description\": \"a colour of CSS Color 4 that lets nothing shine through, such as "
         "#1f2430, linen, rgb(20 30 40)\", \"$ref\": \"#/$defs/text\", \"pattern\": ");
  quoted("^ *(?:#|[a-zA-Z]|/\\*)");
  printf("},\n    \"length_text\": {\"description\": \"such as 50 cm, 1.2 m, 50 in, 4 ft 2 in\", \"type\": \"string\", "
         "\"maxLength\": 40, \"pattern\": ");
  quoted(SIGN "(?:" METRES "|" YARDS ")" END);
  printf("},\n    \"mass_text\": {\"description\": \"such as 850 g, 1.2 kg, 2 lb 3 oz\", \"type\": \"string\", "
         "\"maxLength\": 40, \"pattern\": ");
  quoted(SIGN "(?:" GRAMS "|" POUNDS ")" END);
  printf("},\n    \"cloth_weight_text\": {\"description\": \"such as 280 g/m2, 8 oz/yd2\", \"type\": \"string\", "
         "\"maxLength\": 40, \"pattern\": ");
  quoted(SIGN PER_AREA END);
  printf("}");
}

int main(void) {
  bc_context *context = NULL;
  if (bc_context_new(&context) != BC_OK) return 70;
  printf("{\n  \"$schema\": \"https://json-schema.org/draft/2020-12/schema\",\n"
         "  \"title\": \"A plan of a market stand's back wall, version 1\",\n"
         "  \"description\": \"Plain numbers: lengths cm, or inches when units is imperial; masses as the key says. "
         "docs/plan.md explains every key, and says what depends on more than one of them.\",\n"
         "  \"if\": {\"type\": \"object\", \"required\": [\"units\"], \"properties\": {\"units\": {\"const\": "
         "\"imperial\"}}},\n"
         "  \"then\": {\"$ref\": \"#/$defs/plan in inches\"},\n"
         "  \"else\": {\"$ref\": \"#/$defs/plan in centimetres\"},\n"
         "  \"$defs\": {\n");
  shared();
  group("plan", &plan_root, context, BC_UNITS_METRIC);
  group("plan", &plan_root, context, BC_UNITS_IMPERIAL);
  puts("\n  }\n}");
  bc_context_free(context);
  return 0;
}
