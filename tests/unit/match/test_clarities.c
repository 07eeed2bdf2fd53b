/* SPDX-License-Identifier: MIT */
/* Many colours judged at once are judged as each is alone, to the last bit: on plain and patterned cloths, solid and
 * seen through, greys and opposite hues among them. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "match/match_internal.h"
#include <backcloth/colour.h>

static double next(uint64_t *seed) {
  *seed = *seed * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
  return (double)(*seed >> 11) / 9007199254740992.0;
}

static bc_colour any_colour(uint64_t *seed, size_t i) {
  const bc_lab lab = {100 * next(seed), 160 * (next(seed) - 0.5), 160 * (next(seed) - 0.5)};
  if (i % 9 == 0) return bc_colour_from_lab((bc_lab){lab.L, 0, 0});
  return bc_colour_from_lab(lab);
}

static bc_cloth any_cloth(uint64_t *seed, size_t parts) {
  bc_cloth cloth = {.colour = any_colour(seed, 1), .spread_l = parts ? 4 : 0, .part_count = parts};
  for (size_t i = 0; i < parts; i++) cloth.parts[i] = (bc_cloth_part){any_colour(seed, i), 1.0 / (double)parts};
  return cloth;
}

static void many_are_judged_as_one(void **state) {
  (void)state;
  uint64_t seed = 5;
  bc_colour own[MATCH_LANES];
  double together[MATCH_LANES], alone;
  size_t lost = 0, all = 0;
  for (size_t turn = 0; turn < 200; turn++) {
    const bc_cloth cloth = any_cloth(&seed, turn % 4);
    const double through = turn % 3 ? 0 : 0.4;
    const size_t count = 1 + turn % MATCH_LANES;
    for (size_t i = 0; i < count; i++) own[i] = any_colour(&seed, i);
    if (count > 2) own[2].lab = (bc_lab){50, -cloth.colour.lab.a, -cloth.colour.lab.b}; /* an opposite hue */
    match_clarities_on(together, own, count, through, &cloth);
    for (size_t i = 0; i < count; i++) {
      match_clarities_on(&alone, &own[i], 1, through, &cloth);
      assert_memory_equal(&alone, &together[i], sizeof alone);
      lost += match_verdict_of(alone) == BC_GETS_LOST;
      all++;
    }
  }
  assert_in_range(lost, all / 20, all * 19 / 20); /* both outcomes are met */
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(many_are_judged_as_one)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
