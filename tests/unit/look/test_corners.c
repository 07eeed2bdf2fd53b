/* SPDX-License-Identifier: MIT */
/* Corners found in photos of walls of known geometry, and photos in which there is no wall to find. */
#include <backcloth/look.h>

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "look/look_internal.h"
#include "support/context.h"
#include "support/walls.h"

#define CORNER_PX 3.0 /* asked for of photos of 1600 pixels and more */

static bc_status find(bc_look_outline *out, const uint8_t *pixels, int width, int height) {
  const size_t size = (size_t)width * (size_t)height * 3;
  char *file = malloc(size + 64);
  assert_non_null(file);
  const int head = snprintf(file, 64, "P6\n%d %d\n255\n", width, height);
  memcpy(file + head, pixels, size);
  bc_photo *photo = NULL;
  bc_image *image = NULL;
  bc_image_options how = bc_image_options_default();
  how.side = 0;
  how.find_white = false;
  assert_int_equal(bc_photo_decode(&photo, context, file, size + (size_t)head, "wall.ppm", NULL), BC_OK);
  assert_int_equal(bc_image_from_photo(&image, context, photo, &how), BC_OK);
  const bc_status status = bc_look_find_outline(out, context, image, "wall.ppm");
  bc_image_free(image);
  bc_photo_free(photo);
  free(file);
  return status;
}

static double worst_corner(const wall_scene *s, int round) {
  uint8_t *pixels = wall_render(s);
  bc_look_point truth[BC_LOOK_CORNERS];
  bc_look_outline got;
  double worst = 0;
  const bc_status status = find(&got, pixels, s->pixels_x, s->pixels_y);
  wall_corners(truth, s);
  free(pixels);
  for (int i = 0; status == BC_OK && i < BC_LOOK_CORNERS; i++)
    worst = fmax(worst, hypot(got.corner[i].x - truth[i].x, got.corner[i].y - truth[i].y));
  if (status != BC_OK) worst = 9999;
  print_message("%d: worst corner %.2f px, confidence %.2f\n", round, worst, status == BC_OK ? got.confidence : 0);
  return worst;
}

static void corners_are_found(void **state) {
  (void)state;
  wall_state = 21;
  for (int round = 0; round < 3; round++) {
    wall_scene s = wall_anywhere();
    wall_hang(&s, 5);
    assert_true(worst_corner(&s, round) <= CORNER_PX);
  }
}

/* A phone's lens, after its own correction, still bends by a fraction of a percent. */
static void a_bent_lens_is_borne(void **state) {
  (void)state;
  wall_state = 5;
  for (int round = 0; round < 2; round++) {
    wall_scene s = wall_anywhere();
    s.bend = round ? 0.008 : -0.008;
    wall_hang(&s, 4);
    assert_true(worst_corner(&s, round) <= CORNER_PX);
  }
}

/* A banner with four good sides is no wall when the wall itself is seen. */
static void a_banner_is_not_the_wall(void **state) {
  (void)state;
  wall_state = 9;
  wall_scene s = wall_usual();
  s.yaw = 5;
  s.shape[s.shapes++] = (wall_shape){.x = 150, .y = 140, .width = 150, .height = 130, .rgb = {0.05, 0.08, 0.25}};
  assert_true(worst_corner(&s, 0) <= CORNER_PX);
}

/* A table before the wall hides half of its lower edge; one side wall is narrow and almost of the wall's colour. */
static void a_table_and_side_walls_do_not_mislead(void **state) {
  (void)state;
  wall_scene s = wall_usual();
  s.yaw = -8;
  s.x = 230;
  s.roll = -3;
  s.sides[0] = 0.58;
  s.shape[s.shapes++] = (wall_shape){.x = 140, .y = 32, .width = 155, .height = 64, .rgb = {0.2, 0.12, 0.07}};
  assert_true(worst_corner(&s, 0) <= CORNER_PX);
}

