/* SPDX-License-Identifier: MIT */
/* The undecided places of a raster become nodes of a graph, row by row, with a rim of decided places round about; the
 * graph is cut and the answer written back. Stands between flow.c and what is cut: a grid (cut_scene.c), pixels
 * (cut_pixels.c). */
#include "base/base.h"
#include "flow.h"

#include <stdlib.h>
#include <string.h>

/* Places beside each other that all have nodes. */
typedef struct run {
  int left, right; /* left <= x < right; -1 and the raster's width are possible: the rim */
  int32_t first;   /* node of `left` */
} run;

typedef struct build {
  const cutout_raster *raster;
  cutout_flow *flow;
  run *runs;
  size_t run_count, run_room;
  size_t *row;           /* of rows -1 .. height, and one more: their first run */
  uint8_t *open;         /* working row */
  uint8_t *state[3];     /* of the rows above, here and below, with rims: [x + 1] */
  int16_t *border[2][4]; /* of this row and of the one above; [x + 1] */
  int32_t *pull;         /* of this row, [x + 1] */
  int16_t *block;        /* all of them */
  int32_t nodes;
} build;

/* ---- numbering ---- */

static void collect_open(const build *b, int y, uint8_t *open) {
  if (y < 0 || y >= b->raster->height) return;
  const uint8_t *state = b->raster->state + (size_t)y * (size_t)b->raster->width;
  for (int x = 0; x < b->raster->width; x++) open[x] |= state[x];
}

static bool add_run(build *b, int left, int right) {
  if (b->run_count == b->run_room) {
    const size_t room = 2 * b->run_room + 256;
    run *more = bc_reallocate(b->runs, room, sizeof *more);
    if (!more) return false;
    b->runs = more;
    b->run_room = room;
  }
  b->runs[b->run_count++] = (run){left, right, b->nodes};
  b->nodes += right - left;
  return true;
}

/* Eight places at a time while nothing is undecided. */
static int next_open(const uint8_t *open, int x, int width) {
  while (x < width) {
    uint64_t eight = 0;
    if (x + 8 <= width) memcpy(&eight, open + x, sizeof eight);
    if (x + 8 <= width && (eight & UINT64_C(0x0202020202020202)) == 0)
      x += 8;
    else if (open[x] & CUTOUT_UNDECIDED)
      return x;
    else
      x++;
  }
  return width;
}

/* The runs of a row: what is undecided in it, above or below, and one place more on both sides. */
static bool number_row(build *b, int y) {
  const int width = b->raster->width;
  memset(b->open, 0, (size_t)width);
  for (int row = y - 1; row <= y + 1; row++) collect_open(b, row, b->open);
  b->row[y + 1] = b->run_count;
  for (int x = next_open(b->open, 0, width); x < width;) {
    const int left = x - 1;
    int right = x + 2;
    while ((x = next_open(b->open, x + 1, width)) < width && x <= right) right = x + 2;
    if (!add_run(b, left, right)) return false;
  }
  return true;
}

static bool number_rows(build *b) {
  for (int y = -1; y <= b->raster->height; y++)
    if (!number_row(b, y)) return false;
  b->row[b->raster->height + 2] = b->run_count;
  return true;
}

/* ---- filling ---- */

/* The runs of the row above or below, gone through from left to right together with a row's. */
typedef struct beside {
  const run *at;
} beside;

static int32_t node_in(beside *row, int x) {
  while (row->at->right <= x) row->at++;
  return row->at->first + x - row->at->left;
}

/* The borders of a run and of its rim: outside the raster there are none. */
static void set_borders(const build *b, const run *r, int y) {
  const int width = b->raster->width, left = r->left < 0 ? 0 : r->left, right = r->right > width ? width : r->right;
  int16_t *const from_0[4] = {b->border[0][0] + 1, b->border[0][1] + 1, b->border[0][2] + 1, b->border[0][3] + 1};
  for (int k = 0; k < 4; k++) from_0[k][r->left] = from_0[k][r->right - 1] = 0;
  if (y >= 0) b->raster->borders(b->raster->cargo, y, left, right, from_0);
  if (y >= 0) b->raster->pulls(b->raster->cargo, y, left, right, b->pull + 1);
  if (y >= 0) return;
  for (int k = 0; k < 4; k++) memset(from_0[k] + r->left, 0, (size_t)(r->right - r->left) * sizeof(int16_t));
}

/* A decided neighbour pulls with its border. */
static void set_arc(cutout_node *node, int direction, int16_t border, uint8_t neighbour) {
  const int32_t flow = border;
  const bool open = neighbour & CUTOUT_UNDECIDED;
  node->capacity[direction] = open ? border : 0;
  node->stamp += (uint32_t)(open ? flow : 0);
  node->terminal += open ? 0 : neighbour & 1 ? flow : -flow;
}

