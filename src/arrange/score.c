/* SPDX-License-Identifier: MIT */
/* What a composed wall is worth: named parts 0..1 from one pass over the pairs of pieces.
 * docs/method/arrange.md gives each formula and the reason for each constant. */
#include "arrange_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* The share of each part; they sum to 1. Our choice: what a visitor sees first weighs most. */
static const double weights[BC_ARRANGE_PARTS] = {
    [BC_PART_FOCUS] = 0.13,    [BC_PART_CLEAR] = 0.08,    [BC_PART_SIGHT] = 0.12, [BC_PART_BALANCE] = 0.11,
    [BC_PART_SYMMETRY] = 0.08, [BC_PART_LINES] = 0.10,    [BC_PART_GAPS] = 0.07,  [BC_PART_SPACING] = 0.05,
    [BC_PART_ORDER] = 0.05,    [BC_PART_TOGETHER] = 0.07, [BC_PART_SEEN] = 0.04,  [BC_PART_STYLE] = 0.10,
};

double bc_arrange_weight(bc_arrange_part part) {
  return weights[part];
}

/* Centres within a millimetre count as one line: a tape is read no finer. */
#define ON_LINE 1
/* Pieces that overlap at least so much sideways (or up) are neighbours of one row (or column). */
#define NEIGHBOUR_SHARE 0.3

static int least(int a, int b) {
  return a < b ? a : b;
}
static int most(int a, int b) {
  return a > b ? a : b;
}
static double unit(double value) {
  return value < 0 ? 0 : value > 1 ? 1 : value;
}

/* One placed piece, side by side in memory, with what the pass over the pairs gathers for it. */
typedef struct notes_of {
  int x, y, half_w, half_h, carrier;
  bool leader, hangs, grouped; /* grouped: its group has been looked at */
  double weight, area;
  int right, up;    /* gap to its neighbour to the right and above, INT32_MAX none */
  int near;         /* to the nearest piece in any direction */
  double mirror;    /* how far from having a mirror image, 0..1 */
  int line, column; /* shares a level, an upright: 0 no, 4 an edge, 5 the centre */
  int level_with;   /* how many others hang on its centre line */
} notes_of;

/* A fast pass needs no allocation up to here. */
#define USUAL 64

typedef struct pass {
  const arr_problem *problem;
  const arr_layout *layout;
  bc_arrange_style style;
  notes_of *notes;
  int *placed; /* items that have a place */
  int count;
  double order_good, order_all;
} pass;

static double smaller_of(double a, double b) {
  return a < b ? a : b;
}
static double larger_of(double a, double b) {
  return a > b ? a : b;
}

static int line_share(int a_mid, int a_half, int b_mid, int b_half) {
  const int off = abs(a_mid - b_mid);
  if (off <= ON_LINE) return 5;
  return abs(off - abs(a_half - b_half)) <= ON_LINE ? 4 : 0; /* upper or lower edges in line */
}

static void mirror(const pass *p, notes_of *a, notes_of *b) {
  const int off = abs(a->x + b->x - 2 * p->problem->focus_x) + abs(a->y - b->y);
  if (off >= 400) return; /* 20 cm aside on each: no mirror image to the eye */
  const double larger = larger_of(a->weight, b->weight), smaller = smaller_of(a->weight, b->weight);
  const double value = off / 400.0 + 0.5 * (1 - smaller / larger);
  a->mirror = smaller_of(a->mirror, value);
  b->mirror = smaller_of(b->mirror, value);
}

/* Larger pieces belong above smaller ones; the leader has its own place. On a corner stand the larger also belong
 * nearer to the open side, where they call people in from the aisle, and the smaller inside, where someone minds them:
 * common practice, no source. */
