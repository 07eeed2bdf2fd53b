/* SPDX-License-Identifier: MIT */
/* The projection between planes against OpenCV's findHomography on the same pairs of points (homographies.py). */
#include <backcloth/look.h>

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

typedef struct homography_case {
  int count;
  double pair[12][4];
  double matrix[9];
} homography_case;

#include "homography_cases.h"

/* Both minimise the same sum; OpenCV stops its iteration a little earlier. */
#define AGREES_PX 0.02

static double sum_of_squares(const bc_homography *h, const homography_case *c) {
  double sum = 0;
  for (int i = 0; i < c->count; i++) {
    const bc_look_point got = bc_homography_apply(h, (bc_look_point){c->pair[i][0], c->pair[i][1]});
    sum += pow(got.x - c->pair[i][2], 2) + pow(got.y - c->pair[i][3], 2);
  }
  return sum;
}

static void agrees_with_opencv(void **state) {
  (void)state;
  for (size_t k = 0; k < sizeof homography_cases / sizeof homography_cases[0]; k++) {
    const homography_case *const c = &homography_cases[k];
    bc_look_point from[12], to[12];
    for (int i = 0; i < c->count; i++) {
      from[i] = (bc_look_point){c->pair[i][0], c->pair[i][1]};
      to[i] = (bc_look_point){c->pair[i][2], c->pair[i][3]};
    }
    bc_homography ours, theirs;
    assert_true(bc_homography_fit(&ours, from, to, (size_t)c->count));
    for (int i = 0; i < 9; i++) theirs.m[i] = c->matrix[i];
    const double mine = sum_of_squares(&ours, c), other = sum_of_squares(&theirs, c);
    assert_true(mine <= other * (1 + 1e-6) + 1e-9);
    for (int i = 0; i < c->count; i++) {
      const bc_look_point a = bc_homography_apply(&ours, from[i]), b = bc_homography_apply(&theirs, from[i]);
      if (hypot(a.x - b.x, a.y - b.y) > AGREES_PX)
        print_message("case %zu point %d: %.4f px apart (squares %.6f and %.6f)\n", k, i, hypot(a.x - b.x, a.y - b.y),
                      mine, other);
      assert_true(hypot(a.x - b.x, a.y - b.y) <= AGREES_PX);
    }
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(agrees_with_opencv)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
