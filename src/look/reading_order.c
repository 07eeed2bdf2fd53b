/* SPDX-License-Identifier: MIT */
/* Pieces in the order in which one reads. In: places. Out: bc_look.pieces sorted. */
#include "pieces_internal.h"

#include <stdlib.h>

static int before(const void *first, const void *second) {
  const bc_look_piece *const a = first, *const b = second;
  return a->y_cm > b->y_cm ? -1 : a->y_cm < b->y_cm;
}

/* Rows from the top, each from left to right: a row holds the pieces whose middles lie above the lower edge of its
 * first. */
void look_pieces_order(bc_look *look) {
  qsort(look->pieces, look->piece_count, sizeof *look->pieces, before);
  for (size_t first = 0; first < look->piece_count;) {
    size_t last = first + 1;
    const double edge = look->pieces[first].y_cm - look->pieces[first].height_cm / 2;
    while (last < look->piece_count && look->pieces[last].y_cm >= edge) last++;
    for (size_t i = first + 1; i < last; i++)
      for (size_t k = i; k > first && look->pieces[k - 1].x_cm > look->pieces[k].x_cm; k--) {
        const bc_look_piece keep = look->pieces[k];
        look->pieces[k] = look->pieces[k - 1];
        look->pieces[k - 1] = keep;
      }
    first = last;
  }
}
