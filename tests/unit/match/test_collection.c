/* SPDX-License-Identifier: MIT */
/* The collection as a value: what it owns, what is lent to it, and all of it under another light. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "match_made.h"

static const bc_lab warm = {70, 10, 30}, pale = {88, 0, 6};

static void test_starts_empty(void **state) {
  (void)state;
  bc_collection all = bc_collection_start();
  assert_int_equal(all.count, 0);
  assert_true(all.statement == SIZE_MAX);
  assert_string_equal(bc_collection_light_name(&all), "D50");
  bc_collection_clear(&all);
  bc_collection_clear(&all);
}

/* A lent reading stays as it is; the collection's own copy has the colours of the light. */
static void test_light_leaves_lent_readings_alone(void **state) {
  (void)state;
  bc_context *context = NULL;
  const bc_light *light = NULL;
  assert_int_equal(bc_context_new(&context), BC_OK);
  assert_int_equal(bc_light_parse(&light, context, "A"), BC_OK);
  const bc_reading *lent = made_reading("jug.png", warm, pale, 0.3);
  const bc_cloth made = made_cloth(pale), *cloths[] = {&made};
  bc_collection all = made_collection(&lent, 1, cloths, 1);
  assert_int_equal(bc_collection_take(&all, context, made_reading("cup.png", warm, pale, 0.3)), BC_OK);
  assert_int_equal(bc_cloths_add_copy(&all.tables, context, &made), BC_OK);
  all.piece[0].width_cm = 12;
  all.statement = 1;
  assert_int_equal(bc_collection_put_under_light(&all, context, light), BC_OK);
  assert_string_equal(bc_collection_light_name(&all), "A");
  assert_near(lent->mean.lab.b, warm.b + 0.3 * (pale.b - warm.b), 1e-9);
  const bc_colour seen = bc_colour_under_light(lent->mean, light), cloth = bc_colour_under_light(made.colour, light);
  for (int i = 0; i < 2; i++) {
    assert_near(all.piece[i].reading->mean.lab.b, seen.lab.b, 1e-9);
    assert_near(all.piece[i].reading->rim[150].a, bc_colour_under_light(bc_colour_from_lab(warm), light).lab.a, 1e-3);
  }
  assert_near(all.cloths.cloth[0]->colour.lab.b, cloth.lab.b, 1e-9);
  assert_near(all.tables.cloth[0]->colour.lab.b, cloth.lab.b, 1e-9);
  assert_true(all.piece[0].width_cm == 12 && all.statement == 1 && all.count == 2);
  bc_match *match = made_match(&all);
  char *text = NULL;
  assert_int_equal(bc_match_to_json(&text, context, match), BC_OK);
  assert_non_null(strstr(text, "\"light\":\"A\""));
  free(text);
  bc_match_free(match);
  bc_collection_clear(&all);
  made_free(lent);
  bc_context_free(context);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_starts_empty),
      cmocka_unit_test(test_light_leaves_lent_readings_alone),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
