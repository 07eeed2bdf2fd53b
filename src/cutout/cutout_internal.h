/* SPDX-License-Identifier: MIT */
/* What the files of the cut-out share. Everything works on small rasters in row order, top row
 * first; `count` is always width x height. */
#ifndef BC_CUTOUT_INTERNAL_H
#define BC_CUTOUT_INTERNAL_H

#include "base/base.h"
#include <backcloth/cutout.h>
#include <string.h>

/* --- cutout.c ------------------------------------------------------------------------------------ */
/* An empty cut-out of the image's size. */
bc_status cutout_new(bc_cutout **out, bc_context *context, const bc_image *image);
/* Sets the box round alpha >= 128; false when there is no such pixel. */
bool cutout_set_box(bc_cutout *cutout);

/* --- find.c -------------------------------------------------------------------------------------------- */
/* The photo's own alpha as the cut-out. */
bc_status cutout_take_alpha(bc_cutout *cutout, bc_context *context, const bc_image *image);

/* --- scale.c ------------------------------------------------------------------------------------- */
/* Row `y` of a mask of width x height scaled to to_width x to_height; `scratch` holds `width` floats. */
void cutout_scale_row(uint8_t *row, int to_width, int to_height, int y, const uint8_t *from, int width, int height,
                      float *scratch);
/* The same for a plane of floats. */
void cutout_scale_row_of_floats(float *row, int to_width, int to_height, int y, const float *from, int width,
                                int height, float *scratch);

/* --- onnx.c, or onnx_absent.c in a build without ONNX Runtime: a network with one picture in and one map out --------
 */
enum { CUTOUT_NETWORK_SIDE = 2048 }; /* the longest side of picture and map */
typedef struct cutout_network cutout_network;
/* `name` is for sentences. Needs `bytes` only while it opens. */
bc_status cutout_network_open(cutout_network **out, bc_context *context, const char *name, const void *bytes,
                              size_t size);
void cutout_network_free(cutout_network *network);
/* The size of the picture that it takes; 0: any. */
void cutout_network_size(const cutout_network *network, int *width, int *height);
/* What the file says under a key of its own, malloc'd; NULL when it says nothing. */
bc_status cutout_network_word(char **out, bc_context *context, const cutout_network *network, const char *key);
/* Runs on 3 planes of *width x *height; gives the map, malloc'd, and its size. Threads may run it at the same time. */
bc_status cutout_network_run(float **out, int *width, int *height, bc_context *context, const cutout_network *network,
                             const float *input);

/* --- grid.c: the picture reduced to a grid of cells ------------------------------------------------ */
typedef struct cutout_grid {
  int width, height;
  size_t count;
  float *lab[3]; /* cell means of L, a, b */
} cutout_grid;
/* Cell x covers the image columns [x W / width, (x+1) W / width), rows likewise. */
static inline int cutout_cell_edge(int cell, int cells, int pixels) {
  return (int)((int64_t)cell * pixels / cells);
}
bc_status cutout_grid_new(cutout_grid *grid, bc_context *context, const bc_image *image, int side);
/* The same from a finer grid of the image: exactly where no fine cell lies in two coarse ones, or else nearly. */
bc_status cutout_grid_coarser(cutout_grid *grid, bc_context *context, const cutout_grid *fine, const bc_image *image,
                              int side);
void cutout_grid_clear(cutout_grid *grid);
/* Sets to 1 the cells within `reach` of (x, y), a square, as far as the grid goes. */
void cutout_grid_mark(uint8_t *cells, const cutout_grid *grid, int x, int y, int reach);

/* --- flow.c: the minimum cut ------------------------------------------------------------------------ */
/* Directions: 2k and 2k+1 are opposite. */
enum { CUTOUT_DIRECTIONS = 8 };
extern const int cutout_step_x[CUTOUT_DIRECTIONS], cutout_step_y[CUTOUT_DIRECTIONS];

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

/* --- raster.c: the undecided places of a raster as a graph ------------------------------------------ */
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

