/* SPDX-License-Identifier: MIT */
/* The reduced picture with its models and its answer: scene.c, edges.c, cut.c. */
#ifndef BC_CUTOUT_SCENE_H
#define BC_CUTOUT_SCENE_H

#include "flow.h"
#include "models.h"

enum { CUTOUT_OPEN = 0, CUTOUT_IS_PIECE, CUTOUT_IS_BACKGROUND };

typedef struct cutout_scene {
  cutout_grid grid;
  cutout_palette colour, texture;
  float *prior;      /* probability of piece before colours are compared, 0..1 */
  float bias;        /* nats that are added to every cell's prior */
  float stiffness;   /* of borders: what `edge` is multiplied by */
  uint8_t *fixed;    /* what the user said: CUTOUT_OPEN, CUTOUT_IS_PIECE or CUTOUT_IS_BACKGROUND */
  uint8_t *marked;   /* 1 where the user marked a cell with a stroke; NULL without strokes */
  float *said;       /* nats that the strokes speak for the piece; NULL without strokes */
  uint8_t *piece;    /* the answer: 1 = piece */
  float *pull;       /* nats: > 0 speaks for the piece */
  float *edge[4];    /* nats that a border between a cell and its neighbour in direction 2k costs */
  float *weight;     /* working plane */
  float *model[4];   /* densities: colour of piece, of background, texture of piece, of background */
  float *work;       /* as large as a density, and at least a row of cells */
  cutout_flow *flow; /* kept from cut to cut; NULL before the first */
  double unanimity;  /* overlap of the answers that different suppositions led to */
} cutout_scene;

enum { CUTOUT_COARSE_SIDE = 64 }; /* without a box */
bc_status cutout_scene_new(cutout_scene *scene, bc_context *context, const bc_image *image, int side);
/* The same from a finer scene of the image, in less time. */
bc_status cutout_scene_coarser(cutout_scene *scene, bc_context *context, const bc_image *image, int side,
                               const cutout_scene *fine);
void cutout_scene_clear(cutout_scene *scene);
/* A scene that may be solved at the same time as the one it is made from: it shares with it what solving only reads. To
 * be freed by cutout_scene_untwin() also on failure. */
bc_status cutout_scene_twin(cutout_scene *twin, bc_context *context, const cutout_scene *scene);
void cutout_scene_untwin(cutout_scene *twin);
/* Cells in the larger of its palettes. */
size_t cutout_scene_room(const cutout_scene *scene);
/* Learns the models from `weight` (share of piece 0..1 of each cell). */
void cutout_scene_learn(cutout_scene *scene);
/* Sets the pulls from models and prior. */
void cutout_scene_pull(cutout_scene *scene);
/* Alternates models and minimum cuts, beginning with the prior, until nothing changes or `rounds` are done. */
bc_status cutout_scene_solve(cutout_scene *scene, bc_context *context, int rounds);
/* The same, beginning with the scene's last answer. */
bc_status cutout_scene_resolve(cutout_scene *scene, bc_context *context, int rounds);
/* Takes what the strokes say from a coarser scene. */
void cutout_scene_hear(cutout_scene *scene, const cutout_scene *coarse);
/* Takes the answer of a coarser scene and decides again along its outline and wherever the colours
 * speak strongly against it. */
bc_status cutout_scene_refine(cutout_scene *scene, bc_context *context, const cutout_scene *coarse);

/* ---- edges.c: sets the costs of the borders ---- */
void cutout_edges_set(cutout_scene *scene);

/* ---- cut.c ---- */
/* The minimum cut over the cells that are open[i] != 0; the others keep what `piece` says. */
bc_status cutout_cut(cutout_scene *scene, bc_context *context, const uint8_t *open);

#endif
