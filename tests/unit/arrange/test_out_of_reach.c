/* SPDX-License-Identifier: MIT */
/* What would not hold a child's pull hangs where no child reaches it, while there is room; else it still hangs, and is
 * told. What holds the pull, is light, or has been secured hangs where it looks best. */
#include "plans.h"

#include <backcloth/loads.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>

#include <cmocka.h>

#include "support/context.h"

/* On a nail that holds the piece five times over, and a child not at all. */
static bc_piece *add_weak(bc_plan *plan, double width, double height) {
  bc_piece *piece = plan_add(plan, width, height);
  piece->weight_g = 600;
  piece->mount.rated_kg = 4;
  return piece;
}

static bool in_reach(const bc_piece *piece, const bc_place *place) {
  return place->state != BC_PLACE_LEFT_OFF && place->at.y - piece->height / 2 <= BC_CHILD_REACH_CM;
}

/* How many of the plan's weak pieces come to hang in reach, and how many are left off, in all styles. */
static void arranged(const bc_plan *plan, int *reached, int *off, int *told) {
  bc_arrangements *result = NULL;
  assert_int_equal(bc_arrange(&result, context, plan, NULL), BC_OK);
  *reached = *off = *told = 0;
  for (size_t k = 0; k < result->count; k++) {
    const bc_arrangement *a = result->arrangement[k];
    for (size_t i = 0; i < plan->piece_count; i++) {
      const bc_piece *piece = &plan->pieces[i];
      const bool weak = piece->weight_g >= BC_CHILD_PIECE_G && piece->mount.rated_kg < 10 && !piece->mount.out_of_reach;
      *reached += weak && in_reach(piece, &a->places[i]);
      *off += a->places[i].state == BC_PLACE_LEFT_OFF;
    }
    for (size_t i = 0; i < a->cautions.count; i++) *told += strstr(a->cautions.text[i], "a child can reach it") != NULL;
  }
  bc_arrangements_free(result);
}

static void goes_out_of_reach(void **state) {
  (void)state;
  bc_plan *plan = plan_empty(8);
  plan_table(plan, 60, 180, 75, 74);
  for (int i = 0; i < 5; i++) add_weak(plan, 20, 24);
  for (int i = 0; i < 3; i++) plan_add(plan, 30, 30)->mount.rated_kg = 30; /* holds the pull */
  int reached, off, told;
  arranged(plan, &reached, &off, &told);
  assert_int_equal(reached, 0);
  assert_int_equal(off, 0);
  assert_int_equal(told, 0);
  plan_drop(plan);
}

/* More than there is room for above: none is left off for it, some are out of reach, the others are told. */
static void none_is_left_off_for_it(void **state) {
  (void)state;
  bc_plan *plan = plan_empty(22);
  for (int i = 0; i < 22; i++) add_weak(plan, 28, 36);
  int reached, off, told;
  arranged(plan, &reached, &off, &told);
  assert_int_equal(off, 0);
  assert_true(reached > 0 && reached < 3 * 18);
  assert_int_equal(told, reached);
  plan_drop(plan);
}

/* Too tall to hang above a child's reach: it hangs as it did, and is told. */
static void too_tall_is_told(void **state) {
  (void)state;
  bc_plan *plan = plan_empty(2);
  add_weak(plan, 60, 90);
  int reached, off, told;
  arranged(plan, &reached, &off, &told);
  assert_int_equal(off, 0);
  assert_true(reached > 0 && told == reached);
  plan_drop(plan);
}

/* The middle of a wall's only piece, by its mount. */
static double height_of_one(double weight_g, double rated_kg, bool secured) {
  bc_plan *plan = plan_empty(2);
  bc_piece *piece = plan_add(plan, 20, 36);
  piece->weight_g = weight_g;
  piece->mount.rated_kg = rated_kg;
  piece->mount.out_of_reach = secured;
  bc_arrangements *result = NULL;
  assert_int_equal(bc_arrange(&result, context, plan, NULL), BC_OK);
  const double y = result->arrangement[0]->places[0].at.y;
  bc_arrangements_free(result);
  plan_drop(plan);
  return y;
}

static void only_what_would_fail_is_moved(void **state) {
  (void)state;
  const double usual = height_of_one(600, 30, false);
  assert_true(usual - 18 < BC_CHILD_REACH_CM); /* else the test would say nothing */
  assert_true(height_of_one(600, 4, false) - 18 > BC_CHILD_REACH_CM);
  assert_true(fabs(height_of_one(400, 4, false) - usual) < 1e-9); /* below 500 g it is the piece that suffers */
  assert_true(fabs(height_of_one(600, 4, true) - usual) < 1e-9);
  assert_true(fabs(height_of_one(600, 0, false) - usual) < 1e-9); /* not known: told by loads, and by no place mended */
}

static void on_a_panel_too(void **state) {
  (void)state;
  bc_plan *plan = plan_empty(2);
  bc_grid *grid = plan_grid(plan, 100, 30, 60, 180, 7.5);
  for (int i = 0; i < 2; i++) {
    bc_piece *piece = add_weak(plan, 15, 20);
    piece->mount.kind = BC_MOUNT_HOOK;
    piece->mount.on = strdup(grid->id);
  }
  int reached, off, told;
  arranged(plan, &reached, &off, &told);
  assert_int_equal(reached, 0);
  assert_int_equal(off, 0);
  plan_drop(plan);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(goes_out_of_reach),
      cmocka_unit_test(none_is_left_off_for_it),
      cmocka_unit_test(too_tall_is_told),
      cmocka_unit_test(on_a_panel_too),
      cmocka_unit_test(only_what_would_fail_is_moved),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
