/* SPDX-License-Identifier: MIT */
/* Minimum cut by two search trees that are kept between augmentations. Source: Boykov and Kolmogorov,
 * "An experimental comparison of min-cut/max-flow algorithms for energy minimization in vision",
 * IEEE TPAMI 26(9), 2004: growth, augmentation, adoption, with the distance marks of its section 3; the waves before it
 * after Goldberg and Tarjan, "A new approach to the maximum-flow problem", JACM 35(4), 1988. */
#include "base/base.h"
#include "flow_inside.h"

#include <stdlib.h>

enum { FREE = CUTOUT_NO_TREE, PIECE = CUTOUT_PIECE_TREE, BACKGROUND = CUTOUT_BACKGROUND_TREE };
enum { most_waves = 32 }; /* before the trees, at least two; our choice, measured */

typedef cutout_node node;

bc_status cutout_flow_reserve(cutout_flow **to, bc_context *context, size_t count) {
  if (!*to) *to = bc_allocate(1, sizeof **to);
  cutout_flow *flow = *to;
  if (!flow) return bc_fail_memory(context);
  flow->count = count;
  if (count <= flow->room) return BC_OK;
  free(flow->nodes);
  free(flow->active);
  free(flow->orphans);
  flow->nodes = base_allocate_large(count, sizeof *flow->nodes);
  flow->active = base_allocate_large(count, sizeof *flow->active);
  flow->orphans = base_allocate_large(count, sizeof *flow->orphans);
  const bool ready = flow->nodes && flow->active && flow->orphans;
  flow->room = ready ? count : 0;
  return ready ? BC_OK : bc_fail_memory(context);
}

void cutout_flow_free(cutout_flow *flow) {
  if (!flow) return;
  free(flow->nodes);
  free(flow->active);
  free(flow->orphans);
  free(flow);
}

cutout_node *cutout_flow_nodes(cutout_flow *flow) {
  return flow->nodes;
}

static void make_orphan(cutout_flow *flow, node *at) {
  at->parent = CUTOUT_PARENT_ORPHAN;
  flow->orphans[cutout_ring_slot(flow, flow->orphan_first, flow->orphan_count++)] = (uint32_t)(at - flow->nodes);
}

static node *next_orphan(cutout_flow *flow) {
  node *at = flow->nodes + flow->orphans[flow->orphan_first];
  flow->orphan_first = cutout_ring_slot(flow, flow->orphan_first, 1);
  flow->orphan_count--;
  return at;
}

/* ---- residual arcs, seen from a tree: towards its leaves in the piece's, towards its root in the other ---- */

static inline int16_t arc_outward(const node *at, int direction, const node *other, unsigned tree) {
  return tree == PIECE ? at->capacity[direction] : other->capacity[direction ^ 1];
}

static inline int16_t arc_inward(const node *at, int direction, const node *other, unsigned tree) {
  return tree == PIECE ? other->capacity[direction ^ 1] : at->capacity[direction];
}

/* ---- growth ---- */

typedef struct meeting {
  node *piece_node, *background_node;
  int direction; /* of the arc from piece_node that joins the trees; -1: none */
} meeting;

static void adopt(node *child, const node *parent, int direction_to_parent) {
  child->tree = parent->tree;
  child->parent = (uint8_t)direction_to_parent;
  child->stamp = parent->stamp;
  child->distance = cutout_one_more(parent->distance);
}

static meeting grow(cutout_flow *flow, node *here) {
  for (int d = 0; d < CUTOUT_DIRECTIONS; d++) {
    node *there = cutout_next_to(here, d);
    if (arc_outward(here, d, there, here->tree) == 0) continue;
    if (there->tree == FREE) {
      adopt(there, here, d ^ 1);
      cutout_activate(flow, there);
    } else if (there->tree != here->tree) {
      return here->tree == PIECE ? (meeting){here, there, d} : (meeting){there, here, d ^ 1};
    } else if (there->stamp <= here->stamp && there->distance > cutout_one_more(here->distance)) {
      adopt(there, here, d ^ 1); /* a shorter way to the terminal */
    }
  }
  return (meeting){NULL, NULL, -1};
}

/* ---- augmentation ---- */

static int32_t room_to_root(node *at, int32_t room) {
  while (at->parent != CUTOUT_PARENT_TERMINAL) {
    node *up = cutout_next_to(at, at->parent);
    room = cutout_smaller(room, arc_inward(at, at->parent, up, at->tree));
    at = up;
  }
  return cutout_smaller(room, abs(at->terminal));
}

