/* SPDX-License-Identifier: MIT */
/* Measures of the set-up sheet as a tape shows them, in both units. */
#include "sheet_internal.h"

#include <math.h>
#include <stdio.h>

/* Inches to a quarter: "87½". */
static void inches(char *out, size_t size, double cm) {
  static const char *const quarters[] = {"", "¼", "½", "¾"};
  const long parts = lrint(cm / 2.54 * 4);
  if (parts < 4 && parts > 0)
    snprintf(out, size, "%s", quarters[parts]);
  else
    snprintf(out, size, "%ld%s", parts / 4, quarters[parts % 4]);
}

static void centimetres(char *out, size_t size, double cm) {
  if (fabs(cm - round(cm)) < 0.05)
    snprintf(out, size, "%.0f", cm);
  else
    snprintf(out, size, "%ld.%ld", lrint(cm * 10) / 10, lrint(cm * 10) % 10);
}

static void places(char out[SHEET_WORDS], const double *cm, size_t count, bool imperial) {
  size_t length = 0;
  out[0] = '\0';
  for (size_t i = 0; i < count && length + 40 < SHEET_WORDS; i++) {
    char one[24];
    (imperial ? inches : centimetres)(one, sizeof one, cm[i]);
    length += (size_t)snprintf(out + length, SHEET_WORDS - length, "%s%s", i ? " · " : "", one);
  }
  snprintf(out + length, SHEET_WORDS - length, imperial ? " in" : " cm");
}

void sheet_measures(const sheet_setup *s, char first[SHEET_WORDS], char second[SHEET_WORDS], const double *cm,
                    size_t count) {
  places(first, cm, count, s->options.units == BC_UNITS_IMPERIAL);
  places(second, cm, count, s->options.units != BC_UNITS_IMPERIAL);
}
