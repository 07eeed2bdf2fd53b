/* SPDX-License-Identifier: MIT */
/* What the match board's files share: the board itself (board.c), its layout (board_layout.c) and its words
 * (board_words.c). */
#ifndef BC_DRAWING_BOARD_H
#define BC_DRAWING_BOARD_H

#include "drawing/paper/paper.h"

/* mm */
#define BOARD_MARGIN 13.0
#define BOARD_SIDE 50.0 /* a cloth's own words */
#define BOARD_LINE 3.3  /* of the words under a cell */

typedef struct board {
  bc_context *context;
  const bc_match *match;
  bc_study *const *studies;
  const bc_cloth *const *cloths;
  drawing_canvas *canvas;
  double cell, caption, width, height; /* mm */
  size_t columns, blocks;              /* pieces side by side, and how many such groups there are */
  bool sheets;                         /* one sheet per group (PDF); otherwise one below the other */
  bool distances;                      /* the true size of a piece is known */
  bool eyes;                           /* some verdict is another to other eyes */
  double photos;                       /* mm: height of the row with the photos as they came */
  drawing_textile *textiles;
  drawing_cut *cuts;
} board;

/* ---- board_layout.c ---- */

/* Few pieces get large cells, many get as small as can still be read, on several sheets or groups. */
void drawing_board_lay_out(board *b);
/* Protan and deutan eyes confuse much the same colours, and are told of together: the worse verdict counts.
 * BC_VISION_USUAL: no eyes see it worse. */
bc_vision drawing_board_worse_to(const bc_ranked_cloth *ranked, size_t piece, bc_verdict *verdict);
/* Where a piece stands on a cloth, and where its photo as it came. */
drawing_rect drawing_board_cell(const board *b, size_t row, size_t piece);
drawing_rect drawing_board_photo(const board *b, size_t piece);
/* The pieces of a block. */
size_t drawing_board_first(const board *b, size_t block);
size_t drawing_board_end(const board *b, size_t block);

/* ---- board_words.c ---- */

/* Title, what stands under each piece, and the key. */
void drawing_board_head(const board *b);
bc_status drawing_board_words(const board *b, size_t block);

#endif
