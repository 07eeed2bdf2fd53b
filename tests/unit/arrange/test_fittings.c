/* SPDX-License-Identifier: MIT */
/* A corner stand, panels, posts, risers, the hanger's reach: where pieces go, and what is said when they cannot. */
#include "plans.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <time.h>

#include <cmocka.h>

#include "support/context.h"

static bc_arrangements *arranged(const bc_plan *plan) {
  bc_arrangements *result = NULL;
  assert_int_equal(bc_arrange(&result, context, plan, NULL), BC_OK);
  assert_true(result->count >= 1);
  return result;
}

/* The statement piece follows the focus: 25 cm towards the aisle of a wall of 300 cm. */
static void corner_moves_the_statement_piece(void **state) {
  (void)state;
  for (int side = 0; side < 2; side++) {
    bc_plan *plan = plan_empty(5);
    plan->stand.open_side = side ? BC_OPEN_RIGHT : BC_OPEN_LEFT;
    plan_add(plan, 60, 60)->role = BC_ROLE_STATEMENT;
    for (int i = 0; i < 4; i++) plan_add(plan, i < 2 ? 40 : 15, i < 2 ? 40 : 15);
    bc_arrangements *result = arranged(plan);
    const double x = result->arrangement[0]->places[0].at.x;
    assert_true(fabs(x - (side ? 175 : 125)) < 12);
    bc_arrangements_free(result);
    plan_drop(plan);
  }
}

/* On one panel, hooks on wires of 7.62 cm (3 in), all at once and none outside. */
static void panel_takes_what_fits(void **state) {
  (void)state;
  bc_plan *plan = plan_empty(6);
  const bc_grid *grid = plan_grid(plan, 100, 30, 91.44, 182.88, 7.62);
  for (int i = 0; i < 6; i++) {
    bc_piece *piece = plan_add(plan, 25, 25);
    piece->mount.kind = BC_MOUNT_HOOK;
    piece->mount.on = strdup("grid-1");
  }
  bc_arrangements *result = arranged(plan);
  const bc_arrangement *best = result->arrangement[0];
  assert_int_equal(best->left_off, 0);
  for (int i = 0; i < 6; i++) {
    assert_string_equal(best->places[i].on, "grid-1");
    const double wires = (best->places[i].at.x - grid->x) / grid->mesh;
    assert_true(fabs(wires - round(wires)) < 0.1 / grid->mesh);
  }
  bc_arrangements_free(result);
  plan_drop(plan);
}

/* A panel rated 15 kg holds 3 kg under a design factor of 5: three pieces of 1 kg, and the words say why not more. */
static void panel_is_not_overloaded(void **state) {
  (void)state;
  bc_plan *plan = plan_empty(5);
  plan_grid(plan, 100, 30, 120, 180, 10)->rated_kg = 15;
  for (int i = 0; i < 5; i++) {
    bc_piece *piece = plan_add(plan, 15, 15);
    piece->weight_g = 1000;
    piece->mount.kind = BC_MOUNT_HOOK;
    piece->mount.on = strdup("grid-1");
  }
  bc_arrangements *result = arranged(plan);
  assert_int_equal(result->arrangement[0]->left_off, 2);
  bc_arrangements_free(result);
  plan_drop(plan);
}

static void post_that_forbids_is_named(void **state) {
  (void)state;
  bc_plan *plan = plan_empty(1);
  plan_post(plan, 140, 20, false);
  plan_add(plan, 20, 30)->mount.on = strdup("post-1");
  bc_arrangements *result = arranged(plan);
  assert_int_equal(result->arrangement[0]->left_off, 1);
  assert_non_null(strstr(result->arrangement[0]->places[0].why, "post-1"));
  bc_arrangements_free(result);
  plan->posts->hang = true;
  result = arranged(plan);
  assert_int_equal(result->arrangement[0]->left_off, 0);
  assert_true(fabs(result->arrangement[0]->places[0].at.x - 150) <= 10);
  bc_arrangements_free(result);
  plan_drop(plan);
}

