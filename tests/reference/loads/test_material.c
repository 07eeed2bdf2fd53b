/* SPDX-License-Identifier: MIT */
/* Strength, stiffness and density of woods against the inch-pound columns of the USDA Wood Handbook (FPL-GTR-190),
 * chapter 5, Table 5-3b: psi and 10^6 psi, 1 psi = 6894.757 Pa; density 1000 x specific gravity x 1.12. Steel: EN
 * 1993-1-1, 3.2.6 and Table 3.1. */
#include "loads/loads_internal.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>

#include <cmocka.h>

static void woods(void **state) {
  (void)state;
  const struct {
    const char *word;
    double gravity, psi, million_psi;
  } table[] = {{"ash", 0.60, 15000, 1.74},   {"birch", 0.62, 16600, 2.01}, {"douglas-fir", 0.48, 12400, 1.95},
               {"maple", 0.63, 15800, 1.83}, {"pine", 0.35, 8600, 1.24},   {"poplar", 0.42, 10100, 1.58},
               {"spruce", 0.35, 9300, 1.30}, {"oak", 0.68, 14300, 1.78}};
  for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
    const loads_material *m = loads_material_named(table[i].word);
    assert_non_null(m);
    assert_true(fabs(m->strength_mpa - table[i].psi * 6894.757e-6) <= 1);        /* printed to 1 MPa */
    assert_true(fabs(m->elastic_gpa - table[i].million_psi * 6.894757) <= 0.11); /* printed to 0.1 GPa */
    assert_true(fabs(m->density - 1120 * table[i].gravity) <= 1);
  }
}

static void steel(void **state) {
  (void)state;
  const loads_material *m = loads_material_named("steel");
  assert_true(m->elastic_gpa == 210 && m->strength_mpa == 235 && m->density == 7850);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(woods), cmocka_unit_test(steel)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
