/* SPDX-License-Identifier: MIT */
/* The cut-out on made scenes whose true mask is known: automatic, box, strokes, holes, thin parts,
 * several pieces, the seam for another first guess, the written PNG, odd sizes. */
#include <backcloth/cutout.h>

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

#include "support/context.h"

enum { WIDTH = 400, HEIGHT = 300 };

typedef double shape(int x, int y); /* true alpha 0..1 of a pixel */

/* ---- scenes ---- */

static double edge(double inside_by) {
  return inside_by > 0.5 ? 1 : inside_by < -0.5 ? 0 : inside_by + 0.5;
}

static double disc(int x, int y) {
  return edge(90 - hypot(x - 210.0, y - 140.0));
}

static double ring(int x, int y) {
  const double radius = hypot(x - 200.0, y - 150.0);
  return fmin(edge(100 - radius), edge(radius - 55));
}

static const double middle[4][2] = {{110, 90}, {290, 80}, {115, 215}, {285, 220}};

static double four(int x, int y) {
  double most = 0;
  for (int i = 0; i < 4; i++) most = fmax(most, edge(45 - hypot(x - middle[i][0], y - middle[i][1])));
  return most;
}

static double mug(int x, int y) { /* a body with a thin handle */
  const double body = fmin(edge(70 - fabs(x - 180.0)), edge(80 - fabs(y - 150.0)));
  const double radius = hypot(x - 250.0, y - 150.0);
  return fmax(body, fmin(edge(50 - radius), edge(radius - 41)));
}

static double grain(uint32_t *noise) {
  *noise = *noise * 1664525u + 1013904223u;
  return (double)(*noise >> 16) / 65536.0 - 0.5;
}

static bc_image *empty_image(int width, int height) {
  bc_image *image = calloc(1, sizeof *image);
  assert_non_null(image);
  image->width = image->full_width = width;
  image->height = image->full_height = height;
  float **planes[4] = {&image->L, &image->a, &image->b, &image->Y};
  for (int p = 0; p < 4; p++) assert_non_null(*planes[p] = calloc((size_t)width * (size_t)height, sizeof(float)));
  return image;
}

static void free_scene(bc_image *image) {
  free(image->L);
  free(image->a);
  free(image->b);
  free(image->Y);
  free(image);
}

/* A red-brown piece on an unevenly lit grey-green cloth, with grain. */
static bc_image *scene(shape *alpha) {
  static const double piece[3] = {0.30, 0.05, 0.06}, cloth[3] = {0.42, 0.45, 0.40};
  bc_image *image = empty_image(WIDTH, HEIGHT);
  uint32_t noise = 7;
  for (int y = 0; y < HEIGHT; y++)
    for (int x = 0; x < WIDTH; x++) {
      const double share = alpha(x, y), light = 1 + 0.25 * ((double)x / WIDTH - 0.5) + 0.1 * grain(&noise);
      double rgb[3];
      for (int c = 0; c < 3; c++) rgb[c] = light * (share * piece[c] + (1 - share) * cloth[c]);
      const bc_colour colour = bc_colour_from_linear_srgb(rgb);
      const int i = y * WIDTH + x;
      image->L[i] = (float)colour.lab.L;
      image->a[i] = (float)colour.lab.a;
      image->b[i] = (float)colour.lab.b;
      image->Y[i] = (float)colour.luminance;
    }
  return image;
}

static double overlap(const bc_cutout *cutout, shape *alpha) {
  int both = 0, either = 0;
  for (int y = 0; y < HEIGHT; y++)
    for (int x = 0; x < WIDTH; x++) {
      const int first = cutout->alpha[y * WIDTH + x] >= 128, second = alpha(x, y) >= 0.5;
      both += first & second;
      either += first | second;
    }
  return (double)both / either;
}

static double found_overlap(shape *alpha, bool by_network) {
  bc_cutout_options options = bc_cutout_options_default();
  options.without_network = !by_network;
  bc_image *image = scene(alpha);
  bc_cutout *cutout = NULL;
  assert_int_equal(bc_cutout_find(&cutout, context, image, &options), BC_OK);
  const double share = overlap(cutout, alpha);
  bc_cutout_free(cutout);
  free_scene(image);
  return share;
}

/* ---- finding ---- */

static void finds_disc_hole_and_handle(void **state) {
  (void)state;
  assert_true(found_overlap(disc, false) > 0.98);
  assert_true(found_overlap(disc, true) > 0.98);  /* the network sees nothing on so bare a picture */
  assert_true(found_overlap(ring, false) > 0.96); /* with it, a flat ring without any shade counts as a dish */
  assert_true(found_overlap(mug, false) > 0.96);
  assert_true(found_overlap(mug, true) > 0.96);
}

static void box_confines(void **state) {
  (void)state;
  bc_image *image = scene(four);
  bc_cutout_options options = bc_cutout_options_default();
  options.has_box = true;
  options.box = (bc_box){60, 40, 100, 100};
  bc_cutout *cutout = NULL;
  assert_int_equal(bc_cutout_find(&cutout, context, image, &options), BC_OK);
  assert_int_equal(cutout->source, BC_CUTOUT_GUIDED);
  assert_in_range(cutout->box.x, 60, 70);
  assert_in_range(cutout->box.y, 40, 50);
  assert_in_range(cutout->box.width, 86, 96);
  assert_in_range(cutout->box.height, 86, 96);
  bc_cutout_free(cutout);
  free_scene(image);
}

