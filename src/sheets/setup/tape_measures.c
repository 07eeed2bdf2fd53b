/* SPDX-License-Identifier: MIT */
/* Measures of the set-up sheet as a tape shows them, in both units. */
#include "setup_sheet.h"

#include "base/measures.h"
#include <stdio.h>

static void places(char out[SHEET_WORDS], const double *cm, size_t count, bool imperial) {
  size_t length = 0;
  out[0] = '\0';
  for (size_t i = 0; i < count && length + 40 < SHEET_WORDS; i++) {
    char one[BC_MEASURE_ROOM];
    base_measure_number(one, cm[i], imperial ? BC_UNITS_IMPERIAL : BC_UNITS_METRIC, BC_MEASURE_TAPE);
    length += (size_t)snprintf(out + length, SHEET_WORDS - length, "%s%s", i ? " · " : "", one);
  }
  snprintf(out + length, SHEET_WORDS - length, imperial ? " in" : " cm");
}

void sheet_measures(const sheet_setup *s, char first[SHEET_WORDS], char second[SHEET_WORDS], const double *cm,
                    size_t count) {
  places(first, cm, count, s->options.units == BC_UNITS_IMPERIAL);
  places(second, cm, count, s->options.units != BC_UNITS_IMPERIAL);
}
