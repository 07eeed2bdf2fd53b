/* SPDX-License-Identifier: MIT */
/* Lengths and masses as people read them. In: cm, g. Out: words; measures.h says how they are rounded. */
#include "measures.h"

#include "base.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

enum { EIGHTHS = 8, FEET_FROM = 36 /* inches */ };
static const char minus[] = "−";

/* --- centimetres ---------------------------------------------------------------------------------------- */

/* Tenths of a centimetre, or whole centimetres where a photo tells no more. */
static long tenths_of(double cm, base_measure_from from) {
  const bool coarse = from == BC_MEASURE_SEEN && fabs(cm) >= 20;
  return coarse ? lround(fabs(cm)) * 10 : lround(fabs(cm) * 10);
}

static void bare_cm(char out[BC_MEASURE_ROOM], double cm, base_measure_from from) {
  const long tenths = tenths_of(cm, from);
  const char *const sign = cm < 0 && tenths ? minus : "";
  bc_say(out, BC_MEASURE_ROOM, tenths % 10 ? "%s%.1f" : "%s%.0f", sign, (double)tenths / 10);
}

static void metric_length(char out[BC_MEASURE_ROOM], double cm, base_measure_from from) {
  if (from == BC_MEASURE_SEEN && fabs(cm) >= 200) {
    bc_say(out, BC_MEASURE_ROOM, _("%.2f m"), cm / 100);
    return;
  }
  char number[BC_MEASURE_ROOM];
  bare_cm(number, cm, from);
  snprintf(out, BC_MEASURE_ROOM, _("%s cm"), number);
}

/* --- inches --------------------------------------------------------------------------------------------- */

