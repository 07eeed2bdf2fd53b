/* SPDX-License-Identifier: MIT */
/* Beams against handbook cases. Formulas: AISC Steel Construction Manual, Table 3-23 (case numbers from
 * memory); two and three equal spans: the same table and any text on continuous beams. */
#include "loads/beam.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>

#define near(got, wanted, relative) assert_true(fabs((got) - (wanted)) <= (relative)*fmax(1e-9, fabs((double)(wanted))))

static loads_beam_answer solve(const loads_beam *beam) {
  loads_beam_answer answer;
  assert_true(loads_beam_solve(&answer, beam));
  loads_beam_extremes(beam, &answer);
  return answer;
}

/* case 1: uniform load, L = 3 m, w = 120 N/m, timber 38 x 89 mm on edge, E = 13.4 GPa. */
static void uniform_load(void **state) {
  (void)state;
  const loads_spread w = {0, 3, 120};
  const loads_beam beam = {
      .length = 3, .stiffness = 29914.184567, .supports = {0, 3}, .support_count = 2, .spreads = &w, .spread_count = 1};
  const loads_beam_answer a = solve(&beam);
  near(a.reactions[0], 180, 1e-9);
  near(a.reactions[1], 180, 1e-9);
  near(a.sagging, 135, 1e-9);
  near(a.sag * 1000, 4.230852, 1e-6);
}

/* case 7: centre load; case 8: load anywhere; case 9: two equal loads; case 11: two unequal loads. */
static void point_loads(void **state) {
  (void)state;
  const loads_force centre = {1.2, 150};
  loads_beam beam = {.length = 2.4,
                     .stiffness = 12928.909150,
                     .supports = {0, 2.4},
                     .support_count = 2,
                     .forces = &centre,
                     .force_count = 1};
  loads_beam_answer a = solve(&beam);
  near(a.sagging, 90, 1e-9);
  near(a.sag * 1000, 3.341349, 1e-6);

  const loads_force anywhere = {2, 200};
  beam = (loads_beam){.length = 3,
                      .stiffness = 3694.045867,
                      .supports = {0, 3},
                      .support_count = 2,
                      .forces = &anywhere,
                      .force_count = 1};
  a = solve(&beam);
  near(a.reactions[0], 66.666667, 1e-7);
  near(a.reactions[1], 133.333333, 1e-7);
  near(a.sagging, 133.333333, 1e-7);
  near(a.sag * 1000, 26.196200, 1e-6);

  const loads_force equal[] = {{0.9, 80}, {2.1, 80}};
  beam = (loads_beam){
      .length = 3, .stiffness = 6003.658959, .supports = {0, 3}, .support_count = 2, .forces = equal, .force_count = 2};
  a = solve(&beam);
  near(a.sagging, 72, 1e-9);
  near(a.sag * 1000, 11.872760, 1e-6);

  const loads_force unequal[] = {{0.6, 100}, {1.8, 60}};
  beam = (loads_beam){.length = 2.5,
                      .stiffness = 6185.420059,
                      .supports = {0, 2.5},
                      .support_count = 2,
                      .forces = unequal,
                      .force_count = 2};
  a = solve(&beam);
  near(a.reactions[0], 92.8, 1e-9);
  near(a.sagging, 55.68, 1e-9);
  near(a.sag * 1000, 5.878454, 1e-6);
}

/* case 24: overhang on one side under a uniform load over all: l = 2 m, a = 0.6 m, w = 150 N/m. */
static void overhang(void **state) {
  (void)state;
  const loads_spread w = {0, 2.6, 150};
  loads_beam beam = {.length = 2.6,
                     .stiffness = 29914.184567,
                     .supports = {0, 2},
                     .support_count = 2,
                     .spreads = &w,
                     .spread_count = 1};
  loads_beam_answer a = solve(&beam);
  near(a.reactions[0], 136.5, 1e-9);
  near(a.reactions[1], 253.5, 1e-9);
  near(a.sagging, 62.1075, 1e-9);
  near(a.hogging, 27, 1e-9);
  near(a.sag * 1000, 0.820382, 1e-5);
  near(a.tip_right * 1000, -0.560604, 1e-5);
  /* Mirrored, the left overhang says the same. */
  beam = (loads_beam){.length = 2.6,
                      .stiffness = 29914.184567,
                      .supports = {0.6, 2.6},
                      .support_count = 2,
                      .spreads = &w,
                      .spread_count = 1};
  a = solve(&beam);
  near(a.reactions[1], 136.5, 1e-9);
  near(a.tip_left * 1000, -0.560604, 1e-5);
  near(a.sag * 1000, 0.820382, 1e-5);
}

/* Two equal spans under a uniform load: R = 3/8, 10/8, 3/8 wl; M over the support = wl2/8; sag = wl4/185EI.
 * Three: R = 0.4, 1.1, 1.1, 0.4 wl; M = 0.1 wl2. */
static void equal_spans(void **state) {
  (void)state;
  const loads_spread w = {0, 6, 100};
  loads_beam beam = {
      .length = 6, .stiffness = 10000, .supports = {0, 3, 6}, .support_count = 3, .spreads = &w, .spread_count = 1};
  loads_beam_answer a = solve(&beam);
  near(a.reactions[0], 112.5, 1e-9);
  near(a.reactions[1], 375, 1e-9);
  near(a.reactions[2], 112.5, 1e-9);
  near(a.hogging, 112.5, 1e-9);
  near(a.sagging, 9.0 / 128 * 100 * 9, 1e-6);
  near(a.sag, 100 * 81 / (184.6 * 10000), 1e-3); /* the handbook rounds 184.6 to 185 */

  beam.supports[1] = 2;
  beam.supports[2] = 4;
  beam.supports[3] = 6;
  beam.support_count = 4;
  a = solve(&beam);
  near(a.reactions[0], 80, 1e-9);
  near(a.reactions[1], 220, 1e-9);
  near(a.hogging, 40, 1e-9);
}

