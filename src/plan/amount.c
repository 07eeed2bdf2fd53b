/* SPDX-License-Identifier: MIT */
/* Numbers of a plan with their units: plain numbers in the file's units, or text such as "4 ft 2 in", "850 g".
 * 1 in = 2.54 cm, 1 lb = 0.45359237 kg exactly (international yard and pound agreement, 1959); 1 lb = 16 oz. */
#include "plan_internal.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define CM_PER_INCH 2.54
#define GRAMS_PER_OUNCE 28.349523125
#define GRAMS_PER_POUND 453.59237
#define CM2_PER_YD2 8361.2736
#define TEXT_MOST 40

typedef enum dimension { NO_DIMENSION, LENGTH, MASS, SURFACE_MASS } dimension;
typedef enum system { SI, INCHES } system_of_units;

/* Sums are made in one unit of the system (cm or in, g or oz), then converted once, so that they are exact. */
typedef struct unit {
  const char *word;
  dimension dimension;
  system_of_units system;
  double factor;
} unit;
static const unit units_known[] = {
    {"mm", LENGTH, SI, 0.1},
    {"cm", LENGTH, SI, 1},
    {"m", LENGTH, SI, 100},
    {"in", LENGTH, INCHES, 1},
    {"inch", LENGTH, INCHES, 1},
    {"inches", LENGTH, INCHES, 1},
    {"\"", LENGTH, INCHES, 1},
    {"\u2033", LENGTH, INCHES, 1},
    {"ft", LENGTH, INCHES, 12},
    {"foot", LENGTH, INCHES, 12},
    {"feet", LENGTH, INCHES, 12},
    {"'", LENGTH, INCHES, 12},
    {"\u2032", LENGTH, INCHES, 12},
    {"yd", LENGTH, INCHES, 36},
    {"g", MASS, SI, 1},
    {"kg", MASS, SI, 1000},
    {"oz", MASS, INCHES, 1},
    {"ounce", MASS, INCHES, 1},
    {"ounces", MASS, INCHES, 1},
    {"lb", MASS, INCHES, 16},
    {"lbs", MASS, INCHES, 16},
    {"pound", MASS, INCHES, 16},
    {"pounds", MASS, INCHES, 16},
    {"g/m2", SURFACE_MASS, SI, 1},
    {"g/m\u00b2", SURFACE_MASS, SI, 1},
    {"oz/yd2", SURFACE_MASS, INCHES, 1},
    {"oz/yd\u00b2", SURFACE_MASS, INCHES, 1},
};

/* What one of a system's base units is in cm, g, g/m2. */
static double base(dimension of, system_of_units system) {
  if (system == SI) return 1;
  return of == LENGTH ? CM_PER_INCH : of == MASS ? GRAMS_PER_OUNCE : GRAMS_PER_OUNCE / (CM2_PER_YD2 / 10000);
}

static dimension dimension_of(const plan_field *field) {
  if (strcmp(field->unit, "cm") == 0 || strcmp(field->unit, "mm") == 0) return LENGTH;
  if (strcmp(field->unit, "g") == 0 || strcmp(field->unit, "kg") == 0) return MASS;
  return strcmp(field->unit, "g/m2") == 0 ? SURFACE_MASS : NO_DIMENSION;
}

/* The field's unit in cm, g, g/m2. */
static double field_scale(const plan_field *field) {
  return strcmp(field->unit, "mm") == 0 ? 0.1 : strcmp(field->unit, "kg") == 0 ? 1000 : 1;
}

/* --- text ---------------------------------------------------------------------------------------------- */
static void skip_space(const char **at) {
  while (**at == ' ' || **at == '\t') (*at)++;
}

static bool digits(const char **at, double *out, bool point) {
  const char *start = *at;
  double value = 0, place = 1;
  bool any = false, after = false;
  for (; isdigit((unsigned char)**at) || (point && !after && **at == '.'); (*at)++) {
    if (**at == '.') {
      after = true;
      continue;
    }
    any = true;
    value = value * 10 + (**at - '0');
    if (after) place *= 10;
  }
  if (!any) *at = start;
  *out = value / place; /* both are exact up to 15 digits, so the quotient is the nearest double */
  return any;
}

