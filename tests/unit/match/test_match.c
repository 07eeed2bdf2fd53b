/* SPDX-License-Identifier: MIT */
/* The match's promises: verdict agrees with the figures, the worst piece counts, ties are said. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* the four above come before cmocka */
#include <cmocka.h>

#include "match_made.h"

/* Every grey piece on every grey cloth: the verdict is that of the colour difference shown beside it, at 10 and 20; the
 * outline's share is that of WCAG's ratio. */
static void test_verdict_of_greys_is_the_difference(void **state) {
  (void)state;
  for (double piece = 0; piece <= 100; piece += 5)
    for (double cloth = 0; cloth <= 100; cloth += 5) {
      const bc_reading *r = made_reading("grey.png", (bc_lab){piece, 0, 0}, (bc_lab){piece, 0, 0}, 0);
      bc_cloth c = made_cloth((bc_lab){cloth, 0, 0});
      const bc_pair pair = bc_match_pair(r, &c);
      assert_int_equal(pair.verdict, pair.delta_e00 >= 20   ? BC_STANDS_OUT
                                     : pair.delta_e00 >= 10 ? BC_SOFT
                                                            : BC_GETS_LOST);
      assert_near(pair.clarity, fmin(1, pair.delta_e00 / 30), 1e-6);
      assert_true((pair.outline_share > 0.5) == (pair.contrast_ratio >= 3));
      made_free(r);
    }
}

static void test_own_colour_loses_the_piece(void **state) {
  (void)state;
  const bc_lab colours[] = {{20, 10, -40}, {90, 2, 8}, {50, 60, 40}, {0, 0, 0}, {100, 0, 0}};
  for (size_t i = 0; i < sizeof colours / sizeof *colours; i++) {
    const bc_reading *r = made_reading("p.png", colours[i], colours[i], 0);
    bc_cloth c = made_cloth(colours[i]);
    const bc_pair pair = bc_match_pair(r, &c);
    assert_near(pair.contrast_ratio, 1, 1e-6);
    assert_near(pair.delta_e00, 0, 1e-6);
    assert_near(pair.clarity, 0, 1e-7);
    assert_near(pair.seen_share, 0, 1e-9);
    assert_int_equal(pair.verdict, BC_GETS_LOST);
    made_free(r);
  }
}

/* Red on green of the same luminance: no contrast ratio, yet nobody with full colour vision loses it. */
static void test_colour_counts_at_equal_luminance(void **state) {
  (void)state;
  const bc_reading *r = made_reading("red.png", (bc_lab){50, 65, 45}, (bc_lab){50, 65, 45}, 0);
  bc_cloth c = made_cloth((bc_lab){50, -50, 40});
  const bc_pair pair = bc_match_pair(r, &c);
  assert_true(pair.delta_l < 1e-9);
  assert_near(pair.outline_share, 0, 1e-9);
  assert_near(pair.seen_share, 1, 1e-9);
  assert_int_equal(pair.verdict, BC_STANDS_OUT);
  made_free(r);
}

/* A pattern as strong as the difference hides the piece. */
static void test_pattern_hides(void **state) {
  (void)state;
  const bc_reading *r = made_reading("p.png", (bc_lab){70, 0, 0}, (bc_lab){70, 0, 0}, 0);
  bc_cloth c = made_cloth((bc_lab){35, 0, 0});
  double before = 2;
  for (double spread = 0; spread <= 40; spread += 10) {
    c.spread_l = spread;
    const double clarity = bc_match_pair(r, &c).clarity;
    assert_true(clarity < before);
    before = clarity;
  }
  assert_true(before < 0.4);
  made_free(r);
}

