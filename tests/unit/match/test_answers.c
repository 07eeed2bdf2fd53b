/* SPDX-License-Identifier: MIT */
/* What the match answers beyond the ranking: lost stretches, trade-offs, advice, two cloths, words, JSON. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* the four above come before cmocka */
#include <cmocka.h>

#include "match_made.h"
#include <jansson.h>

static const bc_lab dark = {10, 0, 0}, light = {92, 0, 0}, middle = {52, 0, 0};

/* The first quarter of the outline is dark, the rest light; on dark cloth exactly that quarter is lost.
 * Place 0 lies on the right, and places run downwards. */
static void test_lost_stretch(void **state) {
  (void)state;
  bc_reading *r = made_reading("bowl.png", light, dark, 0.25);
  const bc_cloth cloth = made_cloth(dark);
  bool lost[BC_READING_RIM];
  const bc_lost_stretch stretch = bc_match_lost(r, &cloth, lost);
  assert_int_equal(stretch.first, 0);
  assert_int_equal(stretch.count, 50);
  assert_near(stretch.share, 0.25, 1e-9);
  assert_near(stretch.lost_share, 0.25, 1e-9);
  for (size_t i = 0; i < r->rim_count; i++) assert_int_equal(lost[i], i < 50);
  assert_string_equal(bc_match_where(r, &stretch), "at the bottom right");
  bc_reading_free(r);
}

/* A stretch over the place where the outline starts is one stretch; one over a gap is two. */
static void test_stretch_over_the_start_and_gaps(void **state) {
  (void)state;
  bc_reading *r = made_reading("bowl.png", light, light, 0);
  for (size_t i = 0; i < 30; i++) r->rim[i].L = 10, r->rim[i].luminance = 0.011f;
  for (size_t i = 180; i < 200; i++) r->rim[i].L = 10, r->rim[i].luminance = 0.011f;
  const bc_cloth cloth = made_cloth(dark);
  bc_lost_stretch stretch = bc_match_lost(r, &cloth, NULL);
  assert_int_equal(stretch.first, 180);
  assert_int_equal(stretch.count, 50);
  r->rim[0].after_gap = true;
  stretch = bc_match_lost(r, &cloth, NULL);
  assert_int_equal(stretch.first, 0);
  assert_int_equal(stretch.count, 30);
  assert_near(stretch.lost_share, 0.25, 1e-9);
  bc_reading_free(r);

  r = made_reading("bowl.png", dark, dark, 0);
  stretch = bc_match_lost(r, &cloth, NULL);
  assert_int_equal(stretch.count, 200);
  assert_string_equal(bc_match_where(r, &stretch), "nearly all round");
  bc_reading_free(r);
}

/* Two light pieces and a dark one: the light ones alone want the dark cloth. */
static void test_trade_off(void **state) {
  (void)state;
  const bc_reading *r[] = {made_reading("vase.png", light, light, 0), made_reading("cup.png", light, light, 0),
                           made_reading("pot.png", (bc_lab){14, 0, 0}, dark, 0)};
  const bc_cloth on_dark = made_cloth(dark), on_middle = made_cloth((bc_lab){64, 0, 0});
  const bc_cloth *cloths[] = {&on_dark, &on_middle};
  bc_context *context = NULL;
  bc_match *match = NULL;
  assert_int_equal(bc_context_new(&context), BC_OK);
  bc_collection all = made_collection(r, 3, cloths, 2);
  all.statement = 0;
  assert_int_equal(bc_match_rank(&match, context, &all, NULL), BC_OK);
  assert_int_equal(match->cloths[0].cloth, 1);
  assert_int_equal(match->best_for_weakest, 0);
  assert_int_equal(match->best_for_statement, 1);
  assert_int_equal(match->best_without[2], 1); /* without the pot the dark cloth wins */
  assert_int_equal(match->best_without[0], 0);
  assert_int_equal(match->steady, 2);
  assert_non_null(strstr(match->notes.text[match->notes.count - 1], "pot"));
  bc_match_free(match);
  bc_collection_clear(&all);
  bc_context_free(context);
  for (int i = 0; i < 3; i++) made_free(r[i]);
}

