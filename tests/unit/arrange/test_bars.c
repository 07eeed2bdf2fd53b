/* SPDX-License-Identifier: MIT */
/* Bars, which are quick for many places at once, say what the hard rules say of each place; a hopeless packing ends
 * early. */
#include "plans.h"

#include "arrange/nearest_place.h"
#include "arrange/rules.h"
#include <limits.h>
#include <setjmp.h>
#include <stdarg.h>

#include <cmocka.h>

#include "support/context.h"

/* Slack and steep cords, a shelf, a rod, a table, zones, a grid to lie on in some. */
static bc_plan *wall(dice *d, bc_arrange_zone zones[2]) {
  bc_plan *plan = plan_empty(12);
  plan->gap = dice_between(d, 0, 12);
  if (dice_between(d, 0, 1)) plan_table(plan, 20, 120, 60, dice_cm(d, 60, 90));
  if (dice_between(d, 0, 1)) plan_shelf(plan, dice_cm(d, 0, 50), dice_cm(d, 110, 170), 60, 20, 40);
  if (dice_between(d, 0, 1)) plan_rod(plan, dice_cm(d, 0, 20), 215, 90);
  for (int i = 0; i < 2; i++)
    zones[i] = (bc_arrange_zone){dice_cm(d, 0, 250), dice_cm(d, 90, 180), dice_cm(d, 5, 30), dice_cm(d, 5, 30), i == 0};
  for (int i = 0; i < 12; i++) {
    bc_piece *piece = plan_add(plan, dice_cm(d, 5, 40), dice_cm(d, 5, 40));
    piece->mount.kind = dice_between(d, 0, 2) ? BC_MOUNT_CORD : BC_MOUNT_PIN;
    piece->mount.points = dice_between(d, 1, 2);
    piece->mount.cord_angle = dice_between(d, 20, 70);
  }
  return plan;
}

static bool barred(const arr_problem *problem, size_t count, const arr_spot *at) {
  for (size_t i = 0; i < count; i++) {
    const arr_block *bar = &problem->bars[i];
    if (at->x > bar->x0 && at->x < bar->x1 && at->y > bar->y0 && at->y < bar->y1) return true;
  }
  return false;
}

static void compare(dice *d, const arr_problem *problem, arr_layout *layout, int counts[2]) {
  for (size_t i = 0; i < problem->count; i++) {
    const arr_item *item = &problem->items[i];
    for (int lane = item->lane_first; lane < item->lane_first + item->lane_count; lane++) {
      const arr_lane *l = &problem->lanes[lane];
      const size_t bars = arr_bars(problem, layout, i, lane);
      for (int try = 0; try < 200; try++) {
        const arr_spot at = {dice_between(d, l->x_lo, l->x_hi), dice_between(d, l->y_lo, l->y_hi), lane};
        if (!arr_on_its_grid(problem, l, at.x, at.y)) continue;
        const bool allowed = arr_fits(problem, item, &at) && arr_clear(problem, layout, i, &at, -1);
        assert_int_equal(allowed, !barred(problem, bars, &at));
        counts[allowed]++;
      }
    }
    layout->spot[i] = arr_nearest(problem, layout, i, dice_between(d, 0, problem->width), problem->focus_y);
    if (layout->spot[i].lane >= 0) assert_true(arr_allowed(problem, layout, i, &layout->spot[i]));
  }
}

static void bars_say_what_the_rules_say(void **state) {
  (void)state;
  int counts[2] = {0};
  for (int number = 0; number < 60; number++) {
    dice d = {(uint64_t)number + 900};
    bc_arrange_zone zones[2];
    bc_plan *plan = wall(&d, zones);
    bc_arrange_options options = bc_arrange_options_default();
    options.zones = zones;
    options.zone_count = 2;
    assert_int_equal(arr_options(&options, context, plan, &options), BC_OK);
    arr_problem *problem = NULL;
    arr_layout layout = {0};
    assert_int_equal(arr_problem_new(&problem, context, plan, &options, ARR_ROOM_CLOTH, NULL), BC_OK);
    assert_true(arr_layout_new(&layout, problem));
    arr_layout_reset(&layout, problem);
    compare(&d, problem, &layout, counts);
    arr_layout_free(&layout);
    arr_problem_free(problem);
    plan_drop(plan);
  }
  print_message("%d places barred, %d free\n", counts[0], counts[1]);
  assert_true(counts[0] > 2000 && counts[1] > 2000); /* both answers were asked for often */
}

/* A packing that has already lost more than the best one ends there. */
static void a_hopeless_packing_is_given_up(void **state) {
  (void)state;
  bc_plan *plan = plan_empty(60);
  for (int i = 0; i < 60; i++) plan_add(plan, 40, 40);
  bc_arrange_options options = bc_arrange_options_default();
  assert_int_equal(arr_options(&options, context, plan, &options), BC_OK);
  arr_problem *problem = NULL;
  arr_layout layout = {0};
  assert_int_equal(arr_problem_new(&problem, context, plan, &options, ARR_ROOM_CLOTH, NULL), BC_OK);
  assert_true(arr_layout_new(&layout, problem));
  assert_true(arr_pack(problem, &layout, 0, INT_MAX));
  const int lost = arr_lost(problem, &layout);
  assert_true(lost > 0);
  assert_true(arr_pack(problem, &layout, 0, lost));
  assert_int_equal(arr_lost(problem, &layout), lost);
  assert_false(arr_pack(problem, &layout, 0, lost - 1));
  arr_layout_free(&layout);
  arr_problem_free(problem);
  plan_drop(plan);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(bars_say_what_the_rules_say),
      cmocka_unit_test(a_hopeless_packing_is_given_up),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
