/* SPDX-License-Identifier: MIT */
/* Readings of shapes whose area, outline and colours are known by geometry. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* the four above come before cmocka */
#include <cmocka.h>

#include <backcloth/reading.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* cmocka's own check is in single precision. */
#define assert_near(actual, expected, tolerance)                                                                       \
  do {                                                                                                                 \
    const double got_ = (double)(actual), want_ = (double)(expected);                                                  \
    if (!(fabs(got_ - want_) <= (tolerance))) fail_msg("%s is %.9g, not %.9g", #actual, got_, want_);                  \
  } while (0)

#define PI 3.14159265358979323846

typedef struct scene {
  bc_context *context;
  bc_image image;
  bc_cutout cutout;
} scene;

/* A scene of background colour (Lab 95, 0, 0) with an empty mask. */
static void scene_new(scene *s, int width, int height) {
  *s = (scene){0};
  assert_int_equal(bc_context_new(&s->context), BC_OK);
  const size_t n = (size_t)width * (size_t)height;
  s->image = (bc_image){.width = width, .height = height, .full_width = 4 * width, .full_height = 4 * height};
  s->image.L = calloc(n, sizeof(float));
  s->image.a = calloc(n, sizeof(float));
  s->image.b = calloc(n, sizeof(float));
  s->image.Y = calloc(n, sizeof(float));
  s->image.profile = strdup("test");
  s->cutout = (bc_cutout){.width = width, .height = height, .alpha = calloc(n, 1), .confidence = 1};
  s->cutout.source = BC_CUTOUT_AUTOMATIC;
  const bc_colour background = bc_colour_from_lab((bc_lab){95, 0, 0});
  for (size_t i = 0; i < n; i++) {
    s->image.L[i] = (float)background.lab.L;
    s->image.Y[i] = (float)background.luminance;
  }
}

static void scene_free(scene *s) {
  free(s->image.L);
  free(s->image.a);
  free(s->image.b);
  free(s->image.Y);
  free(s->image.profile);
  free(s->cutout.alpha);
  bc_context_free(s->context);
}

/* Paints one pixel; the mask's share of it is `alpha`, 0..1. */
static void paint(scene *s, int x, int y, bc_lab lab, double alpha) {
  const size_t i = (size_t)y * (size_t)s->image.width + (size_t)x;
  s->cutout.alpha[i] = (uint8_t)lround(255 * fmin(1, fmax(0, alpha)));
  if (alpha < 0.5) return;
  s->image.L[i] = (float)lab.L;
  s->image.a[i] = (float)lab.a;
  s->image.b[i] = (float)lab.b;
  s->image.Y[i] = (float)bc_colour_from_lab(lab).luminance;
}

/* A disc, optionally with a hole; the edge is soft over one pixel. */
static void paint_disc(scene *s, double cx, double cy, double radius, double hole, bc_lab lab) {
  for (int y = 0; y < s->image.height; y++)
    for (int x = 0; x < s->image.width; x++) {
      const double r = hypot(x + 0.5 - cx, y + 0.5 - cy);
      if (r > radius + 0.5) continue;
      paint(s, x, y, lab, fmin(radius - r + 0.5, hole > 0 ? r - hole + 0.5 : 1));
    }
}

static void find_box(scene *s) {
  int x0 = s->image.width, y0 = s->image.height, x1 = -1, y1 = -1;
  for (int y = 0; y < s->image.height; y++)
    for (int x = 0; x < s->image.width; x++) {
      if (s->cutout.alpha[(size_t)y * (size_t)s->image.width + (size_t)x] < 128) continue;
      if (x < x0) x0 = x;
      if (x > x1) x1 = x;
      if (y < y0) y0 = y;
      if (y > y1) y1 = y;
    }
  s->cutout.box = (bc_box){x0, y0, x1 - x0 + 1, y1 - y0 + 1};
}

static bc_reading *read_scene(scene *s) {
  bc_reading *reading = NULL;
  find_box(s);
  assert_int_equal(bc_reading_of(&reading, s->context, &s->image, &s->cutout, "photos/red-disc_1.jpg"), BC_OK);
  return reading;
}

static const bc_lab red = {45, 60, 40}, blue = {30, 10, -50};

static void test_disc(void **state) {
  (void)state;
  scene s;
  scene_new(&s, 300, 200);
  paint_disc(&s, 150, 100, 70, 0, red);
  bc_reading *r = read_scene(&s);
  assert_near(r->area_share, PI * 70 * 70 / (300 * 200), 1e-3);
  assert_near(r->mean.lab.L, 45, 0.5);                /* the soft edge carries a little background */
  assert_near(r->outline_length, 2 * sqrt(PI), 0.02); /* circumference over root of area */
  assert_near(r->box_share, PI / 4, 0.01);
  assert_int_equal(r->box.width, 4 * 140);
  assert_int_equal(r->rim_count, (size_t)(2 * PI * 70)); /* a place a pixel on a short outline */
  for (size_t i = 0; i < r->rim_count; i++) {
    const double x = (double)r->rim[i].x * 300 - 150, y = (double)r->rim[i].y * 200 - 100;
    assert_near(hypot(x, y), 70, 0.25);
    assert_near(r->rim[i].L, 45, 0.2);
    assert_int_equal(r->rim[i].contour, 0);
    assert_false(r->rim[i].after_gap);
  }
  assert_int_equal(r->colour_count, 1);
  assert_near(r->colours[0].lab.a, 60, 0.5);
  bc_reading_free(r);
  scene_free(&s);
}

static void test_places_are_evenly_spaced(void **state) {
  (void)state;
  scene s;
  scene_new(&s, 400, 400);
  paint_disc(&s, 200, 200, 180, 90, red);
  bc_reading *r = read_scene(&s);
  assert_int_equal(r->rim_count, BC_READING_RIM);
  size_t outer = 0;
  for (size_t i = 0; i < r->rim_count; i++) outer += r->rim[i].contour == 0;
  assert_near((double)outer / BC_READING_RIM, 2.0 / 3, 0.005); /* circumferences 180 : 90 */
  const double step = 2 * PI * (180 + 90) / BC_READING_RIM;
  for (size_t i = 1; i < outer; i++) {
    const double dx = (double)(r->rim[i].x - r->rim[i - 1].x) * 400, dy = (double)(r->rim[i].y - r->rim[i - 1].y) * 400;
    assert_near(hypot(dx, dy), step, 0.1 * step);
  }
  bc_reading_free(r);
  scene_free(&s);
}

/* A blue disc with a red rim of 6 % of its size: the band, 2 %, must see red only; the mean must not. */
static void test_band_reads_the_rim_only(void **state) {
  (void)state;
  scene s;
  scene_new(&s, 500, 500);
  paint_disc(&s, 250, 250, 220, 0, red);
  paint_disc(&s, 250, 250, 220 * 0.88, 0, blue);
  paint_disc(&s, 250, 250, 220, 220 * 0.88, red); /* restore the soft mask between the two */
  for (int y = 0; y < 500; y++)
    for (int x = 0; x < 500; x++) {
      const double radius = hypot(x + 0.5 - 250, y + 0.5 - 250);
      if (radius < 219) paint(&s, x, y, radius < 220 * 0.88 ? blue : red, 1);
    }
  bc_reading *r = read_scene(&s);
  for (size_t i = 0; i < r->rim_count; i++) assert_near(r->rim[i].L, 45, 0.1);
  const double inner = 0.88 * 0.88;
  assert_near(r->mean.lab.L, 30 * inner + 45 * (1 - inner), 0.3);
  assert_int_equal(r->colour_count, 2);
  assert_near(r->colours[0].share, inner, 0.01);
  assert_near(r->colours[0].lab.b, -50, 0.5);
  assert_near(r->colours[1].share, 1 - inner, 0.01);
  bc_reading_free(r);
  scene_free(&s);
}

/* The band is 2 % of the smaller side and no wider: a red rim of 2.5 % hides the blue behind it. */
static void test_band_is_no_wider_than_said(void **state) {
  (void)state;
  scene s;
  scene_new(&s, 700, 700);
  const double radius = 320, inside = radius - 0.025 * 2 * radius;
  paint_disc(&s, 350, 350, radius, 0, red);
  for (int y = 0; y < 700; y++)
    for (int x = 0; x < 700; x++)
      if (hypot(x + 0.5 - 350, y + 0.5 - 350) < inside) paint(&s, x, y, blue, 1);
  bc_reading *r = read_scene(&s);
  for (size_t i = 0; i < r->rim_count; i++) assert_near(r->rim[i].L, 45, 0.1);
  bc_reading_free(r);
  scene_free(&s);
}

/* Two pixels of the old background along the edge must hardly show in the rim. */
static void test_old_background_is_kept_out(void **state) {
  (void)state;
  scene s;
  scene_new(&s, 600, 600);
  paint_disc(&s, 300, 300, 250, 0, (bc_lab){95, 0, 0});
  for (int y = 0; y < 600; y++)
    for (int x = 0; x < 600; x++)
      if (hypot(x + 0.5 - 300, y + 0.5 - 300) < 248) paint(&s, x, y, (bc_lab){30, 0, 0}, 1);
  bc_reading *r = read_scene(&s);
  for (size_t i = 0; i < r->rim_count; i++) assert_in_range((int)r->rim[i].L, 30, 34);
  bc_reading_free(r);
  scene_free(&s);
}

/* A piece cut by the left edge: no place lies on the photo's border, and a note says so. */
static void test_photo_edge_is_no_outline(void **state) {
  (void)state;
  scene s;
  scene_new(&s, 300, 300);
  paint_disc(&s, 0, 150, 100, 0, red);
  bc_reading *r = read_scene(&s);
  int gaps = 0;
  for (size_t i = 0; i < r->rim_count; i++) {
    assert_true((double)r->rim[i].x * 300 > 1);
    gaps += r->rim[i].after_gap;
  }
  assert_int_equal(gaps, 1);
  assert_int_equal(r->notes.count, 1);
  assert_non_null(strstr(r->notes.text[0], "edge"));
  bc_reading_free(r);

  s.cutout.source = BC_CUTOUT_ALPHA; /* a finished cut-out does end there */
  r = read_scene(&s);
  int on_edge = 0;
  for (size_t i = 0; i < r->rim_count; i++) on_edge += (double)r->rim[i].x * 300 < 0.75;
  assert_near((double)on_edge / (double)r->rim_count, 2 / (2 + PI), 0.02);
  bc_reading_free(r);
  scene_free(&s);
}

static void test_whole_picture(void **state) {
  (void)state;
  scene s;
  scene_new(&s, 60, 40);
  for (int y = 0; y < 40; y++)
    for (int x = 0; x < 60; x++) paint(&s, x, y, x < 30 ? red : blue, 1);
  s.cutout.source = BC_CUTOUT_ALPHA;
  bc_reading *r = read_scene(&s);
  assert_near(r->area_share, 1, 1e-9);
  assert_near(r->outline_length, 200 / sqrt(2400), 0.06);
  assert_near(r->mean.lab.L, 37.5, 1e-3);
  assert_near(r->lightness_p05, 30, 0.05);
  assert_near(r->lightness_p95, 45, 0.05);
  bc_reading_free(r);
  scene_free(&s);
}

static void test_thin_piece_still_has_a_rim(void **state) {
  (void)state;
  scene s;
  scene_new(&s, 400, 100);
  for (int x = 20; x < 380; x++)
    for (int y = 50; y < 52; y++) paint(&s, x, y, red, 1);
  bc_reading *r = read_scene(&s);
  assert_true(r->rim_count > 400);
  for (size_t i = 0; i < r->rim_count; i++) assert_near(r->rim[i].L, 45, 0.1);
  assert_int_equal(r->notes.count, 1);
  bc_reading_free(r);
  scene_free(&s);
}

static void test_empty_mask_is_refused(void **state) {
  (void)state;
  scene s;
  scene_new(&s, 20, 20);
  bc_reading *r = NULL;
  assert_int_equal(bc_reading_of(&r, s.context, &s.image, &s.cutout, "empty.png"), BC_BAD_DATA);
  assert_null(r);
  assert_non_null(strstr(bc_context_message(s.context), "empty.png"));
  scene_free(&s);
}

/* Mean of the light: half black, half white is far lighter than L* 50 (CIE 15: Y 0.5 gives L* 76.07). */
static void test_mixed_light(void **state) {
  (void)state;
  scene s;
  scene_new(&s, 40, 40);
  for (int y = 0; y < 40; y++)
    for (int x = 0; x < 40; x++) paint(&s, x, y, (bc_lab){x % 2 ? 100 : 0, 0, 0}, 1);
  s.cutout.source = BC_CUTOUT_ALPHA;
  bc_reading *r = read_scene(&s);
  assert_near(r->mean.lab.L, 50, 1e-3);
  assert_near(r->mean.luminance, 0.5, 1e-3);
  assert_near(r->mixed.L, 76.07, 0.01);
  bc_reading_free(r);
  scene_free(&s);
}

static void test_title_and_json(void **state) {
  (void)state;
  char *title = bc_path_title("photos/rope-basket_2.jpg");
  assert_string_equal(title, "rope basket 2");
  free(title);
  title = bc_path_title("/tmp/\xff.png");
  assert_string_equal(title, "\xEF\xBF\xBD");
  free(title);
  scene s;
  scene_new(&s, 100, 100);
  paint_disc(&s, 50, 50, 30, 0, red);
  bc_reading *r = read_scene(&s);
  char *json = NULL;
  assert_int_equal(bc_reading_to_json(&json, s.context, r), BC_OK);
  assert_ptr_equal(strstr(json, "{\"photo\":\"photos/red-disc_1.jpg\",\"pixels\":[400,400],\"profile\":"), json);
  assert_non_null(strstr(json, "\"piece\":{\"box\":[80,80,240,240],\"area_share\":0.28"));
  assert_null(strchr(json, '\n'));
  free(json);
  bc_reading_free(r);
  scene_free(&s);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_disc),
      cmocka_unit_test(test_places_are_evenly_spaced),
      cmocka_unit_test(test_band_reads_the_rim_only),
      cmocka_unit_test(test_band_is_no_wider_than_said),
      cmocka_unit_test(test_old_background_is_kept_out),
      cmocka_unit_test(test_photo_edge_is_no_outline),
      cmocka_unit_test(test_whole_picture),
      cmocka_unit_test(test_thin_piece_still_has_a_rim),
      cmocka_unit_test(test_empty_mask_is_refused),
      cmocka_unit_test(test_mixed_light),
      cmocka_unit_test(test_title_and_json),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
