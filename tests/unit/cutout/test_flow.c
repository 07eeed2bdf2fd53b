/* SPDX-License-Identifier: MIT */
/* The minimum cut against all cuts: on small random graphs every assignment of nodes is priced, by the definition of
 * a cut's cost, and the answer must be the least piece among the cheapest. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "cutout/cutout_internal.h"
#include "support/context.h"

enum { WIDTH = 4, HEIGHT = 3, NODES = WIDTH * HEIGHT, GRAPHS = 3000 };

typedef struct graph {
  int32_t pull[NODES], border[NODES][CUTOUT_DIRECTIONS];
} graph;

static int neighbour_of(int node, int direction) {
  const int x = node % WIDTH + cutout_step_x[direction], y = node / WIDTH + cutout_step_y[direction];
  return x < 0 || y < 0 || x >= WIDTH || y >= HEIGHT ? -1 : y * WIDTH + x;
}

/* `calm`: how strong borders are beside pulls; ties are wanted, so figures are small. */
static void make(graph *g, int calm) {
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
    if (g->pull[i] > 0 && !here) cost += g->pull[i];
    if (g->pull[i] < 0 && here) cost -= g->pull[i];
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
    const int32_t cost = cost_of(g, pieces);
    common = cost < best ? pieces : cost == best ? common & pieces : common;
    if (cost < best) best = cost;
  }
  return common;
}

static void fill(cutout_flow *flow, const graph *g) {
  for (int i = 0; i < NODES; i++) {
    cutout_flow_terminals(flow)[i] = g->pull[i];
    for (int d = 0; d < CUTOUT_DIRECTIONS; d++) {
      cutout_flow_nodes(flow)[i].neighbour[d] = neighbour_of(i, d);
      cutout_flow_nodes(flow)[i].capacity[d] = neighbour_of(i, d) < 0 ? 0 : g->border[i][d];
    }
  }
}

static void the_cut_is_the_least_of_the_cheapest(void **state) {
  (void)state;
  cutout_flow *flow = NULL;
  assert_int_equal(cutout_flow_new(&flow, context, NODES), BC_OK);
  srand(11);
  size_t pieces = 0;
  for (int round = 0; round < GRAPHS; round++) {
    graph g;
    uint8_t piece[NODES];
    make(&g, 1 + round % 9);
    fill(flow, &g);
    cutout_flow_solve(flow, piece);
    unsigned found = 0;
    for (int i = 0; i < NODES; i++) found |= (unsigned)piece[i] << i;
    pieces += found != 0 && found != (1u << NODES) - 1;
    if (found != least_piece(&g))
      fail_msg("graph %d: %03x (cost %d) instead of %03x (cost %d)", round, found, cost_of(&g, found), least_piece(&g),
               cost_of(&g, least_piece(&g)));
  }
  assert_true(pieces > GRAPHS / 2); /* most have both sides */
  cutout_flow_free(flow);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(the_cut_is_the_least_of_the_cheapest)};
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
