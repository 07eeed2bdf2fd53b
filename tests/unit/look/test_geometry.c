/* SPDX-License-Identifier: MIT */
/* Projection, camera and straightening against walls of known geometry. */
#include <backcloth/look.h>

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "support/context.h"
#include "support/walls.h"

static void projection_goes_there_and_back(void **state) {
  (void)state;
  wall_state = 7;
  for (int round = 0; round < 200; round++) {
    const wall_scene s = wall_anywhere();
    const bc_look_point wall[BC_LOOK_CORNERS] = {{0, s.height}, {s.width, s.height}, {s.width, 0}, {0, 0}};
    bc_look_point seen[BC_LOOK_CORNERS];
    wall_corners(seen, &s);
    bc_homography there, back;
    assert_true(bc_homography_fit(&there, wall, seen, BC_LOOK_CORNERS));
    assert_true(bc_homography_invert(&back, &there));
    const bc_look_point at = {wall_between(0, s.width), wall_between(0, s.height)}, truth = wall_project(&s, at);
    const bc_look_point got = bc_homography_apply(&there, at), again = bc_homography_apply(&back, got);
    assert_true(hypot(got.x - truth.x, got.y - truth.y) < 1e-6);
    assert_true(hypot(again.x - at.x, again.y - at.y) < 1e-7);
  }
}

static void three_on_a_line_are_refused(void **state) {
  (void)state;
  const bc_look_point square[4] = {{0, 0}, {1, 0}, {1, 1}, {0, 1}}, line[4] = {{0, 0}, {50, 50}, {100, 100}, {0, 70}};
  const bc_look_point same[4] = {{3, 3}, {3, 3}, {3, 3}, {3, 3}};
  bc_homography fit;
  assert_false(bc_homography_fit(&fit, square, line, 4));
  assert_false(bc_homography_fit(&fit, square, same, 4));
  assert_false(bc_homography_fit(&fit, square, square, 3));
}

static bc_status solve(bc_look_camera *camera, double *height, const bc_look_point corner[BC_LOOK_CORNERS],
                       const wall_scene *s, double focal_35_mm) {
  bc_look_view view = {
      .full_width = s->pixels_x, .full_height = s->pixels_y, .width_cm = s->width, .focal_35_mm = focal_35_mm};
  memcpy(view.corner, corner, sizeof view.corner);
  return bc_look_solve_camera(camera, height, context, &view);
}

static void camera_is_recovered(void **state) {
  (void)state;
  wall_state = 11;
  for (int round = 0; round < 300; round++) {
    const wall_scene s = wall_anywhere();
    bc_look_point corner[BC_LOOK_CORNERS];
    wall_corners(corner, &s);
    bc_look_camera camera;
    double height = 0;
    const double focal_35 = s.focal / hypot(s.pixels_x, s.pixels_y) * 43.2666;
    assert_int_equal(solve(&camera, &height, corner, &s, focal_35), BC_OK);
    assert_true(fabs(height - s.height) < 0.01);
    assert_true(fabs(camera.yaw - s.yaw) < 0.01 && fabs(camera.pitch - s.pitch) < 0.01 &&
                fabs(camera.roll - s.roll) < 0.01);
    assert_true(fabs(camera.x_cm - s.x) < 0.05 && fabs(camera.y_cm - s.y) < 0.05);
    assert_true(fabs(camera.distance_cm - s.distance) < 0.05);
  }
}

/* Without EXIF the focal length comes from the wall, where both its directions lean enough to tell. */
static void focal_length_comes_from_the_wall(void **state) {
  (void)state;
  wall_scene s = wall_usual();
  s.yaw = 24;
  s.pitch = -14;
  s.x = 20;
  s.y = 230;
  bc_look_point corner[BC_LOOK_CORNERS];
  wall_corners(corner, &s);
  bc_look_camera camera;
  double height = 0;
  assert_int_equal(solve(&camera, &height, corner, &s, 0), BC_OK);
  assert_int_equal(camera.focal_source, BC_FOCAL_WALL);
  assert_true(fabs(camera.focal_px - s.focal) < 0.1);
  assert_true(fabs(height - s.height) < 0.05);
  /* Head on, the corners tell nothing of the lens, and the height does not depend on it. */
  s.yaw = s.pitch = 0;
  height = 0;
  wall_corners(corner, &s);
  assert_int_equal(solve(&camera, &height, corner, &s, 0), BC_OK);
  assert_int_equal(camera.focal_source, BC_FOCAL_ASSUMED);
  assert_true(fabs(height - s.height) < 0.01);
}

static void corners_of_no_rectangle_are_refused(void **state) {
  (void)state;
  const wall_scene usual = wall_usual();
  const bc_look_point crossed[BC_LOOK_CORNERS] = {{100, 100}, {900, 100}, {500, 400}, {520, 900}};
  bc_look_camera camera;
  double height = 0;
  assert_int_equal(solve(&camera, &height, crossed, &usual, 26), BC_BAD_DATA);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(projection_goes_there_and_back), cmocka_unit_test(three_on_a_line_are_refused),
      cmocka_unit_test(camera_is_recovered), cmocka_unit_test(focal_length_comes_from_the_wall),
      cmocka_unit_test(corners_of_no_rectangle_are_refused)};
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