/* Both families of the wall's edges meet where the camera says: the columns of K R. */
static void vanishing_points_are_recovered(void **state) {
  (void)state;
  wall_scene s = wall_usual();
  s.yaw = 12;
  s.pitch = -9;
  s.x = 110;
  s.y = 200;
  s.noise = 0.004;
  wall_hang(&s, 0);
  const size_t count = (size_t)s.pixels_x * (size_t)s.pixels_y;
  uint8_t *pixels = wall_render(&s);
  float *plane = malloc(count * sizeof *plane);
  assert_true(pixels && plane);
  for (size_t i = 0; i < count; i++) plane[i] = (float)(pixels[3 * i + 1] / 2.55);
  look_segments segments;
  assert_int_equal(look_segments_find(&segments, context, plane, s.pixels_x, s.pixels_y), BC_OK);
  double r[3][3];
  wall_axes(r, &s);
  const double half = hypot(s.pixels_x, s.pixels_y) / 2;
  for (int level = 0; level < 2; level++) {
    look_family family;
    assert_int_equal(look_family_find(&family, context, &segments, level), BC_OK);
    const int axis = level ? 0 : 1;
    const double truth[3] = {r[0][axis] * s.focal / half, r[1][axis] * s.focal / half, r[2][axis]};
    double dot = 0, a = 0, b = 0;
    for (int i = 0; i < 3; i++) {
      dot += truth[i] * family.point[i];
      a += truth[i] * truth[i];
      b += family.point[i] * family.point[i];
    }
    const double apart = acos(fmin(1, fabs(dot) / sqrt(a * b))) * 180 / M_PI;
    print_message("%s: %.3f degrees from the truth\n", level ? "level" : "upright", apart);
    assert_true(apart < 0.5);
    look_family_clear(&family);
  }
  free(segments.list);
  free(plane);
  free(pixels);
}

static void no_wall_gives_a_sentence(void **state) {
  (void)state;
  enum { WIDTH = 800, HEIGHT = 600 };
  uint8_t *pixels = malloc((size_t)WIDTH * HEIGHT * 3);
  bc_look_outline got;
  wall_state = 2;
  for (int kind = 0; kind < 3; kind++) {
    for (int y = 0; y < HEIGHT; y++)
      for (int x = 0; x < WIDTH; x++)
        for (int c = 0; c < 3; c++) {
          const double value = kind == 0   ? 200                                           /* nothing at all */
                               : kind == 1 ? 60 + 120 * wall_random()                      /* noise */
                                           : 128 + 90 * sin(hypot(x - 300, y - 900) / 19); /* rings */
          pixels[3 * (y * WIDTH + x) + c] = (uint8_t)value;
        }
    assert_int_equal(find(&got, pixels, WIDTH, HEIGHT), BC_BAD_DATA);
    assert_non_null(strstr(bc_context_message(context), "--corners"));
  }
  free(pixels);
  wall_state = 31;
  for (int kind = 0; kind < 3; kind++) { /* a banner, a framed picture and a board alone, the wall goes on */
    wall_scene s = wall_usual();
    s.width = 1200;
    s.height = 700;
    s.x = s.y = 350 + wall_between(-10, 10);
    s.distance = 220;
    s.yaw = wall_between(-6, 6);
    s.shade = 0.4;
    s.pixels_x = 1200;
    s.pixels_y = 900;
    s.focal = 900;
    s.shape[s.shapes++] = (wall_shape){.x = s.x, .y = s.y, .width = 150, .height = 110, .rgb = {0.05, 0.08, 0.25}};
    if (kind)
      s.shape[s.shapes++] = (wall_shape){.x = s.x, .y = s.y, .width = 130, .height = 90, .rgb = {0.6, 0.55, 0.4}};
    if (kind == 2) s.shape[s.shapes++] = (wall_shape){.disc = true, .x = s.x, .y = s.y, .width = 30, .height = 40};
    uint8_t *alone = wall_render(&s);
    assert_int_equal(find(&got, alone, s.pixels_x, s.pixels_y), BC_BAD_DATA);
    free(alone);
  }
  wall_scene near = wall_usual(); /* so near that the wall goes on beyond the photo */
  near.distance = 150;
  pixels = wall_render(&near);
  assert_int_equal(find(&got, pixels, near.pixels_x, near.pixels_y), BC_BAD_DATA);
  free(pixels);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(corners_are_found),
                                     cmocka_unit_test(a_bent_lens_is_borne),
                                     cmocka_unit_test(a_banner_is_not_the_wall),
                                     cmocka_unit_test(a_table_and_side_walls_do_not_mislead),
                                     cmocka_unit_test(vanishing_points_are_recovered),
                                     cmocka_unit_test(no_wall_gives_a_sentence)};
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
