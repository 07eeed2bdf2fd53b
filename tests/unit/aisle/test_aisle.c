/* SPDX-License-Identifier: MIT */
/* What visitors see: against closed forms (one rectangle before another), and the law of large numbers. */
#include "aisle/aisle_internal.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "support/context.h"

static void assert_near(double got, double wanted, double tolerance) {
  if (!(fabs(got - wanted) <= tolerance)) fail_msg("%.9g, not %.9g (within %g)", got, wanted, tolerance);
}

static bc_plan *plan_of(const char *text) {
  bc_plan *plan = NULL;
  const bc_status status = bc_plan_parse(&plan, context, text, strlen(text), "plan.json", NULL);
  if (status != BC_OK) print_message("%s\n", bc_context_message(context));
  assert_int_equal(status, BC_OK);
  return plan;
}

static aisle_outline rectangle(double left, double right, double bottom, double top) {
  return (aisle_outline){.knots = {{bottom, left, right}, {top, left, right}}, .count = 2};
}

/* Similar triangles: a rectangle half-way between eye and wall hides twice its breadth and height. */
static void one_rectangle_hides_what_similar_triangles_say(void **state) {
  (void)state;
  const bc_aisle_eye eye = {150, 160, 400};
  const aisle_block screen = {{140, 170, 100, 150}, 200, 200};
  aisle_outline seen;
  assert_true(aisle_project_block(&seen, &screen, eye, 0));
  /* Its shadow on the wall: x 150 + 2 (140 - 150) = 130 to 190; y 160 + 2 (100 - 160) = 40 to 140. */
  const aisle_rect wall = {100, 200, 0, 200};
  assert_near(aisle_union_area(wall, &seen, 1), 60 * 100, 1e-9);
  const aisle_rect piece = {180, 200, 130, 150}; /* a corner of it: 10 x 10 of 20 x 20 */
  assert_near(aisle_union_area(piece, &seen, 1), 100, 1e-9);
}

static void areas_join_and_do_not_count_twice(void **state) {
  (void)state;
  const aisle_rect area = {0, 10, 0, 10};
  const aisle_outline two[2] = {rectangle(1, 5, 1, 5), rectangle(3, 8, 3, 9)};
  assert_near(aisle_union_area(area, two, 2), 16 + 30 - 4, 1e-12);
  /* A triangle with its point up, and its mirror image: together 2 x 50 less their
   * common part, a diamond of diagonals 5 (across) and 10 (up). */
  const aisle_outline up = {.knots = {{0, 0, 10}, {10, 5, 5}}, .count = 2};
  const aisle_outline down = {.knots = {{0, 5, 5}, {10, 0, 10}}, .count = 2};
  const aisle_outline both[2] = {up, down};
  assert_near(aisle_union_area(area, both, 2), 50 + 50 - 5 * 10 / 2.0, 1e-9);
  assert_near(aisle_union_area((aisle_rect){20, 30, 0, 10}, both, 2), 0, 0);
}

/* Many small squares counted one by one, for outlines at random. */
static void union_agrees_with_counting(void **state) {
  (void)state;
  aisle_chance chance = {7};
  for (int trial = 0; trial < 20; trial++) {
    aisle_outline some[5];
    for (int i = 0; i < 5; i++) {
      some[i].count = 4;
      double y = 10 * aisle_uniform(&chance) - 3;
      for (int k = 0; k < 4; k++) {
        const double x = 10 * aisle_uniform(&chance);
        some[i].knots[k] = (aisle_knot){y, x - 2 * aisle_uniform(&chance), x + 2 * aisle_uniform(&chance)};
        y += 0.2 + 3 * aisle_uniform(&chance);
      }
    }
    enum { SIDE = 400 };
    size_t inside = 0;
    for (int row = 0; row < SIDE; row++)
      for (int column = 0; column < SIDE; column++) {
        const double x = 10 * (column + 0.5) / SIDE, y = 10 * (row + 0.5) / SIDE;
        bool hit = false;
        for (int i = 0; i < 5 && !hit; i++)
          for (int k = 0; k < 3 && !hit; k++) {
            const aisle_knot a = some[i].knots[k], b = some[i].knots[k + 1];
            if (y < a.y || y >= b.y) continue;
            const double t = (y - a.y) / (b.y - a.y);
            hit = x >= a.left + (b.left - a.left) * t && x < a.right + (b.right - a.right) * t;
          }
        inside += hit;
      }
    const double counted = 100.0 * (double)inside / (SIDE * SIDE);
    /* Counting errs along the outline only: five outlines of about 20 cm, cells of 0.025 cm. */
    assert_near(aisle_union_area((aisle_rect){0, 10, 0, 10}, some, 5), counted, 0.15);
  }
}

