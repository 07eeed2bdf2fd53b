/* SPDX-License-Identifier: MIT */
/* Parts thinner than a cell of the cut-out's grid, in a box, at reading size: a plain ring round a hole that shows the
 * ground, and a fine chain that hangs a pendant. Made photos with mild noise; their true alpha is counted on 8 x 8
 * points of each pixel. */
#include <backcloth/cutout.h>

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>

#include <cmocka.h>

#include "support/context.h"

enum { WIDTH = 1000, HEIGHT = 750, POINTS = 8, WIRE = 3 /* px; a cell has 4 */ };

/* ---- what is photographed ---- */

typedef bool shape(double x, double y);

static const double ring_x = 480, ring_y = 390, ring_radius = 210;

static bool ring(double x, double y) {
  return fabs(hypot(x - ring_x, y - ring_y) - ring_radius) < WIRE / 2.0;
}

static double distance_to_line(double x, double y, const double from[2], const double to[2]) {
  const double dx = to[0] - from[0], dy = to[1] - from[1];
  const double along = fmin(fmax(((x - from[0]) * dx + (y - from[1]) * dy) / (dx * dx + dy * dy), 0), 1);
  return hypot(x - from[0] - along * dx, y - from[1] - along * dy);
}

static bool disc(double x, double y) {
  return hypot(x - 500, y - 560) < 110;
}

static bool chain(double x, double y) {
  static const double eye[2] = {500, 460}, left[2] = {330, 60}, right[2] = {690, 60};
  return distance_to_line(x, y, eye, left) < WIRE / 2.0 || distance_to_line(x, y, eye, right) < WIRE / 2.0;
}

static bool pendant(double x, double y) {
  return disc(x, y) || chain(x, y);
}

typedef struct scene {
  bc_image image;
  float *alpha;
  bc_box box; /* round all pixels that are at least half piece */
} scene;

static double grain(uint32_t *noise) {
  *noise = *noise * 1664525u + 1013904223u;
  return (double)(*noise >> 16) / 65536.0 - 0.5;
}

/* Pixels whose corners and middle agree need no counting: nothing here is narrower than that. */
static float share(shape *of, int x, int y) {
  const int corners = of(x, y) + of(x + 1, y) + of(x, y + 1) + of(x + 1, y + 1) + of(x + 0.5, y + 0.5);
  int inside = 0;
  if (corners == 0 || corners == 5) return corners ? 1 : 0;
  for (int k = 0; k < POINTS * POINTS; k++)
    inside += of(x + (k % POINTS + 0.5) / POINTS, y + (k / POINTS + 0.5) / POINTS);
  return (float)inside / (POINTS * POINTS);
}

static void set_box(scene *s) {
  int left = WIDTH, right = -1, top = HEIGHT, bottom = -1;
  for (int i = 0; i < WIDTH * HEIGHT; i++) {
    if (s->alpha[i] < 0.5f) continue;
    const int x = i % WIDTH, y = i / WIDTH;
    if (x < left) left = x;
    if (x > right) right = x;
    if (y < top) top = y;
    bottom = y;
  }
  s->box = (bc_box){left, top, right - left + 1, bottom - top + 1};
}

/* Light mixes in the pixel; the ground gets lighter to the right, and every pixel has a little noise. */
static scene photograph(shape *of, const float piece[3], const float ground[3]) {
  scene s = {.image = {.width = WIDTH, .height = HEIGHT, .full_width = WIDTH, .full_height = HEIGHT}};
  const size_t count = (size_t)WIDTH * HEIGHT;
  uint32_t noise = 7;
  s.alpha = calloc(count, sizeof(float));
  s.image.L = calloc(count, sizeof(float));
  s.image.a = calloc(count, sizeof(float));
  s.image.b = calloc(count, sizeof(float));
  assert_true(s.alpha && s.image.L && s.image.a && s.image.b);
  float *const plane[] = {s.image.L, s.image.a, s.image.b};
  for (int i = 0; i < WIDTH * HEIGHT; i++) {
    const float alpha = s.alpha[i] = share(of, i % WIDTH, i / WIDTH);
    for (int c = 0; c < 3; c++)
      plane[c][i] = alpha * piece[c] + (1 - alpha) * ground[c] + (float)((c ? 2 : 3) * grain(&noise));
    s.image.L[i] += (1 - alpha) * 4 * (float)(i % WIDTH) / WIDTH;
  }
  set_box(&s);
  return s;
}

