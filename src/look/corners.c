/* SPDX-License-Identifier: MIT */
/* The wall's outline in a photo: of all quadrilaterals that two level and two upright edges make, the one whose sides
 * show most clearly as edges of one and the same wall.
 * In: image. Out: quadrilaterals with what speaks for them, the best first. docs/method/look.md. */
#include "corners.h"
#include "lines.h"

#include "base/maths.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define GUESSES 240      /* quadrilaterals that are looked at closely */
#define LEAST_AREA 0.08  /* of the photo */
#define LEAST_SIDE 0.25  /* share of an edge that the three sides above the floor need */
#define LEAST_PIXELS 480 /* longer side: smaller photos show too little */
#define PLACES 48        /* along a side, looked at closely */
#define INSIDE 11.0      /* pixels: middle and half of the strip inside a side */
#define COARSE 16        /* squares across and down that tell the wall's colour */
/* How unlike the wall's colour a place of it may be: light, shade and folds change lightness more than colour. */
#define ALIKE_L 26.0
#define ALIKE_AB 9.0
#define TOP_HEIGHT 1.9 /* a wall's height over its width, at most, and at least */
#define LOW_HEIGHT 0.3

/* Found by backcloth-bench look learn 30 outlines, on the scenes for learning. */
static const double weights[LOOK_SIGNS] = {0, 4.15, 2.07, 5.86, 2.13, -0.52, 7.48, -2.93, 0, 0, 8.64};
/* What has the same around it on all sides is a picture or a banner on a wall; and no wall is of an odd shape. */
#define AROUND_MOST 0.25
#define ODD_MOST 0.5
#define REFUSED 20.0 /* taken off the value */

typedef struct guess {
  int top, bottom, left, right;
  double value;
} guess;

typedef struct work {
  const look_small *small;
  look_lines level, upright;
  bc_look_point (*meet)[LOOK_LINES_MOST]; /* of each level with each upright line */
  guess guess[GUESSES];
  int guesses;
} work;

/* ---- all quadrilaterals ---- */

static bc_look_point crossing(const look_line *a, const look_line *b) {
  double p[3];
  look_cross(p, a->line, b->line);
  return (bc_look_point){p[0] / p[2], p[1] / p[2]};
}

static bool within(const work *w, bc_look_point p) {
  return isfinite(p.x) && isfinite(p.y) && p.x > -6 && p.y > -6 && p.x < w->small->width + 6 &&
         p.y < w->small->height + 6;
}

static void offer(work *w, guess g) {
  if (w->guesses == GUESSES && g.value <= w->guess[GUESSES - 1].value) return;
  int k = w->guesses < GUESSES ? w->guesses++ : GUESSES - 1;
  for (; k > 0 && w->guess[k - 1].value < g.value; k--) w->guess[k] = w->guess[k - 1];
  w->guess[k] = g;
}

static double area_of(const bc_look_point corner[BC_LOOK_CORNERS]) {
  double sum = 0;
  for (int i = 0; i < BC_LOOK_CORNERS; i++) {
    const bc_look_point a = corner[i], b = corner[(i + 1) % BC_LOOK_CORNERS];
    sum += (a.x * b.y - b.x * a.y) / 2;
  }
  return sum;
}

static void corners_of(bc_look_point corner[BC_LOOK_CORNERS], const work *w, const guess *g) {
  corner[BC_LOOK_TOP_LEFT] = w->meet[g->top][g->left];
  corner[BC_LOOK_TOP_RIGHT] = w->meet[g->top][g->right];
  corner[BC_LOOK_BOTTOM_RIGHT] = w->meet[g->bottom][g->right];
  corner[BC_LOOK_BOTTOM_LEFT] = w->meet[g->bottom][g->left];
}

/* The floor counts half: tables hide it. Of two that show alike the larger: a banner on the wall has four sides, too.
 */
static void judge_quickly(work *w, guess g) {
  bc_look_point c[BC_LOOK_CORNERS];
  corners_of(c, w, &g);
  for (int i = 0; i < BC_LOOK_CORNERS; i++)
    if (!within(w, c[i])) return;
  const double area = area_of(c) / ((double)w->small->width * w->small->height);
  if (area < LEAST_AREA) return;
  const double top = look_line_share(&w->level, &w->level.list[g.top], c[0].x, c[1].x);
  const double left = look_line_share(&w->upright, &w->upright.list[g.left], c[0].y, c[3].y);
  const double right = look_line_share(&w->upright, &w->upright.list[g.right], c[1].y, c[2].y);
  const double low = fmin(top, fmin(left, right));
  if (low < LEAST_SIDE) return;
  const double bottom = look_line_share(&w->level, &w->level.list[g.bottom], c[3].x, c[2].x);
  g.value = (0.5 * low + 0.3 * (top + left + right) / 3 + 0.2 * fmin(1, 2 * bottom)) * pow(area, 0.35);
  offer(w, g);
}

