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
    /* The nearest neighbour is best within three gaps (the leader's clear space is its own), and is
     * no company at ten; an edge nearer than a gap presses. */
    const double near =
        item->leader || note->near == INT32_MAX ? 1 : base_unit(1 - (note->near - 3.0 * gap) / (7.0 * gap));
    const int edge = base_least(spot->x - item->half_w, p->problem->width - spot->x - item->half_w);
    spacing += 0.7 * near + 0.3 * base_unit((double)edge / gap);
  }
  part[BC_PART_SYMMETRY] = weight_sum > 0 ? mirror_sum / weight_sum : 1;
  part[BC_PART_LINES] = p->count > 1 ? lines / p->count : 1;
  part[BC_PART_SPACING] = p->count > 0 ? spacing / p->count : 1;
}

/* How near the members of a group are to one another, and whether strangers stand among them. */
static double one_group(const arr_pass *p, int group, int *members) {
  double x = 0, y = 0, area = 0, spread = 0;
  int n = 0, x0 = INT32_MAX, x1 = INT32_MIN, y0 = INT32_MAX, y1 = INT32_MIN, strangers = 0;
  for (int i = 0; i < p->count; i++) {
    arr_note *note = &p->notes[i];
    if (p->problem->items[p->placed[i]].group != group) continue;
    note->grouped = true;
    n++;
    x += note->x;
    y += note->y;
    area += (2.0 * note->half_w + p->problem->gap) * (2.0 * note->half_h + p->problem->gap);
    x0 = base_least(x0, note->x);
    x1 = base_most(x1, note->x);
    y0 = base_least(y0, note->y);
    y1 = base_most(y1, note->y);
  }
  *members = n;
  if (n < 2) return 1;
  for (int i = 0; i < p->count; i++) {
    const arr_note *note = &p->notes[i];
    if (p->problem->items[p->placed[i]].group == group)
      spread += sqrt((note->x - x / n) * (note->x - x / n) + (note->y - y / n) * (note->y - y / n)) / n;
    else
      strangers += note->x >= x0 && note->x <= x1 && note->y >= y0 && note->y <= y1;
  }
  /* Points of a square lie 0.383 of its side from its centre on average; a row of three or four
   * pieces lies up to twice as far, and still reads as one group. */
  const double ideal = 2 * 0.383 * sqrt(area);
  return base_unit(fmin(1, ideal / fmax(spread, 1)) - (double)strangers / (n + strangers));
}

double arr_part_together(const arr_pass *p) {
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
