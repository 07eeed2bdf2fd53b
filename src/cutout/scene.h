/* SPDX-License-Identifier: MIT */
/* The reduced picture with its models and its answer: scene.c, edges.c, cut_scene.c. */
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
  float *word;       /* nats that a first guess speaks for the piece; NULL without one */
  float hearing;     /* the share of the guess's log odds that its word is */
  uint8_t *piece;    /* the answer: 1 = piece */
  float *pull;       /* nats: > 0 speaks for the piece */
  float *edge[4];    /* nats that a border between a cell and its neighbour in direction 2k costs */
  float *weight;     /* working plane */
  float *model[4];   /* densities: colour of piece, of background, texture of piece, of background */
  float *work;       /* as large as a density, and at least a row of cells */
  cutout_flow *flow; /* kept from cut to cut; NULL before the first */
  float *vote;       /* share of the suppositions that have a cell in the piece; NULL before there are any */
  double unanimity;  /* overlap of the answers that different suppositions led to */
} cutout_scene;

/* What a first guess says that leaves no doubt: more than everything else but the user's word. */
#define CUTOUT_SURE_WORD 1000.0f
/* What is known of a cell: the user's word, or else a guess without doubt, unless a stroke speaks near it. */
static inline uint8_t cutout_scene_known(const cutout_scene *scene, size_t i) {
  if (scene->fixed[i] != CUTOUT_OPEN || !scene->word) return scene->fixed[i];
  if (scene->said && (scene->said[i] > 1 || scene->said[i] < -1)) return CUTOUT_OPEN;
  return scene->word[i] >= CUTOUT_SURE_WORD    ? CUTOUT_IS_PIECE
         : scene->word[i] <= -CUTOUT_SURE_WORD ? CUTOUT_IS_BACKGROUND
                                               : CUTOUT_OPEN;
}
/* What the guess speaks at a cell: less where strokes speak, and no more than colours where it is not obeyed. */
static inline float cutout_scene_word(const cutout_scene *scene, size_t i) {
  if (!scene->word) return 0;
  const float most = 4, word = scene->word[i] > most ? most : scene->word[i] < -most ? -most : scene->word[i];
  if (!scene->said) return word;
  const float loud = (scene->said[i] > 0 ? scene->said[i] : -scene->said[i]) / 10;
  return loud < 1 ? word * (1 - loud) : 0;
}

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
/* Where strokes speak for the piece, they speak no louder than on the coarser scene: of cells along a thin ring or
 * chain each is half ground. */
void cutout_scene_hear(cutout_scene *scene, const cutout_scene *coarse);
/* Takes the answer of a coarser scene and decides again along its outline and wherever the colours
 * speak strongly against it. */
bc_status cutout_scene_refine(cutout_scene *scene, bc_context *context, const cutout_scene *coarse);

/* ---- edges.c: sets the costs of the borders ---- */
void cutout_edges_set(cutout_scene *scene);

/* ---- cut_scene.c ---- */
/* The minimum cut over the cells that are open[i] != 0; the others keep what `piece` says. */
bc_status cutout_cut(cutout_scene *scene, bc_context *context, const uint8_t *open);

#endif
