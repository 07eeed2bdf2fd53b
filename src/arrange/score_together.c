/* SPDX-License-Identifier: MIT */
/* Parts of the score that say how pieces go together: gaps, lines, mirror images, groups, the style. */
#include "score_pass.h"

#include "base/maths.h"

#include <math.h>
#include <stdlib.h>

/* Evenness of the gaps of one direction among what shares a carrier: 1 - mean deviation / mean. */
typedef struct evenness {
  double sum, deviation;
  int count;
} evenness;

static int gap_of(const arr_note *note, bool level) {
  return level ? note->right : note->up;
}

static double even(const arr_pass *p, bool level, int carrier, int *count) {
  evenness e = {0};
  for (int pass_number = 0; pass_number < 2; pass_number++)
    for (int i = 0; i < p->count; i++) {
      const int gap = gap_of(&p->notes[i], level);
      if (gap == INT32_MAX) continue;
      if (p->notes[i].carrier != carrier) continue;
      /* Beyond four gaps pieces no longer read as neighbours; the spacing part sees to that. */
      const double g = base_least(gap, base_most(4 * p->problem->gap, 400));
      if (pass_number == 0) {
        e.sum += g;
        e.count++;
      } else {
        e.deviation += fabs(g - e.sum / e.count);
      }
    }
  *count = e.count > 1 ? e.count : 0;
  return *count > 0 && e.sum > 0 ? base_unit(1 - e.deviation / e.sum) : 1;
}