static void judge_all(work *w) {
  for (int t = 0; t < w->level.count; t++)
    for (int u = 0; u < w->upright.count; u++) w->meet[t][u] = crossing(&w->level.list[t], &w->upright.list[u]);
  for (int t = 0; t < w->level.count; t++)
    for (int b = t + 1; b < w->level.count; b++)
      for (int l = 0; l < w->upright.count; l++)
        for (int r = l + 1; r < w->upright.count; r++) judge_quickly(w, (guess){t, b, l, r, 0});
}

/* ---- one quadrilateral, closely ---- */

static int by_value(const void *first, const void *second) {
  const double a = *(const double *)first, b = *(const double *)second;
  return a < b ? -1 : a > b;
}

/* The wall's colour: the median of squares all over the quadrilateral. */
static bool colour_of(double wall[3], const work *w, const bc_look_point corner[BC_LOOK_CORNERS]) {
  static const bc_look_point square[BC_LOOK_CORNERS] = {{0, 0}, {1, 0}, {1, 1}, {0, 1}};
  bc_homography map;
  double seen[3][COARSE * COARSE];
  int count = 0;
  if (!bc_homography_fit(&map, square, corner, BC_LOOK_CORNERS)) return false;
  for (int i = 0; i < COARSE * COARSE; i++) {
    const bc_look_point at =
        bc_homography_apply(&map, (bc_look_point){(i % COARSE + 0.5) / COARSE, (i / COARSE + 0.5) / COARSE});
    double lab[3];
    if (!look_small_mean(lab, w->small, at.x, at.y, (bc_look_point){8, 8})) continue;
    for (int k = 0; k < 3; k++) seen[k][count] = lab[k];
    count++;
  }
  if (count < COARSE) return false;
  for (int k = 0; k < 3; k++) {
    qsort(seen[k], (size_t)count, sizeof seen[k][0], by_value);
    wall[k] = seen[k][count / 2];
  }
  return true;
}

static bool alike(const double lab[3], const double wall[3]) {
  return fabs(lab[0] - wall[0]) < ALIKE_L && hypot(lab[1] - wall[1], lab[2] - wall[2]) < ALIKE_AB;
}

typedef struct side_view {
  double own;       /* share of the side with wall inside */
  double edge;      /* of that, how much shows an edge */
  double beyond;    /* of that, how much has the same colour some way outside */
  double ends[2];   /* edge of its first and last sixth */
  double around[3]; /* mean colour some way outside */
} side_view;

/* Whether the same colour comes again some way outside: so it does where a cloth's pattern goes on. */
static bool goes_on(const work *w, bc_look_point at, bc_look_point n, const double in[3]) {
  static const double off[] = {20, 38, 60, 88};
  for (size_t k = 0; k < sizeof off / sizeof *off; k++) {
    double lab[3];
    const bc_look_point reach = {INSIDE - 2, INSIDE - 2};
    if (look_small_mean(lab, w->small, at.x - off[k] * n.x, at.y - off[k] * n.y, reach) && fabs(lab[0] - in[0]) < 4 &&
        hypot(lab[1] - in[1], lab[2] - in[2]) < 3)
      return true;
  }
  return false;
}

