/* SPDX-License-Identifier: MIT */
/* Lengths and masses as people read them. Conversions: international yard and pound agreement, 1959. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/measures.h"

static void says(double cm, bc_units units, base_measure_from from, const char *wanted) {
  char words[BC_MEASURE_ROOM];
  base_measure_length(words, cm, units, from);
  assert_string_equal(words, wanted);
}

static void a_tape_is_read_to_its_marks(void **state) {
  (void)state;
  says(42, BC_UNITS_METRIC, BC_MEASURE_TAPE, "42 cm");
  says(12.46, BC_UNITS_METRIC, BC_MEASURE_TAPE, "12.5 cm");
  says(150.3, BC_UNITS_METRIC, BC_MEASURE_TAPE, "150.3 cm");
  says(9.97, BC_UNITS_METRIC, BC_MEASURE_TAPE, "10 cm");
  says(-3.25, BC_UNITS_METRIC, BC_MEASURE_TAPE, "−3.3 cm");
  says(-0.01, BC_UNITS_METRIC, BC_MEASURE_TAPE, "0 cm");
  says(60, BC_UNITS_IMPERIAL, BC_MEASURE_TAPE, "23⅝ in");
  says(2.54, BC_UNITS_IMPERIAL, BC_MEASURE_TAPE, "1 in");
  says(1.27, BC_UNITS_IMPERIAL, BC_MEASURE_TAPE, "½ in");
  says(0.1, BC_UNITS_IMPERIAL, BC_MEASURE_TAPE, "0.04 in"); /* a sag is not nothing */
  says(0, BC_UNITS_IMPERIAL, BC_MEASURE_TAPE, "0 in");
  says(36 * 2.54, BC_UNITS_IMPERIAL, BC_MEASURE_TAPE, "3 ft 0 in");
  says(35.99 * 2.54, BC_UNITS_IMPERIAL, BC_MEASURE_TAPE, "3 ft 0 in"); /* what is rounded decides, not what was there */
  says(-180, BC_UNITS_IMPERIAL, BC_MEASURE_TAPE, "−5 ft 10⅞ in");
}

static void a_photo_tells_no_millimetres(void **state) {
  (void)state;
  says(116.4, BC_UNITS_METRIC, BC_MEASURE_SEEN, "116 cm");
  says(8.24, BC_UNITS_METRIC, BC_MEASURE_SEEN, "8.2 cm");
  says(301.2, BC_UNITS_METRIC, BC_MEASURE_SEEN, "3.01 m");
  says(116.4, BC_UNITS_IMPERIAL, BC_MEASURE_SEEN, "3 ft 10 in");
  says(40, BC_UNITS_IMPERIAL, BC_MEASURE_SEEN, "16 in");
}

static void both_units_stand_side_by_side(void **state) {
  (void)state;
  char words[BC_MEASURE_ROOM];
  bc_length_words(words, sizeof words, 60, BC_UNITS_METRIC);
  assert_string_equal(words, "60 cm (23⅝ in)");
  bc_length_words(words, sizeof words, 60, BC_UNITS_IMPERIAL);
  assert_string_equal(words, "23⅝ in (60 cm)");
  base_measure_size_both(words, 30, 42, BC_UNITS_METRIC, BC_MEASURE_TAPE);
  assert_string_equal(words, "30 × 42 cm · 11¾ × 16½ in");
  bc_mass_words(words, sizeof words, 850, BC_UNITS_METRIC);
  assert_string_equal(words, "850 g (1 lb 14 oz)");
  bc_mass_words(words, sizeof words, 2400, BC_UNITS_IMPERIAL);
  assert_string_equal(words, "5 lb 5 oz (2.4 kg)");
  bc_mass_words(words, sizeof words, 999.7, BC_UNITS_METRIC);
  assert_string_equal(words, "1.0 kg (2 lb 3 oz)");
}

/* The words read back are within half a mark of the length, for lengths of all sizes. */
static void no_word_is_off_by_more_than_half_a_mark(void **state) {
  (void)state;
  char words[BC_MEASURE_ROOM];
  for (double cm = 0.2; cm < 400; cm += 0.037) {
    base_measure_number(words, cm, BC_UNITS_METRIC, BC_MEASURE_TAPE);
    assert_true(fabs(strtod(words, NULL) - cm) <= 0.05 + 1e-9);
    base_measure_number(words, cm, BC_UNITS_IMPERIAL, BC_MEASURE_TAPE);
    static const char *const eighths[] = {"", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞"};
    char *end = NULL;
    double inches = strtod(words, &end);
    for (int i = 1; i < 8; i++)
      if (strcmp(end, eighths[i]) == 0) inches += i / 8.0;
    assert_true(fabs(inches * 2.54 - cm) <= 2.54 / 16 + 1e-9);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(a_tape_is_read_to_its_marks), cmocka_unit_test(a_photo_tells_no_millimetres),
      cmocka_unit_test(both_units_stand_side_by_side), cmocka_unit_test(no_word_is_off_by_more_than_half_a_mark)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
