/* SPDX-License-Identifier: MIT */
/* Starting a plan from photos: one piece per photo, answers kept as they were typed, the rest marked as missing. */
#include <backcloth/plan.h>

#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#include "support/context.h"

static char folder[] = "/tmp/backcloth-start-XXXXXX";
static const char *const names[] = {"Blue_bowl.JPG", "blue bowl.png", "blue-bowl-2.jpeg", "notes.txt", "vase.mask.png"};

static void touch(const char *name, bool there) {
  char path[200];
  snprintf(path, sizeof path, "%s/%s", folder, name);
  if (!there) {
    unlink(path);
    return;
  }
  FILE *file = fopen(path, "w");
  assert_non_null(file);
  fclose(file);
}

/* Answers in turn; NULL: the person leaves. */
static const char *const *answers;
static int asked;
static char *answer(void *data, const char *question) {
  (void)data;
  assert_non_null(question);
  const char *text = answers[asked];
  if (text) asked++;
  return text ? strdup(text) : NULL;
}

static void photos_become_pieces(void **state) {
  (void)state;
  bc_plan *plan = NULL;
  assert_int_equal(bc_plan_start(&plan, context, folder, NULL), BC_OK);
  assert_int_equal(plan->piece_count, 3); /* neither the text nor the mask */
  assert_int_equal(plan->missing.count, 2 + 2 * 3);
  assert_true(plan->stand.unmeasured);
  for (size_t i = 0; i < 3; i++) {
    assert_true(plan->pieces[i].unmeasured && plan->pieces[i].weight_g == 0);
    for (size_t k = 0; k < i; k++) assert_string_not_equal(plan->pieces[i].id, plan->pieces[k].id);
  }
  bc_plan_free(plan);
}

static void answers_are_kept(void **state) {
  (void)state;
  static const char *const given[] = {"10 ft", "240", "1", "-3", "wide", "4 1/8 in", "1 lb 2 oz", "", "30", NULL};
  answers = given;
  asked = 0;
  bc_plan_start_options options = bc_plan_start_options_default();
  options.ask = answer;
  options.title = "Saltmarsh Lane";
  bc_plan *plan = NULL;
  assert_int_equal(bc_plan_start(&plan, context, folder, &options), BC_OK);
  assert_int_equal(asked, 9);
  assert_true(plan->stand.width == 120 * 2.54 && plan->stand.wall_height == 240 && !plan->stand.unmeasured);
  assert_true(plan->pieces[0].width == 1 && plan->pieces[0].height == 4.125 * 2.54 && !plan->pieces[0].unmeasured);
  assert_true(plan->pieces[0].weight_g == 18 * 28.349523125);
  assert_true(plan->pieces[1].unmeasured && plan->pieces[1].height == 30); /* its width was skipped */
  assert_int_equal(plan->missing.count, 3);
  char *text = NULL;
  assert_int_equal(bc_plan_to_json(&text, context, plan), BC_OK);
  assert_non_null(strstr(text, "\"width\": \"10 ft\""));
  assert_non_null(strstr(text, "\"weight\": \"1 lb 2 oz\""));
  assert_non_null(strstr(text, "\"?\""));
  assert_non_null(strstr(text, "\"notes\""));
  free(text);
  bc_plan_free(plan);
}

static void no_photos(void **state) {
  (void)state;
  bc_plan *plan = NULL;
  assert_int_equal(bc_plan_start(&plan, context, "/nowhere/at/all", NULL), BC_NO_INPUT);
  for (size_t i = 0; i < 3; i++) touch(names[i], false);
  assert_int_equal(bc_plan_start(&plan, context, folder, NULL), BC_NO_INPUT);
  assert_null(plan);
}

/* The wall is asked for last, until the answer is one of the plan's words. */
static void the_wall_is_asked_for(void **state) {
  (void)state;
  static const char *const given[] = {"300", "240", "1", "1", "1",     "1",          "1",
                                      "1",   "1",   "1", "1", "brick", "foam-board", NULL};
  answers = given;
  asked = 0;
  bc_plan_start_options options = bc_plan_start_options_default();
  options.ask = answer;
  bc_plan *plan = NULL;
  assert_int_equal(bc_plan_start(&plan, context, folder, &options), BC_OK);
  assert_int_equal(asked, 13);
  assert_int_equal(plan->stand.wall, BC_WALL_FOAM_BOARD);
  bc_plan_free(plan);
}

int main(void) {
  assert_non_null(mkdtemp(folder));
  for (size_t i = 0; i < sizeof names / sizeof *names; i++) touch(names[i], true);
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(photos_become_pieces),
      cmocka_unit_test(answers_are_kept),
      cmocka_unit_test(the_wall_is_asked_for),
      cmocka_unit_test(no_photos),
  };
  const int failed = cmocka_run_group_tests(tests, set_up, tear_down);
  for (size_t i = 0; i < sizeof names / sizeof *names; i++) touch(names[i], false);
  rmdir(folder);
  return failed;
}
