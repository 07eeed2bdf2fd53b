/* SPDX-License-Identifier: MIT */
/* Lines through a vanishing point along which the picture changes: where sides of the wall may lie. */
#ifndef BC_SRC_LOOK_LINES_H
#define BC_SRC_LOOK_LINES_H

#include "small.h"

enum { LOOK_LINE_PLACES = 96, LOOK_LINES_MOST = 56 };

typedef struct look_line {
  double line[3];                  /* pixels of the small photo */
  double at;                       /* where it crosses the middle: y of a level, x of an upright line */
  double weight;                   /* how much of it is an edge, places */
  float edge[LOOK_LINE_PLACES];    /* 0..1 at each place: something changes there */
  float sum[LOOK_LINE_PLACES + 1]; /* of the above before each place */
} look_line;

typedef struct look_lines {
  bool level;
  double length; /* of the picture along the lines: places are spread evenly over it, by x or y */
  look_line list[LOOK_LINES_MOST];
  int count;
} look_lines;

/* The best-supported lines of a family, ordered by place. */
bc_status look_lines_find(look_lines *out, bc_context *context, const look_small *small, const look_family *family,
                          bool level);
/* Mean edge of a line between two coordinates along it. */
double look_line_share(const look_lines *lines, const look_line *line, double from, double to);

#endif
