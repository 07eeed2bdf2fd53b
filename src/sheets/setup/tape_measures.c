/* SPDX-License-Identifier: MIT */
/* Measures of the set-up sheet as a tape shows them, in both units. */
#include "setup_sheet.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* Inches to a quarter: "87½". */
static void inches(char *out, size_t size, double cm) {
  static const char *const quarters[] = {"", "¼", "½", "¾"};
  const long signed_parts = lrint(cm / 2.54 * 4), parts = labs(signed_parts);
  const char *sign = signed_parts < 0 ? "-" : ""; /* a point may lie left of the wall's edge */
  if (parts < 4 && parts > 0)
    snprintf(out, size, "%s%s", sign, quarters[parts]);
  else
    snprintf(out, size, "%s%ld%s", sign, parts / 4, quarters[parts % 4]);
}

static void centimetres(char *out, size_t size, double cm) {
  const long tenths = lrint(fabs(cm) * 10);
  const char *sign = cm < 0 && tenths ? "-" : "";
  if (tenths % 10 == 0)
    snprintf(out, size, "%s%ld", sign, tenths / 10);
  else
    snprintf(out, size, "%s%ld.%ld", sign, tenths / 10, tenths % 10); /* a point in every locale */
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
