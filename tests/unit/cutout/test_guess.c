/* SPDX-License-Identifier: MIT */
/* A first guess that leaves no doubt is obeyed by every later step, and one that doubts is heard: on a net whose
 * meshes show the ground, on a white pot on white paper, and where the user knows better. Made photos with mild noise;
 * their true alpha is counted on 4 x 4 points of each pixel. */
#include <backcloth/cutout.h>

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>

#include <cmocka.h>

#include "support/context.h"

enum { WIDTH = 480, HEIGHT = 360, POINTS = 4 };

typedef bool shape(double x, double y);

static double to_lines(double value, double period) {
  return fabs(value - period * floor(value / period + 0.5));
}

static bool net(double x, double y) {
  const double dx = x - 240, dy = y - 60;
  if (fabs(dx) > 130 || dy < 0 || dy > 240) return false;
  return fmin(to_lines(dx + dy, 44), to_lines(dx - dy, 44)) < 4;
}

static bool pot(double x, double y) {
  return hypot((x - 240) / 80, (y - 190) / 110) < 1;
}

typedef struct scene {
  bc_image image;
  bc_cutout truth;
} scene;

static double grain(uint32_t *noise) {
  *noise = *noise * 1664525u + 1013904223u;
  return (double)(*noise >> 16) / 65536.0 - 0.5;
}

static scene photograph(shape *of, double piece, double ground) {
  const size_t count = (size_t)WIDTH * HEIGHT;
  scene s = {.image = {.width = WIDTH, .height = HEIGHT, .full_width = WIDTH, .full_height = HEIGHT},
             .truth = {.width = WIDTH, .height = HEIGHT, .alpha = calloc(count, 1)}};
  float **planes[4] = {&s.image.L, &s.image.a, &s.image.b, &s.image.Y};
  for (int p = 0; p < 4; p++) assert_non_null(*planes[p] = calloc(count, sizeof(float)));
  assert_non_null(s.truth.alpha);
  uint32_t noise = 3;
  for (int i = 0; i < WIDTH * HEIGHT; i++) {
    int inside = 0;
    for (int k = 0; k < POINTS * POINTS; k++)
      inside += of(i % WIDTH + (k % POINTS + 0.5) / POINTS, i / WIDTH + (k / POINTS + 0.5) / POINTS);
    const double share = (double)inside / (POINTS * POINTS), light = 1 + 0.05 * grain(&noise);
    const double grey = light * (share * piece + (1 - share) * ground), rgb[3] = {grey, grey, 0.95 * grey};
    const bc_colour colour = bc_colour_from_linear_srgb(rgb);
    s.image.L[i] = (float)colour.lab.L;
    s.image.a[i] = (float)colour.lab.a;
    s.image.b[i] = (float)colour.lab.b;
    s.image.Y[i] = (float)colour.luminance;
    s.truth.alpha[i] = (uint8_t)(255 * share + 0.5);
  }
  return s;
}

static void put_away(scene *s) {
  free(s->image.L);
  free(s->image.a);
  free(s->image.b);
  free(s->image.Y);
  free(s->truth.alpha);
}

static double overlap(const bc_cutout *found, const bc_cutout *truth) {
  int both = 0, either = 0;
  for (int i = 0; i < WIDTH * HEIGHT; i++) {
    both += found->alpha[i] >= 128 && truth->alpha[i] >= 128;
    either += found->alpha[i] >= 128 || truth->alpha[i] >= 128;
  }
  return (double)both / either;
}

static double alpha_error(const bc_cutout *found, const bc_cutout *truth) {
  double sum = 0;
  for (int i = 0; i < WIDTH * HEIGHT; i++) sum += abs(found->alpha[i] - truth->alpha[i]) / 255.0;
  return sum / (WIDTH * HEIGHT);
}

static void check_obeyed(shape *of, double piece, double ground) {
  scene s = photograph(of, piece, ground);
  bc_cutout_options options = bc_cutout_options_default();
  options.first_guess = bc_cutout_guess_of_mask;
  options.first_guess_data = &s.truth;
  bc_cutout *cutout = NULL;
  assert_int_equal(bc_cutout_find(&cutout, context, &s.image, &options), BC_OK);
  assert_true(overlap(cutout, &s.truth) > 0.985);
  assert_true(alpha_error(cutout, &s.truth) < 0.005);
  bc_cutout_free(cutout);
  put_away(&s);
}

static void what_is_sure_is_obeyed(void **state) {
  (void)state;
  check_obeyed(net, 0.12, 0.5);  /* its meshes are not filled */
  check_obeyed(pot, 0.80, 0.79); /* nothing but the guess tells it from its paper */
}

/* Of cells wider than a mesh's cord: what the guess doubts, colours decide. */
static bool ask_coarsely(void *data, const bc_image *image, int width, int height, float *probability) {
  enum { CELL = 12, ACROSS = WIDTH / CELL, DOWN = HEIGHT / CELL };
  static float cells[ACROSS * DOWN];
  bc_cutout_guess_of_mask(data, image, ACROSS, DOWN, cells);
  for (int y = 0; y < height; y++)
    for (int x = 0; x < width; x++) probability[y * width + x] = cells[y * DOWN / height * ACROSS + x * ACROSS / width];
  return true;
}

static void what_is_doubted_is_heard(void **state) {
  (void)state;
  scene s = photograph(net, 0.12, 0.5);
  bc_cutout_options options = bc_cutout_options_default();
  options.first_guess = ask_coarsely;
  options.first_guess_data = &s.truth;
  bc_cutout *cutout = NULL;
  assert_int_equal(bc_cutout_find(&cutout, context, &s.image, &options), BC_OK);
  assert_true(overlap(cutout, &s.truth) > 0.95);
  bc_cutout_free(cutout);
  put_away(&s);
}

static void the_user_knows_better(void **state) {
  (void)state;
  scene s = photograph(pot, 0.12, 0.5);
  bc_cutout wrong = s.truth;
  wrong.alpha = calloc((size_t)WIDTH * HEIGHT, 1); /* the pot without its upper part, but a corner of the ground */
  assert_non_null(wrong.alpha);
  for (int i = 0; i < WIDTH * HEIGHT; i++)
    wrong.alpha[i] = i / WIDTH < 150 ? (i / WIDTH < 60 && i % WIDTH < 60 ? 255 : 0) : s.truth.alpha[i];
  bc_cutout_options options = bc_cutout_options_default();
  options.first_guess = bc_cutout_guess_of_mask;
  options.first_guess_data = &wrong;
  bc_cutout_session *session = NULL;
  bc_cutout *cutout = NULL;
  assert_int_equal(bc_cutout_session_new(&session, context, &s.image, &options), BC_OK);
  const bc_point_px keep = {240, 120}, drop = {30, 30};
  assert_int_equal(bc_cutout_session_add(session, context, true, &keep, 1), BC_OK);
  assert_int_equal(bc_cutout_session_add(session, context, false, &drop, 1), BC_OK);
  assert_int_equal(bc_cutout_session_find(&cutout, session, context), BC_OK);
  assert_true(overlap(cutout, &s.truth) > 0.95);
  bc_cutout_free(cutout);
  bc_cutout_session_free(session);
  free(wrong.alpha);
  put_away(&s);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(what_is_sure_is_obeyed),
      cmocka_unit_test(what_is_doubted_is_heard),
      cmocka_unit_test(the_user_knows_better),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