/* A fraction stays at its number's right where words run from the right: left-to-right marks on both of its sides. */
static const char *fraction(char out[16], long parts) {
  static const char *const eighths[EIGHTHS] = {"", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞"};
  const char *const part = eighths[parts % EIGHTHS];
  snprintf(out, 16, part[0] && bc_language_right_to_left() ? "\u200e%s\u200e" : "%s", part);
  return out;
}

static long eighths_of(double cm, base_measure_from from) {
  const double inches = fabs(cm) / BC_CM_PER_INCH;
  return from == BC_MEASURE_SEEN && inches >= 10 ? lround(inches) * EIGHTHS : lround(inches * EIGHTHS);
}

/* True when rounding to the eighth would leave nothing of it. */
static bool is_slight(double cm) {
  return eighths_of(cm, BC_MEASURE_TAPE) == 0 && fabs(cm) >= 0.005 * BC_CM_PER_INCH;
}

/* "16½", "½", "0". */
static void whole_and_part(char out[BC_MEASURE_ROOM], const char *sign, long whole, long parts) {
  char part[16];
  fraction(part, parts);
  if (whole == 0 && part[0])
    snprintf(out, BC_MEASURE_ROOM, "%s%s", sign, part);
  else
    snprintf(out, BC_MEASURE_ROOM, "%s%ld%s", sign, whole, part);
}

static void bare_inches(char out[BC_MEASURE_ROOM], double cm, base_measure_from from) {
  const long parts = eighths_of(cm, from);
  if (is_slight(cm)) {
    bc_say(out, BC_MEASURE_ROOM, "%s%.2f", cm < 0 ? minus : "", (double)lround(fabs(cm) / BC_CM_PER_INCH * 100) / 100);
  } else {
    whole_and_part(out, cm < 0 && parts ? minus : "", parts / EIGHTHS, parts);
  }
}

static void imperial_length(char out[BC_MEASURE_ROOM], double cm, base_measure_from from) {
  const long parts = eighths_of(cm, from);
  char number[BC_MEASURE_ROOM];
  if (parts < (long)FEET_FROM * EIGHTHS) {
    bare_inches(number, cm, from);
    snprintf(out, BC_MEASURE_ROOM, _("%s in"), number);
    return;
  }
  const long feet = parts / (12L * EIGHTHS), rest = parts % (12L * EIGHTHS);
  char part[16], whole[32];
  snprintf(whole, sizeof whole, "%s%ld", cm < 0 ? minus : "", feet);
  snprintf(number, sizeof number, "%ld%s", rest / EIGHTHS, fraction(part, rest));
  snprintf(out, BC_MEASURE_ROOM, _("%1$s ft %2$s in"), whole, number);
}

/* --- masses --------------------------------------------------------------------------------------------- */

static void metric_mass(char out[BC_MEASURE_ROOM], double grams) {
  if (grams < 999.5)
    snprintf(out, BC_MEASURE_ROOM, _("%.0f g"), grams);
  else
    bc_say(out, BC_MEASURE_ROOM, grams < 99950 ? _("%.1f kg") : _("%.0f kg"), grams / 1000);
}

static void imperial_mass(char out[BC_MEASURE_ROOM], double grams) {
  const long ounces = lround(grams / BC_GRAMS_PER_OUNCE);
  if (grams < BC_GRAMS_PER_OUNCE * 0.95)
    bc_say(out, BC_MEASURE_ROOM, _("%.1f oz"), grams / BC_GRAMS_PER_OUNCE);
  else if (ounces < 16)
    snprintf(out, BC_MEASURE_ROOM, _("%ld oz"), ounces);
  else if (ounces < 16L * 20)
    snprintf(out, BC_MEASURE_ROOM, _("%ld lb %ld oz"), ounces / 16, ounces % 16);
  else
    snprintf(out, BC_MEASURE_ROOM, _("%.0f lb"), grams / BC_GRAMS_PER_OUNCE / 16);
}

/* --- what others call ----------------------------------------------------------------------------------- */

void base_measure_length(char out[BC_MEASURE_ROOM], double cm, bc_units units, base_measure_from from) {
  (units == BC_UNITS_IMPERIAL ? imperial_length : metric_length)(out, cm, from);
}

/* "150 g" or "5 oz". */
static void bare_mass(char out[BC_MEASURE_ROOM], double grams, bc_units units) {
  (units == BC_UNITS_IMPERIAL ? imperial_mass : metric_mass)(out, grams);
}

void base_measure_number(char out[BC_MEASURE_ROOM], double cm, bc_units units, base_measure_from from) {
  (units == BC_UNITS_IMPERIAL ? bare_inches : bare_cm)(out, cm, from);
}

/* Width and height with the unit once: "30 × 42 cm". */
static void bare_size(char out[BC_MEASURE_ROOM], double width_cm, double height_cm, bc_units units,
                      base_measure_from from) {
  char across[BC_MEASURE_ROOM], down[BC_MEASURE_ROOM];
  base_measure_number(across, width_cm, units, from);
  base_measure_number(down, height_cm, units, from);
  snprintf(out, BC_MEASURE_ROOM, units == BC_UNITS_IMPERIAL ? _("%s × %s in") : _("%s × %s cm"), across, down);
}

static bc_units other_than(bc_units units) {
  return units == BC_UNITS_METRIC ? BC_UNITS_IMPERIAL : BC_UNITS_METRIC;
}

void base_measure_size_both(char out[BC_MEASURE_ROOM], double width_cm, double height_cm, bc_units first,
                            base_measure_from from) {
  char one[BC_MEASURE_ROOM], other[BC_MEASURE_ROOM];
  bare_size(one, width_cm, height_cm, first, from);
  bare_size(other, width_cm, height_cm, other_than(first), from);
  snprintf(out, BC_MEASURE_ROOM, "%.90s · %.90s", one, other);
}

static void join(char *out, size_t size, const char *one, const char *other) {
  const bool isolate = bc_language_right_to_left();
  snprintf(out, size, "%s%.84s (%.84s)%s", isolate ? "\u2068" : "", one, other, isolate ? "\u2069" : "");
}

void base_measure_length_both(char out[BC_MEASURE_ROOM], double cm, bc_units first, base_measure_from from) {
  char one[BC_MEASURE_ROOM], other[BC_MEASURE_ROOM];
  base_measure_length(one, cm, first, from);
  base_measure_length(other, cm, other_than(first), from);
  join(out, BC_MEASURE_ROOM, one, other);
}

void bc_length_words(char *out, size_t size, double cm, bc_units first) {
  char words[BC_MEASURE_ROOM];
  base_measure_length_both(words, cm, first, BC_MEASURE_TAPE);
  snprintf(out, size, "%s", words);
}

void bc_mass_words(char *out, size_t size, double grams, bc_units first) {
  char one[BC_MEASURE_ROOM], other[BC_MEASURE_ROOM];
  bare_mass(one, grams, first);
  bare_mass(other, grams, other_than(first));
  join(out, size, one, other);
}
