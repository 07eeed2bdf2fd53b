/* SPDX-License-Identifier: MIT */
/* Polished pieces are judged for the photo's room and for the stand; a lamp's sparkle is no outline; a pile is darker
 * than its chip. The mirror's shares are found again from the law of reflection. */
#include "match/match_internal.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* the four above come before cmocka */
#include <cmocka.h>

#include "match_made.h"
#include <stdio.h>

static bc_pair on(const bc_reading *reading, bc_lab cloth) {
  const bc_cloth c = made_cloth(cloth);
  return bc_match_pair(reading, &c);
}

/* Shares of a ball's disk that mirror what is behind its plane, before it and below, before it and above. */
static void shares_of_ball(double share[3]) {
  enum { STEPS = 800 };
  double all = 0;
  for (int i = 0; i < STEPS * STEPS; i++) {
    const double x = 2 * (i % STEPS + 0.5) / STEPS - 1, y = 2 * (i / STEPS + 0.5) / STEPS - 1, z2 = 1 - x * x - y * y;
    if (z2 <= 0) continue;
    const double z = sqrt(z2), up = 2 * z * y, out = 2 * z * z - 1; /* the eye far away, on the z axis */
    share[out < 0 ? 0 : up < 0 ? 1 : 2]++;
    all++;
  }
  for (int i = 0; i < 3; i++) share[i] /= all;
}

static double grey(double luminance) {
  return bc_colour_from_linear_srgb((double[3]){luminance, luminance, luminance}).lab.L;
}

/* All mirror, neutral: its clarity at the stand is that of the cloth, of a hall of 18 % and of a ceiling of 70 % in a
 * mirror of 95 %, each as often as a ball shows them. */
static void test_a_ball_of_silver(void **state) {
  (void)state;
  double share[3] = {0};
  shares_of_ball(share);
  assert_near(share[0], 0.5, 0.002);
  assert_near(share[1], 0.25, 0.002);
  for (double L = 5; L < 100; L += 9) {
    bc_reading *silver = made_reading("silver.png", (bc_lab){70, 0, 0}, (bc_lab){70, 0, 0}, 0);
    bc_reading_polish(silver, 1);
    const double Y = bc_colour_from_lab((bc_lab){L, 0, 0}).luminance;
    const double seen[3] = {grey(0.95 * Y), grey(0.95 * 0.18), grey(0.95 * 0.7)},
                 with[3] = {share[0] + share[1], share[2] / 2, share[2] / 2};
    double expected = 0;
    for (int i = 0; i < 3; i++)
      expected += with[i] * fmin(1, bc_delta_e00((bc_lab){seen[i], 0, 0}, (bc_lab){L, 0, 0}) / 30);
    const bc_pair pair = on(silver, (bc_lab){L, 0, 0});
    assert_near(pair.clarity_at_stand, expected, 0.005);
    assert_near(pair.clarity, (pair.clarity_photographed + pair.clarity_at_stand) / 2, 1e-12);
    made_free(silver);
  }
}

/* Between matt and mirror the figure at the stand goes straight; without polish nothing changes. */
static void test_share_of_mirror(void **state) {
  (void)state;
  uint64_t seed = 5;
  for (int i = 0; i < 200; i++) {
    bc_reading *r = made_reading("r.png", made_lab(&seed), made_lab(&seed), made_random(&seed));
    const bc_lab cloth = made_lab(&seed);
    const bc_pair matt = on(r, cloth);
    assert_near(matt.clarity_at_stand, matt.clarity, 1e-12);
    bc_reading_polish(r, 1);
    const double mirror = on(r, cloth).clarity_at_stand, share = 0.1 + 0.8 * made_random(&seed);
    bc_reading_polish(r, share);
    const bc_pair part = on(r, cloth);
    assert_near(part.clarity_photographed, matt.clarity, 1e-12);
    assert_near(part.clarity_at_stand, matt.clarity + share * (mirror - matt.clarity), 1e-9);
    made_free(r);
  }
}

/* Common practice, no source: polished silver is clearer on black than on white; and on black it no longer shows all
 * that it had of a bright room. */
