/* SPDX-License-Identifier: MIT */
/* What the files of the look stage share. */
#ifndef BC_LOOK_INTERNAL_H
#define BC_LOOK_INTERNAL_H

#include "base/base.h"
#include <backcloth/look.h>

/* --- matrix.c: small dense matrices, row by row ------------------------------------------------------- */
enum { LOOK_MOST = 9 };
/* Unit eigenvector of the smallest eigenvalue of a symmetric n x n matrix (Jacobi rotations). Destroys `a`. */
void look_smallest_eigenvector(double *vector, double *a, int n);
/* Solves a x = b by elimination with pivots; b becomes x. Destroys `a`. False when singular. */
bool look_solve(double *a, double *b, int n);
void look_multiply3(double out[9], const double a[9], const double b[9]);
bool look_invert3(double out[9], const double a[9]);
void look_cross(double out[3], const double a[3], const double b[3]);

/* --- rectify.c ------------------------------------------------------------------------------------------ */
/* Straightens part of an image: pixel (x, y) of the result shows `to_image` of it, both continuous. Averages over all
 * that a pixel covers, in linear light. */
bc_status look_rectify(bc_image **out, bc_context *context, const bc_image *image, const bc_homography *to_image,
                       int width, int height);

/* --- segments.c ------------------------------------------------------------------------------------------ */
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

/* --- vanish.c -------------------------------------------------------------------------------------------- */
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

/* --- sides.c --------------------------------------------------------------------------------------------- */
/* Moves corners that are right within `reach` pixels of the image to where the sides' edges really meet. */
void look_place_sides(bc_look_point corner[BC_LOOK_CORNERS], const bc_image *image, double reach);

/* --- crop.c ---------------------------------------------------------------------------------------------- */
/* An image without content, with the light and profile of another. */
bc_status look_image_new(bc_image **out, bc_context *context, const bc_image *like, int width, int height);
/* Part of an image as an image of its own. */
bc_status look_crop(bc_image **out, bc_context *context, const bc_image *image, bc_box box);

/* --- ground.c: the bare wall -------------------------------------------------------------------------------- */
enum { LOOK_GROUND = 0, LOOK_PERHAPS, LOOK_PIECE, LOOK_FAINT };
#define LOOK_LEAST_L 3.0 /* difference that is told from the wall, beyond 4 noises; see ground.c */
typedef struct look_ground {
  int width, height;        /* cells */
  double cell;              /* pixels of the wall a cell, about */
  float *lab[3], *model[3]; /* the reduced wall, and what the bare wall would show there */
  double noise[3];          /* standard deviation of the bare wall about the model */
  uint8_t *class;           /* of each cell; LOOK_PERHAPS: darker than the wall, as a shadow also is;
                               LOOK_FAINT: hardly unlike the wall, but within a piece's edge */
  double share;             /* of cells that are bare wall */
} look_ground;
bc_status look_ground_fit(look_ground *out, bc_context *context, const bc_image *wall);
void look_ground_clear(look_ground *ground);
/* faint.c: pale parts of pieces that are nearly as light as the wall. */
bc_status look_ground_add_faint(look_ground *ground, bc_context *context, double cells_per_cm);

/* --- edge.c ---------------------------------------------------------------------------------------------- */
/* Distance of each pixel to the nearest one with alpha >= threshold (`to_piece`) or below it, thirds of a pixel. */
void look_distances(int *d, const uint8_t *alpha, bool to_piece, int width, int height, int threshold);
/* Finds the alpha along the edge anew, from the light. */
bc_status look_place_edge(bc_cutout *cutout, bc_context *context, const bc_image *image);

/* --- holes.c --------------------------------------------------------------------------------------------- */
/* Fills what is enclosed by the piece and is its own, not a sight of the wall through it. */
bc_status look_fill_holes(bc_cutout *cutout, bc_context *context, double px_per_cm);

/* --- judge.c: the figures, step by step -------------------------------------------------------------------- */
bc_status look_judge(bc_look *look, bc_context *context, const bc_look_options *options);

/* --- pieces.c, behind.c, gaps.c -------------------------------------------------------------------------------- */
bc_status look_pieces_find(bc_look *look, bc_context *context, look_ground *ground, const bc_look_options *options);
void look_piece_clear(bc_look_piece *piece);
/* Marks what the pieces cover on the wall, 255 inside. malloc'd, or NULL without memory. */
uint8_t *look_cover(const bc_look *look);
/* The cloth that is seen round a piece; other pieces in `cover` don't count. */
bc_status look_behind(bc_cloth **out, bc_context *context, const bc_look *look, const bc_look_piece *piece,
                      const uint8_t *cover);
bc_status look_gaps_find(bc_look *look, bc_context *context, const uint8_t *cover);

#endif
