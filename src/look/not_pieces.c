/* SPDX-License-Identifier: MIT */
/* Things that are no pieces on the wall: a table before it and what stands on that, a chair, the board of a shelf. They
 * are named, and what they were joined to comes apart. In: labelled parts. Out: bc_look.things, cells of the class
 * LOOK_THING. docs/method/look.md. */
#include "pieces_internal.h"

#include "base/maths.h"
#include <math.h>
#include <stdlib.h>

#define FOOT 0.03       /* of the wall's height: what reaches so low stands before the wall */
#define STANDS_CM 125.0 /* what stands before a wall looks no higher than this */
#define TABLE_CM 55.0   /* a level top so wide is a table's */
#define LEVEL_CM 3.0    /* its columns' tops lie so near one level */
#define LEAST_TOP 0.3   /* of its breadth that must show the level */
#define ON_TABLE_CM 5.0 /* what rises more above the top stands on it */
#define BOARD_CM 14.0   /* a board with the shadow beneath is no thicker */
#define BOARD_LEVEL_CM 1.2
#define BOARD_WIDE_CM 28.0
#define BOARD_SHOWN_CM 10.0 /* of a board that must be seen with nothing on it */

typedef struct column {
  int top, bottom; /* of the part, cells; top > bottom: none */
} column;

typedef struct work {
  look_search *s;
  column *column; /* of the part at hand, one for each cell across */
  double cm;      /* of a cell */
  int32_t number;
} work;

static void add_thing(const work *w, bc_look_thing_kind kind, look_part box) {
  bc_look *const look = w->s->look;
  const look_ground *const g = w->s->ground;
  if (look->thing_count == BC_LOOK_THINGS) return;
  const double x = look->width_cm / g->width, y = look->height_cm / g->height;
  look->things[look->thing_count++] = (bc_look_thing){kind, box.left * x, look->height_cm - (box.bottom + 1) * y,
                                                      (box.right - box.left + 1) * x, (box.bottom - box.top + 1) * y};
}

static void read_columns(work *w, const look_part *p) {
  const look_ground *const g = w->s->ground;
  for (int x = p->left; x <= p->right; x++) {
    w->column[x] = (column){g->height, -1};
    for (int y = p->top; y <= p->bottom; y++) {
      if (w->s->label[(size_t)y * (size_t)g->width + (size_t)x] != w->number) continue;
      w->column[x].top = base_least(w->column[x].top, y);
      w->column[x].bottom = y;
    }
  }
}

/* Cells of the part within the box become a thing's. */
static void take(const work *w, look_part box) {
  look_ground *const g = w->s->ground;
  for (int y = box.top; y <= box.bottom; y++)
    for (int x = box.left; x <= box.right; x++) {
      const size_t i = (size_t)y * (size_t)g->width + (size_t)x;
      if (w->s->label[i] == w->number || g->class[i] != LOOK_GROUND) g->class[i] = LOOK_THING;
    }
}

/* The level that most columns' tops share; returns how many. */
static int shared_top(const work *w, const look_part *p, int *level) {
  const int near = base_most(1, (int)(LEVEL_CM / w->cm / 2));
  int most = 0;
  for (int y = p->top; y <= p->bottom; y++) {
    int count = 0;
    for (int x = p->left; x <= p->right; x++) count += abs(w->column[x].top - y) <= near;
    if (count <= most) continue;
    most = count;
    *level = y;
  }
  return most;
}

/* What rises above a table's top: each unbroken stretch is a thing on it. */
static void name_on_table(const work *w, const look_part *p, int level) {
  const int least = (int)(ON_TABLE_CM / w->cm);
  look_part box = {0};
  bool open = false;
  for (int x = p->left; x <= p->right + 1; x++) {
    const bool high = x <= p->right && w->column[x].bottom >= 0 && level - w->column[x].top > least;
    if (high && !open) box = (look_part){.left = x, .top = w->column[x].top, .right = x, .bottom = level};
    if (high) {
      box.right = x;
      box.top = base_least(box.top, w->column[x].top);
    }
    if (open && !high) add_thing(w, BC_LOOK_ON_TABLE, box);
    open = high;
  }
}

