/* SPDX-License-Identifier: MIT */
/* Numbers with units. 1 in = 2.54 cm and 1 lb = 0.45359237 kg exactly: international yard and pound agreement
 * (United States, Canada, United Kingdom, Australia, New Zealand, South Africa, 1959); 1 yd = 0.9144 m, 1 lb = 16 oz.
 */
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
#define INCHES                                                                                                         \
  "{\"backcloth\":1,\"title\":\"Stand\",\"units\":\"imperial\",\"stand\":{\"width\":\"10 ft\",\"wall_height\":94.5}"

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
  if (!strstr(bc_context_message(context), says) || !strstr(bc_context_message(context), and))
    fail_msg("'%s' and '%s' are not in: %s", says, and, bc_context_message(context));
}

static void is_cm(const char *written, double cm) {
  char text[400];
  snprintf(text, sizeof text, HEAD ",\"pieces\":[{\"id\":\"a\",\"width\":%s,\"height\":1}]}", written);
  bc_plan *plan = parse(text);
  if (plan->pieces[0].width != cm) fail_msg("%s is %.17g cm, not %.17g", written, plan->pieces[0].width, cm);
  bc_plan_free(plan);
}

static void is_grams(const char *written, double grams) {
  char text[400];
  snprintf(text, sizeof text, HEAD ",\"pieces\":[{\"id\":\"a\",\"width\":1,\"height\":1,\"weight_g\":%s}]}", written);
  bc_plan *plan = parse(text);
  if (plan->pieces[0].weight_g != grams) fail_msg("%s is %.17g g, not %.17g", written, plan->pieces[0].weight_g, grams);
  bc_plan_free(plan);
}

static void texts_are_exact(void **state) {
  (void)state;
  is_cm("50", 50);
  is_cm("\"50 in\"", 127);
  is_cm("\"4 ft 2 in\"", 127);
  is_cm("\"4' 2\\\"\"", 127);
  is_cm("\"4ft2in\"", 127);
  is_cm("\"3 1/2 in\"", 8.89);
  is_cm("\"1/4 inch\"", 0.635);
  is_cm("\"1 yd\"", 91.44);
  is_cm("\"1.2 m\"", 120);
  is_cm("\"1 m 20 cm\"", 120);
  is_cm("\"25 mm\"", 2.5);
  is_grams("\"850 g\"", 850);
  is_grams("\"1.2 kg\"", 1200);
  is_grams("\"1 lb\"", 453.59237);
  is_grams("\"2 lb 3 oz\"", 35 * 28.349523125);
  is_grams("\"16 oz\"", 453.59237);
}

/* 3 1/2 in and 7 in and 10 ft: whole inches give what 2.54 times them is. */
static void every_inch(void **state) {
  (void)state;
  for (int i = 1; i <= 120; i++) {
    char written[40];
    snprintf(written, sizeof written, "\"%d ft %d in\"", i / 12, i % 12);
    is_cm(written, i * 2.54);
  }
}

static void a_whole_file_in_inches(void **state) {
  (void)state;
  bc_plan *plan = parse(INCHES ",\"rods\":[{\"y\":90,\"outer_mm\":25,\"supports\":[12,\"9 ft\"],\"rated\":88}],"
                               "\"gap\":3,\"pieces\":[{\"id\":\"a\",\"width\":15,\"height\":\"40 cm\",\"weight\":24,"
                               "\"at\":[60,55],\"mount\":{\"rated\":\"11 lb\"}},"
                               "{\"id\":\"b\",\"width\":15,\"height\":10,\"weight_g\":600}]}");
  assert_int_equal(plan->units, BC_UNITS_IMPERIAL);
  assert_true(plan->stand.width == 304.8 && plan->stand.wall_height == 94.5 * 2.54);
  assert_true(plan->stand.depth == 300); /* a default stays what it is */
  assert_true(plan->rods[0].y == 90 * 2.54 && plan->rods[0].outer_mm == 25);
  assert_true(plan->rods[0].supports[0] == 12 * 2.54 && plan->rods[0].supports[1] == 108 * 2.54);
  assert_true(fabs(plan->rods[0].rated_kg - 88 * 0.45359237) < 1e-12);
  assert_true(plan->gap == 3 * 2.54);
  assert_true(plan->pieces[0].width == 15 * 2.54 && plan->pieces[0].height == 40);
  assert_true(fabs(plan->pieces[0].weight_g - 24 * 28.349523125) < 1e-9);
  assert_true(plan->pieces[0].at.x == 60 * 2.54 && plan->pieces[0].at.y == 55 * 2.54);
  assert_true(fabs(plan->pieces[0].mount.rated_kg - 11 * 0.45359237) < 1e-12);
  assert_true(plan->pieces[1].weight_g == 600); /* the key says grams */
  bc_plan_free(plan);
}