static void look_along(side_view *out, const work *w, const look_lines *lines, const look_line *line,
                       const bc_look_point ends[2], const double wall[3]) {
  const double length = hypot(ends[1].x - ends[0].x, ends[1].y - ends[0].y);
  const bc_look_point n = {-(ends[1].y - ends[0].y) / length, (ends[1].x - ends[0].x) / length}; /* inwards */
  double own = 0, edge = 0, beyond = 0, outside = 0, at_end[2] = {0, 0}, own_end[2] = {0, 0};
  *out = (side_view){0};
  for (int i = 0; i < PLACES; i++) {
    const double t = (i + 0.5) / PLACES;
    const bc_look_point at = {ends[0].x + t * (ends[1].x - ends[0].x), ends[0].y + t * (ends[1].y - ends[0].y)};
    const bc_look_point reach = {INSIDE - 2, INSIDE - 2};
    double in[3], far[3];
    if (look_small_mean(far, w->small, at.x - 3 * INSIDE * n.x, at.y - 3 * INSIDE * n.y, reach)) {
      for (int k = 0; k < 3; k++) out->around[k] += far[k];
      outside++;
    }
    if (!look_small_mean(in, w->small, at.x + INSIDE * n.x, at.y + INSIDE * n.y, reach) || !alike(in, wall)) continue;
    const double along = lines->level ? at.x : at.y;
    const int place = base_most(0, base_least(LOOK_LINE_PLACES - 1, (int)(along / lines->length * LOOK_LINE_PLACES)));
    const double here = (double)line->edge[place];
    own++;
    edge += here;
    beyond += goes_on(w, at, n, in);
    if (i < PLACES / 6 || i >= PLACES - PLACES / 6) {
      at_end[i >= PLACES / 2] += here;
      own_end[i >= PLACES / 2]++;
    }
  }
  out->own = own / PLACES;
  out->edge = own > 0 ? edge / own : 0;
  out->beyond = own > 0 ? beyond / own : 1;
  for (int e = 0; e < 2; e++) out->ends[e] = own_end[e] > 2 ? at_end[e] / own_end[e] : -1;
  for (int k = 0; k < 3; k++) out->around[k] /= fmax(1, outside);
}

static double around_alike(const side_view side[BC_LOOK_CORNERS]) {
  double most = 0;
  for (int i = 0; i < BC_LOOK_CORNERS; i++)
    for (int k = 0; k < i; k++)
      most = fmax(most, hypot(0.5 * (side[i].around[0] - side[k].around[0]),
                              hypot(side[i].around[1] - side[k].around[1], side[i].around[2] - side[k].around[2])));
  return base_unit(1 - most / 12);
}

/* How far from any camera's view of a rectangle that people have as a wall; 0: none at all. */
static double odd_shape(const work *w, const bc_look_point corner[BC_LOOK_CORNERS]) {
  bc_look_camera camera;
  double height = 0;
  bc_context *context = NULL;
  bc_look_view view = {.full_width = w->small->width, .full_height = w->small->height, .width_cm = 100};
  memcpy(view.corner, corner, sizeof view.corner);
  if (bc_context_new(&context) != BC_OK) return 1;
  const bc_status status = bc_look_solve_camera(&camera, &height, context, &view);
  bc_context_free(context);
  if (status != BC_OK) return 1;
  height /= 100;
  const double over = fmax(0, fmax(log(height / TOP_HEIGHT), log(LOW_HEIGHT / height)));
  return base_unit(2 * over + fmax(0, fabs(camera.roll) - 12) / 20 + fmax(0, fabs(camera.pitch) - 25) / 30 +
                   fmax(0, fabs(camera.yaw) - 45) / 20);
}

static bool signs_of(double sign[LOOK_SIGNS], const work *w, const guess *g) {
  bc_look_point c[BC_LOOK_CORNERS];
  double wall[3], own = 1, edge[BC_LOOK_CORNERS], ends = 1, beyond = 0;
  corners_of(c, w, g);
  if (!colour_of(wall, w, c)) return false;
  side_view side[BC_LOOK_CORNERS];
  const int lines[BC_LOOK_CORNERS] = {g->top, g->right, g->bottom, g->left};
  for (int i = 0; i < BC_LOOK_CORNERS; i++) {
    const look_lines *const of = i % 2 ? &w->upright : &w->level;
    const bc_look_point two[2] = {c[i], c[(i + 1) % BC_LOOK_CORNERS]};
    look_along(&side[i], w, of, &of->list[lines[i]], two, wall);
    edge[i] = side[i].edge;
    if (i != BC_LOOK_BOTTOM_RIGHT) own = fmin(own, side[i].own);
    beyond = fmax(beyond, side[i].beyond);
  }
  for (int i = 0; i < BC_LOOK_CORNERS; i++) { /* at a corner both edges run up to it */
    const double before = side[(i + BC_LOOK_CORNERS - 1) % BC_LOOK_CORNERS].ends[1], after = side[i].ends[0];
    /* No wall at an upper corner: a side wall whose edge is as light as the wall was taken along. */
    if (i < BC_LOOK_BOTTOM_RIGHT && (before < 0 || after < 0)) ends = 0;
    if (before >= 0 && after >= 0) ends = fmin(ends, fmax(fmin(before, after), i >= BC_LOOK_BOTTOM_RIGHT ? 0.5 : 0));
  }
  const double three = fmin(edge[0], fmin(edge[1], edge[3]));
  sign[0] = 1;
  sign[1] = three;
  sign[2] = (edge[0] + edge[1] + edge[3]) / 3;
  sign[3] = side[2].own > 0.04 ? edge[2] : 0.3;
  sign[4] = own;
  sign[5] = side[2].own;
  sign[6] = ends;
  sign[7] = beyond;
  sign[8] = around_alike(side);
  sign[9] = odd_shape(w, c);
  sign[10] = log(area_of(c) / ((double)w->small->width * w->small->height));
  return true;
}