static void order(pass *p, const notes_of *a, const notes_of *b) {
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

static void neighbours(notes_of *a, notes_of *b, int across, int upright) {
  if (upright < 0 && -upright >= NEIGHBOUR_SHARE * 2 * least(a->half_h, b->half_h)) {
    notes_of *left = a->x < b->x ? a : b;
    left->right = least(left->right, across);
  }
  if (across < 0 && -across >= NEIGHBOUR_SHARE * 2 * least(a->half_w, b->half_w)) {
    notes_of *lower = a->y < b->y ? a : b;
    lower->up = least(lower->up, upright);
  }
}

static void pair(pass *p, notes_of *a, notes_of *b) {
  const int across = abs(a->x - b->x) - a->half_w - b->half_w;
  const int upright = abs(a->y - b->y) - a->half_h - b->half_h;
  const int apart = most(across, upright);
  a->near = least(a->near, apart);
  b->near = least(b->near, apart);
  mirror(p, a, b);
  order(p, a, b);
  if (a->carrier == b->carrier && !a->leader && !b->leader) neighbours(a, b, across, upright);
  const int level = line_share(a->y, a->half_h, b->y, b->half_h);
  const int column = line_share(a->x, a->half_w, b->x, b->half_w);
  if (level == 5 && a->hangs && b->hangs) {
    a->level_with++;
    b->level_with++;
  }
  a->line = most(a->line, level);
  b->line = most(b->line, level);
  a->column = most(a->column, column);
  b->column = most(b->column, column);
}

/* --- parts from what the pass gathered -------------------------------------------------------------- */

/* Evenness of the gaps of one direction among what shares a carrier: 1 - mean deviation / mean. */
typedef struct evenness {
  double sum, deviation;
  int count;
} evenness;

static int gap_of(const notes_of *note, bool level) {
  return level ? note->right : note->up;
}

static double even(const pass *p, bool level, int carrier, int *count) {
  evenness e = {0};
  for (int pass_number = 0; pass_number < 2; pass_number++)
    for (int i = 0; i < p->count; i++) {
      const int gap = gap_of(&p->notes[i], level);
      if (gap == INT32_MAX) continue;
      if (p->notes[i].carrier != carrier) continue;
      /* Beyond four gaps pieces no longer read as neighbours; the spacing part sees to that. */
      const double g = least(gap, most(4 * p->problem->gap, 400));
      if (pass_number == 0) {
        e.sum += g;
        e.count++;
      } else {
        e.deviation += fabs(g - e.sum / e.count);
      }
    }
  *count = e.count > 1 ? e.count : 0;
  return *count > 0 && e.sum > 0 ? unit(1 - e.deviation / e.sum) : 1;
}

static double gaps(const pass *p) {
  double sum = 0;
  int all = 0;
  for (int carrier = 0; carrier < (int)p->problem->carrier_count; carrier++)
    for (int level = 0; level < 2; level++) {
      int count;
      const double value = even(p, level == 1, carrier, &count);
      sum += value * count;
      all += count;
    }
  return all > 0 ? sum / all : 1;
}

/* Distance from the focus of the middle of all leaders. A quarter of the wall away counts as lost. */
/* Whoever has a statement piece and leaves it off has nothing in the focus. */
static bool leader_left_off(const pass *p) {
  for (size_t i = 0; i < p->problem->plan->piece_count; i++)
    if (p->problem->plan->pieces[i].role == BC_ROLE_STATEMENT) return true;
  return false;
}

static double focus(const pass *p) {
  int x0 = INT32_MAX, x1 = INT32_MIN, y0 = INT32_MAX, y1 = INT32_MIN;
  for (int i = 0; i < p->count; i++) {
    const arr_item *item = &p->problem->items[p->placed[i]];
    const arr_spot *spot = &p->layout->spot[p->placed[i]];
    if (!item->leader) continue;
    x0 = least(x0, spot->x - item->half_w);
    x1 = most(x1, spot->x + item->half_w);
    y0 = least(y0, spot->y - item->half_h);
    y1 = most(y1, spot->y + item->half_h);
  }
  if (x0 > x1) return leader_left_off(p) ? 0 : 1;
  const double dx = fabs((x0 + x1) / 2.0 - p->problem->focus_x) / (p->problem->width / 4.0);
  const double y = (y0 + y1) / 2.0, half_band = (p->problem->sight_high - p->problem->sight_low) / 2.0;
  const double dy = half_band > 0 ? fabs(y - p->problem->focus_y) / half_band : 0;
  /* Height matters less than the middle: the eye travels up and down a wall more readily than off it. */
  return unit(1 - dx - 0.3 * dy);
}

int arr_moat(const arr_problem *problem, const arr_item *leader, bc_arrange_style style) {
  const int side = 2 * least(leader->half_w, leader->half_h);
  switch (style) {
  case BC_ARRANGE_SATELLITES:
    return most(5 * problem->gap / 2, side / 4);
  case BC_ARRANGE_LEVEL_ROWS:
    return 2 * problem->gap;
  default:
    return 3 * problem->gap / 2;
  }
}

static double clear(const pass *p) {
  double worst = 1;
  for (int i = 0; i < p->count; i++) {
    const arr_item *leader = &p->problem->items[p->placed[i]];
    if (!leader->leader) continue;
    const arr_spot *at = &p->layout->spot[p->placed[i]];
    const double wanted = arr_moat(p->problem, leader, p->style);
    for (int j = 0; j < p->count && wanted > 0; j++) {
      const arr_item *item = &p->problem->items[p->placed[j]];
      const arr_spot *spot = &p->layout->spot[p->placed[j]];
      if (item->leader) continue;
      const int across = abs(at->x - spot->x) - leader->half_w - item->half_w;
      const int upright = abs(at->y - spot->y) - leader->half_h - item->half_h;
      worst = fmin(worst, most(across, upright) / wanted);
    }
  }
  return unit(worst);
}

/* What is smaller than this is looked at from near, and wants the eye's own height: common practice, no source. */
#define SMALL_HALF 75

/* 1 within the band of heights where a piece is looked at, 0 half a metre outside it; a small piece has the band
 * without its lowest quarter, and 20 cm are too far. */
static double in_sight(const arr_problem *problem, const arr_item *item, int y) {
  const bool small = most(item->half_w, item->half_h) < SMALL_HALF;
  const int low = problem->sight_low + (small ? (problem->sight_high - problem->sight_low) / 4 : 0);
  const int off = most(0, most(low - y, y - problem->sight_high));
  return unit(1 - off / (small ? 200.0 : 500.0));
}

/* Half by visual weight, half by heads: else a jewel might hang anywhere beside large pieces. */
static double sight(const pass *p) {
  double weighed = 0, weight = 0, heads = 0;
  int count = 0;
  for (int i = 0; i < p->count; i++) {
    const arr_item *item = &p->problem->items[p->placed[i]];
    if (item->where != ARR_HANGING) continue;
    const double value = in_sight(p->problem, item, p->layout->spot[p->placed[i]].y);
    weighed += item->weight * value;
    weight += item->weight;
    heads += value;
    count++;
  }
  return weight > 0 ? 0.5 * weighed / weight + 0.5 * heads / count : 1;
}

/* The centre of visual weight off the middle; 15 % of the wall's width is plainly lopsided. */
static double balance(const pass *p) {
  double moment = 0, all = 0;
  for (int i = 0; i < p->count; i++) {
    const arr_item *item = &p->problem->items[p->placed[i]];
    moment += item->weight * (p->layout->spot[p->placed[i]].x - p->problem->focus_x);
    all += item->weight;
  }
  return all > 0 ? unit(1 - fabs(moment) / all / (0.15 * p->problem->width)) : 1;
}

/* Symmetry, lines and spacing are means over pieces; what is kept or has one place only counts too,
 * since the rest is composed round it. */
static void means(const pass *p, double part[BC_ARRANGE_PARTS]) {
  double mirror_sum = 0, weight_sum = 0, lines = 0, spacing = 0;
  const int gap = most(p->problem->gap, 20);
  for (int i = 0; i < p->count; i++) {
    const notes_of *note = &p->notes[i];
    const arr_item *item = &p->problem->items[p->placed[i]];
    const arr_spot *spot = &p->layout->spot[p->placed[i]];
    mirror_sum += item->weight * (1 - note->mirror);
    weight_sum += item->weight;
    lines += 0.16 * most(note->line, note->column) + 0.04 * least(note->line, note->column);
    /* The nearest neighbour is best within three gaps (the leader's clear space is its own), and is
     * no company at ten; an edge nearer than a gap presses. */
    const double near = item->leader || note->near == INT32_MAX ? 1 : unit(1 - (note->near - 3.0 * gap) / (7.0 * gap));
    const int edge = least(spot->x - item->half_w, p->problem->width - spot->x - item->half_w);
    spacing += 0.7 * near + 0.3 * unit((double)edge / gap);
  }
  part[BC_PART_SYMMETRY] = weight_sum > 0 ? mirror_sum / weight_sum : 1;
  part[BC_PART_LINES] = p->count > 1 ? lines / p->count : 1;
  part[BC_PART_SPACING] = p->count > 0 ? spacing / p->count : 1;
}

/* How near the members of a group are to one another, and whether strangers stand among them. */
static double one_group(const pass *p, int group, int *members) {
  double x = 0, y = 0, area = 0, spread = 0;
  int n = 0, x0 = INT32_MAX, x1 = INT32_MIN, y0 = INT32_MAX, y1 = INT32_MIN, strangers = 0;
  for (int i = 0; i < p->count; i++) {
    notes_of *note = &p->notes[i];
    if (p->problem->items[p->placed[i]].group != group) continue;
    note->grouped = true;
    n++;
    x += note->x;
    y += note->y;
    area += (2.0 * note->half_w + p->problem->gap) * (2.0 * note->half_h + p->problem->gap);
    x0 = least(x0, note->x);
    x1 = most(x1, note->x);
    y0 = least(y0, note->y);
    y1 = most(y1, note->y);
  }
  *members = n;
  if (n < 2) return 1;
  for (int i = 0; i < p->count; i++) {
    const notes_of *note = &p->notes[i];
    if (p->problem->items[p->placed[i]].group == group)
      spread += sqrt((note->x - x / n) * (note->x - x / n) + (note->y - y / n) * (note->y - y / n)) / n;
    else
      strangers += note->x >= x0 && note->x <= x1 && note->y >= y0 && note->y <= y1;
  }
  /* Points of a square lie 0.383 of its side from its centre on average; a row of three or four
   * pieces lies up to twice as far, and still reads as one group. */
  const double ideal = 2 * 0.383 * sqrt(area);
  return unit(smaller_of(1, ideal / larger_of(spread, 1)) - (double)strangers / (n + strangers));
}

static double together(const pass *p) {
  double sum = 0;
  int all = 0;
  for (int i = 0; i < p->count; i++) {
    const int group = p->problem->items[p->placed[i]].group;
    int members = 0;
    if (group < 0 || p->notes[i].grouped) continue;
    const double value = one_group(p, group, &members);
    sum += value * members;
    all += members;
  }
  return all > 0 ? sum / all : 1;
}

/* Share of the visual weight on the wall that a visitor in front of the middle sees past tables and
 * what stands on them. A thing at distance z from the wall and height y hides, on the wall, what lies
 * on the same ray from the eye: scaled from the eye's foot by d / (d - z). */
static double seen(const pass *p) {
  const arr_problem *problem = p->problem;
  double hidden = 0, all = 0;
  for (int i = 0; i < p->count; i++) {
    const arr_item *item = &problem->items[p->placed[i]];
    if (item->where == ARR_TABLE || item->where == ARR_FLOOR) continue;
    const arr_spot *at = &p->layout->spot[p->placed[i]];
    double covered = most(0, least(problem->table, at->y + item->half_h) - (at->y - item->half_h)) * 2.0 * item->half_w;
    if (problem->plan->table_count == 0) covered = 0;
    for (int j = 0; j < p->count; j++) {
      const arr_item *front = &problem->items[p->placed[j]];
      if (front->where != ARR_TABLE) continue;
      const arr_spot *spot = &p->layout->spot[p->placed[j]];
      const bc_table *table = arr_carrier_table(problem, problem->lanes[spot->lane].carrier);
      const double out = table ? table->from_wall + table->depth / 2 : 0;
      const double z = fmin((problem->options.table_back + out) * ARR_MM, 0.9 * problem->eye_distance);
      const double k = problem->eye_distance / (problem->eye_distance - z);
      const double cx = problem->focus_x + (spot->x - problem->focus_x) * k;
      const double top = problem->eye_height + (spot->y + front->half_h - problem->eye_height) * k;
      const double bottom = problem->eye_height + (spot->y - front->half_h - problem->eye_height) * k;
      const double w =
          fmin(at->x + item->half_w, cx + front->half_w * k) - fmax(at->x - item->half_w, cx - front->half_w * k);
      const double h = fmin(at->y + item->half_h, top) - fmax(at->y - item->half_h, bottom);
      if (w > 0 && h > 0) covered += w * h;
    }
    const double area = 4.0 * item->half_w * item->half_h;
    hidden += item->weight * fmin(1, covered / area);
    all += item->weight;
  }
  return all > 0 ? 1 - hidden / all : 1;
}

/* Outline of what hangs free of carriers, and what the styles ask about it. */
typedef struct outline {
  int count, x0, x1, y0, y1;
  double area;    /* of pieces, half the gap about each */
  double in_rows; /* share that hangs in a row of three or more */
  double alone;   /* share whose level is shared by its mirror image at most */
} outline;

static outline outline_of(const pass *p) {
  outline o = {0, INT32_MAX, INT32_MIN, INT32_MAX, INT32_MIN, 0, 0, 0};
  int free = 0;
  for (int i = 0; i < p->count; i++) o.count += p->problem->items[p->placed[i]].where == ARR_HANGING;
  const int row = least(2, o.count - 1);
  for (int i = 0; i < p->count; i++) {
    const arr_item *item = &p->problem->items[p->placed[i]];
    const arr_spot *spot = &p->layout->spot[p->placed[i]];
    if (item->where != ARR_HANGING) continue;
    const int gap = p->problem->gap;
    o.area += (2.0 * item->half_w + gap) * (2.0 * item->half_h + gap);
    o.x0 = least(o.x0, spot->x - item->half_w);
    o.x1 = most(o.x1, spot->x + item->half_w);
    o.y0 = least(o.y0, spot->y - item->half_h);
    o.y1 = most(o.y1, spot->y + item->half_h);
    if (item->leader) continue;
    free++;
    /* A pair either side of the leader is a row too, if a short one. */
    o.in_rows += p->notes[i].level_with >= row ? 1 : p->notes[i].level_with > 0 ? 0.7 : 0;
    o.alone += p->notes[i].level_with <= 1;
  }
  if (free > 0) {
    o.in_rows /= free;
    o.alone /= free;
  } else {
    o.in_rows = o.alone = 1;
  }
  return o;
}

/* True to its way of composing: rows are rows, satellites come in pairs at heights of their own, a
 * group fills its outline, which is no longer than about two squares. */
static double in_style(const pass *p, const double part[BC_ARRANGE_PARTS]) {
  const outline o = outline_of(p);
  if (o.count == 0) return 1;
  if (p->style == BC_ARRANGE_LEVEL_ROWS) return o.in_rows;
  if (p->style == BC_ARRANGE_SATELLITES)
    return 0.4 * part[BC_PART_CLEAR] + 0.2 * part[BC_PART_SYMMETRY] + 0.4 * o.alone;
  const double width = o.x1 - o.x0 + p->problem->gap, height = o.y1 - o.y0 + p->problem->gap;
  const double aspect = fmax(width, height) / fmin(width, height);
  return unit(o.area / (width * height) / 0.9) * unit(1 - (aspect - 2) / 4);
}

double arr_weigh(const double part[BC_ARRANGE_PARTS], bool with_style) {
  double sum = 0, all = 0;
  for (int i = 0; i < BC_ARRANGE_PARTS; i++) {
    if (i == BC_PART_STYLE && !with_style) continue;
    sum += weights[i] * part[i];
    all += weights[i];
  }
  return sum / all;
}

static notes_of first_notes(const arr_problem *problem, const arr_spot *spot, const arr_item *item) {
  const int off = 2 * abs(spot->x - problem->focus_x);
  return (notes_of){
      .x = spot->x,
      .y = spot->y,
      .half_w = item->half_w,
      .half_h = item->half_h,
      .carrier = problem->lanes[spot->lane].carrier,
      .leader = item->leader,
      .hangs = item->where == ARR_HANGING,
      .weight = item->weight,
      .area = item->area,
      .right = INT32_MAX,
      .up = INT32_MAX,
      .near = INT32_MAX,
      /* A piece on the wall's axis is its own mirror image and stands on a line. */
      .mirror = smaller_of(1, off / 400.0),
      .column = off <= 2 ? 5 : 0,
  };
}

double arr_score(const arr_problem *problem, const arr_layout *layout, bc_arrange_style style,
                 double part[BC_ARRANGE_PARTS]) {
  notes_of usual_notes[USUAL];
  int usual_placed[USUAL];
  double own[BC_ARRANGE_PARTS];
  if (!part) part = own;
  const bool many = problem->count > USUAL;
  pass p = {.problem = problem, .layout = layout, .style = style, .notes = usual_notes, .placed = usual_placed};
  if (many) {
    p.notes = malloc(problem->count * sizeof *p.notes);
    p.placed = malloc(problem->count * sizeof *p.placed);
  }
  for (int i = 0; i < BC_ARRANGE_PARTS; i++) part[i] = 0;
  if (!p.notes || !p.placed) { /* a layout that cannot be judged is never chosen */
    free(p.notes);
    free(p.placed);
    return 0;
  }
  for (size_t i = 0; i < problem->count; i++)
    if (layout->spot[i].lane >= 0) p.placed[p.count++] = (int)i;
  for (int i = 0; i < p.count; i++)
    p.notes[i] = first_notes(problem, &layout->spot[p.placed[i]], &problem->items[p.placed[i]]);
  for (int i = 0; i < p.count; i++)
    for (int j = i + 1; j < p.count; j++) pair(&p, &p.notes[i], &p.notes[j]);
  means(&p, part);
  part[BC_PART_FOCUS] = focus(&p);
  part[BC_PART_CLEAR] = clear(&p);
  part[BC_PART_SIGHT] = sight(&p);
  part[BC_PART_BALANCE] = balance(&p);
  part[BC_PART_GAPS] = gaps(&p);
  part[BC_PART_ORDER] = p.order_all > 0 ? p.order_good / p.order_all : 1;
  part[BC_PART_TOGETHER] = together(&p);
  part[BC_PART_SEEN] = seen(&p);
  part[BC_PART_STYLE] = in_style(&p, part);
  if (many) {
    free(p.notes);
    free(p.placed);
  }
  return arr_weigh(part, true);
}

/* How like another layout it is: 1 when every free piece lies where some piece lies there, 0 when they
 * lie 20 cm off or more on average. Which piece it is doesn't matter: the eye sees the pattern. */
static double likeness(const arr_problem *problem, const arr_layout *layout, const arr_spot *other) {
  double sum = 0;
  int count = 0;
  for (size_t i = 0; i < problem->count; i++) {
    const arr_spot *a = &layout->spot[i];
    if (problem->items[i].kept || problem->items[i].leader || a->lane < 0) continue;
    if (problem->lanes[a->lane].carrier != 0) continue;
    int nearest = 400;
    for (size_t j = 0; j < problem->count; j++)
      if (other[j].lane >= 0) nearest = least(nearest, abs(a->x - other[j].x) + abs(a->y - other[j].y));
    sum += nearest;
    count++;
  }
  return count > 0 ? unit(1 - sum / count / 200) : 0;
}

/* What likeness may cost: as much as being true to a way of composing is worth. */
#define LIKENESS_COST 0.1

double arr_value(const arr_problem *problem, const arr_layout *layout, bc_arrange_style style) {
  double value = arr_score(problem, layout, style, NULL) - 10 * arr_lost(problem, layout);
  for (int i = 0; i < problem->unlike_count; i++)
    value -= LIKENESS_COST * likeness(problem, layout, problem->unlike[i]);
  return value;
}