static void same_answer_twice(void **state) {
  (void)state;
  bc_image *image = scene(mug);
  bc_cutout *first = NULL, *second = NULL;
  assert_int_equal(bc_cutout_find(&first, context, image, NULL), BC_OK);
  assert_int_equal(bc_cutout_find(&second, context, image, NULL), BC_OK);
  assert_memory_equal(first->alpha, second->alpha, (size_t)WIDTH * HEIGHT);
  bc_cutout_free(first);
  bc_cutout_free(second);
  free_scene(image);
}

static void nothing_to_see_is_not_sure(void **state) {
  (void)state;
  bc_image *image = empty_image(WIDTH, HEIGHT);
  for (int i = 0; i < WIDTH * HEIGHT; i++) image->L[i] = 50;
  bc_cutout *cutout = NULL;
  const bc_status status = bc_cutout_find(&cutout, context, image, NULL);
  if (status == BC_OK) {
    assert_true(cutout->confidence < BC_CUTOUT_SURE);
    assert_true(cutout->notes.count > 0);
  } else {
    assert_int_equal(status, BC_BAD_DATA);
  }
  bc_cutout_free(cutout);
  free_scene(image);
}

static void splits_in_reading_order(void **state) {
  (void)state;
  bc_image *image = scene(four);
  bc_cutout **list = NULL;
  size_t count = 0;
  assert_int_equal(bc_cutout_split(&list, &count, context, image, NULL), BC_OK);
  assert_int_equal(count, 4);
  for (size_t i = 0; i < count; i++) {
    assert_true(fabs(list[i]->box.x + list[i]->box.width / 2.0 - middle[i][0]) < 4);
    assert_true(fabs(list[i]->box.y + list[i]->box.height / 2.0 - middle[i][1]) < 4);
  }
  for (int i = 0; i < WIDTH * HEIGHT; i++) { /* no pixel belongs to two pieces */
    int owners = 0;
    for (size_t k = 0; k < count; k++) owners += list[k]->alpha[i] > 0;
    assert_true(owners <= 1);
  }
  bc_cutout_free_list(list, count);
  free_scene(image);
}

/* ---- strokes ---- */

static int alpha_after(bc_cutout_session *session, int x, int y) {
  bc_cutout *cutout = NULL;
  assert_int_equal(bc_cutout_session_find(&cutout, session, context), BC_OK);
  assert_int_equal(cutout->source, BC_CUTOUT_GUIDED);
  const int alpha = cutout->alpha[y * WIDTH + x];
  bc_cutout_free(cutout);
  return alpha;
}

static void the_later_stroke_wins(void **state) {
  (void)state;
  bc_image *image = scene(four);
  bc_cutout_session *session = NULL;
  assert_int_equal(bc_cutout_session_new(&session, context, image, NULL), BC_OK);
  const bc_point_px line[2] = {{90, 90}, {130, 90}};
  assert_int_equal(bc_cutout_session_add(session, context, false, line, 2), BC_OK);
  assert_true(alpha_after(session, 110, 90) < 128);
  assert_true(alpha_after(session, 290, 80) >= 128);
  assert_int_equal(bc_cutout_session_add(session, context, true, line, 2), BC_OK);
  assert_true(alpha_after(session, 110, 90) >= 128);
  bc_cutout_session_free(session);
  free_scene(image);
}

static void points_in_options_are_obeyed(void **state) {
  (void)state;
  const bc_point_px drop[1] = {{210, 140}}, keep[1] = {{20, 20}};
  bc_cutout_options options = bc_cutout_options_default();
  options.drop = drop;
  options.drop_count = 1;
  options.keep = keep;
  options.keep_count = 1;
  bc_image *image = scene(disc);
  bc_cutout *cutout = NULL;
  assert_int_equal(bc_cutout_find(&cutout, context, image, &options), BC_OK);
  assert_true(cutout->alpha[140 * WIDTH + 210] < 128);
  assert_true(cutout->alpha[20 * WIDTH + 20] >= 128);
  bc_cutout_free(cutout);
  free_scene(image);
}

static void points_outside_change_nothing(void **state) {
  (void)state;
  bc_image *image = scene(disc);
  bc_cutout_session *session = NULL;
  bc_cutout *before = NULL, *after = NULL;
  assert_int_equal(bc_cutout_session_new(&session, context, image, NULL), BC_OK);
  assert_int_equal(bc_cutout_session_find(&before, session, context), BC_OK);
  const bc_point_px outside[1] = {{WIDTH, 3}};
  assert_int_equal(bc_cutout_session_add(session, context, false, outside, 1), BC_BAD_DATA);
  assert_non_null(strstr(bc_context_message(context), "400,3"));
  assert_int_equal(bc_cutout_session_find(&after, session, context), BC_OK);
  assert_memory_equal(before->alpha, after->alpha, (size_t)WIDTH * HEIGHT);
  bc_cutout_free(before);
  bc_cutout_free(after);
  bc_cutout_session_free(session);
  free_scene(image);
}

