/* SPDX-License-Identifier: MIT */
/* What the files that find and cut the pieces of a wall share. */
#ifndef BC_LOOK_PIECES_INTERNAL_H
#define BC_LOOK_PIECES_INTERNAL_H

#include "look_internal.h"

#define LOOK_BORDER 2 /* cells along the wall's border where its own edge shows */

/* --- parts.c --- */
typedef struct look_part {
  int left, top, right, bottom; /* cells, inclusive */
  int area, sure;
} look_part;

typedef struct look_search {
  bc_look *look;
  bc_context *context;
  look_ground *ground;
  int32_t *label; /* of each cell, -1: none */
  int32_t *queue;
  look_part *parts;
  size_t count;
} look_search;
/* Labels all parts; false without memory. */
bool look_parts_find(look_search *s);
/* not_pieces.c: takes tables, chairs and boards out of the parts; parts are to be found anew after it. */
bool look_things_find(look_search *s);
/* Neither a nail, nor a shadow, nor most of the wall. */
bool look_part_is_piece(const look_search *s, const look_part *p);

/* --- cut_piece.c --- */
/* What the ground says of a crop: handed to the cut-out as its first guess. */
typedef struct look_guess {
  const look_search *s;
  bc_box crop; /* pixels of the wall */
  int32_t number;
  float bare; /* chance that bare wall in a given box is of the piece */
} look_guess;
/* Takes over `image`. `inner` is the box that the piece lies in, in pixels of the crop. */
bc_status look_piece_cut(bc_study **out, bc_context *context, bc_image *image, const look_guess *from, bc_box inner,
                         const char *name);

/* --- measure.c, reading_order.c --- */
void look_piece_measure(bc_look_piece *piece, const bc_look *look);
/* Rows from the top, each in the direction of the x axis. */
void look_pieces_order(bc_look *look);

#endif