/* --- colour.c: what colours the piece and the background have -------------------------------------- */
/* The cells of a histogram over L, a and b that a picture's colours lie in, and room to blur them. Each of its arrays
 * holds `count` cells; neighbours along L are `plane` apart, along a `row`, along b 1. */
typedef struct cutout_palette {
  int32_t *cells; /* of each pixel */
  size_t pixels;
  int row, plane, count;
} cutout_palette;
/* The palette of the grid's colours, its cells malloc'd; false without memory. */
bool cutout_colour_palette(cutout_palette *palette, const cutout_grid *grid);
/* The same of textures: mean lightness, spread of lightness and spread of colour in a small window. */
bool cutout_texture_palette(cutout_palette *palette, const cutout_grid *grid);
/* Where a colour lies among all that there may be. */
int32_t cutout_colour_place(float L, float a, float b);
/* Makes the palette of the places in `cells`, which become cells. */
void cutout_palette_fit(cutout_palette *palette);
/* Per cell the sum over its pixels of a value (NULL: 1 each), smoothed over neighbouring cells; right where the
 * picture has colours. `scratch` holds as many cells. */
void cutout_cell_sums(float *sums, const cutout_palette *palette, const float *values, float *scratch);
/* A smoothed histogram that sums to one, from pixels weighted 0..1. */
void cutout_density(float *density, const cutout_palette *palette, const float *weight, bool inverse, float *scratch);
/* Lets every colour also stand, less likely, for its own darker shades: a shadow falls on the background. */
void cutout_add_shadows(float *density, const cutout_palette *palette);

/* --- mixture.c: mixtures of Gaussians over colour --------------------------------------------------- */
enum { CUTOUT_GAUSSIANS = 8 };
typedef struct cutout_gaussian {
  float mean[3], inverse[6], covariance[6]; /* upper triangles, row by row */
  float log_weight;                         /* log of share / sqrt(determinant) */
} cutout_gaussian;
typedef struct cutout_mixture {
  int count;
  float share[CUTOUT_GAUSSIANS];
  cutout_gaussian of[CUTOUT_GAUSSIANS];
} cutout_mixture;
/* Learns from the cells whose side[i] == wanted; `owner` is scratch. */
void cutout_mixture_learn(cutout_mixture *mixture, const cutout_grid *grid, const uint8_t *side, uint8_t wanted,
                          uint8_t *owner, int count);
/* Goes on from what has been learned. */
void cutout_mixture_improve(cutout_mixture *mixture, const cutout_grid *grid, const uint8_t *side, uint8_t wanted,
                            uint8_t *owner, int rounds);
/* Minus the log likelihood of every colour, up to a constant. */
void cutout_mixture_costs(const cutout_mixture *mixture, const float *L, const float *a, const float *b, size_t count,
                          float *cost);

/* --- barrier.c: how far a pixel is from the border --------------------------------------------------- */
/* Minimum barrier distance to the border and to cells fixed as background, summed over L, a, b. */
bc_status cutout_barrier(float *distance, bc_context *context, const cutout_grid *grid, const uint8_t *fixed);

/* --- scene.c: the reduced picture with its colour models -------------------------------------------- */
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

/* --- detail.c --------------------------------------------------------------------------------------- */
typedef enum cutout_detail_start {
  CUTOUT_FREELY = 0,  /* decides from the scene's answer */
  CUTOUT_IN_BOX,      /* decides from the scene's answer and from the whole box */
  CUTOUT_AFTER_STROKE /* goes on from the scene's answer and the mixtures */
} cutout_detail_start;
/* Decides the scene's answer again with mixtures of Gaussians of the background, of[0], and of the piece, of[1]. */
bc_status cutout_detail(cutout_scene *scene, cutout_mixture of[2], bc_context *context, cutout_detail_start start);