/* Half black, half white: what is black on it gets lost along half of its rim, though the mean is mid-grey. */
static void test_patterned_cloth_counts_each_colour(void **state) {
  (void)state;
  const bc_reading *black = made_reading("black.png", (bc_lab){5, 0, 0}, (bc_lab){5, 0, 0}, 0);
  const bc_reading *grey = made_reading("grey.png", (bc_lab){50, 0, 0}, (bc_lab){50, 0, 0}, 0);
  bc_cloth checks = made_cloth((bc_lab){50, 0, 0});
  assert_int_equal(bc_match_pair(grey, &checks).verdict, BC_GETS_LOST);
  assert_near(bc_match_pair(black, &checks).outline_share, 1, 1e-9);
  checks.part_count = 2;
  checks.parts[0] = (bc_cloth_part){bc_colour_from_lab((bc_lab){2, 0, 0}), 0.5};
  checks.parts[1] = (bc_cloth_part){bc_colour_from_lab((bc_lab){98, 0, 0}), 0.5};
  assert_near(bc_match_pair(black, &checks).outline_share, 0.5, 1e-9);
  assert_near(bc_match_pair(grey, &checks).outline_share, 1, 1e-9); /* 4.0:1 and 4.4:1 */
  checks.spread_l = 48;
  const double before = bc_match_pair(grey, &checks).clarity;
  assert_true(before > 0.3 && before < 2.0 / 3);
  made_free(black);
  made_free(grey);
}

/* Nine pieces clear and one lost against ten that are soft: the second cloth wins. */
static void test_worst_piece_counts(void **state) {
  (void)state;
  enum { N = 10 };
  const bc_reading *r[N];
  for (int i = 0; i < N; i++) {
    const double L = i < N - 1 ? 98 : 5;
    r[i] = made_reading("p.png", (bc_lab){L, 0, 0}, (bc_lab){L, 0, 0}, 0);
  }
  bc_cloth black = made_cloth((bc_lab){3, 0, 0}), middle = made_cloth((bc_lab){37, 0, 0});
  const bc_cloth *cloths[] = {&black, &middle};
  bc_collection all = made_collection(r, N, cloths, 2);
  bc_match *match = made_match(&all);
  assert_int_equal(match->cloths[0].cloth, 1);
  assert_int_equal(match->cloths[1].rank, 2);
  assert_int_equal(match->cloths[1].weakest, N - 1);
  assert_int_equal(match->cloths[1].pairs[N - 1].verdict, BC_GETS_LOST);
  bc_match_free(match);
  bc_collection_clear(&all);
  for (int i = 0; i < N; i++) made_free(r[i]);
}

/* A thousand random collections: the first cloth never loses a piece when another loses none, scores
 * fall with rank, and the band of the score is the worst piece's verdict. */
static void test_ranking_promises(void **state) {
  (void)state;
  uint64_t seed = 7;
  for (int round = 0; round < 300; round++) {
    enum { P = 5, C = 12 };
    const bc_reading *r[P];
    bc_cloth made[C];
    const bc_cloth *cloths[C];
    for (int i = 0; i < P; i++) r[i] = made_reading("p.png", made_lab(&seed), made_lab(&seed), made_random(&seed));
    for (int i = 0; i < C; i++) {
      made[i] = made_cloth(made_lab(&seed));
      cloths[i] = &made[i];
    }
    bc_collection all = made_collection(r, P, cloths, C);
    bc_match *match = made_match(&all);
    int fewest_lost = P;
    for (int i = 0; i < C; i++) {
      int lost = 0, soft = 0;
      for (int p = 0; p < P; p++) {
        lost += match->cloths[i].pairs[p].verdict == BC_GETS_LOST;
        soft += match->cloths[i].pairs[p].verdict == BC_SOFT;
      }
      if (lost < fewest_lost) fewest_lost = lost;
      const double score = match->cloths[i].score;
      assert_true(score >= 0 && score <= 100);
      if (lost)
        assert_true(score <= 100.0 / 3 + 1e-6);
      else if (soft)
        assert_true(score >= 100.0 / 3 - 1e-6 && score <= 200.0 / 3 + 1e-6);
      else
        assert_true(score >= 200.0 / 3 - 1e-6);
      if (i) assert_true(score <= match->cloths[i - 1].score && match->cloths[i].rank >= match->cloths[i - 1].rank);
    }
    if (fewest_lost == 0)
      for (int p = 0; p < P; p++) assert_int_not_equal(match->cloths[0].pairs[p].verdict, BC_GETS_LOST);
    for (int i = 1; i < C; i++) /* what is shown as the same figure isn't ranked apart */
      if (lround(match->cloths[i].score) == lround(match->cloths[i - 1].score))
        assert_int_equal(match->cloths[i].rank, match->cloths[i - 1].rank);
    bc_match_free(match);
    bc_collection_clear(&all);
    for (int i = 0; i < P; i++) made_free(r[i]);
  }
}

