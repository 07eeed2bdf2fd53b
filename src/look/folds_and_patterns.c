/* SPDX-License-Identifier: MIT */
/* What covers a wall and is no piece: folds, which run from top to bottom, and a pattern, which comes again all over
 * it. In: the ground with its smooth model. Out: the model with folds in it; cells of the pattern back to bare wall.
 * docs/method/look.md. */
#include "look_internal.h"

#include "base/maths.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- folds: the median of lightness up and down a column ---- */

#define FOLD_REACH 0.3 /* of the wall's height, up and down: what is longer than twice this is a fold */
#define FOLD_STEP 6    /* cells between heights at which the median is taken */
#define FOLD_AB 6.0    /* a fold is of the cloth's own colour */
#define FOLD_MOST 32   /* L* that a fold is darker or lighter at most */
#define FOLD_SHARE 0.3 /* of the cells of a column that must show the cloth */
#define FOLD_LEAST 0.8 /* L*: spread of the medians below which there are no folds */

static double own_step(const look_ground *g, int x, int y) {
  const size_t i = (size_t)y * (size_t)g->width + (size_t)x;
  const double dl = (double)g->lab[0][i] - (double)g->model[0][i];
  const double shade = fmax(0.2, fmin(1.6, ((double)g->lab[0][i] + 16) / ((double)g->model[0][i] + 16)));
  const double ab = hypot((double)g->lab[1][i] - shade * (double)g->model[1][i],
                          (double)g->lab[2][i] - shade * (double)g->model[2][i]);
  return ab < FOLD_AB && fabs(dl) < FOLD_MOST ? dl : NAN;
}

/* To a quarter of L*; 0 where the cloth is hardly seen. */
static float median_about(const look_ground *g, int x, int y, int reach) {
  enum { PER = 4, BINS = 2 * FOLD_MOST * PER + 1 };
  int bin[BINS] = {0}, count = 0, all = 0;
  for (int to = base_most(0, y - reach); to <= base_least(g->height - 1, y + reach); to++, all++) {
    const double dl = own_step(g, x, to);
    if (isnan(dl)) continue;
    bin[(int)((dl + FOLD_MOST) * PER)]++;
    count++;
  }
  if (count < FOLD_SHARE * all) return 0;
  int sum = 0, at = 0;
  while (at < BINS && 2 * (sum += bin[at]) < count) at++;
  return (float)((at + 0.5) / PER - FOLD_MOST);
}

bool look_fold_in(look_ground *g) {
  const int rows = (g->height + FOLD_STEP - 1) / FOLD_STEP + 1, reach = (int)(FOLD_REACH * g->height);
  float *fold = bc_allocate((size_t)rows * (size_t)g->width, sizeof *fold);
  double square = 0;
  if (!fold) return false;
  for (int r = 0; r < rows; r++)
    for (int x = 0; x < g->width; x++) {
      const float here = median_about(g, x, base_least(g->height - 1, r * FOLD_STEP), reach);
      fold[(size_t)r * (size_t)g->width + (size_t)x] = here;
      square += (double)here * (double)here / ((double)rows * g->width);
    }
  for (int y = 0; sqrt(square) > FOLD_LEAST && y < g->height; y++)
    for (int x = 0; x < g->width; x++) {
      const int r = y / FOLD_STEP;
      const float part = (float)(y - r * FOLD_STEP) / FOLD_STEP;
      const float *const at = fold + (size_t)r * (size_t)g->width + (size_t)x;
      g->model[0][(size_t)y * (size_t)g->width + (size_t)x] += (1 - part) * at[0] + part * at[g->width];
    }
  free(fold);
  return true;
}

/* ---- a pattern: colours that are found all over the wall ---- */

enum { ACROSS = 12, DOWN = 10, BINS_L = 42, BINS_AB = 56 };
#define STEP_L 2.5
#define STEP_AB 3.0
#define IN_BLOCK 3      /* cells of a colour that make a block have it */
#define EVERYWHERE 0.42 /* of the blocks: a colour in so many is the cloth's */
#define PATTERNED 0.04  /* of the wall that must be of other colours of the cloth's, or it has no pattern */

typedef struct palette {
  uint16_t *count;     /* cells of each colour in the block at hand */
  uint8_t *blocks;     /* in how many blocks each colour is, its neighbours counted in */
  uint64_t (*seen)[2]; /* which */
  double mean;         /* of the model's lightness */
} palette;

static int clamped(double value, int bins) {
  return base_bounded_int((int)floor(value), 1, bins - 2);
}

/* The colour of a cell in even light, made `lighter` by that factor of light. */
static size_t colour_bin(const look_ground *g, const palette *p, size_t i, double lighter) {
  const double scale = (p->mean + 16) / fmax(8, (double)g->model[0][i] + 16) * cbrt(lighter);
  const int l = clamped((((double)g->lab[0][i] + 16) * scale - 16) / STEP_L, BINS_L);
  const int a = clamped((double)g->lab[1][i] * scale / STEP_AB + BINS_AB / 2.0, BINS_AB);
  const int b = clamped((double)g->lab[2][i] * scale / STEP_AB + BINS_AB / 2.0, BINS_AB);
  return ((size_t)l * BINS_AB + (size_t)a) * BINS_AB + (size_t)b;
}

