/* SPDX-License-Identifier: MIT */
/* A large graph in two halves: first each by itself, then both with the borders between them, on the same trees.
 * Source: Liu and Sun, "Parallel graph-cuts by adaptive bottom-up merging", CVPR 2010.
 * Meanwhile no arc between the halves has room, and of a neighbour in the other half all else may be written by the
 * other thread: so the solver asks of a neighbour first whether there is room, and only then for anything else. */
#include "base/base.h"
#include "base/parallel.h"
#include "flow_inside.h"

#include <stdlib.h>

typedef cutout_node node;

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
      if (at->capacity[d] == 0 || cutout_next_to(at, d) < middle) continue;
      int16_t *back = &cutout_next_to(at, d)->capacity[d ^ 1];
      both->crossings[both->count++] = (crossing){at, d, at->capacity[d], *back};
      at->capacity[d] = *back = 0;
    }
  return both->crossings != NULL;
}

static void solve_half(void *cargo, int half) {
  cutout_flow_solve_alone(&((halves *)cargo)->half[half]);
}

static void join(cutout_flow *flow, const halves *both) {
  flow->active_first = flow->active_count = flow->orphan_first = flow->orphan_count = 0;
  flow->time = both->half[0].time > both->half[1].time ? both->half[0].time : both->half[1].time;
  for (size_t i = 0; i < both->count; i++) {
    const crossing *c = &both->crossings[i];
    node *to = cutout_next_to(c->from, c->direction);
    c->from->capacity[c->direction] = c->there;
    to->capacity[c->direction ^ 1] = c->back;
    if (c->from->tree != CUTOUT_NO_TREE) cutout_activate(flow, c->from);
    if (to->tree != CUTOUT_NO_TREE) cutout_activate(flow, to);
  }
  cutout_flow_grow(flow);
}

void cutout_flow_solve(cutout_flow *flow) {
  enum { worth_dividing = 6000 };
  const size_t middle = flow->count / 2;
  halves both = {.half = {*flow, *flow}};
  cutout_flow_settle(flow);
  if (flow->count < worth_dividing || !base_can_do_both() || !part(&both, flow)) {
    cutout_flow_solve_alone(flow);
    return;
  }
  both.half[0].count = middle;
  both.half[1].count = flow->count - middle;
  both.half[1].nodes += middle;
  both.half[1].active += middle;
  both.half[1].orphans += middle;
  base_do_both(solve_half, &both);
  join(flow, &both);
  free(both.crossings);
}
