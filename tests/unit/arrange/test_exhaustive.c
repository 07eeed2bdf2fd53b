/* SPDX-License-Identifier: MIT */
/* How good the search is: on small walls with a coarse grid every layout is tried, and the search must
 * come within 2 % of the best. The judge (the score) is shared; the looking is not. */
#include "plans.h"

#include "arrange/rules.h"
#include "arrange/score.h"
#include "arrange/search.h"
#include <setjmp.h>
#include <stdarg.h>

#include <cmocka.h>

#include "support/context.h"

#define SPOTS 400
#define MOST_LAYOUTS 3000000

/* Everything that is tried: the spots of each item, in turn. */
typedef struct all {
  const arr_problem *problem;
  bc_arrange_style style;
  arr_layout layout;
  arr_spot spots[8][SPOTS];
  int spot_count[8];
  double best;
  long layouts;
} all;

static void list_spots(all *a) {
  const arr_problem *problem = a->problem;
  for (size_t i = 0; i < problem->count; i++) {
    const arr_item *item = &problem->items[i];
    a->spot_count[i] = 0;
    for (int l = item->lane_first; l < item->lane_first + item->lane_count; l++)
      for (int y = 0; y <= problem->height; y += problem->grid)
        for (int x = 0; x <= problem->width; x += problem->grid) {
          const arr_spot spot = {x, y, l};
          if (!arr_fits(problem, item, &spot)) continue;
          assert_true(a->spot_count[i] < SPOTS);
          a->spots[i][a->spot_count[i]++] = spot;
        }
  }
}

static void try_all(all *a, size_t item) {
  if (a->layouts > MOST_LAYOUTS) return;
  if (item == a->problem->count) {
    a->layouts++;
    const double score = arr_score(a->problem, &a->layout, a->style, NULL);
    if (score > a->best) a->best = score;
    return;
  }
  for (int s = 0; s < a->spot_count[item]; s++) {
    if (!arr_clear(a->problem, &a->layout, item, &a->spots[item][s], -1)) continue;
    a->layout.spot[item] = a->spots[item][s];
    try_all(a, item + 1);
    a->layout.spot[item].lane = -1;
  }
}

/* Fewer columns for more pieces, so that trying everything ends. */
static bc_plan *small_plan(dice *d, int pieces, int grid_cm) {
  bc_plan *plan = plan_empty((size_t)pieces);
  plan->stand.width = 6 * grid_cm;
  if (pieces <= 4) plan->stand.width = 8 * grid_cm;
  if (dice_between(d, 0, 1)) plan_table(plan, 0, plan->stand.width, 60, 74);
  for (int i = 0; i < pieces; i++) {
    bc_piece *piece = plan_add(plan, dice_between(d, 10, grid_cm - 8), dice_between(d, 10, grid_cm - 8));
    if (i == 0) {
      piece->role = BC_ROLE_STATEMENT;
      piece->width = piece->height = dice_between(d, grid_cm - 10, 2 * grid_cm - 10);
    }
    if (pieces > 3 && i >= pieces - 2) piece->group = strdup("pair");
  }
  return plan;
}

static double searched(const arr_problem *problem, bc_arrange_style style) {
  arr_layout layout = {0};
  assert_true(arr_layout_new(&layout, problem));
  assert_int_equal(arr_search(problem, context, &layout, style), BC_OK);
  assert_int_equal(arr_lost(problem, &layout), 0);
  assert_int_equal(arr_broken(problem, &layout), 0);
  const double score = arr_score(problem, &layout, style, NULL);
  arr_layout_free(&layout);
  return score;
}

static double worst_ratio = 1;
static int compared, given_up;

static void compare(int pieces, uint64_t seed) {
  static all a;
  dice d = {seed};
  const int grid_cm = pieces > 5 ? 50 : 40;
  bc_plan *plan = small_plan(&d, pieces, grid_cm);
  bc_arrange_options options = bc_arrange_options_default();
  options.grid = grid_cm;
  options.reach = BC_ARRANGE_REACH;
  options.step = BC_ARRANGE_STEP;
  arr_problem *problem = NULL;
  assert_int_equal(arr_problem_new(&problem, context, plan, &options, ARR_ROOM_EASY, NULL), BC_OK);
  for (int style = 0; style < BC_ARRANGE_STYLES; style++) {
    a.problem = problem;
    a.style = (bc_arrange_style)style;
    a.best = -1;
    a.layouts = 0;
    assert_true(arr_layout_new(&a.layout, problem));
    list_spots(&a);
    try_all(&a, 0);
    arr_layout_free(&a.layout);
    if (a.layouts > MOST_LAYOUTS || a.best < 0) {
      given_up++;
      continue;
    }
    const double ratio = searched(problem, a.style) / a.best;
    compared++;
    if (ratio < worst_ratio) worst_ratio = ratio;
    if (ratio < 0.98)
      fail_msg("%d pieces, seed %llu, style %d: %.4f of the best of %ld", pieces, (unsigned long long)seed, style,
               ratio, a.layouts);
    assert_true(ratio <= 1 + 1e-9); /* the search cannot beat everything */
  }
  arr_problem_free(problem);
  plan_drop(plan);
}

#ifdef __SANITIZE_ADDRESS__
#define CASES 1
#define PIECES_MOST 5
#else
#define CASES 6
#define PIECES_MOST 7
#endif

static void within_two_percent_of_everything(void **state) {
  (void)state;
  for (int pieces = 1; pieces <= PIECES_MOST; pieces++)
    for (uint64_t number = 0; number < CASES; number++) compare(pieces, number * 31 + (uint64_t)pieces);
  printf("exhaustive: %d comparisons, %d too large or without a layout, worst %.4f\n", compared, given_up, worst_ratio);
  assert_true(compared > 2 * given_up);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(within_two_percent_of_everything)};
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