static void put_away(scene *s) {
  free(s->alpha);
  free(s->image.L);
  free(s->image.a);
  free(s->image.b);
}

/* ---- what is found ---- */

static bc_cutout *find(bc_cutout_session *session) {
  bc_cutout *cutout = NULL;
  assert_int_equal(bc_cutout_session_find(&cutout, session, context), BC_OK);
  return cutout;
}

static bc_cutout_session *begin(const scene *s) {
  bc_cutout_session *session = NULL;
  const bc_cutout_options options = {.has_box = true, .box = s->box};
  assert_int_equal(bc_cutout_session_new(&session, context, &s->image, &options), BC_OK);
  return session;
}

static double overlap(const scene *s, const bc_cutout *cutout) {
  size_t both = 0, either = 0;
  for (size_t i = 0; i < (size_t)WIDTH * HEIGHT; i++) {
    const bool want = s->alpha[i] >= 0.5f, got = cutout->alpha[i] >= 128;
    both += want && got;
    either += want || got;
  }
  return (double)both / (double)either;
}

/* The share of a shape's pixels that were found; of those that lie wholly in it. */
static double found_share(const bc_cutout *cutout, shape *of) {
  size_t all = 0, found = 0;
  for (int i = 0; i < WIDTH * HEIGHT; i++) {
    if (share(of, i % WIDTH, i / WIDTH) < 1) continue;
    all++;
    found += cutout->alpha[i] >= 128;
  }
  return (double)found / (double)all;
}

static bool hole(double x, double y) {
  return hypot(x - ring_x, y - ring_y) < ring_radius - 3 * WIRE;
}

static const float gold[3] = {52, 12, 42}, silver[3] = {62, 0, 1}, copper[3] = {46, 24, 26};
static const float linen[3] = {82, 2, 12}, slate[3] = {30, -1, -4}, sage[3] = {60, -12, 12};

static void check_ring(const scene *s, bc_cutout_session *session) {
  bc_cutout *cutout = find(session);
  assert_true(overlap(s, cutout) >= 0.80); /* a rim of half a pixel is a third of such a band */
  assert_true(found_share(cutout, ring) > 0.99);
  assert_true(found_share(cutout, hole) < 0.001);
  bc_cutout_free(cutout);
}

static void a_thin_ring_keeps_its_hole(void **state) {
  (void)state;
  const float *const pair[][2] = {{gold, linen}, {silver, slate}, {copper, sage}};
  const bc_point_px on_ring = {(int)(ring_x + ring_radius), (int)ring_y};
  for (size_t k = 0; k < sizeof pair / sizeof *pair; k++) {
    scene s = photograph(ring, pair[k][0], pair[k][1]);
    bc_cutout_session *session = begin(&s);
    check_ring(&s, session);
    assert_int_equal(bc_cutout_session_add(session, context, true, &on_ring, 1), BC_OK);
    check_ring(&s, session); /* a stroke does not close it */
    bc_cutout_session_free(session);
    put_away(&s);
  }
}

static void a_fine_chain_hangs_its_pendant(void **state) {
  (void)state;
  const float *const pair[][2] = {{gold, linen}, {silver, slate}, {copper, sage}};
  for (size_t k = 0; k < sizeof pair / sizeof *pair; k++) {
    scene s = photograph(pendant, pair[k][0], pair[k][1]);
    bc_cutout_session *session = begin(&s);
    bc_cutout *cutout = find(session);
    assert_true(overlap(&s, cutout) > 0.97);
    assert_true(found_share(cutout, chain) > 0.99);
    bc_cutout_free(cutout);
    bc_cutout_session_free(session);
    put_away(&s);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(a_thin_ring_keeps_its_hole),
      cmocka_unit_test(a_fine_chain_hangs_its_pendant),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
