/* SPDX-License-Identifier: MIT */
/* Specks that the cut of the pixels left far from the piece: a few bright pixels along a table's edge would stretch the
 * piece's box over the whole photo. Follows band.c; what regions.c is for a grid. Our own rule. */
#include "base/base.h"
#include "grid_answer.h"
#include "pixels.h"

#include <stdlib.h>

static const double speck_share = 0.001; /* of the largest part: less than a link of a fine chain; our choice */

static const float likely = 0.1f; /* by a guess coarser than what is thin */

typedef struct specks {
  const cutout_grid *grid;
  const bc_image *image;
  uint8_t *piece;
  uint8_t *occupied; /* cells that hold any pixel of the piece: parts whose cells touch are one */
  size_t *pixels;    /* of the piece, in each cell */
  cutout_regions parts;
  const float *guess; /* may be NULL */
} specks;

static size_t count_cell(const specks *s, int x, int y, bool clear) {
  const cutout_grid *grid = s->grid;
  const int left = cutout_cell_edge(x, grid->width, s->image->width);
  const int right = cutout_cell_edge(x + 1, grid->width, s->image->width);
  const int bottom = cutout_cell_edge(y + 1, grid->height, s->image->height);
  size_t count = 0;
  for (int row = cutout_cell_edge(y, grid->height, s->image->height); row < bottom; row++) {
    uint8_t *pixel = s->piece + (size_t)row * (size_t)s->image->width;
    for (int column = left; column < right; column++) {
      count += pixel[column];
      if (clear) pixel[column] = 0;
    }
  }
  return count;
}

static void count_cells(const specks *s) {
  for (int y = 0; y < s->grid->height; y++)
    for (int x = 0; x < s->grid->width; x++) {
      const size_t i = (size_t)y * (size_t)s->grid->width + (size_t)x;
      s->pixels[i] = count_cell(s, x, y, false);
      s->occupied[i] = s->pixels[i] > 0;
    }
}

/* Whether the pixels of the piece in a cell are so by the guess. */
static bool is_guessed(const specks *s, size_t cell) {
  const int x = (int)cell % s->grid->width, y = (int)cell / s->grid->width, width = s->image->width;
  const int right = cutout_cell_edge(x + 1, s->grid->width, width);
  const int bottom = cutout_cell_edge(y + 1, s->grid->height, s->image->height);
  for (int row = cutout_cell_edge(y, s->grid->height, s->image->height); row < bottom; row++)
    for (int column = cutout_cell_edge(x, s->grid->width, width); column < right; column++) {
      const size_t i = (size_t)row * (size_t)width + (size_t)column;
      if (s->piece[i] && s->guess[i] > likely) return true;
    }
  return false;
}

typedef struct part_facts {
  size_t pixels;
  bool marked; /* by the user, who knows better, or likely by a guess */
} part_facts;

static part_facts *count_parts(const specks *s, const uint8_t *marked) {
  part_facts *facts = bc_allocate(s->parts.count, sizeof *facts);
  for (size_t i = 0; facts && i < s->grid->count; i++) {
    part_facts *of = &facts[s->parts.label[i]];
    of->pixels += s->pixels[i];
    of->marked = of->marked || (marked && marked[i]) || (s->guess && s->pixels[i] > 0 && is_guessed(s, i));
  }
  return facts;
}

static void drop(const specks *s, const part_facts *facts) {
  size_t largest = 0; /* parts without the piece have no pixels of it */
  for (size_t p = 0; p < s->parts.count; p++)
    if (facts[p].pixels > largest) largest = facts[p].pixels;
  for (int y = 0; y < s->grid->height; y++)
    for (int x = 0; x < s->grid->width; x++) {
      const part_facts *of = &facts[s->parts.label[y * s->grid->width + x]];
      if (!of->marked && (double)of->pixels < speck_share * (double)largest) count_cell(s, x, y, true);
    }
}

bc_status cutout_specks_drop(uint8_t *piece, bc_context *context, const bc_image *image, const cutout_scene *scene,
                             const float *guess) {
  specks s = {.grid = &scene->grid, .image = image, .piece = piece, .guess = guess};
  s.occupied = bc_allocate(s.grid->count, 1);
  s.pixels = bc_allocate(s.grid->count, sizeof *s.pixels);
  if (!s.occupied || !s.pixels) {
    free(s.pixels);
    free(s.occupied);
    return bc_fail_memory(context);
  }
  count_cells(&s);
  bc_status status = cutout_regions_new(&s.parts, context, s.occupied, s.grid->width, s.grid->height);
  part_facts *facts = status == BC_OK ? count_parts(&s, scene->marked) : NULL;
  if (status == BC_OK && !facts) status = bc_fail_memory(context);
  if (status == BC_OK) drop(&s, facts);
  free(facts);
  cutout_regions_clear(&s.parts);
  free(s.pixels);
  free(s.occupied);
  return status;
}
