/* SPDX-License-Identifier: MIT */
/* Minimum cuts: of a graph (flow.c), of the undecided places of a raster (cut_raster.c); what borders cost (edges.c).
 */
#ifndef BC_CUTOUT_FLOW_H
#define BC_CUTOUT_FLOW_H

#include "grid.h"

#include <string.h>

/* ---- flow.c ---- */
/* A node of a raster. Nodes are numbered row by row; the eight places round a node that is to be decided all have
 * nodes, beside each other in each row, so that two distances are enough to find them. Half a cache line. */
typedef struct cutout_node {
  int16_t capacity[CUTOUT_DIRECTIONS]; /* to the neighbour, 0 where it is decided; after solving, what is left */
  int32_t terminal;                    /* > 0 pulls to the piece, < 0 to the background; used up by solving */
  uint32_t stamp;                      /* when `distance` was last known to be right; at first the sum of capacities */
  uint16_t up, down;                   /* so many nodes back, and on, is the place above, and below */
  uint16_t distance;                   /* to the terminal, along parents */
  uint8_t parent;
  uint8_t tree : 2, queued : 1;
} cutout_node;
enum { CUTOUT_NO_TREE = 0, CUTOUT_PIECE_TREE, CUTOUT_BACKGROUND_TREE };

typedef struct cutout_flow cutout_flow;
/* Makes room for a graph of `count` nodes; *flow is NULL at first. Nodes are to be filled with capacities (both
 * directions of each pair), terminals, stamps and ways up and down, all else 0. */
bc_status cutout_flow_reserve(cutout_flow **flow, bc_context *context, size_t count);
void cutout_flow_free(cutout_flow *flow);
cutout_node *cutout_flow_nodes(cutout_flow *flow);
/* Solves; `tree` tells then which side a node is on: the piece is in its tree, all else is background. */
void cutout_flow_solve(cutout_flow *flow);

/* Nats become integers, so that the cut is the same on every machine. */
#define CUTOUT_FLOW_SCALE 128.0f
static inline int32_t cutout_flow_pull(float nats, float most) {
  const float bounded = nats > most ? most : nats < -most ? -most : nats;
  return (int32_t)(bounded * CUTOUT_FLOW_SCALE);
}
/* Of a border; an arc and its opposite together must fit into 16 bits. */
static inline int16_t cutout_flow_border(float nats) {
  const float most = 16383, flow = nats * CUTOUT_FLOW_SCALE;
  return (int16_t)(flow < most ? flow : most);
}

/* ---- cut_raster.c ---- */
enum { CUTOUT_UNDECIDED = 2, CUTOUT_WIDEST = 65000 };
typedef struct cutout_raster {
  int width, height; /* at most CUTOUT_WIDEST wide */
  uint8_t *state;    /* 1 for piece, + CUTOUT_UNDECIDED where that is to be decided */
  const void *cargo;
  /* Flow to the right, down, down and right, down and left, for left <= x < right; 0 where that leads outside. */
  void (*borders)(const void *cargo, int y, int left, int right, int16_t *const border[4]);
  /* Pulls for left <= x < right; only those of undecided places are used. */
  void (*pulls)(const void *cargo, int y, int left, int right, int32_t *pull);
} cutout_raster;
/* The minimum cut. Of all that are minimal, the one with the least piece. */
bc_status cutout_raster_cut(const cutout_raster *raster, bc_context *context, cutout_flow **flow);

/* ---- edges.c ---- */
/* What a border between equal neighbours in direction 2k costs. */
float cutout_full_edge(int k);
/* What it costs where the squared difference of colours is `exponent` times the scale, as a share of a full edge. */
static inline float cutout_edge_share(float exponent) {
  const float least = 0.03f;       /* stays across the strongest edge */
  const float most_exponent = 12;  /* beyond this, an edge is as strong as it gets */
  const float round = 12582912.0f; /* 1.5 * 2^23: adding it rounds */
  /* exp(-exponent) as a power of 2, whole and rest; of the rest the series. No libm: the same on every machine. */
  const float power = -1.44269504f * (exponent < most_exponent ? exponent : most_exponent), sum = power + round;
  const float rest = power - (sum - round);
  float value =
      1 +
      rest * (0.69314718f +
              rest * (0.24022651f +
                      rest * (0.055504109f + rest * (0.0096181291f + rest * (0.0013333558f + rest * 0.00015403530f)))));
  int32_t bits, whole;
  memcpy(&bits, &value, sizeof bits);
  memcpy(&whole, &sum, sizeof whole);
  bits += (int32_t)((uint32_t)whole << 23);
  memcpy(&value, &bits, sizeof value);
  return exponent > most_exponent ? least : least + (1 - least) * value;
}

#endif
