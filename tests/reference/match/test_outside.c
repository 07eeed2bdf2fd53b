/* SPDX-License-Identifier: MIT */
/* The match against figures from outside: WCAG, grey steps in CIEDE2000, Johnson, castleCSF's data,
 * Weber and Michelson, and what every jeweller knows. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* the four above come before cmocka */
#include <cmocka.h>

#include "../../unit/match/match_made.h"

/* The constant 31: the largest CIEDE2000 of two greys in contrast ratio 3:1 (WCAG 2.2), over all levels. */
static void test_grey_steps_of_three(void **state) {
  (void)state;
  double largest = 0;
  for (double dark = 0; (dark + 0.05) * 3 - 0.05 <= 1; dark += 0.01) {
    const double light = (dark + 0.05) * 3 - 0.05;
    const double first[3] = {dark, dark, dark}, second[3] = {light, light, light};
    const double difference =
        bc_delta_e00(bc_colour_from_linear_srgb(first).lab, bc_colour_from_linear_srgb(second).lab);
    assert_true(difference > 24.5);
    largest = fmax(largest, difference);
  }
  assert_near(largest, 31, 0.1);
}

/* WCAG 2.2: black on white is 21:1, #767676 on white is 4.54:1, #949494 is 3.03:1. Both published as
 * the lightest greys that pass 4.5:1 and 3:1. */
static void test_wcag(void **state) {
  (void)state;
  bc_context *context = NULL;
  assert_int_equal(bc_context_new(&context), BC_OK);
  static const struct {
    const char *css;
    double ratio, outline;
    bc_verdict verdict;
  } rows[] = {{"#000000", 21, 1, BC_STANDS_OUT},   {"#767676", 4.54, 1, BC_STANDS_OUT},
              {"#949494", 3.03, 1, BC_STANDS_OUT}, {"#959595", 2.99, 0, BC_SOFT},
              {"#b9b9b9", 1.96, 0, BC_GETS_LOST},  {"#ffffff", 1, 0, BC_GETS_LOST}};
  bc_cloth white = made_cloth((bc_lab){100, 0, 0});
  white.colour.luminance = 1;
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    bc_colour colour;
    assert_int_equal(bc_colour_parse_css(&colour, context, rows[i].css), BC_OK);
    const bc_reading *r = made_reading("grey.png", colour.lab, colour.lab, 0);
    const bc_pair pair = bc_match_pair(r, &white);
    assert_near(pair.contrast_ratio, rows[i].ratio, 0.01);
    assert_near(pair.outline_share, rows[i].outline, 1e-9);
    /* a difference of colour may lift a grey by a hair's breadth of the 3:1 line, never by a verdict more */
    if (rows[i].ratio > 3 || rows[i].ratio < 1.9) assert_int_equal(pair.verdict, rows[i].verdict);
    made_free(r);
  }
  bc_context_free(context);
}

/* Common practice, no source: polished silver (bright reflections, dark ones, grey between) on black is
 * good and on white poor; white work vanishes on a white wall. */
static void test_common_practice(void **state) {
  (void)state;
  bc_reading *silver = made_reading("silver.jpg", (bc_lab){88, 0, 1}, (bc_lab){35, 0, -1}, 0.3);
  silver->colours[0].share = 0.5;
  silver->colours[1].share = 0.2;
  silver->colours[2] = (bc_main_colour){.lab = {65, 0, 0}, .share = 0.3};
  silver->colour_count = 3;
  const bc_cloth black = made_cloth((bc_lab){8, 0, 0}), white = made_cloth((bc_lab){97, 0, 0});
  const bc_pair on_black = bc_match_pair(silver, &black), on_white = bc_match_pair(silver, &white);
  assert_int_equal(on_black.verdict, BC_STANDS_OUT);
  assert_int_not_equal(on_white.verdict, BC_STANDS_OUT);
  assert_true(on_black.clarity > on_white.clarity + 0.2);
  bc_reading_free(silver);

  const bc_reading *porcelain = made_reading("porcelain.jpg", (bc_lab){95, 0, 2}, (bc_lab){88, 0, 3}, 0.2);
  assert_int_equal(bc_match_pair(porcelain, &white).verdict, BC_GETS_LOST);
  assert_int_equal(bc_match_pair(porcelain, &black).verdict, BC_STANDS_OUT);
  made_free(porcelain);
}

