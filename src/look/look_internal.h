/* SPDX-License-Identifier: MIT */
/* What the files of the look stage share. */
#ifndef BC_LOOK_INTERNAL_H
#define BC_LOOK_INTERNAL_H

#include "base/base.h"
#include <backcloth/look.h>

/* --- dense_matrix.c: small dense matrices, row by row --- */
enum { LOOK_MOST = 9 };
/* Unit eigenvector of the smallest eigenvalue of a symmetric n x n matrix (Jacobi rotations). Destroys `a`. */
void look_smallest_eigenvector(double *vector, double *a, int n);
/* Solves a x = b by elimination with pivots; b becomes x. Destroys `a`. False when singular. */
bool look_solve(double *a, double *b, int n);
void look_multiply3(double out[9], const double a[9], const double b[9]);
bool look_invert3(double out[9], const double a[9]);
void look_cross(double out[3], const double a[3], const double b[3]);

/* --- rectify.c --- */
/* From a pixel of the straightened wall to the image: a projection, then the lens's bend. */
typedef struct look_map {
  bc_homography straight;
  double bend;
  int width, height; /* of the image */
} look_map;
/* Straightens part of an image: pixel (x, y) of the result shows `map` of it, both continuous. Averages over all that a
 * pixel covers, in linear light. */
bc_status look_rectify(bc_image **out, bc_context *context, const bc_image *image, const look_map *map, int width,
                       int height);

/* --- segments.c --- */
typedef struct look_segment {
  double x1, y1, x2, y2; /* pixels of the image */
  double length;
  double angle; /* direction in degrees, 0..180, 0 = level */
} look_segment;
typedef struct look_segments {
  look_segment *list;
  size_t count;
  int width, height; /* of the image */
} look_segments;
/* Straight edges of a plane of lightness. Free the list with free(). */
bc_status look_segments_find(look_segments *out, bc_context *context, const float *plane, int width, int height);

/* --- bend.c --- */
/* A lens's bend: a place r half diagonals from the photo's middle appears at r (1 + bend r^2). */
bc_look_point look_bend(bc_look_point straight, int width, int height, double bend);
bc_look_point look_unbend(bc_look_point bent, int width, int height, double bend);
void look_segment_unbend(look_segment *segment, int width, int height, double bend);
/* The bend with which the pieces of long edges lie on straight lines; 0 where none is clearly better. */
double look_bend_of(const look_segments *segments);
/* The same from an image, when nothing else of it is looked at. */
bc_status look_bend_find(double *bend, bc_context *context, const bc_image *image);

/* --- vanish.c --- */
/* A family of lines that meet in one point, possibly far away: homogeneous, pixels from the image's middle over its
 * half diagonal. */
typedef struct look_family {
  double point[3];
  size_t *member; /* indices of its segments */
  size_t count;
  double weight; /* their length together, half diagonals */
} look_family;
/* The family of the nearly level (`level`) or nearly upright segments. weight 0: there is none. */
bc_status look_family_find(look_family *out, bc_context *context, const look_segments *segments, bool level);
void look_family_clear(look_family *family);

/* --- sides.c --- */
/* Moves corners that are right within `reach` pixels of the image to where the sides' edges really meet. */
void look_place_sides(bc_look_point corner[BC_LOOK_CORNERS], const bc_image *image, double reach);

/* --- crop.c --- */
/* An image without content, with the light and profile of another. */
bc_status look_image_new(bc_image **out, bc_context *context, const bc_image *like, int width, int height);
/* Part of an image as an image of its own. */
bc_status look_crop(bc_image **out, bc_context *context, const bc_image *image, bc_box box);

/* --- ground.c: the bare wall --- */
enum { LOOK_GROUND = 0, LOOK_PERHAPS, LOOK_PIECE, LOOK_FAINT, LOOK_THING };
#define LOOK_LEAST_L 3.0 /* difference that is told from the wall, beyond 4 noises; see ground.c */
typedef struct look_ground {
  int width, height;        /* cells */
  double cell;              /* pixels of the wall a cell, about */
  float *lab[3], *model[3]; /* the reduced wall, and what the bare wall would show there */
  double noise[3];          /* standard deviation of the bare wall about the model */
  uint8_t *class;           /* of each cell; LOOK_PERHAPS: darker than the wall, as a shadow also is;
                               LOOK_FAINT: hardly unlike the wall, but within a piece's edge; LOOK_THING: of what is named
                               as a thing of its own, no piece */
  double share;             /* of cells that are bare wall */
  bool patterned;           /* the wall is covered by something with a pattern */
} look_ground;
bc_status look_ground_fit(look_ground *out, bc_context *context, const bc_image *wall);
void look_ground_clear(look_ground *ground);
/* folds_and_patterns.c: folds into the model; false without memory. */
bool look_fold_in(look_ground *ground);
/* Cells that have a colour of the cloth's pattern are bare wall. */
bool look_discount_pattern(look_ground *ground);
/* Parts narrower than about 2 `reach` cells are bare wall. */
bool look_drop_specks(look_ground *ground, int reach);
/* faint.c: pale parts of pieces that are nearly as light as the wall. */
bc_status look_ground_add_faint(look_ground *ground, bc_context *context, double cells_per_cm);

/* --- place_edge.c --- */
/* Distance of each pixel to the nearest one with alpha >= threshold (`to_piece`) or below it, thirds of a pixel. */
void look_distances(int *d, const uint8_t *alpha, bool to_piece, int width, int height, int threshold);
/* Finds the alpha along the edge anew, from the light. */
bc_status look_place_edge(bc_cutout *cutout, bc_context *context, const bc_image *image);

/* --- holes.c --- */
/* Fills what is enclosed by the piece and is its own, not a sight of the wall through it. */
bc_status look_fill_holes(bc_cutout *cutout, bc_context *context, double px_per_cm);

/* --- judge.c: the figures, step by step --- */
bc_status look_judge(bc_look *look, bc_context *context, const bc_look_options *options);

/* --- pieces.c, behind.c, empty_wall.c --- */
bc_status look_pieces_find(bc_look *look, bc_context *context, look_ground *ground, const bc_look_options *options);
void look_piece_clear(bc_look_piece *piece);
/* Marks what the pieces cover on the wall, 255 inside. malloc'd, or NULL without memory. */
uint8_t *look_cover(const bc_look *look);
/* The cloth that is seen round a piece; other pieces in `cover` don't count. */
bc_status look_behind(bc_cloth **out, bc_context *context, const bc_look *look, const bc_look_piece *piece,
                      const uint8_t *cover);
bc_status look_gaps_find(bc_look *look, bc_context *context, const uint8_t *cover);

#endif
