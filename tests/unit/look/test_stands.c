/* SPDX-License-Identifier: MIT */
/* Photographed stands of known geometry: corners through a bent lens and from the side, pieces under a pattern and
 * folds, things before the wall named; and a photo without a wall refused, with a guess at most. */
#include <backcloth/look.h>

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "support/context.h"
#include "support/stands.h"
#include <unistd.h>

static bc_status open_scene(bc_look **look, const stand_scene *s, int kind, bc_look_outline *guess) {
  char path[] = "/tmp/stand-XXXXXX.ppm";
  const int file = mkstemps(path, 4);
  assert_true(file >= 0);
  close(file);
  assert_true(stand_write(s, kind, path));
  bc_look_options how = bc_look_options_default();
  how.width_cm = s->width > 0 ? s->width : 300;
  how.guess = guess;
  const bc_status status = bc_look_open(look, context, path, &how);
  unlink(path);
  return status;
}

/* Of the pieces that hang or stand on the wall, how many are within 3 cm of a piece that is told. */
static int found_of(const stand_scene *s, const bc_look *look, int *all) {
  int found = 0;
  *all = 0;
  for (int i = 0; i < s->pieces; i++) {
    if (!s->piece[i].counted) continue;
    ++*all;
    bool near = false;
    for (size_t k = 0; k < look->piece_count; k++)
      near = near || hypot(look->pieces[k].x_cm - s->piece[i].x, look->pieces[k].y_cm - s->piece[i].y) < 3;
    found += near;
  }
  return found;
}

/* A spotted cloth and folds, from the side, a chair before one: no spot and no fold is a piece. */
static void patterns_and_folds_are_no_pieces(void **state) {
  (void)state;
  for (int number = 1; number <= 2; number++) {
    const stand_scene s = stand_make(number, false);
    bc_look *look = NULL;
    assert_int_equal(open_scene(&look, &s, -1, NULL), BC_OK);
    bc_look_point truth[BC_LOOK_CORNERS];
    stand_corners(truth, &s);
    for (int i = 0; i < BC_LOOK_CORNERS; i++)
      assert_true(hypot(truth[i].x - look->outline.corner[i].x, truth[i].y - look->outline.corner[i].y) < 12);
    int all;
    const int found = found_of(&s, look, &all);
    print_message("scene %d: %d of %d pieces, %zu told, bend %.3f of %.3f\n", number, found, all, look->piece_count,
                  look->outline.bend, s.bend);
    assert_true(found >= all - 1);
    assert_true(look->piece_count <= (size_t)all + 1);
    bc_look_free(look);
  }
}

static void a_landscape_is_refused(void **state) {
  (void)state;
  const stand_scene s = {.pixels_x = 1280, .pixels_y = 960, .focal = 1000, .noise = 0.006, .seed = 131};
  bc_look *look = NULL;
  bc_look_outline guess = {.confidence = -1};
  assert_int_equal(open_scene(&look, &s, STAND_LANDSCAPE, &guess), BC_BAD_DATA);
  assert_true(guess.confidence >= 0 && guess.confidence < 0.4);
  assert_non_null(strstr(bc_context_message(context), "--corners"));
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(patterns_and_folds_are_no_pieces),
                                     cmocka_unit_test(a_landscape_is_refused)};
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
