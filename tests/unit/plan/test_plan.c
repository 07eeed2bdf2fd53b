/* SPDX-License-Identifier: MIT */
/* Plans: defaults as documented, errors that name file, line, key and remedy, a round trip that loses nothing. */
#include <backcloth/plan.h>

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/context.h"

#define HEAD "{\"backcloth\":1,\"title\":\"Stand\",\"stand\":{\"width\":300,\"wall_height\":240}"

static bc_plan *parse(const char *text) {
  bc_plan *plan = NULL;
  const bc_status status = bc_plan_parse(&plan, context, text, strlen(text), "shop/market.json", NULL);
  if (status != BC_OK) print_message("%s\n", bc_context_message(context));
  assert_int_equal(status, BC_OK);
  return plan;
}

static void refused(const char *text, const char *says, const char *and) {
  bc_plan *plan = NULL;
  assert_int_equal(bc_plan_parse(&plan, context, text, strlen(text), "shop/market.json", NULL), BC_BAD_DATA);
  assert_null(plan);
  assert_non_null(strstr(bc_context_message(context), "market.json"));
  if (!strstr(bc_context_message(context), says) || !strstr(bc_context_message(context), and))
    fail_msg("'%s' and '%s' are not in: %s", says, and, bc_context_message(context));
}

static void defaults(void **state) {
  (void)state;
  bc_plan *plan =
      parse(HEAD ",\"cloth\":{\"colour\":\"#1f2430\"},\"pieces\":[{\"id\":\"a\",\"width\":20,\"height\":30}]}");
  assert_true(plan->stand.depth == 300);
  assert_true(plan->design_factor == 5);
  assert_true(plan->gap == 8);
  assert_true(fabs(plan->stand.wall_colour.luminance - 1) < 1e-6);
  assert_true(plan->cloth.width == 300 && plan->cloth.top == 240 && plan->cloth.fullness == 1);
  assert_string_equal(plan->pieces[0].title, "a");
  assert_int_equal(plan->pieces[0].count, 1);
  assert_false(plan->pieces[0].placed);
  assert_true(plan->viewers.sight_low > 80 && plan->viewers.sight_low < 120);    /* a waist */
  assert_true(plan->viewers.sight_high > 150 && plan->viewers.sight_high < 200); /* the top of a head */
  bc_plan_free(plan);
}

static void errors_name_the_place(void **state) {
  (void)state;
  refused(HEAD ",\n\"pieces\":[\n{\"id\":\"a\",\"width\":-20,\"height\":5}]}", "line 3", "pieces[0].width");
  refused(HEAD ",\n\"colour\":\"red\"}", "line 2", "colour");
  refused(HEAD ",\"pieces\":[{\"id\":\"a\",\"width\":5}]}", "height", "pieces[0]");
  refused(HEAD ",\"pieces\":[{\"id\":\"a\",\"width\":5,\"height\":5},{\"id\":\"a\",\"width\":5,\"height\":5}]}",
          "pieces[1]", "a");
  refused(HEAD ",\"pieces\":[{\"id\":\"a\",\"width\":5,\"height\":5,\"at\":[1]}]}", "at", "pieces[0]");
  refused(HEAD
          ",\"pieces\":[{\"id\":\"a\",\"width\":5,\"height\":5,\"mount\":{\"kind\":\"clip\",\"on\":\"nothing\"}}]}",
          "nothing", "on");
  refused(HEAD ",\"cloth\":{\"colour\":\"blu\"}}", "blu", "cloth");
  refused("{\"backcloth\":2,\"title\":\"T\",\"stand\":{\"width\":300,\"wall_height\":240}}", "backcloth", "line 1");
  refused("{\"backcloth\":1", "line 1", "market.json");
  refused("", "market.json", "");
}

static void paths_stay_inside_when_asked(void **state) {
  (void)state;
  const char *text = HEAD ",\"pieces\":[{\"id\":\"a\",\"width\":5,\"height\":5,\"photo\":\"../../secret.jpg\"}]}";
  bc_plan *plan = parse(text);
  assert_string_equal(plan->pieces[0].photo, "shop/../../secret.jpg"); /* relative to the plan's folder */
  bc_plan_free(plan);
  const bc_plan_options inside = {.keep_in_folder = true};
  plan = NULL;
  assert_int_equal(bc_plan_parse(&plan, context, text, strlen(text), "shop/market.json", &inside), BC_BAD_DATA);
  assert_null(plan);
}

