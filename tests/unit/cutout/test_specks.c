/* SPDX-License-Identifier: MIT */
/* Specks far from the piece are dropped; a second piece, a link beside its chain and what the user marked stay. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "cutout/pixels.h"

enum { WIDTH = 800, HEIGHT = 600, CELL = 4 };

typedef struct case_of_specks {
  bc_context *context;
  cutout_scene scene;
  bc_image image;
  uint8_t *piece;
} case_of_specks;

static void paint(case_of_specks *c, int x, int y, int width, int height) {
  for (int row = y; row < y + height; row++) memset(c->piece + row * WIDTH + x, 1, (size_t)width);
}

static bool is_piece(const case_of_specks *c, int x, int y) {
  return c->piece[y * WIDTH + x] != 0;
}

static int set_up(void **state) {
  case_of_specks *c = calloc(1, sizeof *c);
  if (!c || bc_context_new(&c->context) != BC_OK) return -1;
  c->image = (bc_image){.width = WIDTH, .height = HEIGHT, .full_width = WIDTH, .full_height = HEIGHT};
  c->scene.grid = (cutout_grid){.width = WIDTH / CELL, .height = HEIGHT / CELL};
  c->scene.grid.count = (size_t)c->scene.grid.width * (size_t)c->scene.grid.height;
  c->piece = calloc(WIDTH * HEIGHT, 1);
  c->scene.marked = calloc(c->scene.grid.count, 1);
  *state = c;
  if (!c->piece || !c->scene.marked) return -1;
  paint(c, 200, 200, 200, 200); /* the piece */
  paint(c, 700, 100, 3, 3);     /* a speck */
  return 0;
}

static int tear_down(void **state) {
  case_of_specks *c = *state;
  free(c->piece);
  free(c->scene.marked);
  bc_context_free(c->context);
  free(c);
  return 0;
}

static void test_speck_is_dropped(void **state) {
  case_of_specks *c = *state;
  assert_int_equal(cutout_specks_drop(c->piece, c->context, &c->image, &c->scene, NULL), BC_OK);
  assert_false(is_piece(c, 701, 101));
  assert_true(is_piece(c, 200, 200) && is_piece(c, 399, 399));
}

static void test_second_piece_stays(void **state) {
  case_of_specks *c = *state;
  paint(c, 600, 400, 10, 10);
  assert_int_equal(cutout_specks_drop(c->piece, c->context, &c->image, &c->scene, NULL), BC_OK);
  assert_true(is_piece(c, 605, 405));
}

static void test_link_beside_its_chain_stays(void **state) {
  case_of_specks *c = *state;
  for (int x = 404; x < 480; x += 6) paint(c, x, 300, 3, 2); /* no link is a fifth of what counts as a speck */
  assert_int_equal(cutout_specks_drop(c->piece, c->context, &c->image, &c->scene, NULL), BC_OK);
  assert_true(is_piece(c, 405, 300) && is_piece(c, 476, 300));
}

static void test_marked_speck_stays(void **state) {
  case_of_specks *c = *state;
  c->scene.marked[100 / CELL * c->scene.grid.width + 700 / CELL] = 1;
  assert_int_equal(cutout_specks_drop(c->piece, c->context, &c->image, &c->scene, NULL), BC_OK);
  paint(c, 600, 400, 10, 10);
  assert_int_equal(cutout_specks_drop(c->piece, c->context, &c->image, &c->scene, NULL), BC_OK);
  assert_true(is_piece(c, 701, 101));
  assert_true(is_piece(c, 605, 405)); /* what is marked makes nothing else a speck */
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(test_speck_is_dropped, set_up, tear_down),
      cmocka_unit_test_setup_teardown(test_second_piece_stays, set_up, tear_down),
      cmocka_unit_test_setup_teardown(test_link_beside_its_chain_stays, set_up, tear_down),
      cmocka_unit_test_setup_teardown(test_marked_speck_stays, set_up, tear_down),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