static void test_advice(void **state) {
  (void)state;
  const bc_reading *r[] = {made_reading("bowl.png", (bc_lab){88, 0, 0}, light, 0)};
  const bc_cloth white = made_cloth(light), black = made_cloth(dark);
  const bc_cloth *both[] = {&white, &black}, *one[] = {&white};
  bc_collection all = made_collection(r, 1, both, 2);
  bc_match *match = made_match(&all);
  bc_advice advice = bc_match_advice(match, 1, 0);
  assert_int_equal(advice.remedy, BC_REMEDY_CLOTH);
  assert_int_equal(match->cloths[advice.cloth].cloth, 1);
  assert_int_equal(bc_match_advice(match, 0, 0).remedy, BC_REMEDY_NONE);
  bc_match_free(match);
  bc_collection_clear(&all);
  all = made_collection(r, 1, one, 1);
  match = made_match(&all); /* no other cloth: a dark card; a lamp on white before white is not enough */
  advice = bc_match_advice(match, 0, 0);
  assert_int_equal(advice.remedy, BC_REMEDY_MOUNT);
  assert_false(advice.light_mount);
  assert_true(advice.clarity > 0.9);
  bc_cloth card = made_cloth(advice.mount); /* the clarity that is promised is what the card gives */
  assert_near(bc_match_pair(r[0], &card).clarity, advice.clarity, 1e-9);
  for (double L = 14; L <= 94; L += 4) { /* and no grey card gives more */
    card = made_cloth((bc_lab){L, 0, 0});
    assert_true(bc_match_pair(r[0], &card).clarity <= advice.clarity + 1e-9);
  }
  assert_int_equal(strlen(advice.css), 7);
  bc_match_free(match);
  bc_collection_clear(&all);
  made_free(r[0]);

  r[0] = made_reading("grey.png", (bc_lab){60, 0, 0}, middle, 0);
  const bc_cloth grey = made_cloth((bc_lab){45, 0, 0}), *cloths[] = {&grey};
  all = made_collection(r, 1, cloths, 1);
  match = made_match(&all);
  assert_int_equal(bc_match_advice(match, 0, 0).remedy, BC_REMEDY_LAMP);
  bc_match_free(match);
  bc_collection_clear(&all);
  made_free(r[0]);
}

/* A pale piece on a table: the wall may be white if the table isn't seen behind it, and so on. */
static void test_two_cloths(void **state) {
  (void)state;
  const bc_reading *r[] = {made_reading("jug.png", light, light, 0), made_reading("banner.png", dark, dark, 0)};
  const bc_cloth white = made_cloth(light), black = made_cloth(dark);
  const bc_cloth *cloths[] = {&white, &black};
  bc_context *context = NULL;
  assert_int_equal(bc_context_new(&context), BC_OK);
  bc_collection all = made_collection(r, 2, cloths, 2);
  for (int i = 0; i < 2; i++) assert_int_equal(bc_cloths_add_copy(&all.tables, context, cloths[i]), BC_OK);
  all.piece[0].standing = (bc_standing){true, 1};
  bc_match *match = made_match(&all);
  assert_int_equal(bc_match_together(match, context, 10), BC_OK);
  assert_int_equal(match->together_count, 4);
  const bc_two_cloths *pairs = match->together;
  assert_int_equal(pairs[0].wall, 0);  /* white wall behind the dark banner */
  assert_int_equal(pairs[0].table, 1); /* black table cloth behind the pale jug */
  assert_true(pairs[0].score > 99);
  assert_true(pairs[3].score < 1);
  bc_match_free(match);
  bc_collection_clear(&all);
  /* On the wall alone it is the ordinary match. */
  const bc_pair plain = bc_match_pair(r[0], &black), table = bc_match_pair_on_table(r[0], &black, &white, 0);
  assert_near(plain.clarity, table.clarity, 1e-9);
  assert_near(plain.contrast_ratio, table.contrast_ratio, 1e-6);
  const double half = bc_match_pair_on_table(r[0], &black, &white, 0.5).clarity;
  assert_true(half > 0.3 && half < 0.7);
  bc_context_free(context);
  for (int i = 0; i < 2; i++) made_free(r[i]);
}

static void test_suggestions_are_distinct(void **state) {
  (void)state;
  const bc_reading *r[] = {made_reading("jug.png", light, (bc_lab){60, 20, 40}, 0.4)};
  const bc_cloth white = made_cloth(light), *cloths[] = {&white};
  bc_collection all = made_collection(r, 1, cloths, 1);
  bc_match *match = made_match(&all);
  bc_context *context = NULL;
  assert_int_equal(bc_context_new(&context), BC_OK);
  assert_int_equal(bc_match_suggest(match, context, 5), BC_OK);
  assert_in_range(match->suggested_count, 3, 5);
  bool family[3] = {false, false, false};
  for (size_t i = 0; i < match->suggested_count; i++) {
    const bc_suggestion *s = &match->suggested[i];
    if (i < 3) family[s->family] = true;
    assert_true(*s->name != '\0' && strlen(s->css) == 7);
    bc_cloth cloth = made_cloth(s->lab);
    double score;
    assert_int_equal(bc_match_score(&score, context, &all, &cloth), BC_OK);
    assert_near(score, s->score, 1e-6);
  }
  assert_true(family[0] && family[1] && family[2]);
  assert_int_equal(bc_match_suggest(match, context, 1), BC_OK); /* asking again replaces */
  assert_int_equal(match->suggested_count, 1);
  bc_match_free(match);
  bc_collection_clear(&all);
  bc_context_free(context);
  made_free(r[0]);
}

