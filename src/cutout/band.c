/* SPDX-License-Identifier: MIT */
/* From the answer on the grid to one on the image's pixels: decided again near the outline, and where pixels contradict
 * their cell (thin parts), by mixtures of Gaussians learned from pixels. Follows refine.c; soft_edge.c makes the result
 * soft. Source of cutting on a band: Lombaert, Sun, Grady and Xu, "A multilevel banded graph cuts method", ICCV 2005.
 */
#include "base/base.h"
#include "base/parallel.h"
#include "base/vectors.h"
#include "guess.h"
#include "pixels.h"

#include <stdlib.h>
#include <string.h>

static const float most_pull = 100.0f; /* nats that colour may say */
static const float border_by_guess =
    0.3f;                               /* of a border's cost: a guess says where not to spill; our choice, measured */
static const float least_doubt = 0.03f; /* of a guess, for a pixel to be decided again */
static const float doubtful = 0.2f;     /* share of a cell's pixels that contradict it; our choice, measured */

typedef struct band {
  const cutout_scene *scene;
  const bc_image *image;
  const bc_box *box;    /* in the image's pixels */
  int *cell_x, *cell_y; /* the cell of each column and row */
  uint8_t *piece, *open_cell;
  int16_t *pull;          /* of each pixel, as flow */
  float *cost[2][2];      /* of a row: as background, as piece; for each half of the work */
  int *against, *pixels;  /* of each cell: pixels that contradict it, and all */
  cutout_mixture *of;     /* background, piece */
  const float *guess;     /* of each pixel; NULL: none */
  const uint8_t *touched; /* cells that a stroke changed; NULL: everything is new */
  uint8_t *near_touched;  /* and cells round about */
  bc_box part;            /* the pixels of the box that can change */
} band;

static int cell_of(const band *b, int x, int y) {
  return b->cell_y[y] * b->scene->grid.width + b->cell_x[x];
}

/* ---- cells and their pixels ---- */

/* Where the cell of column x ends, not beyond `right`. */
static int end_of_cell(const band *b, int x, int right) {
  const int cell = b->cell_x[x];
  while (x < right && b->cell_x[x] == cell) x++;
  return x;
}

static void take_pieces(band *b) {
  const bc_image *image = b->image;
  const bc_box *box = b->box;
  for (int y = 0; y < image->height; y++) {
    uint8_t *row = b->piece + (size_t)y * (size_t)image->width;
    const bool inside = y >= box->y && y < box->y + box->height;
    for (int x = 0, end; x < image->width; x = end) {
      end = end_of_cell(b, x, x < box->x ? box->x : x < box->x + box->width ? box->x + box->width : image->width);
      const int cell = cell_of(b, x, y);
      if (b->touched && !b->near_touched[cell]) continue;
      memset(row + x, inside && x >= box->x && x < box->x + box->width && b->scene->piece[cell], (size_t)(end - x));
    }
  }
}

/* ---- the guess ---- */

/* Whether the guess is heard in a cell: not where the user has marked it or strokes speak. */
static bool hears(const band *b, int cell) {
  const cutout_scene *s = b->scene;
  return s->fixed[cell] == CUTOUT_OPEN && !(s->said && (s->said[cell] > 1 || s->said[cell] < -1)) &&
         !(b->touched && !b->near_touched[cell]);
}

/* What the guess leaves no doubt of is decided. */
static void obey(const band *b) {
  const int right = b->part.x + b->part.width;
  for (int y = b->part.y; y < b->part.y + b->part.height; y++) {
    const size_t row = (size_t)y * (size_t)b->image->width;
    for (int x = b->part.x, end; x < right; x = end) {
      end = end_of_cell(b, x, right);
      if (!hears(b, cell_of(b, x, y))) continue;
      for (int i = x; i < end; i++)
        if (cutout_guess_is_sure(b->guess[row + (size_t)i]))
          b->piece[row + (size_t)i] = b->guess[row + (size_t)i] > 0.5f;
    }
  }
}

/* What the guess says against the background. */
static void add_guess(const band *b, int y, float *background) {
  const float *guess = b->guess + (size_t)y * (size_t)b->image->width + (size_t)b->part.x;
  for (int x = 0; x < b->part.width; x++)
    if (!cutout_guess_is_sure(guess[x]) && hears(b, cell_of(b, b->part.x + x, y)))
      background[x] += b->scene->stiffness * cutout_guess_word(guess[x], b->scene->hearing);
}