/* What the table has no room for goes up on the riser, and heights differ. */
static void risers_lift(void **state) {
  (void)state;
  bc_plan *plan = plan_empty(4);
  plan_table(plan, 100, 100, 60, 74);
  plan_riser(plan, 130, 40, 20);
  for (int i = 0; i < 3; i++) plan_add(plan, 18, 20)->mount.kind = BC_MOUNT_TABLE;
  bc_arrangements *result = arranged(plan);
  int lifted = 0;
  for (int i = 0; i < 3; i++) {
    const bc_place *place = &result->arrangement[0]->places[i];
    assert_int_equal(place->state, BC_PLACE_PLACED);
    const bool up = strcmp(place->on, "riser-1") == 0;
    assert_true(fabs(place->at.y - (up ? 94 : 74) - 10) < 1e-6);
    lifted += up;
  }
  assert_true(lifted >= 1);
  assert_int_equal(bc_arrange_apply(plan, context, result->arrangement[0]), BC_OK);
  bc_arrangements_free(result);
  plan_drop(plan);
}

/* A wheelchair user's reach, 121.9 cm (2010 ADA Standards, 308.2.1), without a step. */
static void reach_of_the_plan(void **state) {
  (void)state;
  bc_plan *plan = plan_empty(3);
  plan->hanging = (bc_hanging){.stature = 150, .reach = 121.9, .step = 0};
  for (int i = 0; i < 3; i++) plan_add(plan, 20, 20);
  bc_arrangements *result = arranged(plan);
  for (size_t k = 0; k < result->count; k++)
    for (int i = 0; i < 3; i++) {
      const bc_place *place = &result->arrangement[k]->places[i];
      assert_int_equal(place->state, BC_PLACE_PLACED);
      assert_true(place->at.y + 10 <= 121.9 + 1e-6);
    }
  bc_arrangements_free(result);
  plan_drop(plan);
}

static double cpu_seconds(void) {
  return (double)clock() / CLOCKS_PER_SEC;
}

/* Sixty pieces in under a second of one core; sanitizers aside. */
static void sixty_pieces_in_a_second(void **state) {
  (void)state;
  bc_plan *plan = plan_empty(60);
  dice d = {7};
  plan->stand.width = 600;
  plan_zone(plan, BC_ZONE_NO_FIX, 300, 150, 30, 30);
  plan_grid(plan, 20, 40, 90, 170, 7.5);
  for (int i = 0; i < 60; i++) {
    bc_piece *piece = plan_add(plan, dice_cm(&d, 8, 30), dice_cm(&d, 8, 30));
    if (i % 6 != 5) continue;
    piece->mount.kind = BC_MOUNT_HOOK;
    piece->mount.on = strdup("grid-1");
  }
  plan->pieces[0].role = BC_ROLE_STATEMENT;
  const double before = cpu_seconds();
  bc_arrangements *result = arranged(plan);
  const double taken = cpu_seconds() - before;
  print_message("60 pieces: %.2f s, %zu left off\n", taken, result->arrangement[0]->left_off);
#ifndef __SANITIZE_ADDRESS__
  assert_true(taken < 1);
#endif
  bc_arrangements_free(result);
  plan_drop(plan);
}

static void groups_by_words(void **state) {
  (void)state;
  static char clay[] = "Stoneware", same[] = "stoneware", glass[] = "glass";
  bc_plan *plan = plan_empty(3);
  char *const words[] = {clay, glass, same};
  for (int i = 0; i < 3; i++) plan_add(plan, 20, 20)->material = words[i];
  bc_grouping out[BC_GROUPINGS];
  assert_int_equal(bc_arrange_groupings(out, context, plan, NULL), BC_OK);
  assert_int_equal(out[BC_GROUP_BY_MATERIAL].group_count, 1);
  assert_string_equal(out[BC_GROUP_BY_MATERIAL].name[0], "Stoneware");
  assert_int_equal(out[BC_GROUP_BY_MATERIAL].group[2], 0);
  assert_int_equal(out[BC_GROUP_BY_TECHNIQUE].group_count, 0);
  char *text = NULL;
  assert_int_equal(bc_groupings_to_json(&text, context, plan, out), BC_OK);
  assert_non_null(strstr(text, "{\"name\":\"Stoneware\",\"pieces\":[\"piece-1\",\"piece-3\"]}"));
  free(text);
  bc_groupings_clear(out);
  plan_drop(plan);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(corner_moves_the_statement_piece),
      cmocka_unit_test(panel_takes_what_fits),
      cmocka_unit_test(panel_is_not_overloaded),
      cmocka_unit_test(post_that_forbids_is_named),
      cmocka_unit_test(risers_lift),
      cmocka_unit_test(reach_of_the_plan),
      cmocka_unit_test(sixty_pieces_in_a_second),
      cmocka_unit_test(groups_by_words),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