/* What was not changed comes back as it was written; what was, in the file's units. */
static void written_as_it_was(void **state) {
  (void)state;
  bc_plan *plan = parse(INCHES ",\"gap\":\"3 in\",\"pieces\":[{\"id\":\"a\",\"width\":\"1 ft 3 in\",\"height\":10.5,"
                               "\"weight\":24,\"at\":[60,\"4 ft 2 in\"]}]}");
  char *text = NULL;
  plan->pieces[0].at.x = 100 * 2.54;
  assert_int_equal(bc_plan_to_json(&text, context, plan), BC_OK);
  assert_non_null(strstr(text, "\"10 ft\""));
  assert_non_null(strstr(text, "\"gap\": \"3 in\""));
  assert_non_null(strstr(text, "\"width\": \"1 ft 3 in\", \"height\": 10.5, \"weight\": 24"));
  assert_non_null(strstr(text, "[100, \"4 ft 2 in\"]"));
  assert_null(strstr(text, "weight_g"));
  free(text);
  bc_plan_free(plan);
}

static void wrong_texts(void **state) {
  (void)state;
  refused(HEAD ",\"pieces\":[{\"id\":\"a\",\"width\":\"50\",\"height\":1}]}", "pieces[0].width", "4 ft 2 in");
  refused(HEAD ",\"pieces\":[{\"id\":\"a\",\"width\":\"2 lb\",\"height\":1}]}", "pieces[0].width", "2 lb");
  refused(HEAD ",\"pieces\":[{\"id\":\"a\",\"width\":\"2 in 4 ft\",\"height\":1}]}", "pieces[0].width", "2 in 4 ft");
  refused(HEAD ",\"pieces\":[{\"id\":\"a\",\"width\":\"1,5 m\",\"height\":1}]}", "pieces[0].width", "1,5 m");
  refused(HEAD ",\"pieces\":[{\"id\":\"a\",\"width\":\"1/0 in\",\"height\":1}]}", "pieces[0].width", "1/0");
  refused(HEAD ",\"pieces\":[{\"id\":\"a\",\"width\":\"-3 in\",\"height\":1}]}", "pieces[0].width", "-7.62 cm");
  refused(HEAD ",\"design_factor\":\"5 in\"}", "design_factor", "without quotation marks");
  refused(HEAD ",\"pieces\":[{\"id\":\"a\",\"width\":1,\"height\":1,\"weight\":5,\"weight_g\":5}]}", "pieces[0].weight",
          "say the same");
  refused(HEAD ",\"units\":\"feet\"}", "units", "imperial");
}