/* A row of each kind from the tables published with castleCSF (Ashraf et al., Journal of Vision 24(4):5,
 * 2024): at the measured threshold the response is 1 within 6 dB, a single observer's spread. */
static void test_thresholds(void **state) {
  (void)state;
  static const bc_target rows[] = {
      {BC_TARGET_GABOR, 40, 4, 0.785398, {27.47448, 12.52552, 0.955148}, {0.195579, 0.0907646, 0.0153532}},
      {BC_TARGET_GABOR, 40, 2.8, 0.785398, {27.47448, 12.52552, 0.955148}, {0.0893057, -0.075683, -0.00110562}},
      {BC_TARGET_GABOR, 40, 1.2, 0.785398, {27.47448, 12.52552, 0.955148}, {0.0200454, 0.0122329, 0.0378004}},
      {BC_TARGET_GRATING, 50, 2, 14.5859, {36.73726, 15.81412, 1.041002}, {0.114001, 0.0490737, 0.0032305}},
      {BC_TARGET_GRATING, 50, 32, 0.962956, {36.73726, 15.81412, 1.041002}, {3.04186, 1.309417, 0.0861954}},
  };
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) assert_near(20 * log10(bc_csf_response(&rows[i])), 0, 6.0);
}

/* White at 50 cd/m2 in cone coordinates: the background of the same tables' first data set. */
static void test_cones(void **state) {
  (void)state;
  double cones[3];
  bc_cones_from_lab((bc_lab){100, 0, 0}, 50, cones);
  assert_near(cones[0], 36.7373, 0.02);
  assert_near(cones[1], 15.8141, 0.02);
  assert_near(cones[2], 1.0410, 0.005);
}

/* The response is proportional to contrast, whether told as Weber's (difference over background) or as
 * Michelson's (half the difference over the mean): for small contrasts one is twice the other. */
static void test_contrast_definitions(void **state) {
  (void)state;
  bc_target t = {BC_TARGET_GABOR, 40, 3, 1, {27.47448, 12.52552, 0.955148}, {0}};
  for (int i = 0; i < 3; i++) t.delta[i] = 0.01 * t.background[i];
  const double one = bc_csf_response(&t);
  for (int i = 0; i < 3; i++) t.delta[i] *= 2;
  assert_near(bc_csf_response(&t), 2 * one, 1e-9);
}

/* Red on green of one luminance is seen from afar by colour; a chain of 2 mm isn't, however bright:
 * Johnson's four cycles across 2 mm at 6 m are 209 cycles a degree, beyond the eye's 60. */
static void test_seen_from_afar(void **state) {
  (void)state;
  const bc_cloth green = made_cloth((bc_lab){50, -50, 40}), black = made_cloth((bc_lab){8, 0, 0});
  bc_reading *red = made_reading("red.png", (bc_lab){50, 65, 45}, (bc_lab){50, 65, 45}, 0);
  assert_true(bc_match_visibility(red, &green, 30, NULL).outline_m > 10);
  assert_near(bc_match_visibility(red, &green, 30, NULL).sweep[5], 1, 1e-9);
  assert_false(bc_match_visibility(red, &green, 0, NULL).known);
  bc_reading_free(red);
  bc_reading *chain = made_reading("chain.png", (bc_lab){80, 0, 0}, (bc_lab){80, 0, 0}, 0);
  chain->box_share = 0.02; /* 20 cm x 20 cm box, 8 cm2 of silver, 80 cm of edge */
  chain->outline_length = 80 / sqrt(8);
  const bc_visibility seen = bc_match_visibility(chain, &black, 20, NULL);
  assert_true(seen.known && seen.outline_m < 2);
  assert_near(seen.sweep[5], 0, 1e-9);
  bc_reading_free(chain);
}

