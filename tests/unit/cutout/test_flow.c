/* SPDX-License-Identifier: MIT */
/* The minimum cut against all cuts: on small random rasters, of which a part is decided, every assignment of the rest
 * is priced, by the definition of a cut's cost, and the answer must be the least piece among the cheapest. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/parallel.h"
#include "cutout/flow.h"
#include "support/context.h"
#include <backcloth/program.h>

enum { WIDTH = 4, HEIGHT = 3, NODES = WIDTH * HEIGHT, GRAPHS = 3000 };

typedef struct graph {
  int32_t pull[NODES], border[NODES][CUTOUT_DIRECTIONS];
  uint8_t state[NODES];
  unsigned open, piece; /* the undecided places, and what is decided to be piece */
} graph;

static int neighbour_of(int node, int direction) {
  const int x = node % WIDTH + cutout_step_x[direction], y = node / WIDTH + cutout_step_y[direction];
  return x < 0 || y < 0 || x >= WIDTH || y >= HEIGHT ? -1 : y * WIDTH + x;
}

/* `calm`: how strong borders are beside pulls; ties are wanted, so figures are small. */
static void make(graph *g, int calm) {
  g->open = g->piece = 0;
  for (int i = 0; i < NODES; i++) {
    const bool open = calm % 3 == 0 || rand() % 4 > 0;
    g->state[i] = (uint8_t)(rand() % 2 | (open ? CUTOUT_UNDECIDED : 0));
    g->open |= (unsigned)open << i;
    g->piece |= (unsigned)(!open && g->state[i]) << i;
  }
  for (int i = 0; i < NODES; i++) g->pull[i] = rand() % 15 - 7;
  for (int i = 0; i < NODES; i++)
    for (int d = 0; d < CUTOUT_DIRECTIONS; d += 2) {
      const int other = neighbour_of(i, d);
      g->border[i][d] = rand() % calm;
      if (other >= 0) g->border[other][d + 1] = g->border[i][d];
    }
}

static int32_t cost_of(const graph *g, unsigned pieces) {
  int32_t cost = 0;
  for (int i = 0; i < NODES; i++) {
    const unsigned here = pieces >> i & 1;
    if (g->open >> i & 1 && g->pull[i] > 0 && !here) cost += g->pull[i];
    if (g->open >> i & 1 && g->pull[i] < 0 && here) cost -= g->pull[i];
    for (int d = 0; d < CUTOUT_DIRECTIONS; d += 2) {
      const int other = neighbour_of(i, d);
      if (other >= 0 && (pieces >> other & 1) != here) cost += g->border[i][d];
    }
  }
  return cost;
}

/* What all cheapest cuts have in their piece: it is itself a cheapest cut. */
static unsigned least_piece(const graph *g) {
  int32_t best = INT32_MAX;
  unsigned common = 0;
  for (unsigned pieces = 0; pieces < 1u << NODES; pieces++) {
    if ((pieces & ~g->open) != g->piece) continue;
    const int32_t cost = cost_of(g, pieces);
    common = cost < best ? pieces : cost == best ? common & pieces : common;
    if (cost < best) best = cost;
  }
  return common;
}

static void give_borders(const void *cargo, int y, int left, int right, int16_t *const border[4]) {
  static const int directions[4] = {0, 2, 4, 7};
  const graph *g = cargo;
  for (int k = 0; k < 4; k++)
    for (int x = left; x < right; x++) {
      const int i = y * WIDTH + x;
      border[k][x] = neighbour_of(i, directions[k]) < 0 ? 0 : (int16_t)g->border[i][directions[k]];
    }
}

static void give_pulls(const void *cargo, int y, int left, int right, int32_t *pull) {
  for (int x = left; x < right; x++) pull[x] = ((const graph *)cargo)->pull[y * WIDTH + x];
}

static void the_cut_is_the_least_of_the_cheapest(void **state) {
  (void)state;
  cutout_flow *flow = NULL;
  srand(11);
  size_t pieces = 0;
  for (int round = 0; round < GRAPHS; round++) {
    graph g;
    make(&g, 1 + round % 9);
    const unsigned wanted = least_piece(&g);
    const cutout_raster raster = {WIDTH, HEIGHT, g.state, &g, give_borders, give_pulls};
    assert_int_equal(cutout_raster_cut(&raster, context, &flow), BC_OK);
    unsigned found = 0;
    for (int i = 0; i < NODES; i++) found |= (unsigned)g.state[i] << i;
    pieces += (found & g.open) != 0 && (found & g.open) != g.open;
    if (found != wanted)
      fail_msg("graph %d: %03x (cost %d) instead of %03x (cost %d)", round, found, cost_of(&g, found), wanted,
               cost_of(&g, wanted));
  }
  assert_true(pieces > GRAPHS / 2); /* most have both sides */
  cutout_flow_free(flow);
}

