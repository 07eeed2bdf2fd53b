/* SPDX-License-Identifier: MIT */
/* What is seen past 0 to 6 people, as JSON: every piece, every crowd, the same figures as bc_aisle_of. */
#include <backcloth/aisle.h>

#include <jansson.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/context.h"

static const char *const text =
    "{\"backcloth\":1,\"title\":\"T\",\"stand\":{\"width\":300,\"wall_height\":240},\"viewers\":{\"distance\":350},"
    "\"pieces\":[{\"id\":\"high\",\"width\":40,\"height\":30,\"at\":[150,215]},"
    "{\"id\":\"low \\\"one\\\"\",\"width\":40,\"height\":30,\"at\":[150,60]},"
    "{\"id\":\"nowhere\",\"width\":40,\"height\":30}]}";

static bc_plan *parse(void) {
  bc_plan *plan = NULL;
  if (bc_plan_parse(&plan, context, text, strlen(text), "plan.json", NULL) != BC_OK)
    fail_msg("%s", bc_context_message(context));
  return plan;
}

static json_t *told(const bc_plan *plan, const bc_aisle_options *how) {
  char *words = NULL;
  assert_int_equal(bc_aisle_to_json(&words, context, plan, how), BC_OK);
  json_t *const root = json_loads(words, JSON_REJECT_DUPLICATES, NULL);
  assert_non_null(root);
  free(words);
  return root;
}

static double figure(const json_t *crowd, const char *key) {
  const json_t *const value = json_object_get(crowd, key);
  assert_true(json_is_number(value));
  return json_number_value(value);
}

static void figures_are_those_of_the_library(void **state) {
  (void)state;
  bc_plan *const plan = parse();
  bc_aisle_options how = bc_aisle_options_default();
  how.trials = 200;
  json_t *const root = told(plan, &how), *const aisle = json_object_get(root, "aisle");
  assert_true(fabs(figure(aisle, "distance_cm") - 350) < 1e-9);
  assert_int_equal((int)figure(aisle, "visitors"), 200);
  const json_t *const pieces = json_object_get(aisle, "pieces");
  assert_int_equal(json_array_size(pieces), 2); /* the third has no place */
  for (int crowd = 0; crowd <= BC_AISLE_CROWD_MOST; crowd++) {
    bc_aisle *truth = NULL;
    how.crowd = crowd;
    assert_int_equal(bc_aisle_of(&truth, context, plan, &how), BC_OK);
    assert_int_equal(truth->count, 2);
    for (size_t i = 0; i < 2; i++) {
      const json_t *const piece = json_array_get(pieces, i), *const all = json_object_get(piece, "crowds");
      assert_string_equal(json_string_value(json_object_get(piece, "piece")), plan->pieces[truth->pieces[i].piece].id);
      assert_int_equal(json_array_size(all), BC_AISLE_CROWD_MOST + 1);
      const json_t *const one = json_array_get(all, (size_t)crowd);
      assert_int_equal((int)figure(one, "crowd"), crowd);
      assert_int_equal((int)figure(one, "stood"), truth->crowd);
      assert_true(fabs(figure(one, "in_view_share") - truth->pieces[i].visible_share) < 1e-8);
      assert_true(fabs(figure(one, "standard_error") - truth->pieces[i].standard_error) < 1e-8);
      assert_true(fabs(figure(one, "half_seen_share") - truth->pieces[i].seen_share) < 1e-8);
    }
    bc_aisle_free(truth);
  }
  json_decref(root);
  bc_plan_free(plan);
}

/* Nobody in the stand: all is seen. More people: the low piece is seen less, the high one hardly less. */
static void crowds_hide_what_hangs_low(void **state) {
  (void)state;
  bc_plan *const plan = parse();
  json_t *const root = told(plan, NULL);
  const json_t *const pieces = json_object_get(json_object_get(root, "aisle"), "pieces");
  double share[2][2];
  for (size_t i = 0; i < 2; i++)
    for (size_t many = 0; many < 2; many++)
      share[i][many] =
          figure(json_array_get(json_object_get(json_array_get(pieces, i), "crowds"), many ? 6 : 0), "in_view_share");
  assert_true(share[0][0] > 0.999 && share[1][0] > 0.999);
  assert_true(share[1][1] < share[0][1] && share[1][1] < 0.9);
  json_decref(root);
  bc_plan_free(plan);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(figures_are_those_of_the_library),
      cmocka_unit_test(crowds_hide_what_hangs_low),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