/* ---- pulls ---- */

/* From costs to the pull, in nats and as flow. */
BC_WIDER_VECTORS
static void set_pulls(int16_t *restrict flow, float *restrict background, const float *restrict piece, float bias,
                      size_t count) {
  for (size_t x = 0; x < count; x++) {
    background[x] += bias - piece[x];
    flow[x] = (int16_t)cutout_flow_pull(background[x], most_pull);
  }
}

/* Counts the pixels of a row that contradict their cell, from their pulls. */
static void count_against(band *b, int y, const float *pull) {
  const int left = b->part.x, right = left + b->part.width;
  for (int x = left, end; x < right; x = end) {
    const int cell = cell_of(b, x, y);
    int for_piece = 0;
    end = end_of_cell(b, x, right);
    for (int i = x; i < end; i++) for_piece += pull[i - left] > b->scene->bias;
    b->pixels[cell] += end - x;
    b->against[cell] += b->scene->piece[cell] ? end - x - for_piece : for_piece;
  }
}

/* What strokes say for the piece counts against the background. */
static void add_word(const band *b, int y, float *background) {
  const cutout_scene *scene = b->scene;
  if (!scene->said) return;
  for (int x = 0; x < b->part.width; x++) background[x] += scene->stiffness * scene->said[cell_of(b, b->part.x + x, y)];
}

static void set_pull_in(band *b, int top, int bottom, float *cost[2]) {
  const bc_image *image = b->image;
  const size_t count = (size_t)b->part.width;
  for (int y = top; y < bottom; y++) {
    const size_t from = (size_t)y * (size_t)image->width + (size_t)b->part.x;
    for (int side = 0; side < 2; side++)
      cutout_mixture_costs(&b->of[side], image->L + from, image->a + from, image->b + from, count, cost[side]);
    add_word(b, y, cost[0]);
    if (b->guess) add_guess(b, y, cost[0]);
    set_pulls(b->pull + from, cost[0], cost[1], b->scene->bias, count);
    count_against(b, y, cost[0]);
  }
}

/* The halves share no row of cells, which both would count in. */
static void set_pull_half(void *cargo, int half) {
  band *b = cargo;
  const int bottom = b->part.y + b->part.height;
  int middle = b->part.y + b->part.height / 2;
  while (middle > b->part.y && middle < bottom && b->cell_y[middle] == b->cell_y[middle - 1]) middle++;
  set_pull_in(b, half ? middle : b->part.y, half ? bottom : middle, b->cost[half]);
}

/* The pull of every pixel in the box; counts the pixels that contradict their cell. */
static void set_pull(band *b) {
  base_do_both(set_pull_half, b);
}

/* ---- which pixels are open ---- */

/* Cells that differ from a neighbour or are in doubt, and their neighbours. */
static void open_cells(band *b) {
  const cutout_grid *grid = &b->scene->grid;
  const uint8_t *piece = b->scene->piece;
  for (int y = 0; y < grid->height; y++)
    for (int x = 0; x < grid->width; x++) {
      const int i = y * grid->width + x;
      const bool right = x + 1 < grid->width && piece[i] != piece[i + 1];
      const bool below = y + 1 < grid->height && piece[i] != piece[i + grid->width];
      const bool doubt = b->against[i] > 0 && (float)b->against[i] >= doubtful * (float)b->pixels[i];
      if (right || below || doubt) cutout_grid_mark(b->open_cell, grid, x, y, 1);
      if (right) cutout_grid_mark(b->open_cell, grid, x + 1, y, 1);
      if (below) cutout_grid_mark(b->open_cell, grid, x, y + 1, 1);
    }
  for (size_t i = 0; i < grid->count; i++)
    if ((b->scene->marked && b->scene->marked[i]) || (b->touched && !b->near_touched[i])) b->open_cell[i] = 0;
}

static void open_pixels(band *b) {
  for (int y = b->part.y; y < b->part.y + b->part.height; y++) {
    uint8_t *row = b->piece + (size_t)y * (size_t)b->image->width;
    const int right = b->part.x + b->part.width;
    for (int x = b->part.x, end; x < right; x = end) {
      end = end_of_cell(b, x, right);
      const int cell = cell_of(b, x, y);
      if (b->open_cell[cell]) {
        for (int i = x; i < end; i++) row[i] |= CUTOUT_UNDECIDED;
      } else if (b->guess && hears(b, cell)) {
        const float *guess = b->guess + (size_t)y * (size_t)b->image->width;
        for (int i = x; i < end; i++)
          if (guess[i] > least_doubt && guess[i] < 1 - least_doubt) row[i] |= CUTOUT_UNDECIDED;
      }
    }
  }
}

