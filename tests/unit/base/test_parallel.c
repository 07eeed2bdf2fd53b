/* SPDX-License-Identifier: MIT */
/* Two halves of a work: both are done once, nothing within them is divided again, and a thread that stays single
 * divides nothing. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "base/parallel.h"
#include <backcloth/program.h>

typedef struct tally {
  int done[2];
  bool divides[2];
} tally;

static void count(void *cargo, int half) {
  tally *t = cargo;
  t->done[half]++;
  t->divides[half] = base_can_do_both();
}

static void both_halves_are_done_once(void **state) {
  (void)state;
  for (int single = 0; single < 2; single++) {
    const bool before = bc_stay_single(single);
    assert_false(before);
    for (int round = 1; round <= 100; round++) {
      tally t = {0};
      base_do_both(count, &t);
      for (int half = 0; half < 2; half++) {
        assert_int_equal(t.done[half], 1);
        assert_false(t.divides[half]);
      }
    }
    if (single) assert_false(base_can_do_both());
    assert_int_equal(bc_stay_single(false), single);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(both_halves_are_done_once)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