static void count_block(const look_ground *g, palette *p, int block) {
  const int x0 = block % ACROSS * g->width / ACROSS, x1 = (block % ACROSS + 1) * g->width / ACROSS;
  const int y0 = block / ACROSS * g->height / DOWN, y1 = (block / ACROSS + 1) * g->height / DOWN;
  for (int pass = 0; pass < 2; pass++)
    for (int y = y0; y < y1; y++)
      for (int x = x0; x < x1; x++) {
        const size_t bin = colour_bin(g, p, (size_t)y * (size_t)g->width + (size_t)x, 1);
        if (!pass)
          p->count[bin]++;
        else if (p->count[bin] >= IN_BLOCK)
          p->seen[bin][block / 64] |= UINT64_C(1) << (block % 64);
      }
  for (int y = y0; y < y1; y++)
    for (int x = x0; x < x1; x++) p->count[colour_bin(g, p, (size_t)y * (size_t)g->width + (size_t)x, 1)] = 0;
}

static void spread(palette *p) {
  for (int l = 1; l < BINS_L - 1; l++)
    for (int a = 1; a < BINS_AB - 1; a++)
      for (int b = 1; b < BINS_AB - 1; b++) {
        uint64_t any[2] = {0, 0};
        for (int k = 0; k < 27; k++) {
          const size_t bin =
              ((size_t)(l + k / 9 - 1) * BINS_AB + (size_t)(a + k / 3 % 3 - 1)) * BINS_AB + (size_t)(b + k % 3 - 1);
          any[0] |= p->seen[bin][0];
          any[1] |= p->seen[bin][1];
        }
        p->blocks[((size_t)l * BINS_AB + (size_t)a) * BINS_AB + (size_t)b] =
            (uint8_t)(__builtin_popcountll(any[0]) + __builtin_popcountll(any[1]));
      }
}

static bool is_cloth(const look_ground *g, const palette *p, size_t i, double lighter) {
  return p->blocks[colour_bin(g, p, i, lighter)] >= EVERYWHERE * ACROSS * DOWN;
}

/* A shadow on the pattern: one of its colours with less light. */
static bool is_shaded_cloth(const look_ground *g, const palette *p, size_t i) {
  static const double lighter[] = {1.12, 1.25, 1.4, 1.6};
  for (size_t k = 0; k < sizeof lighter / sizeof *lighter; k++)
    if (is_cloth(g, p, i, lighter[k])) return true;
  return false;
}

static void discount(look_ground *g, const palette *p) {
  const size_t cells = (size_t)g->width * (size_t)g->height;
  size_t other = 0;
  for (size_t i = 0; i < cells; i++) other += g->class[i] != LOOK_GROUND && is_cloth(g, p, i, 1);
  g->patterned = (double)other > PATTERNED * (double)cells;
  if (!g->patterned) return;
  size_t bare = 0;
  for (size_t i = 0; i < cells; i++) {
    if (is_cloth(g, p, i, 1))
      g->class[i] = LOOK_GROUND;
    else if (is_shaded_cloth(g, p, i))
      g->class[i] = LOOK_PERHAPS;
    else
      g->class[i] = LOOK_PIECE;
    bare += g->class[i] == LOOK_GROUND;
  }
  g->share = (double)bare / (double)cells;
}

bool look_discount_pattern(look_ground *g) {
  const size_t bins = (size_t)BINS_L * BINS_AB * BINS_AB, cells = (size_t)g->width * (size_t)g->height;
  palette p = {.count = bc_allocate(bins, sizeof *p.count),
               .blocks = bc_allocate(bins, sizeof *p.blocks),
               .seen = bc_allocate(bins, sizeof *p.seen)};
  const bool room = p.count && p.blocks && p.seen;
  for (size_t i = 0; i < cells; i++) p.mean += (double)g->model[0][i] / (double)cells;
  for (int block = 0; room && block < ACROSS * DOWN; block++) count_block(g, &p, block);
  if (room) {
    spread(&p);
    discount(g, &p);
  }
  free(p.count);
  free(p.blocks);
  free(p.seen);
  return room;
}

/* ---- what is left of a pattern after that: specks ---- */

/* Opening by a square: what is narrower than 2 `reach` + 1 cells goes, the rest keeps its shape. */
bool look_drop_specks(look_ground *g, int reach) {
  const size_t cells = (size_t)g->width * (size_t)g->height;
  uint8_t *mask = bc_allocate(cells, 1);
  int *d = bc_allocate(cells, sizeof *d);
  const bool room = mask && d;
  if (room) {
    for (size_t i = 0; i < cells; i++) mask[i] = g->class[i] == LOOK_PIECE ? 255 : 0;
    look_distances(d, mask, false, g->width, g->height, 128);
    for (size_t i = 0; i < cells; i++) mask[i] = d[i] > 3 * reach ? 255 : 0;
    look_distances(d, mask, true, g->width, g->height, 128);
    for (size_t i = 0; i < cells; i++)
      if (g->class[i] != LOOK_GROUND && d[i] > 3 * (reach + 2)) g->class[i] = LOOK_GROUND;
  }
  free(mask);
  free(d);
  return room;
}
