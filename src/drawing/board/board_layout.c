/* SPDX-License-Identifier: MIT */
/* Where things stand on the match board, and what it has to tell. */
#include "board.h"

#include <math.h>

#define HEAD 19.0  /* title and key */
#define NAMES 12.0 /* the pieces' names */
#define GAP 1.6
#define WIDTH_WANTED 420.0 /* A3 landscape */
#define MOST_COLUMNS 17    /* more pieces go on a next sheet, or below */

static double row_height(const board *b) {
  return b->cell + b->caption + GAP + 1.4;
}

static double block_height(const board *b) {
  return NAMES + b->photos + (double)b->match->cloth_count * row_height(b);
}

static bool any_distance(const bc_match *match) {
  const bc_visibility *const seen = match->cloths[0].visibility;
  for (size_t i = 0; seen && i < match->piece_count; i++)
    if (seen[i].known) return true;
  return false;
}

bc_vision drawing_board_worse_to(const bc_ranked_cloth *ranked, size_t piece, bc_verdict *verdict) {
  bc_vision who = BC_VISION_USUAL;
  *verdict = ranked->pairs[piece].verdict;
  for (int v = BC_VISION_PROTAN; v < BC_EYES && ranked->pairs_to_eyes[v]; v++)
    if (ranked->pairs_to_eyes[v][piece].verdict < *verdict) {
      *verdict = ranked->pairs_to_eyes[v][piece].verdict;
      who = (bc_vision)v;
    }
  return who;
}

static bool any_eyes(const bc_match *match) {
  bc_verdict verdict;
  for (size_t row = 0; row < match->cloth_count; row++)
    for (size_t i = 0; i < match->piece_count; i++)
      if (drawing_board_worse_to(&match->cloths[row], i, &verdict) != BC_VISION_USUAL) return true;
  return false;
}

void drawing_board_lay_out(board *b) {
  const size_t pieces = b->match->piece_count;
  b->blocks = (pieces + MOST_COLUMNS - 1) / MOST_COLUMNS;
  b->columns = (pieces + b->blocks - 1) / b->blocks;
  b->distances = any_distance(b->match);
  b->eyes = any_eyes(b->match);
  b->caption = 1.5 + BOARD_LINE * (3 + (b->distances ? 1 : 0) + (b->eyes ? 1 : 0));
  const double columns = (double)b->columns, fill = (WIDTH_WANTED - 2 * BOARD_MARGIN - BOARD_SIDE) / columns - GAP;
  b->cell = fmin(46, fmax(21, fill));
  b->photos = b->cell + BOARD_LINE + 4;
  b->width = fmax(210, 2 * BOARD_MARGIN + BOARD_SIDE + columns * (b->cell + GAP));
  b->height = 2 * BOARD_MARGIN + HEAD + (b->sheets ? 1 : (double)b->blocks) * block_height(b);
}

drawing_rect drawing_board_cell(const board *b, size_t row, size_t piece) {
  const double down = b->sheets ? 0 : (double)(piece / b->columns) * block_height(b);
  const double across = BOARD_MARGIN + BOARD_SIDE + (double)(piece % b->columns) * (b->cell + GAP);
  /* The cloths' names stand where reading begins, and the pieces follow them. */
  return (drawing_rect){bc_language_right_to_left() ? b->width - across - b->cell : across,
                        BOARD_MARGIN + HEAD + down + NAMES + b->photos + (double)row * row_height(b), b->cell, b->cell};
}

drawing_rect drawing_board_photo(const board *b, size_t piece) {
  drawing_rect cell = drawing_board_cell(b, 0, piece);
  cell.y -= b->photos;
  return cell;
}

size_t drawing_board_first(const board *b, size_t block) {
  return block * b->columns;
}
size_t drawing_board_end(const board *b, size_t block) {
  const size_t end = (block + 1) * b->columns;
  return end < b->match->piece_count ? end : b->match->piece_count;
}
