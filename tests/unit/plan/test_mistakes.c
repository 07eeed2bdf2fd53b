/* SPDX-License-Identifier: MIT */
/* All mistakes of a plan are told at once, each with its line, from top to bottom; a person's word for a key gets the
 * key that is meant. */
#include <backcloth/plan.h>

#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/context.h"

#define HEAD "{\"backcloth\":1,\"title\":\"Stand\",\n\"stand\":{\"width\":300,\"wall_height\":240}"

static const char *mistakes(const char *text) {
  bc_plan *plan = NULL;
  assert_int_equal(bc_plan_parse(&plan, context, text, strlen(text), "market.json", NULL), BC_BAD_DATA);
  assert_null(plan);
  return bc_context_message(context);
}

/* Each in turn stands behind the one before, and nothing else is told. */
static void told(const char *text, const char *const *each, size_t count) {
  const char *at = mistakes(text);
  size_t lines = 1;
  for (const char *c = at; *c; c++) lines += *c == '\n';
  for (size_t i = 0; i < count; i++) {
    const char *found = strstr(at, each[i]);
    if (!found) fail_msg("'%s' is not behind the others in: %s", each[i], bc_context_message(context));
    at = found;
  }
  if (lines != count) fail_msg("%zu mistakes, not %zu: %s", lines, count, bc_context_message(context));
}

static void names_with_all_others(void **state) {
  (void)state;
  const char *const each[] = {"line 3, column 1, nothing",
                              "line 4, column 10, pieces[0].width",
                              "line 5, column 7, pieces[1].id: the id \"a\" is already used by pieces[0]",
                              "line 6, column 7, pieces[2].id: the id \"a\" is already used by pieces[0]",
                              "line 7, column 46, pieces[3].mount.on: no rod",
                              "line 8, column 46, pieces[4].mount.on: no rod",
                              "line 9, column 20, cloth.on: no rod"};
  told(HEAD ",\n\"nothing\":1,\"pieces\":[\n{\"width\":0,\"id\":\"a\",\"height\":5},\n{\"id\":\"a\",\"width\":5,"
            "\"height\":5},\n{\"id\":\"a\",\"width\":5,\"height\":5},\n{\"id\":\"b\",\"width\":5,\"height\":5,"
            "\"mount\":{\"on\":\"x\"}},\n{\"id\":\"c\",\"width\":5,\"height\":5,\"mount\":{\"on\":\"y\"}}],\n"
            "\"cloth\":{  \"on\":   \"z\"}}",
       each, sizeof each / sizeof *each);
}

/* Where a carrier's own id is wrong, nobody can say that a piece hangs on nothing. */
static void no_mistake_of_a_mistake(void **state) {
  (void)state;
  const char *const each[] = {"rods[0].id"};
  told(HEAD ",\"rods\":[{\"id\":7}],\"pieces\":[{\"id\":\"a\",\"width\":5,\"height\":5,\"mount\":{\"on\":\"x\"}}]}",
       each, 1);
  told(HEAD ",\"rods\":[{\"id\":\"\"}],\"pieces\":[{\"id\":\"a\",\"width\":5,\"height\":5,\"mount\":{\"on\":\"x\"}}]}",
       each, 1);
}

static void both_numbers_of_a_place(void **state) {
  (void)state;
  const char *const each[] = {"pieces[0].at[0]", "pieces[0].at[1]", "rods[0].supports[0]", "rods[0].supports[2]"};
  told(HEAD ",\"pieces\":[{\"id\":\"a\",\"width\":5,\"height\":5,\"at\":[true,1e9]}],\n\"rods\":[{\"supports\":[null,5,"
            "{}]}]}",
       each, sizeof each / sizeof *each);
}

static void a_key_twice_hides_nothing(void **state) {
  (void)state;
  const char *const each[] = {"line 3, column 13: the same key is given twice", "pieces[0].width", "pieces[0].count"};
  told(HEAD ",\n\"gap\":5,\"gap\":6,\"pieces\":[{\"id\":\"a\",\"width\":-5,\"height\":5,\"count\":0.5}]}", each,
       sizeof each / sizeof *each);
}