/* Clear glass lets the cloth through: it can't stand out by more than what it keeps of its own light. */
static void test_glass(void **state) {
  (void)state;
  bc_reading *r = made_reading("glass.png", light, light, 0);
  const bc_cloth black = made_cloth(dark);
  double before = 2;
  for (double through = 0; through < 0.99; through += 0.33) {
    r->see_through = through;
    const double clarity = bc_match_pair(r, &black).clarity;
    assert_true(clarity < before || (clarity >= 1 && before >= 1));
    before = clarity;
  }
  r->see_through = 1;
  assert_near(bc_match_pair(r, &black).clarity, 0, 1e-6);
  /* All figures are of what is seen: nothing of its own, so the cloth alone, and all of the rim is lost. */
  assert_near(bc_match_pair(r, &black).contrast_ratio, 1, 1e-6);
  assert_near(bc_match_pair(r, &black).delta_e00, 0, 1e-6);
  assert_near(bc_match_pair(r, &black).outline_share, 0, 0);
  assert_near(bc_match_lost(r, &black, NULL).lost_share, 1, 1e-9);
  /* Half of a white (Y 0.81) before black (Y 0.011): Y 0.41, contrast ratio 7.5. */
  r->see_through = 0.5;
  const double seen = (r->mean.luminance + black.colour.luminance) / 2;
  assert_near(bc_match_pair(r, &black).contrast_ratio, (seen + 0.05) / (black.colour.luminance + 0.05), 1e-9);
  assert_near(bc_match_pair(r, &black).outline_share, 1, 0);
  bc_reading_free(r);
}

/* Every place of the landscape is a cloth that can be dyed, with the score that ranking gives it. */
static void test_landscape(void **state) {
  (void)state;
  const bc_reading *r[] = {made_reading("jug.png", light, (bc_lab){60, 20, 40}, 0.4),
                           made_reading("pot.png", (bc_lab){30, 10, 10}, dark, 0.2)};
  bc_context *context = NULL;
  bc_landscape *land = NULL;
  assert_int_equal(bc_context_new(&context), BC_OK);
  bc_collection none = bc_collection_start(), all = made_collection(r, 2, NULL, 0);
  assert_int_equal(bc_match_landscape(&land, context, &none), BC_BAD_USAGE);
  assert_int_equal(bc_match_landscape(&land, context, &all), BC_OK);
  for (int row = 0; row < BC_LANDSCAPE_ROWS; row += 3)
    for (int column = 0; column < BC_LANDSCAPE_COLUMNS; column += 5) {
      const bc_landscape_place *place = &land->place[row][column];
      const double hue = atan2(place->lab.b, place->lab.a) * 180 / 3.14159265358979;
      assert_true(bc_match_dyeable(place->lab));
      assert_near(place->lab.L, BC_LANDSCAPE_DARKEST + row * BC_LANDSCAPE_STEP, 1e-9);
      assert_near(remainder(hue - 10 * column, 360), 0, 1e-6);
      const bc_cloth cloth = made_cloth(place->lab);
      double score;
      assert_int_equal(bc_match_score(&score, context, &all, &cloth), BC_OK);
      assert_near(score, place->score, 1e-9);
    }
  free(land);
  bc_collection_clear(&all);
  bc_context_free(context);
  for (int i = 0; i < 2; i++) made_free(r[i]);
}

