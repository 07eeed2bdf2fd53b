/* SPDX-License-Identifier: MIT */
/* A wall's pieces, sizes and gaps from photos whose truth is known, with the corners given. */
#include <backcloth/look.h>

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <unistd.h>

#include <cmocka.h>

#include "support/context.h"
#include "support/walls.h"

static bc_look *look_at(const wall_scene *s, const bc_look_options *options) {
  char path[64];
  snprintf(path, sizeof path, "wall-%d.ppm", (int)getpid());
  assert_true(wall_write(s, path));
  bc_look *look = NULL;
  const bc_status status = bc_look_open(&look, context, path, options);
  if (status != BC_OK) fprintf(stderr, "%s\n", bc_context_message(context));
  unlink(path);
  return look;
}

static bc_look_options corners_given(const wall_scene *s) {
  bc_look_options options = bc_look_options_default();
  options.width_cm = s->width;
  options.height_cm = s->height;
  options.has_corners = true;
  wall_corners(options.corner, s);
  return options;
}

static const bc_look_piece *nearest(const bc_look *look, const wall_shape *shape) {
  const bc_look_piece *best = NULL;
  double least = 1e9;
  for (size_t i = 0; i < look->piece_count; i++) {
    const double off = hypot(look->pieces[i].x_cm - shape->x, look->pieces[i].y_cm - shape->y);
    if (off >= least) continue;
    least = off;
    best = &look->pieces[i];
  }
  return best;
}

static void sizes_are_true_within_two_percent(void **state) {
  (void)state;
  wall_state = 3;
  for (int round = 0; round < 4; round++) {
    wall_scene s = wall_anywhere();
    wall_hang(&s, 6);
    const bc_look_options options = corners_given(&s);
    bc_look *look = look_at(&s, &options);
    assert_non_null(look);
    assert_int_equal(look->piece_count, s.shapes);
    for (int i = 0; i < s.shapes; i++) {
      const wall_shape *const shape = &s.shape[i];
      const bc_look_piece *const piece = nearest(look, shape);
      const double wide = piece->width_cm / shape->width - 1, high = piece->height_cm / shape->height - 1;
      if (fabs(wide) > 0.02 || fabs(high) > 0.02)
        fprintf(stderr, "round %d shape %d: %.2f x %.2f seen as %.2f x %.2f\n", round, i, shape->width, shape->height,
                piece->width_cm, piece->height_cm);
      assert_true(fabs(wide) <= 0.02 && fabs(high) <= 0.02);
      assert_true(hypot(piece->x_cm - shape->x, piece->y_cm - shape->y) < 0.5);
    }
    bc_look_free(look);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(sizes_are_true_within_two_percent)};
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