static double score_of(const bc_reading *const *r, size_t count, const bc_cloth *cloth) {
  bc_context *context = NULL;
  double score = -1;
  bc_collection all = made_collection(r, count, NULL, 0);
  assert_int_equal(bc_context_new(&context), BC_OK);
  assert_int_equal(bc_match_score(&score, context, &all, cloth), BC_OK);
  bc_collection_clear(&all);
  bc_context_free(context);
  return score;
}

static bc_lab step_from(bc_lab lab, uint64_t *seed, double step) {
  const double up = 2 * made_random(seed) - 1, turn = 6.283185307 * made_random(seed), out = sqrt(1 - up * up);
  return (bc_lab){fmin(100, fmax(0, lab.L + step * up)), lab.a + step * out * cos(turn),
                  lab.b + step * out * sin(turn)};
}

/* No cliffs: half a unit of CIELAB in every colour of the cloth or of one piece moves the score of no collection by
 * more than 5 points (docs/method/match.md: at most 2 x 100 / 30 a unit of CIEDE2000, of which half a unit of CIELAB is
 * 0.8 at most, besides the small jumps that CIEDE2000 itself has where two hues are opposite). */
static void test_small_steps_move_the_score_little(void **state) {
  (void)state;
  uint64_t seed = 5;
  double worst = 0;
  enum { P = 4 };
  for (int round = 0; round < 1500; round++) {
    const bc_reading *r[P], *moved[P];
    bc_lab at = made_lab(&seed);
    for (int p = 0; p < P; p++) {
      const bc_lab one = made_lab(&seed), two = made_lab(&seed);
      const double share = made_random(&seed);
      r[p] = made_reading("p.png", one, two, share);
      moved[p] = p ? r[p] : made_reading("p.png", step_from(one, &seed, 0.5), step_from(two, &seed, 0.5), share);
    }
    const bc_cloth cloth = made_cloth(at), near = made_cloth(step_from(at, &seed, 0.5));
    const double score = score_of(r, P, &cloth);
    worst = fmax(worst, fabs(score_of(r, P, &near) - score));
    worst = fmax(worst, fabs(score_of(moved, P, &cloth) - score));
    made_free(moved[0]);
    for (int p = 0; p < P; p++) made_free(r[p]);
  }
  if (worst > 8) fail_msg("half a unit moves a score by %g points", worst);
  assert_true(worst > 0.5); /* the test can see a step at all */
}

/* Clearer pieces never lower the score. */
static void test_score_never_falls_as_a_piece_gets_clearer(void **state) {
  (void)state;
  uint64_t seed = 9;
  const bc_cloth grey = made_cloth((bc_lab){20, 0, 0});
  for (int round = 0; round < 60; round++) {
    const bc_reading *r[3];
    for (int p = 1; p < 3; p++) {
      const double L = 20 + 60 * made_random(&seed);
      r[p] = made_reading("p.png", (bc_lab){L, 0, 0}, (bc_lab){L, 0, 0}, 0);
    }
    double before = -1;
    for (double L = 20; L <= 80; L += 2) {
      r[0] = made_reading("p.png", (bc_lab){L, 0, 0}, (bc_lab){L, 0, 0}, 0);
      const double score = score_of(r, 3, &grey);
      assert_true(score >= before - 1e-6);
      before = score;
      made_free(r[0]);
    }
    for (int p = 1; p < 3; p++) made_free(r[p]);
  }
}

/* A piece at the border of two verdicts says so, and which; one far from it does not. */
static void test_edges_are_told(void **state) {
  (void)state;
  const bc_reading *r[] = {made_reading("a.png", (bc_lab){50, 0, 0}, (bc_lab){50, 0, 0}, 0),
                           made_reading("b.png", (bc_lab){90, 0, 0}, (bc_lab){90, 0, 0}, 0)};
  bc_cloth at = made_cloth((bc_lab){60, 0, 0});
  const bc_cloth *cloths[] = {&at};
  double low = 0, high = 40; /* the cloth whose difference from the first piece is 19.9 */
  for (int i = 0; i < 40; i++) {
    at = made_cloth((bc_lab){50 + (low + high) / 2, 0, 0});
    *(bc_match_pair(r[0], &at).delta_e00 < 19.9 ? &low : &high) = (low + high) / 2;
  }
  bc_collection all = made_collection(r, 2, cloths, 1);
  bc_match *match = made_match(&all);
  const bc_pair *pairs = match->cloths[0].pairs;
  assert_int_equal(pairs[0].verdict, BC_SOFT);
  assert_true(pairs[0].on_edge && pairs[0].neighbour == BC_STANDS_OUT);
  assert_true(pairs[0].clarity_sd <= 0); /* made readings are certain */
  assert_true(!pairs[1].on_edge || pairs[1].neighbour != pairs[1].verdict);
  bc_match_free(match);
  bc_collection_clear(&all);
  for (int i = 0; i < 2; i++) made_free(r[i]);
}