static void fill_node(const build *b, cutout_node *node, int x) {
  int16_t *const *here = b->border[0], *const *above = b->border[1];
  uint8_t *const *state = b->state;
  node->terminal = b->pull[x + 1];
  set_arc(node, 0, here[0][x + 1], state[1][x + 2]);
  set_arc(node, 1, here[0][x], state[1][x]);
  set_arc(node, 2, here[1][x + 1], state[2][x + 1]);
  set_arc(node, 3, above[1][x + 1], state[0][x + 1]);
  set_arc(node, 4, here[2][x + 1], state[2][x + 2]);
  set_arc(node, 5, above[2][x], state[0][x]);
  set_arc(node, 6, above[3][x + 2], state[0][x + 2]);
  set_arc(node, 7, here[3][x + 1], state[2][x]);
}

static void fill_run(const build *b, const run *r, beside *above, beside *below) {
  cutout_node *node = cutout_flow_nodes(b->flow) + r->first;
  for (int x = r->left; x < r->right; x++, node++) {
    const int32_t number = r->first + x - r->left;
    *node = (cutout_node){.tree = CUTOUT_NO_TREE};
    if (!(b->state[1][x + 1] & CUTOUT_UNDECIDED)) continue;
    node->up = (uint16_t)(number - node_in(above, x));
    node->down = (uint16_t)(node_in(below, x) - number);
    fill_node(b, node, x);
  }
}

/* The states of row y for those above it to look at; decided to be background outside. */
static void take_states(const build *b, uint8_t *state, int y) {
  const size_t width = (size_t)b->raster->width;
  if (y < b->raster->height)
    memcpy(state + 1, b->raster->state + (size_t)y * width, width);
  else
    memset(state, 0, width + 2);
}

static void next_row(build *b, int y) {
  uint8_t *state = b->state[0];
  b->state[0] = b->state[1];
  b->state[1] = b->state[2];
  b->state[2] = state;
  take_states(b, state, y + 1);
  for (int k = 0; k < 4; k++) {
    int16_t *old = b->border[1][k];
    b->border[1][k] = b->border[0][k];
    b->border[0][k] = old;
  }
}

static void fill_rows(build *b) {
  for (int y = -1; y <= b->raster->height; y++) {
    next_row(b, y);
    beside above = {b->runs + b->row[y < 0 ? 0 : y]}, below = {b->runs + b->row[y + 2]};
    for (const run *r = b->runs + b->row[y + 1]; r < b->runs + b->row[y + 2]; r++) {
      set_borders(b, r, y < b->raster->height ? y : -1);
      fill_run(b, r, &above, &below);
    }
  }
}

/* ---- the whole ---- */

static void take_answer(const build *b) {
  const cutout_raster *raster = b->raster;
  for (int y = 0; y < raster->height; y++)
    for (const run *r = b->runs + b->row[y + 1]; r < b->runs + b->row[y + 2]; r++) {
      const cutout_node *node = cutout_flow_nodes(b->flow) + r->first - r->left;
      uint8_t *state = raster->state + (size_t)y * (size_t)raster->width;
      for (int x = r->left < 0 ? 0 : r->left; x < r->right && x < raster->width; x++)
        if (state[x] & CUTOUT_UNDECIDED) state[x] = node[x].tree == CUTOUT_PIECE_TREE;
    }
}

static bool allocate(build *b) {
  const size_t width = (size_t)b->raster->width + 3;
  b->row = bc_allocate((size_t)b->raster->height + 3, sizeof *b->row);
  b->open = bc_allocate(4 * width, 1);
  b->pull = bc_allocate(width, sizeof *b->pull);
  b->block = bc_allocate(8 * width, sizeof *b->block);
  if (!b->row || !b->open || !b->pull || !b->block) return false;
  for (size_t k = 0; k < 3; k++) b->state[k] = b->open + (k + 1) * width;
  for (size_t k = 0; k < 8; k++) b->border[k / 4][k % 4] = b->block + k * width;
  return true;
}

static void release(build *b) {
  free(b->row);
  free(b->open);
  free(b->pull);
  free(b->block);
  free(b->runs);
}

bc_status cutout_raster_cut(const cutout_raster *raster, bc_context *context, cutout_flow **flow) {
  build b = {.raster = raster};
  if (raster->width > CUTOUT_WIDEST) return bc_fail_memory(context); /* twice as wide as any photo that is read */
  bc_status status = allocate(&b) && number_rows(&b) ? BC_OK : bc_fail_memory(context);
  if (status == BC_OK && b.nodes > 0) status = cutout_flow_reserve(flow, context, (size_t)b.nodes);
  if (status == BC_OK && b.nodes > 0) {
    b.flow = *flow;
    fill_rows(&b);
    cutout_flow_solve(b.flow);
    take_answer(&b);
  }
  release(&b);
  return status;
}
