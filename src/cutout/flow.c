/* SPDX-License-Identifier: MIT */
/* Minimum cut by two search trees that are kept between augmentations. Source: Boykov and Kolmogorov,
 * "An experimental comparison of min-cut/max-flow algorithms for energy minimization in vision",
 * IEEE TPAMI 26(9), 2004: growth, augmentation, adoption, with the distance marks of its section 3; the waves before it
 * after Goldberg and Tarjan, "A new approach to the maximum-flow problem", JACM 35(4), 1988. */
#include "base/parallel.h"
#include "cutout_internal.h"

#include <stdlib.h>

const int cutout_step_x[CUTOUT_DIRECTIONS] = {1, -1, 0, 0, 1, -1, 1, -1};
const int cutout_step_y[CUTOUT_DIRECTIONS] = {0, 0, 1, -1, 1, -1, -1, 1};

enum { FREE = CUTOUT_NO_TREE, PIECE = CUTOUT_PIECE_TREE, BACKGROUND = CUTOUT_BACKGROUND_TREE };
enum parent { TO_TERMINAL = CUTOUT_DIRECTIONS, ORPHAN, NO_PARENT };
enum { FARTHEST = UINT16_MAX - 1, NEVER = UINT16_MAX }; /* longer ways count as so long: distances only guide */

enum { waves = 2 }; /* before the trees; our choice, measured */

typedef cutout_node node;

struct cutout_flow {
  size_t count, room;
  node *nodes;
  uint32_t *active; /* ring of nodes that may still grow; each at most once, so `count` slots are enough */
  size_t active_first, active_count;
  uint32_t *orphans; /* ring likewise */
  size_t orphan_first, orphan_count;
  uint32_t time;
};

