/* SPDX-License-Identifier: MIT */
/* What the solver need not grow trees for: nodes that their pull decides alone, and flow that goes the shortest way.
 * Source of the waves: Goldberg and Tarjan, "A new approach to the maximum-flow problem", JACM 35(4), 1988. */
#include "flow_inside.h"

enum { FREE = CUTOUT_NO_TREE, PIECE = CUTOUT_PIECE_TREE, BACKGROUND = CUTOUT_BACKGROUND_TREE };
enum { few = 32 }; /* one node of so many is left to the trees; our choice, measured */
typedef cutout_node node;

/* ---- what needs no trees ---- */

/* A node that is pulled harder than all its borders together could hold is on that side in every minimum cut. It
 * leaves the graph, and its borders become pulls of its neighbours, which may settle in turn. The trees find the least
 * piece of all minimum cuts, so an equal pull settles a node to the background and not to the piece.
 * `stamp` holds the sum of a node's borders meanwhile. */
static void settle(cutout_flow *flow, node *here, bool piece) {
  here->tree = piece ? PIECE : BACKGROUND;
  here->parent = CUTOUT_PARENT_NONE;
  here->terminal = 0;
  for (int d = 0; d < CUTOUT_DIRECTIONS; d++) {
    const int32_t border = here->capacity[d];
    if (border == 0) continue;
    node *other = cutout_next_to(here, d);
    other->terminal += piece ? border : -border;
    other->stamp -= (uint32_t)border;
    here->capacity[d] = other->capacity[d ^ 1] = 0;
    cutout_activate(flow, other);
  }
}

static void settle_if_clear(cutout_flow *flow, node *here) {
  if (here->tree != FREE) return;
  if (here->terminal > (int32_t)here->stamp)
    settle(flow, here, true);
  else if (-here->terminal >= (int32_t)here->stamp)
    settle(flow, here, false);
}

void cutout_flow_settle(cutout_flow *flow) {
  flow->active_first = flow->active_count = 0;
  for (size_t i = 0; i < flow->count; i++) {
    settle_if_clear(flow, flow->nodes + i);
    while (flow->active_count > 0) settle_if_clear(flow, cutout_next_active(flow));
  }
}

/* ---- what short ways can carry ---- */

/* How far every node is from the nearest that is pulled to the background; returns how many can reach one, and leaves
 * them in `active`, the nearest first. */
static size_t order_by_distance(cutout_flow *flow) {
  uint32_t *order = flow->active;
  size_t count = 0;
  for (size_t i = 0; i < flow->count; i++) {
    node *at = flow->nodes + i;
    const bool start = at->terminal < 0 && at->tree == FREE;
    at->distance = start ? 0 : CUTOUT_NEVER;
    if (start) order[count++] = (uint32_t)i;
  }
  for (size_t next = 0; next < count; next++) {
    node *here = flow->nodes + order[next];
    for (int d = 0; d < CUTOUT_DIRECTIONS; d++) {
      node *there = cutout_next_to(here, d);
      if (there->capacity[d ^ 1] == 0 || there->distance != CUTOUT_NEVER) continue; /* in this order: halves.c */
      there->distance = cutout_one_more(here->distance);
      order[count++] = (uint32_t)(there - flow->nodes);
    }
  }
  return count;
}

/* Hands what pulls to the piece on to neighbours that are nearer to the background. */
static void hand_on(node *here) {
  for (int d = 0; d < CUTOUT_DIRECTIONS && here->terminal > 0; d++) {
    node *there = cutout_next_to(here, d);
    if (here->capacity[d] == 0 || there->distance >= here->distance) continue;
    const int32_t amount = cutout_smaller(here->terminal, here->capacity[d]);
    here->capacity[d] = (int16_t)(here->capacity[d] - amount);
    there->capacity[d ^ 1] = (int16_t)(there->capacity[d ^ 1] + amount);
    here->terminal -= amount;
    there->terminal += amount;
  }
}

/* Flow that goes the shortest way from the piece's pulls to the background's, all nodes at once, the farthest first.
 * What a border has carried is a pull on its other side: any such step leaves the cheapest cuts what they are, and
 * the trees have less to carry along longer ways. */
bool cutout_flow_wave(cutout_flow *flow) {
  const size_t reached = order_by_distance(flow);
  size_t left = 0;
  for (size_t i = reached; i-- > 0;) {
    node *here = flow->nodes + flow->active[i];
    if (here->terminal <= 0) continue;
    hand_on(here);
    left += here->terminal > 0;
  }
  return left > reached / few;
}
