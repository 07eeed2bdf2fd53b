/* SPDX-License-Identifier: MIT */
/* What the files of the solver share: flow.c, short_ways.c, halves.c. */
#ifndef BC_CUTOUT_FLOW_INSIDE_H
#define BC_CUTOUT_FLOW_INSIDE_H

#include "flow.h"

enum { CUTOUT_PARENT_TERMINAL = CUTOUT_DIRECTIONS, CUTOUT_PARENT_ORPHAN, CUTOUT_PARENT_NONE };
/* Longer ways count as the farthest: distances only guide. */
enum { CUTOUT_FARTHEST = UINT16_MAX - 1, CUTOUT_NEVER = UINT16_MAX };

struct cutout_flow {
  size_t count, room;
  cutout_node *nodes;
  uint32_t *active; /* ring of nodes that may still grow; each at most once, so `count` slots are enough */
  size_t active_first, active_count;
  uint32_t *orphans; /* ring likewise */
  size_t orphan_first, orphan_count;
  uint32_t time;
};

/* The neighbour in a direction. */
static inline cutout_node *cutout_next_to(cutout_node *at, int direction) {
  static const int column[CUTOUT_DIRECTIONS] = {1, -1, 0, 0, 1, -1, 1, -1};
  static const int below[CUTOUT_DIRECTIONS] = {0, 0, -1, 0, -1, 0, 0, -1}, /* masks */
      above[CUTOUT_DIRECTIONS] = {0, 0, 0, -1, 0, -1, -1, 0};
  return at + column[direction] + (at->down & below[direction]) - (at->up & above[direction]);
}

/* ---- the rings ---- */

static inline size_t cutout_ring_slot(const cutout_flow *flow, size_t first, size_t offset) {
  const size_t slot = first + offset;
  return slot < flow->count ? slot : slot - flow->count;
}

static inline void cutout_activate(cutout_flow *flow, cutout_node *at) {
  if (at->queued) return;
  at->queued = 1;
  flow->active[cutout_ring_slot(flow, flow->active_first, flow->active_count++)] = (uint32_t)(at - flow->nodes);
}

static inline cutout_node *cutout_next_active(cutout_flow *flow) {
  cutout_node *at = flow->nodes + flow->active[flow->active_first];
  flow->active_first = cutout_ring_slot(flow, flow->active_first, 1);
  flow->active_count--;
  at->queued = 0;
  return at;
}

static inline int32_t cutout_smaller(int32_t first, int32_t second) {
  return first < second ? first : second;
}

static inline uint16_t cutout_one_more(unsigned distance) {
  return (uint16_t)(distance < CUTOUT_FARTHEST ? distance + 1 : CUTOUT_FARTHEST);
}

/* ---- short_ways.c ---- */
/* Takes nodes out of the graph that their pull decides alone. */
void cutout_flow_settle(cutout_flow *flow);
/* What short ways can carry goes first, and leaves the trees less to do: the fewer pulls are left, the shorter they
 * grow, and a photo in which little tells the piece from its ground has many. True while another wave is worth it. */
bool cutout_flow_wave(cutout_flow *flow);

/* ---- flow.c ---- */
/* Solves a graph that is settled. */
void cutout_flow_solve_alone(cutout_flow *flow);
/* Goes on from the trees that stand, from the active nodes. */
void cutout_flow_grow(cutout_flow *flow);

#endif
