/* SPDX-License-Identifier: MIT */
/* What two pieces are to each other: neighbours, on one line, mirror images, the larger above. */
#include "score_pass.h"

#include "base/maths.h"

#include <math.h>
#include <stdlib.h>

/* Centres within a millimetre count as one line: a tape is read no finer. */
#define ON_LINE 1
/* Pieces that overlap at least so much sideways (or up) are neighbours of one row (or column). */
#define NEIGHBOUR_SHARE 0.3

static int line_share(int a_mid, int a_half, int b_mid, int b_half) {
  const int off = abs(a_mid - b_mid);
  if (off <= ON_LINE) return 5;
  return abs(off - abs(a_half - b_half)) <= ON_LINE ? 4 : 0; /* upper or lower edges in line */
}

static void mirror(const arr_pass *p, arr_note *a, arr_note *b) {
  const int off = abs(a->x + b->x - 2 * p->problem->focus_x) + abs(a->y - b->y);
  if (off >= 400) return; /* 20 cm aside on each: no mirror image to the eye */
  const double larger = fmax(a->weight, b->weight), smaller = fmin(a->weight, b->weight);
  const double value = off / 400.0 + 0.5 * (1 - smaller / larger);
  a->mirror = fmin(a->mirror, value);
  b->mirror = fmin(b->mirror, value);
}

/* Larger pieces belong above smaller ones; the leader has its own place. On a corner stand the larger also belong
 * nearer to the open side, where they call people in from the aisle, and the smaller inside, where someone minds them:
 * common practice, no source. */
static void order(arr_pass *p, const arr_note *a, const arr_note *b) {
  if (a->leader || b->leader || !a->hangs || !b->hangs) return;
  if (a->area < 1.3 * b->area && b->area < 1.3 * a->area) return;
  const int above = a->y - b->y;
  if (abs(above) >= 50) { /* not the same row */
    p->order_all += 1;
    p->order_good += (above > 0) == (a->area > b->area);
  }
  const int nearer = (a->x - b->x) * p->problem->open_way;
  if (abs(nearer) >= 50) {
    p->order_all += 1;
    p->order_good += (nearer > 0) == (a->area > b->area);
  }
}

static void neighbours(arr_note *a, arr_note *b, int across, int upright) {
  if (upright < 0 && -upright >= NEIGHBOUR_SHARE * 2 * base_least(a->half_h, b->half_h)) {
    arr_note *left = a->x < b->x ? a : b;
    left->right = base_least(left->right, across);
  }
  if (across < 0 && -across >= NEIGHBOUR_SHARE * 2 * base_least(a->half_w, b->half_w)) {
    arr_note *lower = a->y < b->y ? a : b;
    lower->up = base_least(lower->up, upright);
  }
}

void arr_pair(arr_pass *p, arr_note *a, arr_note *b) {
  const int across = abs(a->x - b->x) - a->half_w - b->half_w;
  const int upright = abs(a->y - b->y) - a->half_h - b->half_h;
  const int apart = base_most(across, upright);
  a->near = base_least(a->near, apart);
  b->near = base_least(b->near, apart);
  mirror(p, a, b);
  order(p, a, b);
  if (a->carrier == b->carrier && !a->leader && !b->leader) neighbours(a, b, across, upright);
  const int level = line_share(a->y, a->half_h, b->y, b->half_h);
  const int column = line_share(a->x, a->half_w, b->x, b->half_w);
  if (level == 5 && a->hangs && b->hangs) {
    a->level_with++;
    b->level_with++;
  }
  a->line = base_most(a->line, level);
  b->line = base_most(b->line, level);
  a->column = base_most(a->column, column);
  b->column = base_most(b->column, column);
}