/* Forces and moments balance to 1e-9 over random systems; the deflection over every support is nothing. */
static void equilibrium(void **state) {
  (void)state;
  srand(7);
  for (int trial = 0; trial < 100000; trial++) {
    loads_force forces[5];
    loads_spread spreads[2];
    loads_beam beam = {.length = 1 + 4.0 * rand() / RAND_MAX,
                       .stiffness = 500 + rand() % 20000,
                       .support_count = 2 + (size_t)(rand() % 4),
                       .forces = forces,
                       .force_count = 5,
                       .spreads = spreads,
                       .spread_count = 2};
    const double step = beam.length / (double)beam.support_count;
    for (size_t i = 0; i < beam.support_count; i++)
      beam.supports[i] = step * ((double)i + 0.1 + 0.8 * rand() / RAND_MAX);
    double load = 0, moment = 0;
    for (size_t i = 0; i < 5; i++) {
      forces[i] = (loads_force){beam.length * rand() / RAND_MAX, rand() % 300};
      load += forces[i].newton;
      moment += forces[i].newton * forces[i].x;
    }
    for (size_t i = 0; i < 2; i++) {
      const double from = beam.length * rand() / RAND_MAX * 0.6, to = from + (beam.length - from) * rand() / RAND_MAX;
      spreads[i] = (loads_spread){from, to, rand() % 200};
      load += spreads[i].newton_per_m * (to - from);
      moment += spreads[i].newton_per_m * (to - from) * (from + to) / 2;
    }
    loads_beam_answer a;
    assert_true(loads_beam_solve(&a, &beam));
    double up = 0, about = 0;
    for (size_t i = 0; i < beam.support_count; i++) {
      up += a.reactions[i];
      about += a.reactions[i] * beam.supports[i];
      assert_true(fabs(loads_beam_deflection(&beam, &a, beam.supports[i])) < 1e-9);
    }
    assert_true(fabs(up - load) <= 1e-9 * fmax(1, load));
    assert_true(fabs(about - moment) <= 1e-9 * fmax(1, load * beam.length));
  }
}

static void refuses(void **state) {
  (void)state;
  loads_beam_answer a;
  loads_beam beam = {.length = 1, .stiffness = 1, .supports = {0.5}, .support_count = 1};
  assert_false(loads_beam_solve(&a, &beam));
  beam = (loads_beam){.length = 1, .stiffness = 1, .supports = {0.5, 0.5}, .support_count = 2};
  assert_false(loads_beam_solve(&a, &beam));
  beam = (loads_beam){.length = 1, .stiffness = 1, .supports = {0, 1.5}, .support_count = 2};
  assert_false(loads_beam_solve(&a, &beam));
}

/* case 26: load at the tip of an overhang: l = 2 m, a = 0.5 m, P = 90 N, steel tube 42.4 x 2.6 mm, E = 200 GPa.
 * Then a double overhang under a uniform load, by superposition: l = 1.8 m, a = 0.6 m, w = 100 N/m. */
static void loaded_overhangs(void **state) {
  (void)state;
  const loads_force tip = {2.5, 90};
  loads_beam beam = {.length = 2.5,
                     .stiffness = 12928.909150,
                     .supports = {0, 2},
                     .support_count = 2,
                     .forces = &tip,
                     .force_count = 1};
  loads_beam_answer a = solve(&beam);
  near(a.reactions[0], -22.5, 1e-9);
  near(a.reactions[1], 112.5, 1e-9);
  near(a.hogging, 45, 1e-9);
  near(a.sag * 1000, 0.893115, 1e-6);
  near(a.tip_right * 1000, 1.450238, 1e-6);

  const loads_spread w = {0, 3, 100};
  beam = (loads_beam){.length = 3,
                      .stiffness = 6003.658959,
                      .supports = {0.6, 2.4},
                      .support_count = 2,
                      .spreads = &w,
                      .spread_count = 1};
  a = solve(&beam);
  near(a.reactions[0], 150, 1e-9);
  near(a.sagging, 22.5, 1e-9);
  near(a.hogging, 18, 1e-9);
  near(a.sag * 1000, 1.062477, 1e-6);
  near(a.tip_left * 1000, -0.539671, 1e-5);
  near(a.tip_right * 1000, -0.539671, 1e-5);
}

/* Ever more equal forces come ever nearer to a uniform load: 5 w l4 / 384 E I, the error falling as 1 / n2. */
static void forces_converge_to_a_spread(void **state) {
  (void)state;
  const double closed = 5.0 * 120 * 81 / (384 * 29914.184567);
  double before = HUGE_VAL;
  for (size_t n = 4; n <= 64; n *= 2) {
    loads_force forces[64];
    for (size_t i = 0; i < n; i++) forces[i] = (loads_force){3 * ((double)i + 0.5) / (double)n, 360 / (double)n};
    const loads_beam beam = {.length = 3,
                             .stiffness = 29914.184567,
                             .supports = {0, 3},
                             .support_count = 2,
                             .forces = forces,
                             .force_count = n};
    const double error = fabs(solve(&beam).sag / closed - 1);
    assert_true(error < before / 3.5);
    before = error;
  }
  assert_true(before < 2e-4);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(uniform_load),     cmocka_unit_test(point_loads),
                                     cmocka_unit_test(overhang),         cmocka_unit_test(equal_spans),
                                     cmocka_unit_test(equilibrium),      cmocka_unit_test(refuses),
                                     cmocka_unit_test(loaded_overhangs), cmocka_unit_test(forces_converge_to_a_spread)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