double arr_part_gaps(const arr_pass *p) {
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

#define MARGIN 10 /* a tenth of the wall */

/* Symmetry, lines and spacing are means over pieces; what is kept or has one place only counts too,
 * since the rest is composed round it. */
void arr_part_means(const arr_pass *p, double part[BC_ARRANGE_PARTS]) {
  double mirror_sum = 0, weight_sum = 0, lines = 0, spacing = 0;
  const int gap = base_most(p->problem->gap, 20);
  for (int i = 0; i < p->count; i++) {
    const arr_note *note = &p->notes[i];
    const arr_item *item = &p->problem->items[p->placed[i]];
    const arr_spot *spot = &p->layout->spot[p->placed[i]];
    mirror_sum += item->weight * (1 - note->mirror);
    weight_sum += item->weight;
    lines += 0.16 * base_most(note->line, note->column) + 0.04 * base_least(note->line, note->column);
    /* The nearest neighbour is best within two gaps (the leader's clear space is its own), and is no company at
     * eight. What is nearer to one another than to what surrounds it is seen as one (proximity: Wertheimer,
     * Psychologische Forschung 4, 1923), so the margin wants to be wider than the gaps: a tenth of the wall. */
    const double near =
        item->leader || note->near == INT32_MAX ? 1 : base_unit(1 - (note->near - 2.0 * gap) / (6.0 * gap));
    const int edge = base_least(spot->x - item->half_w, p->problem->width - spot->x - item->half_w);
    spacing += 0.5 * near + 0.5 * base_unit((double)edge / base_most(gap, p->problem->width / MARGIN));
  }
  part[BC_PART_SYMMETRY] = weight_sum > 0 ? mirror_sum / weight_sum : 1;
  part[BC_PART_LINES] = p->count > 1 ? lines / p->count : 1;
  part[BC_PART_SPACING] = p->count > 0 ? spacing / p->count : 1;
}

/* What is measured of one group; folded: the wall's right half laid on its left, so that mirror images lie together. */
typedef struct crowd {
  int group, members, x0, x1, y0, y1;
  bool folded;
  double x, y, area;
} crowd;

static int across(const arr_pass *p, const crowd *c, const arr_note *note) {
  return c->folded ? abs(note->x - p->problem->focus_x) : note->x;
}

static bool belongs(const arr_pass *p, const crowd *c, int i) {
  return p->problem->items[p->placed[i]].group == c->group;
}

static void gather(const arr_pass *p, crowd *c) {
  c->x0 = c->y0 = INT32_MAX;
  c->x1 = c->y1 = INT32_MIN;
  for (int i = 0; i < p->count; i++) {
    arr_note *note = &p->notes[i];
    if (!belongs(p, c, i)) continue;
    const int x = across(p, c, note);
    note->grouped = true;
    c->members++;
    c->x += x;
    c->y += note->y;
    c->area += (2.0 * note->half_w + p->problem->gap) * (2.0 * note->half_h + p->problem->gap);
    c->x0 = base_least(c->x0, x);
    c->x1 = base_most(c->x1, x);
    c->y0 = base_least(c->y0, note->y);
    c->y1 = base_most(c->y1, note->y);
  }
}

/* How near the members of a group are to one another, and whether strangers stand among them. */
static double one_group(const arr_pass *p, int group, bool folded, int *members) {
  crowd c = {.group = group, .folded = folded};
  gather(p, &c);
  const int n = *members = c.members;
  if (n < 2) return 1;
  double spread = 0;
  int strangers = 0;
  for (int i = 0; i < p->count; i++) {
    const arr_note *note = &p->notes[i];
    const double x = across(p, &c, note), dx = x - c.x / n, dy = note->y - c.y / n;
    if (belongs(p, &c, i))
      spread += sqrt(dx * dx + dy * dy) / n;
    else
      strangers += x >= c.x0 && x <= c.x1 && note->y >= c.y0 && note->y <= c.y1;
  }
  /* Points of a square lie 0.383 of its side from its centre on average; a row of three or four
   * pieces lies up to twice as far, and still reads as one group. */
  const double ideal = 2 * 0.383 * sqrt(c.area);
  return base_unit(fmin(1, ideal / fmax(spread, 1)) - (double)strangers / (n + strangers));
}

double arr_part_together(const arr_pass *p) {
  double sum = 0;
  int all = 0;
  for (int i = 0; i < p->count; i++) {
    const arr_item *item = &p->problem->items[p->placed[i]];
    int members = 0;
    if (item->group < 0 || p->notes[i].grouped) continue;
    double value = one_group(p, item->group, false, &members);
    if (item->family) value = fmax(value, one_group(p, item->group, true, &members)); /* either side is together, too */
    sum += value * members;
    all += members;
  }
  return all > 0 ? sum / all : 1;
}

/* Outline of what hangs free of carriers, and what the styles ask about it. */
typedef struct outline {
  int count, x0, x1, y0, y1;
  double area;    /* of pieces, half the gap about each */
  double in_rows; /* share that hangs in a row of three or more */
  double alone;   /* share whose level is shared by its mirror image at most */
} outline;

static outline outline_of(const arr_pass *p) {
  outline o = {0, INT32_MAX, INT32_MIN, INT32_MAX, INT32_MIN, 0, 0, 0};
  int free = 0;
  for (int i = 0; i < p->count; i++) o.count += p->problem->items[p->placed[i]].where == ARR_HANGING;
  const int row = base_least(2, o.count - 1);
  for (int i = 0; i < p->count; i++) {
    const arr_item *item = &p->problem->items[p->placed[i]];
    const arr_spot *spot = &p->layout->spot[p->placed[i]];
    if (item->where != ARR_HANGING) continue;
    const int gap = p->problem->gap;
    o.area += (2.0 * item->half_w + gap) * (2.0 * item->half_h + gap);
    o.x0 = base_least(o.x0, spot->x - item->half_w);
    o.x1 = base_most(o.x1, spot->x + item->half_w);
    o.y0 = base_least(o.y0, spot->y - item->half_h);
    o.y1 = base_most(o.y1, spot->y + item->half_h);
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
double arr_part_style(const arr_pass *p, const double part[BC_ARRANGE_PARTS]) {
  const outline o = outline_of(p);
  if (o.count == 0) return 1;
  if (p->style == BC_ARRANGE_LEVEL_ROWS) return o.in_rows;
  if (p->style == BC_ARRANGE_SATELLITES)
    return 0.4 * part[BC_PART_CLEAR] + 0.2 * part[BC_PART_SYMMETRY] + 0.4 * o.alone;
  const double width = o.x1 - o.x0 + p->problem->gap, height = o.y1 - o.y0 + p->problem->gap;
  const double aspect = fmax(width, height) / fmin(width, height);
  return base_unit(o.area / (width * height) / 0.9) * base_unit(1 - (aspect - 2) / 4);
}
