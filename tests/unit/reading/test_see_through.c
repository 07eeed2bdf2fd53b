/* SPDX-License-Identifier: MIT */
/* Glass in an opaque photo: what shows through it is the photo's own backdrop, and can be taken out. A made
 * photo of a pane whose own light and transmission are known. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* the four above come before cmocka */
#include <cmocka.h>

#include "support/pane.h"
#include <math.h>

static void check(const double own[3], double through, double asked, double expected) {
  static const double behind[3] = {0.35, 0.30, 0.22};
  bc_context *context = NULL;
  assert_int_equal(bc_context_new(&context), BC_OK);
  bc_study *study = made_pane(context, own, behind, through);
  assert_int_equal(bc_study_see_through(study, context, asked), BC_OK);
  assert_true(fabs(study->see_through - expected) < 1e-3);
  assert_true(fabs(study->reading->see_through - study->see_through) < 1e-12);
  if (asked > 0) { /* told truly: the pane's own colour is found again */
    const bc_colour true_own = bc_colour_from_linear_srgb(own);
    assert_true(bc_delta_e00(study->reading->mean.lab, true_own.lab) < 0.05);
    assert_true(fabs(study->reading->mean.luminance - true_own.luminance) < 1e-4);
  }
  assert_int_equal(bc_study_see_through(study, context, asked), BC_OK); /* once is enough */
  assert_true(fabs(study->see_through - expected) < 1e-3);
  bc_study_free(study);
  bc_context_free(context);
}

static void test_told(void **state) {
  (void)state;
  const double pale[3] = {0.5, 0.55, 0.6}, blue[3] = {0.02, 0.05, 0.3};
  check(pale, 0.6, 0.6, 0.6);
  check(blue, 0.3, 0.3, 0.3);
}

/* Without a figure, the most that the photo allows: red of the blue pane is 0.7 x 0 + 0.3 x the backdrop's. */
static void test_found(void **state) {
  (void)state;
  const double blue[3] = {0, 0.05, 0.3}, white[3] = {0.9, 0.9, 0.9};
  check(blue, 0.3, 0, 0.3);
  check(white, 0, 0, 0.95); /* brighter than all behind it: nothing in the photo speaks against glass */
}

/* More than the photo allows would leave no light of its own: it is capped, and said. */
static void test_capped(void **state) {
  (void)state;
  static const double blue[3] = {0, 0.05, 0.3}, behind[3] = {0.35, 0.30, 0.22};
  bc_context *context = NULL;
  assert_int_equal(bc_context_new(&context), BC_OK);
  bc_study *study = made_pane(context, blue, behind, 0.3);
  assert_int_equal(bc_study_see_through(study, context, 0.8), BC_OK);
  assert_true(fabs(study->see_through - 0.3) < 1e-3);
  const bc_notes *notes = &study->reading->notes;
  assert_true(notes->count > 0 && strstr(notes->text[notes->count - 1], "80 %") != NULL);
  bc_study_free(study);
  bc_context_free(context);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(test_told), cmocka_unit_test(test_found),
                                     cmocka_unit_test(test_capped)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