/* ---- the best ---- */

static int best_first(const void *first, const void *second) {
  const look_outline_guess *const a = first, *const b = second;
  return a->value > b->value ? -1 : a->value < b->value;
}

static void keep_signs(look_outline_guesses *out, const work *w, const bc_image *image) {
  for (int i = 0; i < w->guesses; i++) {
    look_outline_guess *const to = &out->list[out->count];
    if (!signs_of(to->sign, w, &w->guess[i])) continue;
    to->value = 0;
    for (int k = 0; k < LOOK_SIGNS; k++) to->value += weights[k] * to->sign[k];
    if (to->sign[8] > AROUND_MOST || to->sign[9] > ODD_MOST) to->value -= REFUSED;
    corners_of(to->corner, w, &w->guess[i]);
    for (int c = 0; c < BC_LOOK_CORNERS; c++) {
      to->corner[c] = look_bend(to->corner[c], w->small->width, w->small->height, w->small->bend);
      to->corner[c].x *= (double)image->width / w->small->width;
      to->corner[c].y *= (double)image->height / w->small->height;
    }
    out->count++;
  }
  qsort(out->list, out->count, sizeof *out->list, best_first);
}

static bc_status find_lines(work *w, bc_context *context, const look_segments *segments) {
  look_family level = {0}, upright = {0};
  bc_status status = look_family_find(&level, context, segments, true);
  if (status == BC_OK) status = look_family_find(&upright, context, segments, false);
  if (status == BC_OK) status = look_lines_find(&w->level, context, w->small, &level, true);
  if (status == BC_OK) status = look_lines_find(&w->upright, context, w->small, &upright, false);
  look_family_clear(&level);
  look_family_clear(&upright);
  return status;
}

static bc_status search(look_outline_guesses *out, bc_context *context, const look_small *small,
                        const look_segments *segments, const bc_image *image) {
  work *w = bc_allocate(1, sizeof *w);
  if (!w) return bc_fail_memory(context);
  w->small = small;
  w->meet = bc_allocate(LOOK_LINES_MOST, sizeof *w->meet);
  out->list = bc_allocate(GUESSES, sizeof *out->list);
  bc_status status = w->meet && out->list ? BC_OK : bc_fail_memory(context);
  if (status == BC_OK) status = find_lines(w, context, segments);
  if (status == BC_OK) {
    judge_all(w);
    keep_signs(out, w, image);
  }
  free(w->meet);
  free(w);
  return status;
}

bc_status look_bend_find(double *bend, bc_context *context, const bc_image *image) {
  look_small small = {0};
  look_segments segments = {0};
  *bend = 0;
  bc_status status = look_small_make(&small, context, image, 0);
  if (status == BC_OK) status = look_segments_find(&segments, context, small.lab[0], small.width, small.height);
  if (status == BC_OK) *bend = look_bend_of(&segments);
  free(segments.list);
  look_small_clear(&small);
  return status;
}

bc_status look_outline_guesses_find(look_outline_guesses *out, bc_context *context, const bc_image *image) {
  *out = (look_outline_guesses){0};
  if (base_most(image->width, image->height) < LEAST_PIXELS) return BC_OK;
  look_small small = {0};
  look_segments segments = {0};
  bc_status status = look_small_make(&small, context, image, 0);
  if (status == BC_OK) status = look_segments_find(&segments, context, small.lab[0], small.width, small.height);
  if (status == BC_OK) out->bend = look_bend_of(&segments);
  if (status == BC_OK && out->bend != 0) {
    look_small_clear(&small);
    status = look_small_make(&small, context, image, out->bend);
    for (size_t i = 0; i < segments.count; i++)
      look_segment_unbend(&segments.list[i], segments.width, segments.height, out->bend);
  }
  if (status == BC_OK) status = search(out, context, &small, &segments, image);
  free(segments.list);
  look_small_clear(&small);
  if (status != BC_OK) look_outline_guesses_clear(out);
  return status;
}

void look_outline_guesses_clear(look_outline_guesses *guesses) {
  free(guesses->list);
  *guesses = (look_outline_guesses){0};
}