/* "?" is refused with its place, or listed when asked; never guessed, and kept when written. */
static void missing_sizes(void **state) {
  (void)state;
  const char *text = HEAD ",\n\"pieces\":[{\"id\":\"a\",\"width\":\"?\",\"height\":\"?\",\"weight_g\":\"?\"},\n"
                          "{\"id\":\"b\",\"width\":5,\"height\":\"?\"}]}";
  refused(text, "line 2", "pieces[0].width");
  refused(text, "a width is still missing", "2 more sizes");
  const bc_plan_options options = {.allow_missing = true};
  bc_plan *plan = NULL;
  assert_int_equal(bc_plan_parse(&plan, context, text, strlen(text), "market.json", &options), BC_OK);
  assert_int_equal(plan->missing.count, 3);
  assert_non_null(strstr(plan->missing.text[2], "line 3"));
  assert_true(plan->pieces[0].unmeasured && plan->pieces[1].unmeasured && !plan->stand.unmeasured);
  assert_true(plan->pieces[0].weight_g == 0);
  char *written = NULL;
  assert_int_equal(bc_plan_to_json(&written, context, plan), BC_OK);
  assert_non_null(strstr(written, "\"width\": \"?\", \"height\": \"?\", \"weight_g\": \"?\""));
  free(written);
  bc_plan_free(plan);
}

static bool mentions(const bc_plan_findings *findings, const char *words) {
  for (size_t i = 0; i < findings->count; i++)
    if (strstr(findings->finding[i].text, words)) return true;
  return false;
}

/* Who fills in a form sees neither lines nor keys; a piece without a size is told of, not guessed. */
static void a_form_has_names(void **state) {
  (void)state;
  const bc_plan_options options = {.from_form = true};
  const char *text =
      HEAD ",\"pieces\":[{\"id\":\"a\",\"title\":\"Tall jar\",\"width\":\"?\",\"height\":\"?\",\"at\":[90,150]},"
           "{\"id\":\"b\",\"width\":5,\"height\":\"?\"}]}";
  bc_plan *plan = NULL;
  bc_plan_findings findings;
  assert_int_equal(bc_plan_parse(&plan, context, text, strlen(text), "plan", &options), BC_OK);
  assert_true(plan->pieces[0].unmeasured && plan->pieces[1].unmeasured && plan->missing.count == 0);
  assert_int_equal(bc_plan_check(&findings, context, plan), BC_OK);
  assert_true(mentions(&findings, "\"Tall jar\" has a place, but its size is missing"));
  assert_true(mentions(&findings, "1 piece has no size yet"));
  bc_plan_findings_clear(&findings);
  bc_plan_free(plan);
  const char *wrong[][2] = {
      {HEAD ",\"pieces\":[{\"id\":\"a\",\"title\":\"Tall jar\",\"width\":-1,\"height\":9}]}", "\"Tall jar\": "},
      {HEAD ",\"rods\":[{\"id\":\"top rod\",\"length\":-1}]}", "\"top rod\": "},
      {HEAD ",\"gap\":-3}", "the gap must be"},
      {"{\"backcloth\":1,\"title\":\"t\",\"stand\":{\"width\":\"?\",\"wall_height\":240}}", ""}};
  for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
    assert_int_equal(bc_plan_parse(&plan, context, wrong[i][0], strlen(wrong[i][0]), "plan", &options), BC_BAD_DATA);
    const char *said = bc_context_message(context);
    assert_ptr_equal(strstr(said, wrong[i][1]), said);
    assert_null(strstr(said, "line "));
  }
}

static void notes_are_kept(void **state) {
  (void)state;
  bc_plan *plan = parse(HEAD ",\"notes\":[\"for the market\",\"in May\"],"
                             "\"pieces\":[{\"id\":\"a\",\"notes\":\"ask Ilse\",\"width\":5,\"height\":5}]}");
  char *text = NULL;
  assert_int_equal(bc_plan_to_json(&text, context, plan), BC_OK);
  assert_non_null(strstr(text, "[\"for the market\", \"in May\"]"));
  assert_non_null(strstr(text, "\"notes\": \"ask Ilse\""));
  free(text);
  bc_plan_free(plan);
  refused(HEAD ",\"notes\":5}", "notes", "text");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(texts_are_exact),   cmocka_unit_test(every_inch),     cmocka_unit_test(a_whole_file_in_inches),
      cmocka_unit_test(written_as_it_was), cmocka_unit_test(wrong_texts),    cmocka_unit_test(missing_sizes),
      cmocka_unit_test(a_form_has_names),  cmocka_unit_test(notes_are_kept),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