static void writing_loses_nothing(void **state) {
  (void)state;
  bc_plan *plan = NULL, *again = NULL;
  char *text = NULL, *second = NULL;
  assert_int_equal(bc_plan_open(&plan, context, BC_ASSETS "/demo/plan.json", NULL), BC_OK);
  assert_int_equal(bc_plan_to_json(&text, context, plan), BC_OK);
  assert_int_equal(bc_plan_parse(&again, context, text, strlen(text), BC_ASSETS "/demo/plan.json", NULL), BC_OK);
  assert_int_equal(bc_plan_to_json(&second, context, again), BC_OK);
  assert_string_equal(text, second);
  assert_int_equal(again->piece_count, plan->piece_count);
  for (size_t i = 0; i < plan->piece_count; i++) {
    assert_string_equal(again->pieces[i].id, plan->pieces[i].id);
    assert_true(again->pieces[i].at.x == plan->pieces[i].at.x && again->pieces[i].at.y == plan->pieces[i].at.y);
    assert_true(again->pieces[i].mount.rated_kg == plan->pieces[i].mount.rated_kg);
  }
  free(text);
  free(second);
  bc_plan_free(plan);
  bc_plan_free(again);
}

static bool finds(const char *text, const char *piece, bool serious) {
  bc_plan *plan = parse(text);
  bc_plan_findings findings = {0};
  assert_int_equal(bc_plan_check(&findings, context, plan), BC_OK);
  bool found = false;
  for (size_t i = 0; i < findings.count; i++)
    if (findings.finding[i].piece && strcmp(findings.finding[i].piece, piece) == 0 &&
        findings.finding[i].serious == serious)
      found = true;
  bc_plan_findings_clear(&findings);
  bc_plan_free(plan);
  return found;
}

static void checks(void **state) {
  (void)state;
  /* larger than the wall */
  assert_true(finds(HEAD
                    ",\"pieces\":[{\"id\":\"banner\",\"width\":400,\"height\":50,\"weight_g\":9,\"at\":[150,150]}]}",
                    "banner", true));
  /* two pieces in one place */
  assert_true(finds(HEAD ",\"pieces\":[{\"id\":\"a\",\"width\":40,\"height\":50,\"weight_g\":9,\"at\":[150,150]},"
                         "{\"id\":\"b\",\"width\":40,\"height\":50,\"weight_g\":9,\"at\":[160,150]}]}",
                    "a", true) ||
              finds(HEAD ",\"pieces\":[{\"id\":\"a\",\"width\":40,\"height\":50,\"weight_g\":9,\"at\":[150,150]},"
                         "{\"id\":\"b\",\"width\":40,\"height\":50,\"weight_g\":9,\"at\":[160,150]}]}",
                    "b", true));
  /* one piece well placed raises nothing serious */
  assert_false(finds(HEAD ",\"pieces\":[{\"id\":\"a\",\"width\":40,\"height\":50,\"weight_g\":9,\"at\":[150,150]}]}",
                     "a", true));
}

/* Every mistake of the file at once, each with its line and column; a slip is answered with the key that is meant: the
 * weight of a cloth is not its height. */
static void all_mistakes_at_once(void **state) {
  (void)state;
  static const char text[] = "{\"backcloth\":1,\"title\":\"t\",\"stand\":{\"width\":-3,\"wall_height\":240},\n"
                             "\"cloth\":{\"weight\":200,\"colur\":\"red\"},\n"
                             "\"pieces\":[{\"id\":\"a\",\"width\":1},\n"
                             "{\"id\":\"b\",\"width\":2,\"height\":\"x\",\"mount\":{\"kind\":\"glue\"}}]}";
  static const char *const told[] = {"line 1, column 45, stand.width",         "line 2, column 10, cloth.weight",
                                     "Did you mean \"grams_per_m2\"?",         "line 2, column 23, cloth.colur",
                                     "line 3, column 11, pieces[0]",           "line 4, column 30, pieces[1].height",
                                     "line 4, column 50, pieces[1].mount.kind"};
  for (size_t i = 0; i < sizeof told / sizeof *told; i++) refused(text, told[i], "market.json");
  /* A form has room for one sentence. */
  bc_plan *plan = NULL;
  const bc_plan_options form = {.from_form = true};
  assert_int_equal(bc_plan_parse(&plan, context, text, strlen(text), "p", &form), BC_BAD_DATA);
  assert_null(strchr(bc_context_message(context), '\n'));
}

static size_t told_about(const bc_plan *plan, const char *words) {
  bc_plan_findings findings;
  size_t count = 0;
  assert_int_equal(bc_plan_check(&findings, context, plan), BC_OK);
  for (size_t i = 0; i < findings.count; i++) count += strstr(findings.finding[i].text, words) != NULL;
  bc_plan_findings_clear(&findings);
  return count;
}