static void test_silver_on_black(void **state) {
  (void)state;
  bc_reading *silver = made_reading("s.png", (bc_lab){85, 0, 0}, (bc_lab){55, 0, 0}, 0.4);
  bc_reading_polish(silver, 0.8);
  const bc_pair black = on(silver, (bc_lab){16, 0, 0}), white = on(silver, (bc_lab){94, 0, 0});
  assert_true(black.clarity > white.clarity + 0.05);
  assert_true(black.clarity_at_stand < black.clarity_photographed - 0.2);
  made_free(silver);
}

/* Two rooms that differ put a piece on an edge. */
static void test_the_difference_is_a_spread(void **state) {
  (void)state;
  bc_reading *silver = made_reading("s.png", (bc_lab){85, 0, 0}, (bc_lab){55, 0, 0}, 0.4);
  bc_reading_polish(silver, 0.8);
  const bc_cloth black = made_cloth((bc_lab){16, 0, 0});
  bc_collection all = made_collection((const bc_reading *[]){silver}, 1, (const bc_cloth *[]){&black}, 1);
  bc_match *match = made_match(&all);
  assert_non_null(match);
  const bc_pair *pair = &match->cloths[0].pairs[0];
  assert_near(pair->clarity_sd, fabs(pair->clarity_photographed - pair->clarity_at_stand) / 2, 1e-12);
  assert_true(pair->on_edge);
  assert_true(match->notes.count > 0);
  assert_non_null(strstr(match->notes.text[match->notes.count - 1], "80"));
  bc_match_free(match);
  bc_collection_clear(&all);
  made_free(silver);
}

/* --- the estimate ------------------------------------------------------------------------------------- */

static void test_estimate(void **state) {
  (void)state;
  bc_reading r = {0};
  double before = 0;
  for (int clipped = 0; clipped <= 50; clipped += 5) {
    memset(r.lightness_share, 0, sizeof r.lightness_share);
    r.lightness_share[100] = (float)(1 - clipped / 100.0);
    r.lightness_share[255] = (float)(clipped / 100.0);
    const double share = bc_reading_mirror_share(&r);
    assert_true(share >= 0.2 && share <= 1 && share >= before);
    before = share;
  }
  assert_true(before > 0.9);
  bc_reading_polish(&r, 0);
  assert_true(r.polish_estimated && r.polished > 0.9);
  bc_reading_polish(&r, 0.3);
  assert_true(!r.polish_estimated);
  assert_near(r.polished, 0.3, 1e-12);
}

/* --- sparkle -------------------------------------------------------------------------------------------- */

static void lamps(bc_reading *r, size_t first, size_t count, bc_lab lab) {
  const bc_colour c = bc_colour_from_lab(lab);
  for (size_t i = first; i < first + count; i++) {
    bc_rim_place *place = &r->rim[i % r->rim_count];
    place->L = (float)lab.L, place->a = (float)lab.a, place->b = (float)lab.b, place->luminance = (float)c.luminance;
  }
}

/* A dark glaze on dark cloth with lamps on its rim: as lost as without them, wherever on the outline they are. */
static void test_a_lamp_is_no_outline(void **state) {
  (void)state;
  bc_reading *plain = made_reading("p.png", (bc_lab){22, 0, 0}, (bc_lab){22, 0, 0}, 0);
  const bc_cloth cloth = made_cloth((bc_lab){18, 0, 0});
  const bc_pair without = bc_match_pair(plain, &cloth);
  for (size_t at = 0; at < plain->rim_count; at += 33) {
    bc_reading *lit = made_reading("p.png", (bc_lab){22, 0, 0}, (bc_lab){22, 0, 0}, 0);
    lamps(lit, at, 6, (bc_lab){100, 0, 0});
    const bc_pair with = bc_match_pair(lit, &cloth);
    assert_near(with.clarity, without.clarity, 1e-6);
    assert_near(with.outline_share, without.outline_share, 1e-9);
    assert_near(bc_match_lost(lit, &cloth, NULL).share, 1, 1e-9);
    made_free(lit);
  }
  made_free(plain);
}