/* --- band.c ----------------------------------------------------------------------------------------- */
/* The scene's answer on the image's pixels, decided again near its outline and where pixels contradict it. `box`, in
 * the image's pixels: outside of it all is background. Learns the mixtures `of` background and piece from pixels. After
 * a stroke, `touched` tells the cells that it changed: the rest of `piece` and the mixtures are kept. NULL otherwise.
 */
bc_status cutout_band(uint8_t *piece, bc_context *context, const bc_image *image, const cutout_scene *scene,
                      const bc_box *box, cutout_mixture of[2], const uint8_t *touched);

/* --- specks.c --------------------------------------------------------------------------------------- */
/* Drops parts of an answer on the image's pixels that are tiny beside the largest and apart from all others. */
bc_status cutout_specks_drop(uint8_t *piece, bc_context *context, const bc_image *image, const cutout_scene *scene);

/* --- cut_pixels.c ------------------------------------------------------------------------------------ */
/* The minimum cut over the pixels that are CUTOUT_UNDECIDED in `state`. `pull` as flow, of each pixel of the image. */
bc_status cutout_cut_pixels(uint8_t *state, bc_context *context, const bc_image *image, const int16_t *pull,
                            float stiffness);

/* --- edges.c ---------------------------------------------------------------------------------------- */
void cutout_edges_set(cutout_scene *scene);
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

/* --- cut.c ------------------------------------------------------------------------------------------ */
/* The minimum cut over the cells that are open[i] != 0; the others keep what `piece` says. `energy`
 * (may be NULL) receives the cost of the cut per open cell. */
bc_status cutout_cut(cutout_scene *scene, bc_context *context, const uint8_t *open);

/* --- prior.c --------------------------------------------------------------------------------------- */
/* Sets the scene's prior. `box` in grid cells: left, top, width, height; NULL without one. */
bc_status cutout_prior(cutout_scene *scene, bc_context *context, const double *box);
/* The same without a box; also gives the signs that it weighs, of one cell after the other, for fitting the weights:
 * `backcloth-bench prior`. */
enum { CUTOUT_PRIOR_SIGNS = 9 };
bc_status cutout_prior_signs(float (*signs)[CUTOUT_PRIOR_SIGNS], cutout_scene *scene, bc_context *context);
/* Fixes everything outside the box as background. */
void cutout_fix_box(cutout_scene *scene, const double box[4]);

/* --- stroke.c --------------------------------------------------------------------------------------- */
bc_status cutout_strokes_begin(cutout_scene *scene, bc_context *context);
/* Fixes the cells under a straight stroke; points and `brush` (radius) in pixels of the full photo. */
void cutout_stroke(cutout_scene *scene, const bc_image *image, bc_point_px from, bc_point_px to, int brush, bool keep);
/* Sets `said` from all strokes so far. */
void cutout_strokes_weigh(cutout_scene *scene);

/* --- trust.c ---------------------------------------------------------------------------------------- */
/* What can be seen of an answer without knowing the truth. Another sign needs a line here, its name and its measure
 * there; `backcloth-bench trust` then fits the weights. */
typedef enum cutout_trust_sign {
  CUTOUT_TRUST_MARGIN = 0,     /* mean of 2 P - 1, P = probability that models and prior give to the answer */
  CUTOUT_TRUST_MARGIN_SQUARED, /* its square, and so on */
  CUTOUT_TRUST_CONTACT,        /* share of the picture's border that the answer touches */
  CUTOUT_TRUST_CONTACT_SQUARED,
  CUTOUT_TRUST_LEFT_OVER_SQUARED, /* of the mean prior of what is not in the answer */
  CUTOUT_TRUST_WEAK,              /* share of the outline that lies where hardly any edge is */
  CUTOUT_TRUST_MIRROR,            /* share of the answer that is there again when its box is mirrored left to right */
  CUTOUT_TRUST_SIDE,              /* square root of the share of the picture */
  CUTOUT_TRUST_OFF, /* distance of its centre of area from the picture's middle, in sides of the picture */
  CUTOUT_TRUST_SIGNS
} cutout_trust_sign;
extern const char *const cutout_trust_name[CUTOUT_TRUST_SIGNS];
extern const double cutout_trust_weight[CUTOUT_TRUST_SIGNS];
void cutout_trust_measure(double sign[CUTOUT_TRUST_SIGNS], const cutout_scene *scene);
/* Ranks a scene's answers under several suppositions: more is better. */
double cutout_trust(const cutout_scene *scene);