/* ---- after a stroke ---- */

/* A stroke changes pixels within so many cells of the cells that it changed. */
enum { around = 3 };

static void set_near_touched(band *b) {
  const cutout_grid *grid = &b->scene->grid;
  for (int y = 0; y < grid->height; y++)
    for (int x = 0; x < grid->width; x++)
      if (b->touched[y * grid->width + x]) cutout_grid_mark(b->near_touched, grid, x, y, around);
}

/* The smallest part of the box that holds all pixels that can change. */
static void set_part(band *b) {
  b->part = *b->box;
  if (!b->touched) return;
  int left = b->box->x + b->box->width, right = b->box->x, top = b->box->y + b->box->height, bottom = b->box->y;
  for (int y = b->box->y; y < b->box->y + b->box->height; y++)
    for (int x = b->box->x; x < b->box->x + b->box->width; x++) {
      if (!b->near_touched[cell_of(b, x, y)]) continue;
      if (x < left) left = x;
      if (x >= right) right = x + 1;
      if (y < top) top = y;
      if (y >= bottom) bottom = y + 1;
    }
  b->part = right > left ? (bc_box){left, top, right - left, bottom - top} : (bc_box){b->box->x, b->box->y, 0, 0};
}

/* ---- the whole ---- */

static void set_cells(band *b) {
  const cutout_grid *grid = &b->scene->grid;
  const bc_image *image = b->image;
  for (int x = 0; x < image->width; x++) b->cell_x[x] = (int)(((int64_t)(x + 1) * grid->width - 1) / image->width);
  for (int y = 0; y < image->height; y++) b->cell_y[y] = (int)(((int64_t)(y + 1) * grid->height - 1) / image->height);
}

static bool allocate(band *b) {
  const size_t cells = b->scene->grid.count, width = (size_t)b->image->width, height = (size_t)b->image->height;
  bool ready = (b->cell_x = bc_allocate(width, sizeof(int))) != NULL;
  ready = (b->cell_y = bc_allocate(height, sizeof(int))) != NULL && ready;
  ready = (b->open_cell = bc_allocate(cells, 1)) != NULL && ready;
  ready = (b->near_touched = bc_allocate(cells, 1)) != NULL && ready;
  ready = (b->against = bc_allocate(cells, sizeof(int))) != NULL && ready;
  ready = (b->pixels = bc_allocate(cells, sizeof(int))) != NULL && ready;
  ready = (b->pull = base_allocate_large(width * height, sizeof *b->pull)) != NULL && ready;
  for (int k = 0; k < 4; k++) ready = (b->cost[k / 2][k % 2] = bc_allocate(width, sizeof(float))) != NULL && ready;
  return ready;
}

static void release(band *b) {
  free(b->cell_x);
  free(b->cell_y);
  free(b->open_cell);
  free(b->near_touched);
  free(b->against);
  free(b->pixels);
  free(b->pull);
  for (int k = 0; k < 4; k++) free(b->cost[k / 2][k % 2]);
}

static bc_status decide(band *b, bc_context *context) {
  set_pull(b);
  open_cells(b);
  open_pixels(b);
  if (b->guess) obey(b);
  const float softer = b->guess ? border_by_guess : 1;
  return cutout_cut_pixels(b->piece, context, b->image, b->pull, softer * b->scene->stiffness);
}

bc_status cutout_band(uint8_t *piece, bc_context *context, cutout_mixture of[2], const cutout_band_input *from) {
  band b = {.scene = from->scene,
            .image = from->image,
            .box = from->box,
            .guess = from->guess,
            .piece = piece,
            .of = of,
            .touched = from->touched};
  bc_status status = allocate(&b) ? BC_OK : bc_fail_memory(context);
  if (status == BC_OK) {
    set_cells(&b);
    if (b.touched) set_near_touched(&b);
    set_part(&b);
    take_pieces(&b);
    if (b.guess) obey(&b);
    if (!b.touched) status = cutout_band_learn(of, context, piece, from);
  }
  if (status == BC_OK && b.of[0].count > 0 && b.of[1].count > 0) status = decide(&b, context);
  release(&b);
  return status;
}