/* Larger is seen from farther, nearer is seen better: for random pieces and cloths. */
static void test_distance_is_monotone(void **state) {
  (void)state;
  uint64_t seed = 5;
  for (int i = 0; i < 100; i++) {
    const bc_reading *r = made_reading("p.png", made_lab(&seed), made_lab(&seed), 0.4);
    const bc_cloth cloth = made_cloth(made_lab(&seed));
    double before = -1;
    for (double width = 1; width < 200; width *= 2) {
      const bc_visibility seen = bc_match_visibility(r, &cloth, width, NULL);
      assert_true(seen.outline_m >= before - 0.02);
      before = seen.outline_m;
      for (int d = 1; d < BC_SWEEP; d++) assert_true(seen.sweep[d] <= seen.sweep[d - 1] + 1e-9);
    }
    made_free(r);
  }
}

/* Gathering rim places for speed changes no clarity: against a sum over every place by the published
 * functions alone. */
static void test_gathering(void **state) {
  (void)state;
  uint64_t seed = 17;
  double worst = 0;
  for (int i = 0; i < 60; i++) {
    bc_reading *r = made_reading("p.png", made_lab(&seed), made_lab(&seed), 0.5);
    for (size_t p = 0; p < r->rim_count; p++) {
      bc_lab lab = {fmin(100, fmax(0, (double)r->rim[p].L + 30 * (made_random(&seed) - 0.5))),
                    (double)r->rim[p].a + 16 * (made_random(&seed) - 0.5),
                    (double)r->rim[p].b + 16 * (made_random(&seed) - 0.5)};
      r->rim[p].L = (float)lab.L;
      r->rim[p].a = (float)lab.a;
      r->rim[p].b = (float)lab.b;
      r->rim[p].luminance = (float)bc_colour_from_lab(lab).luminance;
    }
    const bc_cloth cloth = made_cloth(made_lab(&seed));
    double outline = 0, body = 0;
    for (size_t p = 0; p < r->rim_count + r->colour_count; p++) {
      const bool rim = p < r->rim_count;
      const bc_lab lab = rim ? (bc_lab){(double)r->rim[p].L, (double)r->rim[p].a, (double)r->rim[p].b}
                             : r->colours[p - r->rim_count].lab;
      const double clarity = fmin(1, bc_delta_e00(lab, cloth.colour.lab) / 30);
      if (rim)
        outline += clarity / (double)r->rim_count;
      else
        body += clarity * r->colours[p - r->rim_count].share;
    }
    worst = fmax(worst, fabs(bc_match_pair(r, &cloth).clarity - (2 * outline + body) / 3));
    bc_reading_free(r);
  }
  if (worst >= 0.02) fail_msg("worst %g", worst);
}