/* The sweep tells of each pair that overlaps once, as comparing all with all does. */
static void every_pair_once(void **state) {
  (void)state;
  srand(11);
  for (int trial = 0; trial < 200; trial++) {
    char text[8000];
    const int count = 2 + rand() % 24;
    double box[26][4];
    int at = snprintf(text, sizeof text, HEAD ",\"gap\":0,\"pieces\":[");
    for (int i = 0; i < count; i++) {
      const double sizes[] = {4, 20, 120};
      box[i][0] = rand() % 300, box[i][1] = rand() % 240, box[i][2] = sizes[rand() % 3], box[i][3] = sizes[rand() % 3];
      at +=
          snprintf(text + at, sizeof text - (size_t)at, "%s{\"id\":\"p%d\",\"width\":%g,\"height\":%g,\"at\":[%g,%g]}",
                   i ? "," : "", i, box[i][2], box[i][3], box[i][0], box[i][1]);
    }
    snprintf(text + at, sizeof text - (size_t)at, "]}");
    size_t pairs = 0;
    for (int i = 0; i < count; i++)
      for (int k = 0; k < i; k++)
        pairs += fabs(box[i][0] - box[k][0]) < (box[i][2] + box[k][2]) / 2 - 0.1 &&
                 fabs(box[i][1] - box[k][1]) < (box[i][3] + box[k][3]) / 2 - 0.1;
    bc_plan *plan = parse(text);
    if (pairs < 200) assert_int_equal(told_about(plan, " overlap by "), pairs);
    bc_plan_free(plan);
  }
}

/* Pieces nearer than the gap are told of, those at the gap are not; what stands on a table before a piece hides it, and
 * does not collide with it. */
static void gaps_and_depths(void **state) {
  (void)state;
  static const char pair[] = HEAD ",\"gap\":8,\"pieces\":[{\"id\":\"a\",\"width\":20,\"height\":20,\"at\":[100,150]},"
                                  "{\"id\":\"b\",\"width\":20,\"height\":20,\"at\":[%g,150]}]}";
  static const struct {
    double x;
    size_t told;
  } places[] = {{123, 1}, {127.8, 1}, {128, 0}, {140, 0}};
  for (size_t i = 0; i < sizeof places / sizeof *places; i++) {
    char text[512];
    snprintf(text, sizeof text, pair, places[i].x);
    bc_plan *plan = parse(text);
    assert_int_equal(told_about(plan, " apart; the plan asks for 8 cm"), places[i].told);
    assert_int_equal(told_about(plan, " overlap by "), 0);
    bc_plan_free(plan);
  }
  bc_plan *plan =
      parse(HEAD ",\"tables\":[{\"id\":\"t\",\"x\":60,\"width\":180,\"depth\":75,\"height\":74}],\"pieces\":["
                 "{\"id\":\"a\",\"title\":\"Vase\",\"width\":20,\"height\":40,\"at\":[150,94],"
                 "\"mount\":{\"kind\":\"table\"}},"
                 "{\"id\":\"b\",\"title\":\"Scarf\",\"width\":20,\"height\":60,\"at\":[150,120]}]}");
  assert_int_equal(told_about(plan, "\"Vase\" stands in front of \"Scarf\""), 1);
  assert_int_equal(told_about(plan, " overlap by "), 0);
  bc_plan_free(plan);
}

/* A cloth hangs from its corners and from clips between, at most half a metre apart (common practice, no source). */
static void clips_of_a_cloth(void **state) {
  (void)state;
  static const struct {
    double width;
    int points;
  } cloths[] = {{50, 2}, {51, 3}, {100, 3}, {250, 6}, {290, 7}};
  for (size_t i = 0; i < sizeof cloths / sizeof *cloths; i++) {
    char text[256];
    snprintf(text, sizeof text, HEAD ",\"cloth\":{\"colour\":\"#1f2430\",\"width\":%g}}", cloths[i].width);
    bc_plan *plan = parse(text);
    assert_int_equal(plan->cloth.points, cloths[i].points);
    bc_plan_free(plan);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(defaults),
      cmocka_unit_test(errors_name_the_place),
      cmocka_unit_test(paths_stay_inside_when_asked),
      cmocka_unit_test(writing_loses_nothing),
      cmocka_unit_test(checks),
      cmocka_unit_test(all_mistakes_at_once),
      cmocka_unit_test(every_pair_once),
      cmocka_unit_test(gaps_and_depths),
      cmocka_unit_test(clips_of_a_cloth),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