/* A screen 40 broad slides along a line with equal chance; its shadow is 80 broad on a wall of 300. The
 * mean share hidden of a piece of breadth 20 in the middle of the travel is, by Fubini, 80 / 300 exactly while the
 * shadow's travel is 300 long and the piece stays clear of its ends. */
static double mean_hidden(int trials, uint64_t seed, double *standard_error) {
  aisle_chance chance = {seed};
  double sum = 0, squares = 0;
  for (int i = 0; i < trials; i++) {
    const double middle = 150 + 150 * (aisle_uniform(&chance) - 0.5);
    const aisle_block screen = {{middle - 20, middle + 20, 0, 200}, 200, 200};
    aisle_outline seen;
    assert_true(aisle_project_block(&seen, &screen, (bc_aisle_eye){150, 160, 400}, 0));
    const double share = aisle_union_area((aisle_rect){140, 160, 50, 70}, &seen, 1) / 400;
    sum += share;
    squares += share * share;
  }
  *standard_error = sqrt((squares / trials - sum / trials * (sum / trials)) / trials);
  return sum / trials;
}

static void the_mean_converges_as_one_over_root_n(void **state) {
  (void)state;
  const double exact = 80.0 / 300;
  double rms[3] = {0}, told[3] = {0};
  const int trials[3] = {100, 400, 1600};
  enum { REPEATS = 60 };
  for (int size = 0; size < 3; size++)
    for (uint64_t seed = 1; seed <= REPEATS; seed++) {
      double standard_error;
      const double error = mean_hidden(trials[size], seed * 1000003, &standard_error) - exact;
      rms[size] += error * error / REPEATS;
      told[size] += standard_error / REPEATS;
    }
  for (int size = 0; size < 3; size++) {
    /* The spread of a root mean square of 60 is about 9 %; three times that. */
    assert_near(sqrt(rms[size]) / told[size], 1, 0.28);
    if (size > 0) assert_near(sqrt(rms[size - 1] / rms[size]), 2, 0.7);
  }
}

static const char *const floor_plan =
    "{\"backcloth\":1,\"title\":\"T\",\"stand\":{\"width\":300,\"wall_height\":240},"
    "\"viewers\":{\"distance\":350},"
    "\"tables\":[{\"id\":\"table\",\"x\":60,\"width\":180,\"depth\":75,\"height\":74}],"
    "\"pieces\":[{\"id\":\"high\",\"width\":30,\"height\":30,\"at\":[150,200]},"
    "{\"id\":\"under\",\"width\":30,\"height\":30,\"depth\":30,\"mount\":{\"kind\":\"floor\"},\"at\":[150,15]},"
    "{\"id\":\"beside\",\"width\":30,\"height\":30,\"depth\":30,\"mount\":{\"kind\":\"floor\"},\"at\":[30,15]}]}";

static void a_basket_on_the_floor_is_seen_least(void **state) {
  (void)state;
  bc_plan *plan = plan_of(floor_plan);
  const bc_aisle_eye eye = bc_aisle_eye_of(plan);
  assert_near(bc_aisle_visible_share(plan, 0, eye, NULL, 0), 1, 1e-12);
  assert_near(bc_aisle_visible_share(plan, 1, eye, NULL, 0), 0, 1e-12); /* behind the table */
  double before[3] = {2, 2, 2};
  for (int crowd = 0; crowd <= 6; crowd += 2) {
    bc_aisle *aisle = NULL;
    const bc_aisle_options how = {.crowd = crowd, .trials = 800, .seed = 5};
    assert_int_equal(bc_aisle_of(&aisle, context, plan, &how), BC_OK);
    assert_int_equal(aisle->count, 3);
    assert_int_equal(aisle->crowd, crowd);
    assert_true(aisle->pieces[0].visible_share > aisle->pieces[2].visible_share || crowd == 0);
    for (int i = 0; i < 3; i++) {
      const bc_aisle_piece *p = &aisle->pieces[i];
      assert_true(p->visible_share >= 0 && p->visible_share <= 1 && p->seen_share >= 0 && p->seen_share <= 1);
      assert_true(p->visible_share <= before[i] + 4 * p->standard_error + 1e-9); /* more people hide more */
      before[i] = p->visible_share;
    }
    bc_aisle_free(aisle);
  }
  bc_plan_free(plan);
}

