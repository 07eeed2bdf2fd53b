/* SPDX-License-Identifier: MIT */
/* Lengths in the short forms that fit beside a dimension line or into a list; whole sentences use
 * the plan stage's words. 1 in = 2.54 cm exactly (international yard and pound agreement, 1959). */
#include "paper.h"

#include <math.h>
#include <stdio.h>

#define CM_PER_INCH 2.54

static const char *const eighths[8] = {"", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞"};

/* A fraction stays at its number's right where words run from the right: left-to-right marks on both of its sides. */
static const char *fraction(char out[16], long parts) {
  const char *const part = eighths[parts % 8];
  snprintf(out, 16, part[0] && bc_language_right_to_left() ? "\u200e%s\u200e" : "%s", part);
  return out;
}

void drawing_number_cm(char out[DRAWING_WORDS], double cm) {
  const double rounded = round(cm * 10) / 10;
  snprintf(out, DRAWING_WORDS, fabs(rounded - round(rounded)) < 0.05 ? "%.0f" : "%.1f", rounded + 0.0);
}

static void metric(char out[DRAWING_WORDS], double cm) {
  const double rounded = round(cm * 10) / 10;
  snprintf(out, DRAWING_WORDS, fabs(rounded - round(rounded)) < 0.05 ? _("%.0f cm") : _("%.1f cm"), rounded + 0.0);
}

static void imperial(char out[DRAWING_WORDS], double cm) {
  const long parts = lrint(fabs(cm) / CM_PER_INCH * 8);
  const long feet = parts >= 24 * 8 ? parts / 96 : 0;
  const long inches = (parts - feet * 96) / 8;
  char buffer[16];
  const char *const part = fraction(buffer, parts);
  const char *const sign = cm < 0 && parts > 0 ? "−" : "";
  if (feet > 0)
    snprintf(out, DRAWING_WORDS, _("%s%ld ft %ld%s in"), sign, feet, inches, part);
  else if (inches == 0 && part[0])
    snprintf(out, DRAWING_WORDS, _("%s%s in"), sign, part);
  else
    snprintf(out, DRAWING_WORDS, _("%s%ld%s in"), sign, inches, part);
}

void drawing_length(char out[DRAWING_WORDS], double cm, bc_units units) {
  if (units == BC_UNITS_IMPERIAL)
    imperial(out, cm);
  else
    metric(out, cm);
}

static void join(char out[DRAWING_WORDS], const char *first, const char *second) {
  snprintf(out, DRAWING_WORDS, "%.45s · %.45s", first, second);
}

/* "30 × 42 cm": the unit once. */
static void size_metric(char out[DRAWING_WORDS], double width, double height) {
  char across[DRAWING_WORDS], down[DRAWING_WORDS];
  drawing_number_cm(across, width);
  drawing_number_cm(down, height);
  snprintf(out, DRAWING_WORDS, _("%s × %s cm"), across, down);
}

static void inches_only(char out[DRAWING_WORDS], double cm) {
  const long parts = lrint(cm / CM_PER_INCH * 8);
  char part[16];
  fraction(part, parts);
  if (parts >= 8 || parts % 8 == 0)
    snprintf(out, DRAWING_WORDS, "%ld%s", parts / 8, part);
  else
    snprintf(out, DRAWING_WORDS, "%s", part);
}

static void size_imperial(char out[DRAWING_WORDS], double width, double height) {
  char across[DRAWING_WORDS], down[DRAWING_WORDS];
  inches_only(across, width);
  inches_only(down, height);
  snprintf(out, DRAWING_WORDS, _("%s × %s in"), across, down);
}

void drawing_size_both(char out[DRAWING_WORDS], double width_cm, double height_cm, bc_units units) {
  char first[DRAWING_WORDS], second[DRAWING_WORDS];
  size_metric(first, width_cm, height_cm);
  size_imperial(second, width_cm, height_cm);
  if (units == BC_UNITS_IMPERIAL)
    join(out, second, first);
  else
    join(out, first, second);
}
