/* SPDX-License-Identifier: MIT */
/* Minimum cut by two search trees that are kept between augmentations. Source: Boykov and Kolmogorov,
 * "An experimental comparison of min-cut/max-flow algorithms for energy minimization in vision",
 * IEEE TPAMI 26(9), 2004: growth, augmentation, adoption, with the distance marks of its section 3. */
#include "cutout_internal.h"

#include <stdlib.h>
#include <string.h>

const int cutout_step_x[CUTOUT_DIRECTIONS] = {1, -1, 0, 0, 1, -1, 1, -1};
const int cutout_step_y[CUTOUT_DIRECTIONS] = {0, 0, 1, -1, 1, -1, -1, 1};

enum tree { FREE = 0, PIECE, BACKGROUND };
enum parent { TO_TERMINAL = CUTOUT_DIRECTIONS, ORPHAN, NO_PARENT };

/* What the trees know of a node; kept together because it is always used together. */
typedef struct place {
  uint8_t tree, parent;
  bool queued;
  int32_t stamp;    /* when `distance` was last known to be right */
  int32_t distance; /* to the terminal, along parents */
} place;

struct cutout_flow {
  int count;
  cutout_node *nodes;
  int32_t *terminals;
  place *places;
  int32_t *active; /* ring of nodes that may still grow; each at most once, so `count` slots are enough */
  int active_first, active_count;
  int32_t *orphans; /* ring likewise */
  int orphan_first, orphan_count;
  int32_t time;
};

bc_status cutout_flow_new(cutout_flow **out, bc_context *context, int count) {
  cutout_flow *flow = bc_allocate(1, sizeof *flow);
  *out = NULL;
  if (!flow) return bc_fail_memory(context);
  const size_t size = (size_t)count;
  flow->count = count;
  flow->nodes = bc_allocate(size, sizeof *flow->nodes);
  flow->terminals = bc_allocate(size, sizeof *flow->terminals);
  flow->places = bc_allocate(size, sizeof *flow->places);
  flow->active = bc_allocate(size, sizeof *flow->active);
  flow->orphans = bc_allocate(size, sizeof *flow->orphans);
  if (!flow->nodes || !flow->terminals || !flow->places || !flow->active || !flow->orphans) {
    cutout_flow_free(flow);
    return bc_fail_memory(context);
  }
  *out = flow;
  return BC_OK;
}

void cutout_flow_free(cutout_flow *flow) {
  if (!flow) return;
  free(flow->nodes);
  free(flow->terminals);
  free(flow->places);
  free(flow->active);
  free(flow->orphans);
  free(flow);
}

void cutout_flow_use(cutout_flow *flow, int count) {
  flow->count = count; /* everything else is written before it is read, see plant() and fill_node() */
}

cutout_node *cutout_flow_nodes(cutout_flow *flow) {
  return flow->nodes;
}

int32_t *cutout_flow_terminals(cutout_flow *flow) {
  return flow->terminals;
}

/* ---- the two rings ---- */

static int ring_slot(const cutout_flow *flow, int first, int offset) {
  const int slot = first + offset;
  return slot < flow->count ? slot : slot - flow->count;
}

static void activate(cutout_flow *flow, int node) {
  if (flow->places[node].queued) return;
  flow->places[node].queued = true;
  flow->active[ring_slot(flow, flow->active_first, flow->active_count++)] = node;
}

static int next_active(cutout_flow *flow) {
  const int node = flow->active[flow->active_first];
  flow->active_first = ring_slot(flow, flow->active_first, 1);
  flow->active_count--;
  flow->places[node].queued = false;
  return node;
}

static void make_orphan(cutout_flow *flow, int node) {
  flow->places[node].parent = ORPHAN;
  flow->orphans[ring_slot(flow, flow->orphan_first, flow->orphan_count++)] = node;
}

static int next_orphan(cutout_flow *flow) {
  const int node = flow->orphans[flow->orphan_first];
  flow->orphan_first = ring_slot(flow, flow->orphan_first, 1);
  flow->orphan_count--;
  return node;
}

/* ---- residual arcs, seen from a tree: towards its leaves in the piece's, towards its root in the other ---- */

static int32_t arc_outward(const cutout_flow *flow, int node, int direction, int neighbour, uint8_t tree) {
  return tree == PIECE ? flow->nodes[node].capacity[direction] : flow->nodes[neighbour].capacity[direction ^ 1];
}