/* What is no lamp counts as it did: a white edge of some length, and a pale one. */
static void test_a_white_edge_is_an_outline(void **state) {
  (void)state;
  const bc_cloth cloth = made_cloth((bc_lab){18, 0, 0});
  const struct {
    size_t count;
    double L;
  } edges[] = {{40, 100}, {6, 88}};
  for (size_t i = 0; i < 2; i++) {
    bc_reading *r = made_reading("p.png", (bc_lab){22, 0, 0}, (bc_lab){22, 0, 0}, 0);
    lamps(r, 50, edges[i].count, (bc_lab){edges[i].L, 0, 0});
    assert_near(bc_match_pair(r, &cloth).outline_share, (double)edges[i].count / 200, 1e-9);
    made_free(r);
  }
}

/* --- pile ---------------------------------------------------------------------------------------------- */

static bc_cloth *cloth_of(bc_context *context, const char *spec) {
  bc_cloth *cloth = NULL;
  bc_cloth_parse(&cloth, context, spec, NULL);
  return cloth;
}

static void test_pile_is_darker_and_deeper(void **state) {
  (void)state;
  bc_context *context = NULL;
  assert_int_equal(bc_context_new(&context), BC_OK);
  const char *const words[] = {"#b5654a", "#22432f", "#f1efe9", "navy", "#808080"};
  for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
    char spec[40];
    snprintf(spec, sizeof spec, "%s velvet", words[i]);
    bc_cloth *chip = cloth_of(context, words[i]), *pile = cloth_of(context, spec);
    assert_non_null(chip);
    assert_non_null(pile);
    assert_true(pile->pile && !chip->pile);
    assert_non_null(strstr(pile->name, "velvet"));
    double flat[3], deep[3];
    bc_lab_to_linear_srgb(chip->colour.lab, flat);
    bc_lab_to_linear_srgb(pile->colour.lab, deep);
    for (int c = 0; c < 3; c++) {
      assert_true(deep[c] < flat[c] + 1e-9 && deep[c] > flat[c] / 3 - 1e-9);
      assert_near(deep[c], flat[c] / (3 - 2 * flat[c]), 1e-6);
    }
    const bc_colour once = pile->colour;
    bc_cloth_make_pile(pile);
    assert_near(pile->colour.lab.L, once.lab.L, 1e-12);
    bc_cloth_free(chip);
    bc_cloth_free(pile);
  }
  bc_context_free(context);
}

static void test_pile_in_a_file(void **state) {
  (void)state;
  bc_context *context = NULL;
  bc_cloth_list list;
  assert_int_equal(bc_context_new(&context), BC_OK);
  const char good[] = "{\"cloths\":[{\"colour\":\"#b5654a\",\"pile\":true},{\"colour\":\"#b5654a\",\"pile\":false}]}";
  assert_int_equal(bc_cloths_parse(&list, context, good, sizeof good - 1, "c.json"), BC_OK);
  assert_true(list.cloth[0]->colour.lab.L < list.cloth[1]->colour.lab.L - 5);
  bc_cloths_clear(&list);
  const char bad[] = "{\"cloths\":[{\"colour\":\"#b5654a\",\"pile\":\"yes\"}]}";
  assert_int_equal(bc_cloths_parse(&list, context, bad, sizeof bad - 1, "c.json"), BC_BAD_DATA);
  assert_non_null(strstr(bc_context_message(context), "pile"));
  bc_context_free(context);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_a_ball_of_silver),
      cmocka_unit_test(test_share_of_mirror),
      cmocka_unit_test(test_silver_on_black),
      cmocka_unit_test(test_the_difference_is_a_spread),
      cmocka_unit_test(test_estimate),
      cmocka_unit_test(test_a_lamp_is_no_outline),
      cmocka_unit_test(test_a_white_edge_is_an_outline),
      cmocka_unit_test(test_pile_is_darker_and_deeper),
      cmocka_unit_test(test_pile_in_a_file),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