/* A rod of a wall that is still to be measured has supports that nobody gave. */
static void nobody_gave_them(void **state) {
  (void)state;
  const char *text =
      "{\"backcloth\":1,\"title\":\"Stand\",\"stand\":{\"width\":\"?\",\"wall_height\":240},\"rods\":[{}]}";
  bc_plan *plan = NULL;
  bc_plan_options how = bc_plan_options_default();
  how.allow_missing = true;
  assert_int_equal(bc_plan_parse(&plan, context, text, strlen(text), "market.json", &how), BC_OK);
  bc_plan_free(plan);
}

static void the_key_meant(void **state) {
  (void)state;
  const struct {
    const char *where, *said, *meant;
  } slips[] = {
      {",\"cloth\":{\"%s\":1}}", "weight", "grams_per_m2"},
      {",\"cloth\":{\"%s\":1}}", "weight_g", "grams_per_m2"},
      {",\"cloth\":{\"%s\":1}}", "gsm", "grams_per_m2"},
      {",\"cloth\":{\"%s\":1}}", "color", "colour"},
      {",\"cloth\":{\"%s\":1}}", "drop", "height"},
      {",\"cloth\":{\"%s\":1}}", "clips", "points"},
      {",\"grids\":[{\"%s\":1}]}", "wieght", "weight"},
      {",\"grids\":[{\"%s\":1}]}", "mass", "weight"},
      {",\"rods\":[{\"%s\":1}]}", "diameter", "outer_mm"},
      {",\"rods\":[{\"%s\":1}]}", "width", "length"},
      {",\"rods\":[{\"%s\":1}]}", "height", "y"},
      {",\"rods\":[{\"%s\":1}]}", "name", "id"},
      {",\"tables\":[{\"%s\":1}]}", "length", "width"},
      {",\"tables\":[{\"%s\":1}]}", "height_cm", "height"},
      {",\"shelves\":[{\"%s\":1}]}", "comment", "notes"},
      {",\"viewers\":{\"%s\":1}}", "height", "stature"},
      {",\"packing\":{\"%s\":1}}", "bag_weight", "bag_kg"},
      {",\"%s\":[]}", "items", "pieces"},
      {",\"%s\":[]}", "shelf", "shelves"},
      {",\"%s\":[]}", "fabric", "cloth"},
      {",\"pieces\":[{\"id\":\"a\",\"width\":5,\"height\":5,\"%s\":1}]}", "name", "title"},
      {",\"pieces\":[{\"id\":\"a\",\"width\":5,\"height\":5,\"%s\":1}]}", "position", "at"},
      {",\"pieces\":[{\"id\":\"a\",\"width\":5,\"height\":5,\"%s\":1}]}", "hanging", "mount"},
      {",\"pieces\":[{\"id\":\"a\",\"width\":5,\"height\":5,\"%s\":1}]}", "weight_kg", "weight"},
      {",\"pieces\":[{\"id\":\"a\",\"width\":5,\"height\":5,\"%s\":1}]}", "qty", "count"},
      {",\"pieces\":[{\"id\":\"a\",\"width\":5,\"height\":5,\"mount\":{\"%s\":1}}]}", "type", "kind"},
      {",\"pieces\":[{\"id\":\"a\",\"width\":5,\"height\":5,\"mount\":{\"%s\":1}}]}", "rating", "rated"},
      {",\"pieces\":[{\"id\":\"a\",\"width\":5,\"height\":5,\"mount\":{\"%s\":1}}]}", "nails", "points"},
  };
  for (size_t i = 0; i < sizeof slips / sizeof *slips; i++) {
    char place[200], text[400], meant[60];
    snprintf(place, sizeof place, slips[i].where, slips[i].said);
    snprintf(text, sizeof text, "%s%s", HEAD, place);
    snprintf(meant, sizeof meant, "Did you mean \"%s\"?", slips[i].meant);
    if (!strstr(mistakes(text), meant)) fail_msg("%s: %s", slips[i].said, bc_context_message(context));
  }
  assert_null(strstr(mistakes(HEAD ",\"cloth\":{\"luck\":1}}"), "Did you mean")); /* nothing is near */
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(names_with_all_others),   cmocka_unit_test(no_mistake_of_a_mistake),
      cmocka_unit_test(both_numbers_of_a_place), cmocka_unit_test(a_key_twice_hides_nothing),
      cmocka_unit_test(nobody_gave_them),        cmocka_unit_test(the_key_meant),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
