/* SPDX-License-Identifier: MIT */
/* The quick CIEDE2000 against the plain one, over the whole solid and at the places where it is special. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* the four above come before cmocka */
#include <cmocka.h>

#include "match/match_internal.h"
#include "match_made.h"

static void same(bc_lab first, bc_lab second) {
  const double quick = match_delta_e00(first, second), plain = bc_delta_e00(first, second);
  if (!(fabs(quick - plain) <= 2e-6))
    fail_msg("(%g %g %g) (%g %g %g): %.9g, not %.9g", first.L, first.a, first.b, second.L, second.a, second.b, quick,
             plain);
}

static void test_everywhere(void **state) {
  (void)state;
  uint64_t seed = 29;
  for (int i = 0; i < 200000; i++) {
    bc_lab first = made_lab(&seed), second = made_lab(&seed);
    if (i % 3 == 0) { /* near neighbours */
      second = first;
      second.L += made_random(&seed);
      second.a += made_random(&seed) - 0.5;
      second.b += made_random(&seed) - 0.5;
    }
    if (i % 5 == 0) first.a *= 2.4, first.b *= 2.4; /* very vivid */
    same(first, second);
  }
}

static void test_special_places(void **state) {
  (void)state;
  const bc_lab lab[] = {{50, 0, 0},   {50, 1e-6, 0},      {50, 20, 0},        {50, -20, 0},
                        {50, 0, -60}, {50, 5, -60},       {50, -5, -60},      {0, 0, 0},
                        {100, 0, 0},  {50, 2.49, -0.001}, {50, -2.49, 0.001}, {30, 60, -80}};
  const size_t count = sizeof lab / sizeof *lab;
  for (size_t i = 0; i < count; i++)
    for (size_t j = 0; j < count; j++) same(lab[i], lab[j]);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(test_everywhere), cmocka_unit_test(test_special_places)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
