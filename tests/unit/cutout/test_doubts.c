/* SPDX-License-Identifier: MIT */
/* Where a cut-out is doubtful is told in place: the stretch of an outline across which nothing is seen, and the place
 * that one tap decides. Made photos of a disc whose right half has its ground's colour, or that stands beside another.
 */
#include <backcloth/cutout.h>

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>

#include <cmocka.h>

#include "support/context.h"

enum { WIDTH = 400, HEIGHT = 300, FULL = 3 /* the photo is so many times as large */ };

typedef double shade(int x, int y);

static double grain(uint32_t *noise) {
  *noise = *noise * 1664525u + 1013904223u;
  return (double)(*noise >> 16) / 65536.0 - 0.5;
}

static bc_image photograph(shade *of) {
  bc_image image = {.width = WIDTH, .height = HEIGHT, .full_width = FULL * WIDTH, .full_height = FULL * HEIGHT};
  float **planes[4] = {&image.L, &image.a, &image.b, &image.Y};
  for (int p = 0; p < 4; p++) assert_non_null(*planes[p] = calloc((size_t)WIDTH * HEIGHT, sizeof(float)));
  uint32_t noise = 5;
  for (int i = 0; i < WIDTH * HEIGHT; i++) image.L[i] = (float)(of(i % WIDTH, i / WIDTH) + 0.8 * grain(&noise));
  return image;
}

static void put_away(bc_image *image) {
  free(image->L);
  free(image->a);
  free(image->b);
  free(image->Y);
}

/* Fades into its ground to the right. */
static double fading(int x, int y) {
  const bool inside = hypot(x - 200, y - 150) < 80;
  return inside ? 30 + 40 * fmin(fmax((x - 130) / 110.0, 0), 1) : 70;
}

static double clear(int x, int y) {
  return hypot(x - 200, y - 150) < 80 ? 30 : 70;
}

static bc_cutout *find(bc_image *image, bool in_box) {
  bc_cutout_options options = bc_cutout_options_default();
  options.has_box = in_box;
  options.box = (bc_box){FULL * 118, FULL * 68, FULL * 164, FULL * 164};
  bc_cutout *cutout = NULL;
  assert_int_equal(bc_cutout_find(&cutout, context, image, &options), BC_OK);
  return cutout;
}

static void what_is_clear_is_not_doubted(void **state) {
  (void)state;
  bc_image image = photograph(clear);
  bc_cutout *cutout = find(&image, true);
  assert_int_equal(cutout->doubts.stretch_count, 0);
  assert_false(cutout->doubts.has_tap);
  bc_cutout_free(cutout);
  put_away(&image);
}

static void a_fading_outline_is_marked_where_it_fades(void **state) {
  (void)state;
  bc_image image = photograph(fading);
  bc_cutout *cutout = find(&image, true);
  const bc_cutout_doubts *doubts = &cutout->doubts;
  assert_true(doubts->stretch_count > 0);
  const bc_cutout_stretch *first = &doubts->stretch[0];
  assert_true(first->share > 0.02 && first->share < 0.6);
  assert_in_range(first->dot_count, 1, BC_CUTOUT_DOTS);
  for (int i = 0; i < first->dot_count; i++) {
    const bc_point_px dot = first->dots[i];
    assert_true(dot.x > FULL * 200); /* on the side that fades, in pixels of the full photo */
    assert_true(dot.x >= first->box.x && dot.x < first->box.x + first->box.width);
    assert_true(dot.y >= first->box.y && dot.y < first->box.y + first->box.height);
  }
  for (int i = 1; i < doubts->stretch_count; i++) assert_true(doubts->stretch[i].share <= doubts->stretch[i - 1].share);
  bc_cutout_free(cutout);
  put_away(&image);
}

/* A guess that cannot decide about a second disc. */
static double two(int x, int y) {
  return hypot(x - 130, y - 150) < 60 || hypot(x - 290, y - 150) < 50 ? 30 : 70;
}

static bool undecided(void *data, const bc_image *image, int width, int height, float *probability) {
  (void)data;
  (void)image;
  for (int y = 0; y < height; y++)
    for (int x = 0; x < width; x++) {
      const double u = (x + 0.5) * WIDTH / width, v = (y + 0.5) * HEIGHT / height;
      probability[y * width + x] = hypot(u - 130, v - 150) < 60 ? 1 : hypot(u - 290, v - 150) < 60 ? 0.5f : 0;
    }
  return true;
}

static int alpha_at(const bc_cutout *cutout, bc_point_px at) {
  return cutout->alpha[at.y / FULL * WIDTH + at.x / FULL];
}

static void the_tap_is_where_most_hangs_on_it(void **state) {
  (void)state;
  bc_image image = photograph(two);
  bc_cutout_options options = bc_cutout_options_default();
  options.first_guess = undecided;
  bc_cutout_session *session = NULL;
  bc_cutout *cutout = NULL;
  assert_int_equal(bc_cutout_session_new(&session, context, &image, &options), BC_OK);
  assert_int_equal(bc_cutout_session_find(&cutout, session, context), BC_OK);
  const bc_cutout_doubts doubts = cutout->doubts;
  assert_true(doubts.has_tap);
  assert_true(hypot(doubts.tap.x / (double)FULL - 290, doubts.tap.y / (double)FULL - 150) < 15);
  assert_int_equal(doubts.tap_is_piece, alpha_at(cutout, doubts.tap) >= 128);
  assert_true(doubts.tap_share > 0.2);
  bc_cutout_free(cutout);
  assert_int_equal(bc_cutout_session_add(session, context, !doubts.tap_is_piece, &doubts.tap, 1), BC_OK);
  assert_int_equal(bc_cutout_session_find(&cutout, session, context), BC_OK);
  assert_int_equal(alpha_at(cutout, doubts.tap) >= 128, !doubts.tap_is_piece); /* and the answer is heard */
  const bc_point_px beside = {doubts.tap.x + FULL * 25, doubts.tap.y};
  assert_int_equal(alpha_at(cutout, beside) >= 128, !doubts.tap_is_piece);
  bc_cutout_free(cutout);
  bc_cutout_session_free(session);
  put_away(&image);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(what_is_clear_is_not_doubted),
      cmocka_unit_test(a_fading_outline_is_marked_where_it_fades),
      cmocka_unit_test(the_tap_is_where_most_hangs_on_it),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