/* --- confidence.c: how good a finished answer is ----------------------------------------------------- */
/* Signs, 0..1. Another one needs a line here, its name and its measure there; `backcloth-bench confidence` then says
 * what it is worth on photos left out, and fits the weights. */
typedef enum cutout_sign {
  CUTOUT_ONE = 0,   /* the constant of the fit */
  CUTOUT_UNANIMITY, /* overlap of the answers that different suppositions led to */
  CUTOUT_DOUBT,     /* cells whose colour is more likely on the other side, for each cell of the piece */
  CUTOUT_WEAK,      /* share of the outline with hardly any difference across it */
  CUTOUT_MAIN,      /* share of the largest connected part */
  CUTOUT_TIGHTNESS, /* share of the box, or picture, that the box of the answer fills */
  CUTOUT_SIGNS
} cutout_sign;
extern const char *const cutout_sign_name[CUTOUT_SIGNS];
/* Without and with a box; 0: not in use. */
extern const double cutout_sign_weight[2][CUTOUT_SIGNS];
/* Measures them on the answer on the image's pixels, with the mixtures that it was found with. */
bc_status cutout_signs(double sign[CUTOUT_SIGNS], bc_context *context, const cutout_scene *scene, const bc_image *image,
                       const uint8_t *pixels, const cutout_mixture of_pixels[2]);
/* The overlap with the truth that is to be expected, 0..1. */
double cutout_confidence(const double sign[CUTOUT_SIGNS], bool in_box);
/* Those of the session's last answer, for fitting the weights: session.c. */
const double *cutout_session_signs(const bc_cutout_session *session);
/* Overlap of two answers, intersection over union; 1 when both are empty. */
double cutout_overlap(const uint8_t *first, const uint8_t *second, size_t count);

/* --- suppose.c --------------------------------------------------------------------------------------- */
/* Carries one supposition through, without a box. The models know nothing of it afterwards: they are those by which its
 * answer is judged. */
enum { CUTOUT_SUPPOSITIONS = 6 };
bc_status cutout_suppose_one(cutout_scene *scene, bc_context *context, size_t which);
/* Solves the scene under several suppositions and keeps the most trusted answer. */
bc_status cutout_suppose(cutout_scene *scene, bc_context *context, bool in_box);

/* The share of the box of open cells that the box of the answer fills, 0..1. */
double cutout_tightness(const cutout_scene *scene);

/* --- gaps.c ----------------------------------------------------------------------------------------- */
/* Takes ground that the piece only encloses out of an answer in a box. `given` may be NULL; else only what that answer
 * had left out and the piece encloses all round. Uses up weights and colour models. */
bc_status cutout_gaps_open(cutout_scene *scene, bc_context *context, const uint8_t *given);

/* --- regions.c: connected parts ---------------------------------------------------------------------- */
typedef struct cutout_part {
  int area;
  bool piece;
  int left, top, right, bottom; /* inclusive */
} cutout_part;
typedef struct cutout_regions {
  int32_t *label; /* of each cell: an index into part */
  cutout_part *part;
  size_t count;
} cutout_regions;
bc_status cutout_regions_new(cutout_regions *out, bc_context *context, const uint8_t *mask, int width, int height);
void cutout_regions_clear(cutout_regions *regions);
/* Drops specks and fills pin-holes in the scene's answer. */
bc_status cutout_regions_tidy(cutout_scene *scene, bc_context *context);

/* --- edge.c ------------------------------------------------------------------------------------------ */
/* Soft alpha from an answer on the image's pixels. */
bc_status cutout_edge(uint8_t *alpha, bc_context *context, const bc_image *image, const uint8_t *piece);

#endif