static void same_chance_same_figures(void **state) {
  (void)state;
  bc_plan *plan = plan_of(floor_plan);
  bc_aisle *one = NULL, *two = NULL, *other = NULL;
  bc_aisle_options how = {.crowd = 3, .trials = 100, .seed = 11};
  assert_int_equal(bc_aisle_of(&one, context, plan, &how), BC_OK);
  assert_int_equal(bc_aisle_of(&two, context, plan, &how), BC_OK);
  how.seed = 12;
  assert_int_equal(bc_aisle_of(&other, context, plan, &how), BC_OK);
  assert_memory_equal(one->pieces, two->pieces, one->count * sizeof *one->pieces);
  assert_true(one->pieces[2].visible_share != other->pieces[2].visible_share);
  bc_aisle_free(one);
  bc_aisle_free(two);
  bc_aisle_free(other);
  bc_plan_free(plan);
}

/* ANSUR II 2012 (NATICK/TR-15/007), medians of women and men: stature 162.6 and 175.5, shoulder breadth 45.0 and
 * 50.9 cm. The mean of both, with 2.5 cm of shoes, comes out of a large crowd. */
static void people_have_the_survey_s_sizes(void **state) {
  (void)state;
  bc_plan *plan = plan_of(floor_plan);
  double stature = 0, breadth = 0;
  int count = 0;
  for (uint64_t seed = 1; seed <= 1500; seed++) {
    bc_aisle_person people[BC_AISLE_CROWD_MOST];
    const bc_aisle_options how = {.crowd = 6, .seed = seed};
    const int stand = bc_aisle_crowd(people, plan, &how);
    assert_int_equal(stand, 6);
    for (int i = 0; i < stand; i++) {
      assert_true(people[i].z >= 75 && people[i].z <= 230);
      assert_true(people[i].x - people[i].breadth / 2 >= -1e-9 && people[i].x + people[i].breadth / 2 <= 300 + 1e-9);
      if (i > 0) assert_true(people[i].z >= people[i - 1].z);
      stature += people[i].stature;
      breadth += people[i].breadth;
      count++;
    }
  }
  /* Smaller people find room a little more often: half a centimetre. */
  assert_near(stature / count, (162.6 + 175.5) / 2 + 2.5, 0.5);
  assert_near(breadth / count, (45.0 + 50.9) / 2, 0.5);
  bc_plan_free(plan);
}

static void crowds_out_of_range_are_refused_and_near_viewers_are_not(void **state) {
  (void)state;
  bc_plan *plan = plan_of(floor_plan);
  bc_aisle *aisle = NULL;
  bc_aisle_options how = bc_aisle_options_default();
  how.crowd = 7;
  assert_int_equal(bc_aisle_of(&aisle, context, plan, &how), BC_BAD_USAGE);
  assert_null(aisle);
  /* Near viewers are answered: the crowd comes nearer, or finds no room. */
  how.crowd = 2;
  how.trials = 50;
  for (double distance = 60; distance <= 200; distance += 140) {
    plan->viewers.distance = distance;
    assert_int_equal(bc_aisle_of(&aisle, context, plan, &how), BC_OK);
    assert_int_equal(aisle->crowd, distance < 100 ? 0 : 2);
    bc_aisle_free(aisle);
  }
  bc_plan_free(plan);
}

static void the_words_name_what_is_never_seen(void **state) {
  (void)state;
  bc_plan *plan = plan_of(floor_plan);
  bc_aisle *aisle = NULL;
  char *words = NULL;
  assert_int_equal(bc_aisle_of(&aisle, context, plan, NULL), BC_OK);
  assert_int_equal(bc_aisle_to_words(&words, context, plan, aisle), BC_OK);
  assert_non_null(strstr(words, "With 4 people standing in the stand:\n\"under\" is seen by hardly any visitor"));
  free(words);
  bc_aisle_free(aisle);
  bc_plan_free(plan);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(one_rectangle_hides_what_similar_triangles_say),
      cmocka_unit_test(areas_join_and_do_not_count_twice),
      cmocka_unit_test(union_agrees_with_counting),
      cmocka_unit_test(the_mean_converges_as_one_over_root_n),
      cmocka_unit_test(a_basket_on_the_floor_is_seen_least),
      cmocka_unit_test(same_chance_same_figures),
      cmocka_unit_test(people_have_the_survey_s_sizes),
      cmocka_unit_test(crowds_out_of_range_are_refused_and_near_viewers_are_not),
      cmocka_unit_test(the_words_name_what_is_never_seen),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