/* "4", "4.5", "1/2", "4 1/2". */
static bool number(const char **at, double *out) {
  double above, below;
  if (!digits(at, out, true)) return false;
  const char *rest = *at;
  if (*rest == '/') { /* the number just read was the upper half */
    rest++;
    if (!digits(&rest, &below, false) || below == 0) return false;
    *out /= below;
    *at = rest;
    return true;
  }
  skip_space(&rest);
  if (digits(&rest, &above, false) && *rest == '/') {
    rest++;
    if (!digits(&rest, &below, false) || below == 0) return false;
    *out += above / below;
    *at = rest;
  }
  return true;
}

static const unit *unit_word(const char **at) {
  const unit *best = NULL;
  size_t longest = 0;
  for (size_t i = 0; i < sizeof units_known / sizeof *units_known; i++) {
    const size_t length = strlen(units_known[i].word);
    if (length > longest && strncasecmp(*at, units_known[i].word, length) == 0 &&
        !isalpha((unsigned char)(*at)[length])) {
      best = &units_known[i];
      longest = length;
    }
  }
  *at += longest;
  return best;
}

/* "-4 ft 2 in": a sign, then numbers with units, each smaller than the one before. */
static plan_amount read_text(double *out, const char *text, dimension wanted) {
  skip_space(&text);
  const double sign = *text == '-' ? -1 : 1;
  if (*text == '-' || *text == '+') text++;
  const unit *last = NULL;
  double sum = 0;
  for (skip_space(&text); *text || !last; skip_space(&text)) {
    double value;
    if (!number(&text, &value)) return PLAN_AMOUNT_NO_UNIT;
    skip_space(&text);
    const unit *here = unit_word(&text);
    if (!here) return PLAN_AMOUNT_NO_UNIT;
    if (here->dimension != wanted) return PLAN_AMOUNT_WRONG_UNIT;
    if (last && (here->system != last->system || here->factor >= last->factor)) return PLAN_AMOUNT_NO_UNIT;
    sum += value * here->factor;
    last = here;
  }
  *out = sign * sum * base(wanted, last->system);
  return PLAN_AMOUNT_FINE;
}

/* --- numbers ------------------------------------------------------------------------------------------- */
/* What a plain number stands for, in the field's unit: keys that name a unit mean it, whatever the file's units. */
static double plain_scale(const plan_field *field, bool by_also, bc_units units) {
  if (units == BC_UNITS_IMPERIAL) {
    if (strcmp(field->unit, "cm") == 0) return CM_PER_INCH;
    if (by_also) return strcmp(field->unit, "kg") == 0 ? GRAMS_PER_POUND / 1000 : GRAMS_PER_OUNCE;
  }
  return 1;
}

plan_amount plan_read_amount(double *out, const json_t *value, const plan_field *field, bool by_also, bc_units units) {
  if (json_is_number(value)) {
    *out = json_number_value(value) * plain_scale(field, by_also, units);
    return PLAN_AMOUNT_FINE;
  }
  if (!json_is_string(value)) return PLAN_AMOUNT_NO_NUMBER;
  const char *text = json_string_value(value);
  if (strcmp(text, PLAN_MISSING) == 0) return PLAN_AMOUNT_MISSING;
  const dimension wanted = dimension_of(field);
  if (wanted == NO_DIMENSION) return PLAN_AMOUNT_NO_NUMBER;
  if (base_letters(text) > TEXT_MOST) return PLAN_AMOUNT_NO_UNIT;
  const plan_amount read = read_text(out, text, wanted);
  if (read == PLAN_AMOUNT_FINE) *out /= field_scale(field);
  return read;
}

bool bc_plan_length(double *cm, const char *text) {
  if (strlen(text) > TEXT_MOST) return false;
  double read;
  if (read_text(&read, text, LENGTH) != PLAN_AMOUNT_FINE) {
    char *end = NULL;
    read = strtod(text, &end);
    if (end == text || *end || !isfinite(read)) return false;
  }
  *cm = read;
  return true;
}

/* To four places of the imperial unit: a hundredth of what a tape shows, and short to read. */
double plan_write_amount(double value, const plan_field *field, bool by_also, bc_units units) {
  const double scale = plain_scale(field, by_also, units);
  return scale == 1 ? value : round(value / scale * 1e4) / 1e4;
}

json_t *plan_get(const json_t *object, const plan_field *field, bool *by_also) {
  json_t *value = json_object_get(object, field->key);
  json_t *other = field->also ? json_object_get(object, field->also) : NULL;
  *by_also = !value && other;
  return value ? value : other;
}