static int32_t arc_inward(const cutout_flow *flow, int node, int direction, int neighbour, uint8_t tree) {
  return tree == PIECE ? flow->nodes[neighbour].capacity[direction ^ 1] : flow->nodes[node].capacity[direction];
}

/* ---- growth ---- */

typedef struct meeting {
  int piece_node, background_node, direction; /* the arc from piece_node that joins the trees; -1: none */
} meeting;

static void adopt(place *child, const place *parent, int direction_to_parent, uint8_t tree) {
  child->tree = tree;
  child->parent = (uint8_t)direction_to_parent;
  child->stamp = parent->stamp;
  child->distance = parent->distance + 1;
}

static meeting grow(cutout_flow *flow, int node) {
  const place *here = &flow->places[node];
  for (int d = 0; d < CUTOUT_DIRECTIONS; d++) {
    const int other = flow->nodes[node].neighbour[d];
    if (other < 0 || arc_outward(flow, node, d, other, here->tree) == 0) continue;
    place *there = &flow->places[other];
    if (there->tree == FREE) {
      adopt(there, here, d ^ 1, here->tree);
      activate(flow, other);
    } else if (there->tree != here->tree) {
      return here->tree == PIECE ? (meeting){node, other, d} : (meeting){other, node, d ^ 1};
    } else if (there->stamp <= here->stamp && there->distance > here->distance) {
      adopt(there, here, d ^ 1, here->tree); /* a shorter way to the terminal */
    }
  }
  return (meeting){-1, -1, -1};
}

/* ---- augmentation ---- */

static int32_t smaller(int32_t first, int32_t second) {
  return first < second ? first : second;
}

static int32_t room_to_root(const cutout_flow *flow, int node, int32_t room) {
  for (;;) {
    const place *here = &flow->places[node];
    if (here->parent == TO_TERMINAL) return smaller(room, abs(flow->terminals[node]));
    const int up = flow->nodes[node].neighbour[here->parent];
    room = smaller(room, arc_inward(flow, node, here->parent, up, here->tree));
    node = up;
  }
}

static void push_to_root(cutout_flow *flow, int node, int32_t amount) {
  for (;;) {
    const place *here = &flow->places[node];
    if (here->parent == TO_TERMINAL) {
      flow->terminals[node] += here->tree == PIECE ? -amount : amount;
      if (flow->terminals[node] == 0) make_orphan(flow, node);
      return;
    }
    const int d = here->parent, up = flow->nodes[node].neighbour[d];
    int32_t *forward = here->tree == PIECE ? &flow->nodes[up].capacity[d ^ 1] : &flow->nodes[node].capacity[d];
    int32_t *back = here->tree == PIECE ? &flow->nodes[node].capacity[d] : &flow->nodes[up].capacity[d ^ 1];
    *forward -= amount;
    *back += amount;
    if (*forward == 0) make_orphan(flow, node);
    node = up;
  }
}

static void augment(cutout_flow *flow, meeting at) {
  int32_t *arc = &flow->nodes[at.piece_node].capacity[at.direction];
  const int32_t room = room_to_root(flow, at.background_node, room_to_root(flow, at.piece_node, *arc));
  *arc -= room;
  flow->nodes[at.background_node].capacity[at.direction ^ 1] += room;
  push_to_root(flow, at.piece_node, room);
  push_to_root(flow, at.background_node, room);
}

/* ---- adoption ---- */

/* The distance of a node to its terminal, or INT32_MAX when an orphan cuts it off; marks what it walked. */
static int32_t distance_to_root(cutout_flow *flow, int node) {
  int32_t steps = 0;
  int at = node;
  for (;;) {
    place *here = &flow->places[at];
    if (here->stamp == flow->time) {
      steps += here->distance;
      break;
    }
    if (here->parent == ORPHAN || here->parent == NO_PARENT) return INT32_MAX;
    steps++;
    if (here->parent == TO_TERMINAL) {
      here->stamp = flow->time;
      here->distance = 1;
      break;
    }
    at = flow->nodes[at].neighbour[here->parent];
  }
  int32_t left = steps;
  for (at = node; flow->places[at].stamp != flow->time; at = flow->nodes[at].neighbour[flow->places[at].parent]) {
    flow->places[at].stamp = flow->time;
    flow->places[at].distance = left--;
  }
  return steps;
}