/* ---- the seam for another first guess ---- */

static bool guess(void *data, const bc_image *image, int width, int height, float *probability) {
  *(int *)data += 1;
  assert_int_equal(image->width, WIDTH);
  for (int i = 0; i < width * height; i++) probability[i] = i % width < width / 2 ? 0.95f : NAN;
  return true;
}

static void first_guess_is_asked(void **state) {
  (void)state;
  int calls = 0;
  bc_cutout_options options = bc_cutout_options_default();
  options.first_guess = guess;
  options.first_guess_data = &calls;
  bc_image *image = scene(four);
  bc_cutout *cutout = NULL;
  assert_int_equal(bc_cutout_find(&cutout, context, image, &options), BC_OK);
  assert_int_equal(calls, 1);
  bc_cutout_free(cutout);
  free_scene(image);
}

/* ---- files, refusals, sizes ---- */

static void boxes_outside_are_refused(void **state) {
  (void)state;
  const bc_box wrong[] = {
      {-1, 0, 10, 10}, {0, 0, WIDTH + 1, 10}, {10, 10, 0, 5}, {0x7fffffff, 0, 5, 5}, {1, 1, 0x7fffffff, 1}};
  bc_image *image = scene(disc);
  for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
    bc_cutout_options options = bc_cutout_options_default();
    options.has_box = true;
    options.box = wrong[i];
    bc_cutout *cutout = NULL;
    assert_int_equal(bc_cutout_find(&cutout, context, image, &options), BC_BAD_DATA);
    assert_null(cutout);
  }
  free_scene(image);
}

static void mask_has_the_photos_full_size(void **state) {
  (void)state;
  char folder[] = "/tmp/backcloth-test-XXXXXX", path[64];
  assert_non_null(mkdtemp(folder));
  snprintf(path, sizeof path, "%s/mask.png", folder);
  bc_image *image = scene(disc);
  bc_cutout *cutout = NULL, *again = NULL;
  assert_int_equal(bc_cutout_find(&cutout, context, image, NULL), BC_OK);
  image->full_width = 3 * WIDTH;
  image->full_height = 3 * HEIGHT;
  assert_int_equal(bc_cutout_write_png(cutout, context, image, path), BC_OK);
  bc_photo *photo = NULL;
  assert_int_equal(bc_photo_open(&photo, context, path, NULL), BC_OK);
  assert_int_equal(bc_photo_raster(photo).width, 3 * WIDTH);
  assert_int_equal(bc_photo_raster(photo).model, BC_PHOTO_GREY);
  bc_photo_free(photo);
  assert_int_equal(bc_cutout_from_mask(&again, context, image, path), BC_OK);
  assert_true(overlap(again, disc) > 0.98);
  bc_cutout_free(again);
  image->full_height = 2 * HEIGHT; /* other proportions */
  assert_int_equal(bc_cutout_from_mask(&again, context, image, path), BC_BAD_DATA);
  assert_null(again);
  assert_int_equal(bc_cutout_write_png(cutout, context, image, "/nowhere/mask.png"), BC_CANNOT_WRITE);
  unlink(path);
  rmdir(folder);
  bc_cutout_free(cutout);
  free_scene(image);
}

static void any_size_is_survived(void **state) {
  (void)state;
  static const int sizes[][2] = {{1, 1}, {2, 1}, {1, 9}, {3, 3}, {7, 5}, {1024, 1}, {1, 700}, {33, 900}};
  for (size_t s = 0; s < sizeof sizes / sizeof sizes[0]; s++) {
    bc_image *image = empty_image(sizes[s][0], sizes[s][1]);
    for (int i = 0; i < sizes[s][0] * sizes[s][1]; i++) image->L[i] = (float)(i * 37 % 101);
    bc_cutout *cutout = NULL;
    const bc_status status = bc_cutout_find(&cutout, context, image, NULL);
    assert_true(status == BC_OK || status == BC_BAD_DATA);
    if (status == BC_OK) assert_int_equal(bc_cutout_clean_edge(cutout, context, image), BC_OK);
    bc_cutout_free(cutout);
    free_scene(image);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(finds_disc_hole_and_handle),
      cmocka_unit_test(box_confines),
      cmocka_unit_test(same_answer_twice),
      cmocka_unit_test(nothing_to_see_is_not_sure),
      cmocka_unit_test(splits_in_reading_order),
      cmocka_unit_test(the_later_stroke_wins),
      cmocka_unit_test(points_in_options_are_obeyed),
      cmocka_unit_test(points_outside_change_nothing),
      cmocka_unit_test(first_guess_is_asked),
      cmocka_unit_test(boxes_outside_are_refused),
      cmocka_unit_test(mask_has_the_photos_full_size),
      cmocka_unit_test(any_size_is_survived),
  };
  return cmocka_run_group_tests_name("scenes", tests, set_up, tear_down);
}