static void test_words_and_json(void **state) {
  (void)state;
  const bc_reading *r[] = {made_reading("photos/pale_basket.jpg", light, light, 0),
                           made_reading("photos/\xff.jpg", light, light, 0)};
  const bc_cloth white = made_cloth((bc_lab){88, 0, 6}), indigo = made_cloth((bc_lab){20, 8, -30});
  const bc_cloth *cloths[] = {&white, &indigo};
  bc_collection all = made_collection(r, 2, cloths, 2);
  all.piece[0].width_cm = 30;
  bc_context *context = NULL;
  bc_match *match = NULL;
  assert_int_equal(bc_context_new(&context), BC_OK);
  assert_int_equal(bc_match_rank(&match, context, &all, NULL), BC_OK);
  char *text = NULL;
  assert_int_equal(bc_match_suggest(match, context, 2), BC_OK);
  assert_int_equal(bc_match_to_words(&text, context, match), BC_OK);
  assert_non_null(strstr(text, "nearest to it")); /* a suggestion names what is owned already */
  assert_non_null(strstr(text, "Both pieces stand out."));
  assert_non_null(strstr(text, "2 pieces get lost: pale basket and "));
  free(text);
  assert_int_equal(bc_match_why(&text, context, match, 1), BC_OK);
  assert_non_null(strstr(text, "pale basket: gets lost"));
  assert_non_null(strstr(text, "nearly as light as the cloth"));
  assert_non_null(strstr(text, "better for the whole collection"));
  free(text);
  assert_int_equal(bc_match_why(&text, context, match, 2), BC_BAD_USAGE);
  assert_int_equal(bc_match_to_json(&text, context, match), BC_OK);
  json_t *root = json_loads(text, 0, NULL);
  assert_non_null(root);
  assert_string_equal(json_string_value(json_object_get(root, "light")), "D50");
  json_t *first = json_array_get(json_object_get(root, "cloths"), 0);
  assert_int_equal(json_integer_value(json_object_get(first, "rank")), 1);
  assert_true(json_is_integer(json_object_get(json_array_get(json_object_get(root, "suggested"), 0), "nearest_cloth")));
  json_t *piece = json_array_get(json_object_get(first, "pieces"), 0);
  static const char *const keys[] = {"photo", "contrast_ratio", "delta_l", "delta_e00", "outline_share", "verdict"};
  for (size_t i = 0; i < sizeof keys / sizeof *keys; i++) assert_non_null(json_object_get(piece, keys[i]));
  assert_true(json_is_object(json_object_get(piece, "seen_from")));
  assert_true(json_is_null(json_object_get(json_array_get(json_object_get(first, "pieces"), 1), "seen_from")));
  assert_true(json_is_array(json_object_get(root, "suggested")) && json_is_array(json_object_get(root, "notes")));
  json_decref(root);
  free(text);
  bc_match_free(match);
  bc_collection_clear(&all);
  bc_context_free(context);
  for (int i = 0; i < 2; i++) made_free(r[i]);
}

static size_t count_of(const bc_match *match, size_t cloth, bc_verdict verdict) {
  size_t count = 0;
  for (size_t p = 0; p < match->piece_count; p++) count += match->cloths[cloth].pairs[p].verdict == verdict;
  return count;
}

/* Whenever counts of verdicts speak for a cloth that is ranked lower, there is a reason; otherwise there is none, and
 * the best cloth's reasons stand among the notes. */
static size_t check_reasons(const bc_match *match, bc_context *context) {
  size_t told = 0;
  for (size_t a = 0; a < match->cloth_count; a++)
    for (size_t b = a + 1; b < match->cloth_count; b++) {
      const size_t lost[2] = {count_of(match, a, BC_GETS_LOST), count_of(match, b, BC_GETS_LOST)};
      const size_t clear[2] = {count_of(match, a, BC_STANDS_OUT), count_of(match, b, BC_STANDS_OUT)};
      char *why = NULL;
      assert_int_equal(bc_match_why_ahead(&why, context, match, a, b), BC_OK);
      if ((lost[1] < lost[0] || clear[1] > clear[0]) != (why != NULL))
        fail_msg("%zu and %zu lost, %zu and %zu clear: %s", lost[0], lost[1], clear[0], clear[1], why ? why : "silent");
      told += why != NULL;
      free(why);
    }
  return told;
}

static void test_score_and_counts_never_disagree_in_silence(void **state) {
  (void)state;
  enum { P = 5, C = 4 };
  uint64_t seed = 77;
  size_t told = 0;
  bc_context *context = NULL;
  assert_int_equal(bc_context_new(&context), BC_OK);
  for (int round = 0; round < 1500; round++) {
    bc_reading *r[P];
    bc_cloth cloth[C];
    const bc_cloth *cloths[C];
    for (int i = 0; i < P; i++) r[i] = made_reading("p.png", made_lab(&seed), made_lab(&seed), made_random(&seed));
    for (int i = 0; i < C; i++) cloths[i] = (cloth[i] = made_cloth(made_lab(&seed)), &cloth[i]);
    bc_collection all = made_collection((const bc_reading *const *)r, P, cloths, C);
    bc_match *match = NULL;
    assert_int_equal(bc_match_rank(&match, context, &all, NULL), BC_OK);
    told += check_reasons(match, context);
    bc_match_free(match);
    bc_collection_clear(&all);
    for (int i = 0; i < P; i++) made_free(r[i]);
  }
  assert_true(told > 20); /* the case is no rarity */
  bc_context_free(context);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_lost_stretch),   cmocka_unit_test(test_stretch_over_the_start_and_gaps),
      cmocka_unit_test(test_trade_off),      cmocka_unit_test(test_advice),
      cmocka_unit_test(test_two_cloths),     cmocka_unit_test(test_suggestions_are_distinct),
      cmocka_unit_test(test_glass),          cmocka_unit_test(test_landscape),
      cmocka_unit_test(test_words_and_json), cmocka_unit_test(test_score_and_counts_never_disagree_in_silence),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