static bool stands_before(const work *w, const look_part *p) {
  const look_ground *const g = w->s->ground;
  const double foot = g->height - 1 - LOOK_BORDER - FOOT * g->height;
  return p->bottom >= foot && (g->height - p->top) * w->cm < STANDS_CM + 60;
}

static bool name_table(work *w, const look_part *p) {
  const look_ground *const g = w->s->ground;
  int level = 0;
  const int wide = shared_top(w, p, &level), breadth = p->right - p->left + 1;
  if (wide * w->cm < TABLE_CM || wide < LEAST_TOP * breadth || (g->height - level) * w->cm > STANDS_CM) return false;
  add_thing(w, BC_LOOK_TABLE, (look_part){.left = p->left, .top = level, .right = p->right, .bottom = p->bottom});
  name_on_table(w, p, level);
  take(w, *p);
  return true;
}

static void name_standing(work *w, const look_part *p) {
  const look_ground *const g = w->s->ground;
  if (name_table(w, p)) return;
  if ((g->height - p->top) * w->cm > STANDS_CM) return; /* as high as that it hangs, however low it reaches */
  add_thing(w, BC_LOOK_BEFORE, *p);
  take(w, *p);
}

/* ---- a shelf's board: thin and long where nothing stands on it ---- */

static int by_number(const void *first, const void *second) {
  return *(const int *)first - *(const int *)second;
}

static void name_board(work *w, const look_part *p) {
  const int thick = (int)(BOARD_CM / w->cm);
  int *const tops = w->s->queue, *const bottoms = tops + (p->right - p->left + 1);
  int thin = 0, tall = 0, left = p->right, right = p->left;
  for (int x = p->left; x <= p->right; x++) {
    const column c = w->column[x];
    if (c.bottom < c.top) continue;
    if (c.bottom - c.top + 1 > thick) {
      tall++;
      continue;
    }
    tops[thin] = c.top;
    bottoms[thin++] = c.bottom;
    left = base_least(left, x);
    right = base_most(right, x);
  }
  if (thin * w->cm < BOARD_SHOWN_CM || (p->right - p->left) * w->cm < BOARD_WIDE_CM || tall * w->cm < 4) return;
  qsort(tops, (size_t)thin, sizeof *tops, by_number);
  qsort(bottoms, (size_t)thin, sizeof *bottoms, by_number);
  const int top = tops[thin / 2], bottom = bottoms[thin / 2], near = base_most(1, (int)(BOARD_LEVEL_CM / w->cm));
  int level = 0, over = 0, stands = 0;
  for (int i = 0; i < thin; i++) level += abs(tops[i] - top) <= near;
  for (int x = p->left; x <= p->right; x++) over += w->column[x].top < top - 2 && w->column[x].bottom >= top - 1;
  for (int x = p->left; x <= p->right; x++) /* what stands on a board ends where the board does */
    stands += w->column[x].bottom - w->column[x].top + 1 > thick && abs(w->column[x].bottom - bottom) <= near;
  if (stands < 0.8 * tall || level < 0.85 * thin || over * w->cm < 4)
    return; /* nothing stands on it: a long thin piece */
  const look_part board = {.left = p->left, .top = top, .right = p->right, .bottom = base_most(bottom, p->bottom)};
  if ((board.bottom - board.top) * w->cm > 2 * BOARD_CM) return;
  add_thing(w, BC_LOOK_SHELF, (look_part){.left = p->left, .top = top, .right = p->right, .bottom = bottom});
  take(w, board);
}

bool look_things_find(look_search *s) {
  const look_ground *const g = s->ground;
  work w = {.s = s, .cm = g->cell / s->look->pixels_per_cm, .column = bc_allocate((size_t)g->width, sizeof *w.column)};
  if (!w.column) return false;
  for (size_t i = 0; i < s->count; i++) {
    const look_part *const p = &s->parts[i];
    w.number = (int32_t)i;
    if ((p->right - p->left + 1) * w.cm < 6 || (p->bottom - p->top + 1) * w.cm < 3) continue;
    read_columns(&w, p);
    if (stands_before(&w, p))
      name_standing(&w, p);
    else
      name_board(&w, p);
  }
  free(w.column);
  return true;
}
