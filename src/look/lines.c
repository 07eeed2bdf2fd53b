/* SPDX-License-Identifier: MIT */
/* Sweeps all lines through a vanishing point over the picture. At each place of a line colours on both sides are
 * compared twice: close to the line, where an edge is sharp, and over a wide strip, over which a cloth's pattern evens
 * out. In: small photo, family. Out: lines. docs/method/look.md. */
#include "lines.h"

#include "base/maths.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define STEP 1.5       /* pixels between lines */
#define BEYOND 0.3     /* of the picture's breadth that lines may cross the middle beyond its border */
#define NEAR_REACH 3.5 /* pixels: half the strip beside the line */
#define WIDE_REACH 22.0
#define GAP 1.0   /* pixels of the edge itself, left out on either side */
#define LEAST 1.6 /* change that begins to tell an edge, and what makes it certain: L*, a*, b* */
#define CERTAIN 5.0
#define ASIDE 4.0 /* pixels: of lines so near each other the best stands for all */

static double change(const double a[3], const double b[3]) {
  return sqrt((a[0] - b[0]) * (a[0] - b[0]) + (a[1] - b[1]) * (a[1] - b[1]) + (a[2] - b[2]) * (a[2] - b[2]));
}

/* Colours both sides of (x, y), n at right angles to the line, over strips of that reach. */
static double change_across(const look_small *s, bc_look_point at, bc_look_point n, double reach, bool level) {
  const bc_look_point box = level ? (bc_look_point){NEAR_REACH + 2, reach} : (bc_look_point){reach, NEAR_REACH + 2};
  const double off = reach + GAP;
  double in[3], out[3];
  if (!look_small_mean(in, s, at.x + off * n.x, at.y + off * n.y, box)) return 0;
  if (!look_small_mean(out, s, at.x - off * n.x, at.y - off * n.y, box)) return 0;
  return change(in, out);
}

static bc_look_point place_on(const look_lines *lines, const look_line *l, double t) {
  const double along = t * lines->length;
  return lines->level ? (bc_look_point){along, -(l->line[0] * along + l->line[2]) / l->line[1]}
                      : (bc_look_point){-(l->line[1] * along + l->line[2]) / l->line[0], along};
}

static void look_at_line(look_line *l, const look_small *s, const look_lines *lines) {
  const double size = hypot(l->line[0], l->line[1]);
  const bc_look_point n = {l->line[0] / size, l->line[1] / size};
  for (int i = 0; i < LOOK_LINE_PLACES; i++) {
    const bc_look_point at = place_on(lines, l, (i + 0.5) / LOOK_LINE_PLACES);
    l->edge[i] = 0;
    if (!(at.x >= 0 && at.y >= 0 && at.x < s->width && at.y < s->height)) continue;
    const double sharp = change_across(s, at, n, NEAR_REACH, lines->level);
    if (sharp <= LEAST) continue;
    const double wide = change_across(s, at, n, WIDE_REACH, lines->level);
    l->edge[i] = (float)fmin(sharp, 1.5 * wide);
  }
}

/* Where a neighbouring line has more of the edge, this one has none of it. */
static void thin_out(look_line *all, int count) {
  const int reach = (int)ceil(ASIDE / STEP);
  float(*kept)[LOOK_LINE_PLACES] = bc_allocate((size_t)count, sizeof *kept);
  if (!kept) return;
  for (int l = 0; l < count; l++)
    for (int i = 0; i < LOOK_LINE_PLACES; i++) {
      float most = 0;
      for (int k = base_most(0, l - reach); k <= base_least(count - 1, l + reach); k++)
        most = fmaxf(most, all[k].edge[i]);
      kept[l][i] = all[l].edge[i] >= 0.8F * most ? all[l].edge[i] : 0;
    }
  for (int l = 0; l < count; l++) {
    all[l].weight = 0;
    for (int i = 0; i < LOOK_LINE_PLACES; i++) {
      all[l].edge[i] = (float)base_unit(((double)kept[l][i] - LEAST) / (CERTAIN - LEAST));
      all[l].sum[i] = (float)all[l].weight;
      all[l].weight += (double)all[l].edge[i];
    }
    all[l].sum[LOOK_LINE_PLACES] = (float)all[l].weight;
  }
  free(kept);
}

static int by_place(const void *first, const void *second) {
  const look_line *const a = first, *const b = second;
  return a->at < b->at ? -1 : a->at > b->at;
}

/* The best, none of them near a better one. */
static void choose(look_lines *out, look_line *all, int count) {
  while (out->count < LOOK_LINES_MOST) {
    int best = -1;
    for (int l = 0; l < count; l++)
      if (all[l].weight > 3 && (best < 0 || all[l].weight > all[best].weight)) best = l;
    if (best < 0) break;
    out->list[out->count++] = all[best];
    const double at = all[best].at;
    for (int l = 0; l < count; l++)
      if (fabs(all[l].at - at) < ASIDE) all[l].weight = 0;
  }
  qsort(out->list, (size_t)out->count, sizeof *out->list, by_place);
}

bc_status look_lines_find(look_lines *out, bc_context *context, const look_small *small, const look_family *family,
                          bool level) {
  *out = (look_lines){.level = level, .length = level ? small->width : small->height};
  if (!(family->weight > 0)) return BC_OK;
  const double half = hypot(small->width, small->height) / 2, breadth = level ? small->height : small->width;
  const double point[3] = {family->point[0] * half + family->point[2] * small->width / 2.0,
                           family->point[1] * half + family->point[2] * small->height / 2.0, family->point[2]};
  const int count = (int)(breadth * (1 + 2 * BEYOND) / STEP);
  look_line *all = bc_allocate((size_t)count, sizeof *all);
  if (!all) return bc_fail_memory(context);
  for (int l = 0; l < count; l++) {
    all[l].at = -BEYOND * breadth + l * STEP;
    const double through[3] = {level ? small->width / 2.0 : all[l].at, level ? all[l].at : small->height / 2.0, 1};
    look_cross(all[l].line, point, through);
    look_at_line(&all[l], small, out);
  }
  thin_out(all, count);
  choose(out, all, count);
  free(all);
  return BC_OK;
}

double look_line_share(const look_lines *lines, const look_line *line, double from, double to) {
  const double scale = LOOK_LINE_PLACES / lines->length;
  const int a = base_most(0, base_least(LOOK_LINE_PLACES, (int)lround(fmin(from, to) * scale)));
  const int b = base_most(0, base_least(LOOK_LINE_PLACES, (int)lround(fmax(from, to) * scale)));
  return b > a ? (double)(line->sum[b] - line->sum[a]) / (b - a) : 0;
}