static void push_to_root(cutout_flow *flow, node *at, int32_t amount) {
  const int32_t signed_amount = at->tree == PIECE ? amount : -amount;
  while (at->parent != CUTOUT_PARENT_TERMINAL) {
    const int d = at->parent;
    node *up = cutout_next_to(at, d);
    at->capacity[d] = (int16_t)(at->capacity[d] + signed_amount);
    up->capacity[d ^ 1] = (int16_t)(up->capacity[d ^ 1] - signed_amount);
    if (arc_inward(at, d, up, at->tree) == 0) make_orphan(flow, at);
    at = up;
  }
  at->terminal -= signed_amount;
  if (at->terminal == 0) make_orphan(flow, at);
}

static void augment(cutout_flow *flow, meeting at) {
  int16_t *arc = &at.piece_node->capacity[at.direction], *back = &at.background_node->capacity[at.direction ^ 1];
  const int32_t room = room_to_root(at.background_node, room_to_root(at.piece_node, *arc));
  *arc = (int16_t)(*arc - room);
  *back = (int16_t)(*back + room);
  push_to_root(flow, at.piece_node, room);
  push_to_root(flow, at.background_node, room);
}

/* ---- adoption ---- */

/* The distance of a node to its terminal, or CUTOUT_NEVER when an orphan cuts it off; marks what it walked. */
static unsigned distance_to_root(const cutout_flow *flow, node *from) {
  unsigned steps = 0;
  node *at = from;
  for (;; at = cutout_next_to(at, at->parent)) {
    if (at->stamp == flow->time) {
      steps += at->distance;
      break;
    }
    if (at->parent == CUTOUT_PARENT_ORPHAN || at->parent == CUTOUT_PARENT_NONE) return CUTOUT_NEVER;
    steps++;
    if (at->parent == CUTOUT_PARENT_TERMINAL) {
      at->stamp = flow->time;
      at->distance = 1;
      break;
    }
  }
  unsigned left = steps;
  for (at = from; at->stamp != flow->time; at = cutout_next_to(at, at->parent), left--) {
    at->stamp = flow->time;
    at->distance = (uint16_t)(left < CUTOUT_FARTHEST ? left : CUTOUT_FARTHEST);
  }
  return steps < CUTOUT_FARTHEST ? steps : CUTOUT_FARTHEST;
}

static bool find_new_parent(const cutout_flow *flow, node *here) {
  int best = CUTOUT_PARENT_NONE;
  unsigned best_distance = CUTOUT_NEVER;
  for (int d = 0; d < CUTOUT_DIRECTIONS; d++) {
    node *other = cutout_next_to(here, d);
    if (arc_inward(here, d, other, here->tree) == 0 || other->tree != here->tree)
      continue; /* in this order: halves.c */
    const unsigned distance = distance_to_root(flow, other);
    if (distance >= best_distance) continue;
    best = d;
    best_distance = distance;
  }
  if (best == CUTOUT_PARENT_NONE) return false;
  here->parent = (uint8_t)best;
  here->stamp = flow->time;
  here->distance = cutout_one_more(best_distance);
  return true;
}

static void set_free(cutout_flow *flow, node *here) {
  for (int d = 0; d < CUTOUT_DIRECTIONS; d++) {
    node *there = cutout_next_to(here, d);
    if (here->capacity[d] == 0 && there->capacity[d ^ 1] == 0) continue; /* first: halves.c */
    if (there->tree != here->tree) continue;
    if (arc_inward(here, d, there, here->tree) > 0) cutout_activate(flow, there);
    if (there->parent == (d ^ 1)) make_orphan(flow, there);
  }
  here->tree = FREE;
  here->parent = CUTOUT_PARENT_NONE;
}

static void adopt_orphans(cutout_flow *flow) {
  flow->time++;
  while (flow->orphan_count > 0) {
    node *at = next_orphan(flow);
    if (!find_new_parent(flow, at)) set_free(flow, at);
  }
}

/* ---- the whole ---- */

static void plant(cutout_flow *flow) {
  flow->active_first = flow->active_count = flow->orphan_first = flow->orphan_count = 0;
  flow->time = 1;
  for (size_t i = 0; i < flow->count; i++) {
    node *at = flow->nodes + i;
    if (at->tree != FREE) continue; /* settled, and nobody's neighbour */
    const int32_t pull = at->terminal;
    if (pull) at->tree = pull > 0 ? PIECE : BACKGROUND;
    at->parent = pull ? CUTOUT_PARENT_TERMINAL : CUTOUT_PARENT_NONE;
    at->distance = 1;
    at->stamp = 0;
    if (pull) cutout_activate(flow, at);
  }
}

void cutout_flow_grow(cutout_flow *flow) {
  while (flow->active_count > 0) {
    node *at = cutout_next_active(flow);
    while (at->tree != FREE) {
      const meeting where = grow(flow, at);
      if (where.direction < 0) break;
      augment(flow, where);
      adopt_orphans(flow);
    }
  }
}

void cutout_flow_solve_alone(cutout_flow *flow) {
  for (int k = 0; k < most_waves && (cutout_flow_wave(flow) || k == 0); k++) continue;
  plant(flow);
  cutout_flow_grow(flow);
}