/* The search against a fine grid: at least 99 of 100 parts of its best in every family. */
static void test_search_against_fine_grid(void **state) {
  (void)state;
  uint64_t seed = 23;
  bc_context *context = NULL;
  assert_int_equal(bc_context_new(&context), BC_OK);
  for (int round = 0; round < 4; round++) {
    enum { P = 3 };
    const bc_reading *r[P];
    for (int i = 0; i < P; i++) r[i] = made_reading("p.png", made_lab(&seed), made_lab(&seed), 0.4);
    const bc_cloth any = made_cloth((bc_lab){50, 0, 0}), *cloths[] = {&any};
    bc_collection all = made_collection(r, P, cloths, 1);
    bc_match *match = made_match(&all);
    assert_int_equal(bc_match_suggest(match, context, 3), BC_OK);
    assert_int_equal(match->suggested_count, 3);
    double best[3] = {0};
    for (double L = 16; L <= 94; L += 2)
      for (double a = -60; a <= 60; a += 4)
        for (double b = -60; b <= 60; b += 4) {
          const bc_lab lab = {L, a, b};
          if (!bc_match_dyeable(lab)) continue;
          const bc_cloth cloth = made_cloth(lab);
          double score;
          assert_int_equal(bc_match_score(&score, context, &all, &cloth), BC_OK);
          const int family = L < 40 ? 0 : L <= 70 ? 1 : 2;
          best[family] = fmax(best[family], score);
        }
    for (size_t i = 0; i < 3; i++) {
      const bc_suggestion *s = &match->suggested[i];
      if (s->score < 0.99 * best[s->family]) fail_msg("family %d: %g, grid %g", s->family, s->score, best[s->family]);
    }
    bc_match_free(match);
    bc_collection_clear(&all);
    for (int i = 0; i < P; i++) made_free(r[i]);
  }
  bc_context_free(context);
}

/* The solid that is searched lies between published colours: every "moderate" and "dark" centroid of the
 * ISCC-NBS system that sRGB can show is in it, no "vivid" one. Kelly and Judd, NBS Special Publication 440, 1976. */
static void test_solid_of_dyed_cloth(void **state) {
  (void)state;
  static const char *const in[] = {
      "#DEA5A4", "#AB4E52", "#D9A6A9", "#CB6D51", "#79443B", "#D99058", "#6F4E37", "#E3A857", "#826644", "#C9AE5D",
      "#6C541E", "#B9B459", "#665D1E", "#8A9A5B", "#4A5D23", "#679267", "#3B7861", "#317873", "#367588", "#436B95",
      "#4E5180", "#604E81", "#86608E", "#915C83", "#D597AE", "#A8516E", "#722F37", "#5D3954", "#1B4D3E", "#355E3B"};
  static const char *const out[] = {"#E25822", "#27A64C", "#30267A", "#9065CA",
                                    "#9A4EAE", "#CE4676", "#F38400", "#F3C300"};
  bc_context *context = NULL;
  bc_colour colour;
  assert_int_equal(bc_context_new(&context), BC_OK);
  for (size_t i = 0; i < sizeof in / sizeof *in; i++) {
    assert_int_equal(bc_colour_parse_css(&colour, context, in[i]), BC_OK);
    if (!bc_match_dyeable(colour.lab)) fail_msg("%s should be within the solid", in[i]);
  }
  for (size_t i = 0; i < sizeof out / sizeof *out; i++) {
    assert_int_equal(bc_colour_parse_css(&colour, context, out[i]), BC_OK);
    if (bc_match_dyeable(colour.lab)) fail_msg("%s should be outside the solid", out[i]);
  }
  bc_context_free(context);
}

/* Table geometry by hand: eye 86 cm above the table, 4 m away, 43 cm of table behind: the edge appears
 * at 86 * 43 / 443 = 8.35 cm. */
static void test_table_geometry(void **state) {
  (void)state;
  assert_near(bc_match_table_share(16.7, 43, 86, 400), 0.5, 0.001);
  assert_near(bc_match_table_share(4, 43, 86, 400), 1, 0);
  assert_near(bc_match_table_share(0, 43, 86, 400), 0, 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_grey_steps_of_three),
      cmocka_unit_test(test_wcag),
      cmocka_unit_test(test_common_practice),
      cmocka_unit_test(test_thresholds),
      cmocka_unit_test(test_cones),
      cmocka_unit_test(test_contrast_definitions),
      cmocka_unit_test(test_seen_from_afar),
      cmocka_unit_test(test_distance_is_monotone),
      cmocka_unit_test(test_gathering),
      cmocka_unit_test(test_search_against_fine_grid),
      cmocka_unit_test(test_solid_of_dyed_cloth),
      cmocka_unit_test(test_table_geometry),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