static bool find_new_parent(cutout_flow *flow, int node) {
  place *here = &flow->places[node];
  int best = NO_PARENT;
  int32_t best_distance = INT32_MAX;
  for (int d = 0; d < CUTOUT_DIRECTIONS; d++) {
    const int other = flow->nodes[node].neighbour[d];
    if (other < 0 || flow->places[other].tree != here->tree) continue;
    if (arc_inward(flow, node, d, other, here->tree) == 0) continue;
    const int32_t distance = distance_to_root(flow, other);
    if (distance >= best_distance) continue;
    best = d;
    best_distance = distance;
  }
  if (best == NO_PARENT) return false;
  here->parent = (uint8_t)best;
  here->stamp = flow->time;
  here->distance = best_distance + 1;
  return true;
}

static void set_free(cutout_flow *flow, int node) {
  place *here = &flow->places[node];
  for (int d = 0; d < CUTOUT_DIRECTIONS; d++) {
    const int other = flow->nodes[node].neighbour[d];
    if (other < 0) continue;
    place *there = &flow->places[other];
    if (there->tree != here->tree) continue;
    if (arc_inward(flow, node, d, other, here->tree) > 0) activate(flow, other);
    if (there->parent < TO_TERMINAL && flow->nodes[other].neighbour[there->parent] == node) make_orphan(flow, other);
  }
  here->tree = FREE;
  here->parent = NO_PARENT;
}

static void adopt_orphans(cutout_flow *flow) {
  flow->time++;
  while (flow->orphan_count > 0) {
    const int node = next_orphan(flow);
    if (!find_new_parent(flow, node)) set_free(flow, node);
  }
}

/* ---- what needs no trees ---- */

/* A node that is pulled harder than all its borders together could hold is on that side in every minimum cut. It
 * leaves the graph, and its borders become pulls of its neighbours, which may settle in turn. The trees find the least
 * piece of all minimum cuts, so an equal pull settles a node to the background and not to the piece.
 * `distance` holds the sum of a node's borders meanwhile. */
static void settle(cutout_flow *flow, int node, bool piece) {
  place *here = &flow->places[node];
  here->tree = piece ? PIECE : BACKGROUND;
  flow->terminals[node] = 0;
  for (int d = 0; d < CUTOUT_DIRECTIONS; d++) {
    const int other = flow->nodes[node].neighbour[d];
    if (other < 0) continue;
    const int32_t border = flow->nodes[node].capacity[d];
    flow->terminals[other] += piece ? border : -border;
    flow->places[other].distance -= border;
    flow->nodes[node].neighbour[d] = flow->nodes[other].neighbour[d ^ 1] = -1;
    activate(flow, other);
  }
}

static void settle_all(cutout_flow *flow) {
  flow->active_first = flow->active_count = 0;
  for (int i = 0; i < flow->count; i++) {
    int32_t borders = 0;
    for (int d = 0; d < CUTOUT_DIRECTIONS; d++)
      if (flow->nodes[i].neighbour[d] >= 0) borders += flow->nodes[i].capacity[d];
    flow->places[i] = (place){.tree = FREE, .parent = NO_PARENT, .distance = borders};
  }
  for (int i = 0; i < flow->count; i++) activate(flow, i);
  while (flow->active_count > 0) {
    const int node = next_active(flow);
    const int32_t pull = flow->terminals[node], borders = flow->places[node].distance;
    if (flow->places[node].tree != FREE) continue;
    if (pull > borders)
      settle(flow, node, true);
    else if (-pull >= borders)
      settle(flow, node, false);
  }
}

/* ---- the whole ---- */

static void plant(cutout_flow *flow) {
  flow->active_first = flow->active_count = flow->orphan_first = flow->orphan_count = 0;
  flow->time = 1;
  for (int i = 0; i < flow->count; i++) {
    const int32_t pull = flow->terminals[i];
    if (flow->places[i].tree != FREE) continue; /* settled, and nobody's neighbour */
    flow->places[i] = (place){.tree = pull > 0   ? PIECE
                                      : pull < 0 ? BACKGROUND
                                                 : FREE,
                              .parent = pull ? TO_TERMINAL : NO_PARENT,
                              .distance = 1};
    if (pull) activate(flow, i);
  }
}

void cutout_flow_solve(cutout_flow *flow, uint8_t *piece) {
  settle_all(flow);
  plant(flow);
  while (flow->active_count > 0) {
    const int node = next_active(flow);
    while (flow->places[node].tree != FREE) {
      const meeting at = grow(flow, node);
      if (at.direction < 0) break;
      augment(flow, at);
      adopt_orphans(flow);
    }
  }
  for (int i = 0; i < flow->count; i++) piece[i] = flow->places[i].tree == PIECE;
}