static void no_borders(const void *cargo, int y, int left, int right, int16_t *const border[4]) {
  (void)cargo;
  (void)y;
  for (int k = 0; k < 4; k++) memset(border[k] + left, 0, (size_t)(right - left) * sizeof(int16_t));
}

static void pull_every_third(const void *cargo, int y, int left, int right, int32_t *pull) {
  (void)cargo;
  (void)y;
  for (int x = left; x < right; x++) pull[x] = x % 3 == 0 ? 1 : -1;
}

/* Places at the far right and left of a row are no neighbours; islands and rims do not touch each other. */
static void what_lies_apart_is_cut_apart(void **state) {
  (void)state;
  enum { ACROSS = 61, DOWN = 9 };
  uint8_t all[ACROSS * DOWN] = {0};
  cutout_flow *flow = NULL;
  for (int i = 0; i < ACROSS * DOWN; i++) all[i] = i % 2 ? CUTOUT_UNDECIDED : 0;
  const cutout_raster raster = {ACROSS, DOWN, all, all, no_borders, pull_every_third};
  assert_int_equal(cutout_raster_cut(&raster, context, &flow), BC_OK);
  for (int i = 0; i < ACROSS * DOWN; i++) assert_int_equal(all[i], i % 2 && i % ACROSS % 3 == 0);
  cutout_flow_free(flow);
}

/* A raster that is large enough to be cut in two halves at once. */
enum { ACROSS_LARGE = 160, DOWN_LARGE = 120, LARGE = ACROSS_LARGE * DOWN_LARGE };
typedef struct large {
  int32_t pull[LARGE];
  int16_t border[4][LARGE];
} large;

static void give_large_borders(const void *cargo, int y, int left, int right, int16_t *const border[4]) {
  const large *of = cargo;
  for (int k = 0; k < 4; k++)
    for (int x = left; x < right; x++) {
      const bool inside = (k == 0 || y + 1 < DOWN_LARGE) && (k % 2 || x + 1 < ACROSS_LARGE) && (k < 3 || x > 0);
      border[k][x] = inside ? of->border[k][y * ACROSS_LARGE + x] : 0;
    }
}

static void give_large_pulls(const void *cargo, int y, int left, int right, int32_t *pull) {
  for (int x = left; x < right; x++) pull[x] = ((const large *)cargo)->pull[y * ACROSS_LARGE + x];
}

static void halves_give_what_the_whole_gives(void **state) {
  (void)state;
  static large of;
  static uint8_t start[LARGE], answer[2][LARGE];
  cutout_flow *flow = NULL;
  srand(5);
  for (int round = 0; round < 12; round++) {
    size_t pieces = 0;
    for (int i = 0; i < LARGE; i++) {
      const int x = i % ACROSS_LARGE / 8, y = i / ACROSS_LARGE / 8;
      of.pull[i] = rand() % 400 - 200 + ((x * 7 + y * 13) % 5 - 2) * 60;
      for (int k = 0; k < 4; k++) of.border[k][i] = (int16_t)(rand() % (20 + 40 * round));
      start[i] = (uint8_t)(rand() % 2 | (rand() % 16 ? CUTOUT_UNDECIDED : 0));
    }
    for (int single = 0; single < 2; single++) {
      memcpy(answer[single], start, sizeof start);
      const cutout_raster raster = {ACROSS_LARGE, DOWN_LARGE,         answer[single],
                                    &of,          give_large_borders, give_large_pulls};
      bc_stay_single(single);
      assert_int_equal(cutout_raster_cut(&raster, context, &flow), BC_OK);
    }
    bc_stay_single(false);
    assert_memory_equal(answer[0], answer[1], LARGE);
    for (int i = 0; i < LARGE; i++) pieces += answer[0][i];
    assert_in_range(pieces, LARGE / 20, LARGE - LARGE / 20);
  }
  cutout_flow_free(flow);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(the_cut_is_the_least_of_the_cheapest),
                                     cmocka_unit_test(what_lies_apart_is_cut_apart),
                                     cmocka_unit_test(halves_give_what_the_whole_gives)};
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