static void test_ties_are_said(void **state) {
  (void)state;
  const bc_reading *r[] = {made_reading("bowl.png", (bc_lab){80, 0, 0}, (bc_lab){80, 0, 0}, 0)};
  bc_cloth first = made_cloth((bc_lab){20, 0, 0}), second = made_cloth((bc_lab){20.01, 0, 0}),
           third = made_cloth((bc_lab){75, 0, 0});
  const bc_cloth *cloths[] = {&third, &first, &second};
  bc_collection all = made_collection(r, 1, cloths, 3);
  bc_match *match = made_match(&all);
  assert_int_equal(match->cloths[0].rank, 1);
  assert_int_equal(match->cloths[1].rank, 1);
  assert_int_equal(match->cloths[2].rank, 3);
  assert_true(match->notes.count >= 1);
  bc_match_free(match);
  bc_collection_clear(&all);
  made_free(r[0]);
}

/* The order in which cloths or pieces are given changes nothing but the order of exact ties. */
static void test_order_does_not_matter(void **state) {
  (void)state;
  uint64_t seed = 11;
  enum { P = 4, C = 6 };
  const bc_reading *r[P], *turned[P];
  bc_cloth made[C];
  const bc_cloth *cloths[C], *reversed[C];
  for (int i = 0; i < P; i++) turned[P - 1 - i] = r[i] = made_reading("p.png", made_lab(&seed), made_lab(&seed), 0.3);
  for (int i = 0; i < C; i++) {
    made[i] = made_cloth(made_lab(&seed));
    cloths[i] = reversed[C - 1 - i] = &made[i];
  }
  bc_collection all = made_collection(r, P, cloths, C), back = made_collection(turned, P, reversed, C);
  bc_match *one = made_match(&all), *other = made_match(&back);
  for (int i = 0; i < C; i++) {
    assert_ptr_equal(cloths[one->cloths[i].cloth], reversed[other->cloths[i].cloth]);
    assert_near(one->cloths[i].score, other->cloths[i].score, 1e-9);
  }
  bc_match_free(one);
  bc_match_free(other);
  bc_collection_clear(&all);
  bc_collection_clear(&back);
  for (int i = 0; i < P; i++) made_free(r[i]);
}

static void test_nothing_to_match(void **state) {
  (void)state;
  bc_context *context;
  assert_int_equal(bc_context_new(&context), BC_OK);
  bc_match *match = NULL;
  bc_cloth c = made_cloth((bc_lab){0, 0, 0});
  const bc_cloth *cloths[] = {&c};
  bc_collection all = made_collection(NULL, 0, cloths, 1);
  assert_int_equal(bc_match_rank(&match, context, &all, NULL), BC_BAD_USAGE);
  assert_null(match);
  bc_collection_clear(&all);
  bc_context_free(context);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_verdict_of_greys_is_the_difference),
      cmocka_unit_test(test_own_colour_loses_the_piece),
      cmocka_unit_test(test_colour_counts_at_equal_luminance),
      cmocka_unit_test(test_pattern_hides),
      cmocka_unit_test(test_patterned_cloth_counts_each_colour),
      cmocka_unit_test(test_worst_piece_counts),
      cmocka_unit_test(test_ranking_promises),
      cmocka_unit_test(test_small_steps_move_the_score_little),
      cmocka_unit_test(test_score_never_falls_as_a_piece_gets_clearer),
      cmocka_unit_test(test_edges_are_told),
      cmocka_unit_test(test_ties_are_said),
      cmocka_unit_test(test_order_does_not_matter),
      cmocka_unit_test(test_nothing_to_match),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