bc_status cutout_flow_reserve(cutout_flow **to, bc_context *context, size_t count) {
  if (!*to) *to = bc_allocate(1, sizeof **to);
  cutout_flow *flow = *to;
  if (!flow) return bc_fail_memory(context);
  flow->count = count;
  if (count <= flow->room) return BC_OK;
  free(flow->nodes);
  free(flow->active);
  free(flow->orphans);
  flow->nodes = bc_allocate_large(count, sizeof *flow->nodes);
  flow->active = bc_allocate_large(count, sizeof *flow->active);
  flow->orphans = bc_allocate_large(count, sizeof *flow->orphans);
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

/* The neighbour in a direction. */
static inline node *next_to(node *at, int direction) {
  static const int column[CUTOUT_DIRECTIONS] = {1, -1, 0, 0, 1, -1, 1, -1};
  static const int below[CUTOUT_DIRECTIONS] = {0, 0, -1, 0, -1, 0, 0, -1}, /* masks */
      above[CUTOUT_DIRECTIONS] = {0, 0, 0, -1, 0, -1, -1, 0};
  return at + column[direction] + (at->down & below[direction]) - (at->up & above[direction]);
}

/* ---- the two rings ---- */

static size_t ring_slot(const cutout_flow *flow, size_t first, size_t offset) {
  const size_t slot = first + offset;
  return slot < flow->count ? slot : slot - flow->count;
}

static void activate(cutout_flow *flow, node *at) {
  if (at->queued) return;
  at->queued = 1;
  flow->active[ring_slot(flow, flow->active_first, flow->active_count++)] = (uint32_t)(at - flow->nodes);
}

static node *next_active(cutout_flow *flow) {
  node *at = flow->nodes + flow->active[flow->active_first];
  flow->active_first = ring_slot(flow, flow->active_first, 1);
  flow->active_count--;
  at->queued = 0;
  return at;
}

static void make_orphan(cutout_flow *flow, node *at) {
  at->parent = ORPHAN;
  flow->orphans[ring_slot(flow, flow->orphan_first, flow->orphan_count++)] = (uint32_t)(at - flow->nodes);
}

static node *next_orphan(cutout_flow *flow) {
  node *at = flow->nodes + flow->orphans[flow->orphan_first];
  flow->orphan_first = ring_slot(flow, flow->orphan_first, 1);
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

static inline uint16_t one_more(unsigned distance) {
  return (uint16_t)(distance < FARTHEST ? distance + 1 : FARTHEST);
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
  child->distance = one_more(parent->distance);
}

static meeting grow(cutout_flow *flow, node *here) {
  for (int d = 0; d < CUTOUT_DIRECTIONS; d++) {
    node *there = next_to(here, d);
    if (arc_outward(here, d, there, here->tree) == 0) continue;
    if (there->tree == FREE) {
      adopt(there, here, d ^ 1);
      activate(flow, there);
    } else if (there->tree != here->tree) {
      return here->tree == PIECE ? (meeting){here, there, d} : (meeting){there, here, d ^ 1};
    } else if (there->stamp <= here->stamp && there->distance > one_more(here->distance)) {
      adopt(there, here, d ^ 1); /* a shorter way to the terminal */
    }
  }
  return (meeting){NULL, NULL, -1};
}

/* ---- augmentation ---- */

static int32_t smaller(int32_t first, int32_t second) {
  return first < second ? first : second;
}

static int32_t room_to_root(node *at, int32_t room) {
  while (at->parent != TO_TERMINAL) {
    node *up = next_to(at, at->parent);
    room = smaller(room, arc_inward(at, at->parent, up, at->tree));
    at = up;
  }
  return smaller(room, abs(at->terminal));
}

static void push_to_root(cutout_flow *flow, node *at, int32_t amount) {
  const int32_t signed_amount = at->tree == PIECE ? amount : -amount;
  while (at->parent != TO_TERMINAL) {
    const int d = at->parent;
    node *up = next_to(at, d);
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

/* The distance of a node to its terminal, or NEVER when an orphan cuts it off; marks what it walked. */
static unsigned distance_to_root(const cutout_flow *flow, node *from) {
  unsigned steps = 0;
  node *at = from;
  for (;; at = next_to(at, at->parent)) {
    if (at->stamp == flow->time) {
      steps += at->distance;
      break;
    }
    if (at->parent == ORPHAN || at->parent == NO_PARENT) return NEVER;
    steps++;
    if (at->parent == TO_TERMINAL) {
      at->stamp = flow->time;
      at->distance = 1;
      break;
    }
  }
  unsigned left = steps;
  for (at = from; at->stamp != flow->time; at = next_to(at, at->parent), left--) {
    at->stamp = flow->time;
    at->distance = (uint16_t)(left < FARTHEST ? left : FARTHEST);
  }
  return steps < FARTHEST ? steps : FARTHEST;
}

static bool find_new_parent(const cutout_flow *flow, node *here) {
  int best = NO_PARENT;
  unsigned best_distance = NEVER;
  for (int d = 0; d < CUTOUT_DIRECTIONS; d++) {
    node *other = next_to(here, d);
    if (other->tree != here->tree || arc_inward(here, d, other, here->tree) == 0) continue;
    const unsigned distance = distance_to_root(flow, other);
    if (distance >= best_distance) continue;
    best = d;
    best_distance = distance;
  }
  if (best == NO_PARENT) return false;
  here->parent = (uint8_t)best;
  here->stamp = flow->time;
  here->distance = one_more(best_distance);
  return true;
}

static void set_free(cutout_flow *flow, node *here) {
  for (int d = 0; d < CUTOUT_DIRECTIONS; d++) {
    node *there = next_to(here, d);
    if (there->tree != here->tree) continue;
    if (arc_inward(here, d, there, here->tree) > 0) activate(flow, there);
    if (there->parent == (d ^ 1)) make_orphan(flow, there);
  }
  here->tree = FREE;
  here->parent = NO_PARENT;
}

static void adopt_orphans(cutout_flow *flow) {
  flow->time++;
  while (flow->orphan_count > 0) {
    node *at = next_orphan(flow);
    if (!find_new_parent(flow, at)) set_free(flow, at);
  }
}

/* ---- what needs no trees ---- */

/* A node that is pulled harder than all its borders together could hold is on that side in every minimum cut. It
 * leaves the graph, and its borders become pulls of its neighbours, which may settle in turn. The trees find the least
 * piece of all minimum cuts, so an equal pull settles a node to the background and not to the piece.
 * `stamp` holds the sum of a node's borders meanwhile. */
static void settle(cutout_flow *flow, node *here, bool piece) {
  here->tree = piece ? PIECE : BACKGROUND;
  here->parent = NO_PARENT;
  here->terminal = 0;
  for (int d = 0; d < CUTOUT_DIRECTIONS; d++) {
    const int32_t border = here->capacity[d];
    if (border == 0) continue;
    node *other = next_to(here, d);
    other->terminal += piece ? border : -border;
    other->stamp -= (uint32_t)border;
    here->capacity[d] = other->capacity[d ^ 1] = 0;
    activate(flow, other);
  }
}

static void settle_if_clear(cutout_flow *flow, node *here) {
  if (here->tree != FREE) return;
  if (here->terminal > (int32_t)here->stamp)
    settle(flow, here, true);
  else if (-here->terminal >= (int32_t)here->stamp)
    settle(flow, here, false);
}

static void settle_all(cutout_flow *flow) {
  flow->active_first = flow->active_count = 0;
  for (size_t i = 0; i < flow->count; i++) {
    settle_if_clear(flow, flow->nodes + i);
    while (flow->active_count > 0) settle_if_clear(flow, next_active(flow));
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
    at->distance = start ? 0 : NEVER;
    if (start) order[count++] = (uint32_t)i;
  }
  for (size_t next = 0; next < count; next++) {
    node *here = flow->nodes + order[next];
    for (int d = 0; d < CUTOUT_DIRECTIONS; d++) {
      node *there = next_to(here, d);
      if (there->distance != NEVER || there->capacity[d ^ 1] == 0) continue;
      there->distance = one_more(here->distance);
      order[count++] = (uint32_t)(there - flow->nodes);
    }
  }
  return count;
}

/* Hands what pulls to the piece on to neighbours that are nearer to the background. */
static void hand_on(node *here) {
  for (int d = 0; d < CUTOUT_DIRECTIONS && here->terminal > 0; d++) {
    node *there = next_to(here, d);
    if (here->capacity[d] == 0 || there->distance >= here->distance) continue;
    const int32_t amount = smaller(here->terminal, here->capacity[d]);
    here->capacity[d] = (int16_t)(here->capacity[d] - amount);
    there->capacity[d ^ 1] = (int16_t)(there->capacity[d ^ 1] + amount);
    here->terminal -= amount;
    there->terminal += amount;
  }
}

/* Flow that goes the shortest way from the piece's pulls to the background's, all nodes at once, the farthest first.
 * What a border has carried is a pull on its other side: any such step leaves the cheapest cuts what they are, and
 * the trees have less to carry along longer ways. */
static void wave(cutout_flow *flow) {
  for (size_t i = order_by_distance(flow); i-- > 0;) {
    node *here = flow->nodes + flow->active[i];
    if (here->terminal > 0) hand_on(here);
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
    at->parent = pull ? TO_TERMINAL : NO_PARENT;
    at->distance = 1;
    at->stamp = 0;
    if (pull) activate(flow, at);
  }
}

static void grow_trees(cutout_flow *flow) {
  while (flow->active_count > 0) {
    node *at = next_active(flow);
    while (at->tree != FREE) {
      const meeting where = grow(flow, at);
      if (where.direction < 0) break;
      augment(flow, where);
      adopt_orphans(flow);
    }
  }
}

static void solve(cutout_flow *flow) {
  for (int k = 0; k < waves; k++) wave(flow);
  plant(flow);
  grow_trees(flow);
}

/* ---- in two halves: first each by itself, then both with the borders between them, on the same trees. Source: Liu and
 * Sun, "Parallel graph-cuts by adaptive bottom-up merging", CVPR 2010 ---- */

typedef struct crossing {
  node *from;
  int direction;
  int16_t there, back;
} crossing;

typedef struct halves {
  cutout_flow half[2];
  crossing *crossings;
  size_t count;
} halves;

/* Whether places below or to the right of a node can lie in the other half. */
static bool reaches(const node *at, const node *other_half) {
  return at + 1 >= other_half || at + at->down + 1 >= other_half;
}

/* Takes the borders between the halves away; false without memory. */
static bool part(halves *both, const cutout_flow *flow) {
  static const int onward[4] = {0, 2, 4, 7};
  node *const middle = flow->nodes + flow->count / 2;
  size_t near = 0;
  for (node *at = flow->nodes; at < middle; at++) near += reaches(at, middle);
  both->crossings = bc_allocate(4 * near, sizeof *both->crossings);
  for (node *at = flow->nodes; both->crossings && at < middle; at++)
    for (int k = 0; reaches(at, middle) && k < 4; k++) {
      const int d = onward[k];
      if (at->capacity[d] == 0 || next_to(at, d) < middle) continue;
      int16_t *back = &next_to(at, d)->capacity[d ^ 1];
      both->crossings[both->count++] = (crossing){at, d, at->capacity[d], *back};
      at->capacity[d] = *back = 0;
    }
  return both->crossings != NULL;
}

static void solve_half(void *cargo, int half) {
  solve(&((halves *)cargo)->half[half]);
}

static void join(cutout_flow *flow, const halves *both) {
  flow->active_first = flow->active_count = flow->orphan_first = flow->orphan_count = 0;
  flow->time = both->half[0].time > both->half[1].time ? both->half[0].time : both->half[1].time;
  for (size_t i = 0; i < both->count; i++) {
    const crossing *c = &both->crossings[i];
    node *to = next_to(c->from, c->direction);
    c->from->capacity[c->direction] = c->there;
    to->capacity[c->direction ^ 1] = c->back;
    if (c->from->tree != FREE) activate(flow, c->from);
    if (to->tree != FREE) activate(flow, to);
  }
  grow_trees(flow);
}

void cutout_flow_solve(cutout_flow *flow) {
  enum { worth_dividing = 6000 };
  const size_t middle = flow->count / 2;
  halves both = {.half = {*flow, *flow}};
  settle_all(flow);
  if (flow->count < worth_dividing || !bc_can_do_both() || !part(&both, flow)) {
    solve(flow);
    return;
  }
  both.half[0].count = middle;
  both.half[1].count = flow->count - middle;
  both.half[1].nodes += middle;
  both.half[1].active += middle;
  both.half[1].orphans += middle;
  bc_do_both(solve_half, &both);
  join(flow, &both);
  free(both.crossings);
}
