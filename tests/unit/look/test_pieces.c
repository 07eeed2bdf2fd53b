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
  for (int round = 0; round < 2; round++) {
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

static wall_scene smaller(void) {
  wall_scene s = wall_usual();
  s.pixels_x = 1200;
  s.pixels_y = 900;
  s.focal = 900;
  return s;
}

/* One rectangle leans, one hangs high, one is as light as the wall; below them nothing. */
static wall_scene few_pieces(void) {
  wall_scene s = smaller();
  s.yaw = 4;
  s.shape[s.shapes++] = (wall_shape){.x = 70, .y = 150, .width = 50, .height = 40, .tilt = 5, .rgb = {0.05, 0.08, 0.2}};
  s.shape[s.shapes++] = (wall_shape){.x = 150, .y = 210, .width = 40, .height = 26, .rgb = {0.04, 0.04, 0.04}};
  s.shape[s.shapes++] = (wall_shape){.x = 235, .y = 150, .width = 50, .height = 50, .rgb = {0.50, 0.52, 0.60}};
  return s;
}

static void figures_say_what_is_there(void **state) {
  (void)state;
  const wall_scene s = few_pieces();
  bc_look_options options = corners_given(&s);
  options.height_cm = 0;
  bc_cloth *dark = NULL;
  assert_int_equal(bc_cloth_parse(&dark, context, "#101010", NULL), BC_OK);
  options.cloth = dark;
  bc_look *look = look_at(&s, &options);
  assert_non_null(look);
  assert_int_equal(look->piece_count, 3);
  const bc_look_piece *const leaning = nearest(look, &s.shape[0]), *const high = nearest(look, &s.shape[1]),
                             *const pale = nearest(look, &s.shape[2]);
  assert_true(leaning->has_tilt && fabs(leaning->tilt - 5) < 0.6);
  assert_true(high->has_tilt && fabs(high->tilt) < 0.6);
  assert_int_equal(high->height, BC_LOOK_ABOVE);
  assert_int_equal(leaning->height, BC_LOOK_IN_BAND);
  /* The wall behind is what the pair was judged on: WCAG's ratio of the luminances that were painted. */
  const double wall = 0.2126 * 0.72 + 0.7152 * 0.71 + 0.0722 * 0.68, black = 0.04;
  const double light = 1 - s.shade * (0.7 * 150 / 300 + 0.3 * (1 - 210.0 / 240));
  const double ratio = (wall * light + 0.05) / (black * light + 0.05);
  assert_true(fabs(high->behind->colour.luminance / (wall * light) - 1) < 0.01);
  assert_true(fabs(high->pair.contrast_ratio / ratio - 1) < 0.12); /* a reading's edge pixels hold some of the wall */
  assert_int_equal(high->pair.verdict, BC_STANDS_OUT);
  assert_int_not_equal(high->on_cloth.verdict, BC_STANDS_OUT);
  assert_true(pale->pair.contrast_ratio < 1.6);
  assert_true(pale->on_cloth.contrast_ratio > 5);
  /* Half the wall is empty, down to the floor. */
  assert_true(look->gap_count >= 1);
  assert_true(look->gaps[0].y < 3 && look->gaps[0].width > 290 && look->gaps[0].height > 115 &&
              look->gaps[0].height < 130);
  const double covered = (50.0 * 40 + 40 * 26 + 50 * 50) / (300.0 * 240);
  assert_true(fabs(look->covered_share - covered) < 0.004);
  bc_look_free(look);
  bc_cloth_free(dark);
}

/* A white jar on a white wall: lighter than it by 2.5 L* at its left, as light in a strip, darker at its right. */
static void white_on_white_is_found_whole(void **state) {
  (void)state;
  wall_scene s = smaller();
  s.shade = 0.15;
  for (int k = 0; k < 3; k++) s.wall[k] = 0.70;
  s.shape[s.shapes++] = (wall_shape){
      .disc = true, .x = 110, .y = 150, .width = 44, .height = 52, .fade = 0.45, .rgb = {0.76, 0.76, 0.755}};
  s.shape[s.shapes++] =
      (wall_shape){.x = 215, .y = 140, .width = 40, .height = 30, .fade = 0.3, .rgb = {0.71, 0.71, 0.70}};
  s.shape[s.shapes++] = (wall_shape){.x = 258, .y = 140, .width = 38, .height = 30, .rgb = {0.05, 0.07, 0.20}};
  const bc_look_options options = corners_given(&s);
  bc_look *look = look_at(&s, &options);
  assert_non_null(look);
  assert_int_equal(look->piece_count, 3); /* the two that hang 4 cm apart stay two */
  for (int i = 0; i < s.shapes;
       i += 2) { /* the one between has the wall's own lightness at its left: that end is lost */
    const bc_look_piece *const piece = nearest(look, &s.shape[i]);
    const double area = s.shape[i].width * s.shape[i].height * (s.shape[i].disc ? M_PI / 4 : 1);
    print_message("%d: %.1f x %.1f cm, area %.3f of the truth\n", i, piece->width_cm, piece->height_cm,
                  piece->area_cm2 / area);
    assert_true(fabs(piece->width_cm / s.shape[i].width - 1) < 0.05);
    assert_true(fabs(piece->height_cm / s.shape[i].height - 1) < 0.05);
    assert_true(fabs(piece->area_cm2 / area - 1) < 0.06);
  }
  bc_look_free(look);
}

static void boxes_point_pieces_out(void **state) {
  (void)state;
  const wall_scene s = few_pieces();
  bc_look_options options = corners_given(&s);
  const bc_look_point a = wall_project(&s, (bc_look_point){125, 228}), b = wall_project(&s, (bc_look_point){175, 192});
  const bc_box box = {(int)a.x, (int)a.y, (int)(b.x - a.x), (int)(b.y - a.y)}, far_off = {1105, 805, 90, 90};
  options.boxes = &box;
  options.box_count = 1;
  bc_look *look = look_at(&s, &options);
  assert_non_null(look);
  assert_int_equal(look->piece_count, 1);
  assert_true(look->pieces[0].boxed);
  assert_true(fabs(look->pieces[0].width_cm / 40 - 1) < 0.02 && fabs(look->pieces[0].height_cm / 26 - 1) < 0.02);
  bc_look_free(look);
  options.boxes = &far_off;
  assert_null(look_at(&s, &options));
}

/* An empty wall, unevenly lit: no piece is made up. */
static void an_empty_wall_has_no_pieces(void **state) {
  (void)state;
  wall_scene s = smaller();
  s.shade = 0.45;
  s.noise = 0.012;
  const bc_look_options options = corners_given(&s);
  bc_look *look = look_at(&s, &options);
  assert_non_null(look);
  assert_int_equal(look->piece_count, 0);
  assert_true(look->covered_share == 0);
  assert_true(look->gap_count == 1 && look->gaps[0].width > 298 && look->gaps[0].height > 238);
  assert_true(look->texture.busy_bits < 1.5);
  char *text = NULL;
  assert_int_equal(bc_look_to_words(&text, context, look, BC_UNITS_IMPERIAL), BC_OK);
  assert_non_null(strstr(text, "--box"));
  free(text);
  bc_look_free(look);
}

static void impossible_options_are_refused(void **state) {
  (void)state;
  bc_look *look = NULL;
  bc_look_options options = bc_look_options_default();
  assert_int_equal(bc_look_open(&look, context, "none.jpg", &options), BC_BAD_USAGE);
  options.width_cm = 1e9;
  assert_int_equal(bc_look_open(&look, context, "none.jpg", &options), BC_BAD_USAGE);
  options.width_cm = 300;
  options.height_cm = -4;
  assert_int_equal(bc_look_open(&look, context, "none.jpg", &options), BC_BAD_USAGE);
  options.height_cm = 0;
  assert_int_equal(bc_look_open(&look, context, "none.jpg", &options), BC_NO_INPUT);
  assert_null(look);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(sizes_are_true_within_two_percent), cmocka_unit_test(figures_say_what_is_there),
      cmocka_unit_test(white_on_white_is_found_whole),     cmocka_unit_test(boxes_point_pieces_out),
      cmocka_unit_test(an_empty_wall_has_no_pieces),       cmocka_unit_test(impossible_options_are_refused)};
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
