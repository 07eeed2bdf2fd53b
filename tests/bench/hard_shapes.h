/* SPDX-License-Identifier: MIT */
/* Pieces that are hard to cut out, as places inside or outside: thin, with holes, clear, or of their ground's colour.
 */
#ifndef BC_TESTS_BENCH_HARD_SHAPES_H
#define BC_TESTS_BENCH_HARD_SHAPES_H

enum { hard_width = 880, hard_height = 660 };

/* One piece, its measures drawn by chance. */
typedef struct hard_piece {
  double x, y;      /* its middle, pixels */
  double size;      /* half of its height, pixels */
  double thickness; /* of what is thin in it, pixels */
  double lean;      /* 0..1: what else varies */
} hard_piece;

/* Whether a place is in the piece; then also how far across its part it lies, -1..1, for shading. */
typedef int hard_shape(const hard_piece *of, double x, double y, double *across);

typedef enum hard_trait {
  HARD_PLAIN = 0,
  HARD_CLEAR = 1,   /* what is behind shows through, bent */
  HARD_AS_PALE = 2, /* as its ground, which is white */
  HARD_AS_DARK = 4,
  HARD_SUN = 8,     /* a dark shadow with a hard edge */
  HARD_PLANKS = 16, /* stands on boards with gaps */
  HARD_CLUTTER = 32 /* other things at the frame's edge */
} hard_trait;

typedef struct hard_kind {
  const char *name;
  hard_shape *shape;
  double thickness; /* 0: none in particular */
  int traits;
} hard_kind;
extern const hard_kind hard_kinds[];
extern const int hard_kind_count;

#endif
