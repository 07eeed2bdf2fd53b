/* SPDX-License-Identifier: MIT */
/* The wall's outline in a photo: of all quadrilaterals that two level and two upright edges make, the one with even
 * wall just inside all its sides and something else just outside; then its sides are placed exactly.
 * In: image. Out: four corners, or a sentence that asks for them. docs/method/look.md. */
#include "look_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define SIDE 1200      /* longer side of the reduced photo that is searched */
#define LINES 16       /* of each family, the best supported */
#define TOGETHER 0.004 /* half diagonals: edges nearer than this are one line */
#define SAMPLES 56     /* along a side */
#define DIFFERS 3.0    /* colour difference between inside and outside that shows an edge */
#define EVEN 14.0      /* and along the inside, lightness counting half: shading is no other thing */
#define ALIKE 24.0     /* between the insides of two sides */
#define SURE 0.8
#define AROUND 0.04      /* of the view's longer side: how far outside one looks for what lies around */
#define AROUND_ALIKE 6.0 /* all sides within this have the same around them, lightness counting half */
#define LEAST_AREA 0.12  /* of the photo */
#define END (SAMPLES / 9)
/* How much longer a side may be than the one across, as far as people stand and phones are held: our choice. */
#define MOST_LEVEL 1.6
#define MOST_UPRIGHT 1.9
#define LEAST_PIXELS 480 /* longer side: smaller photos show too little */

typedef struct view { /* a reduced photo */
  int width, height;
  float *lab[3];
} view;

typedef struct edge_line {
  double line[3]; /* half diagonals from the middle */
  double at;      /* where it crosses the middle: y of a level, x of an upright line */
  double weight;
} edge_line;

typedef struct quad {
  bc_look_point corner[BC_LOOK_CORNERS]; /* pixels of the view */
  double score, area;
} quad;

/* ---- the reduced photo ---- */

static bool make_view(view *v, const bc_image *image) {
  const int longer = image->width > image->height ? image->width : image->height;
  const double scale = fmin(1, (double)SIDE / longer);
  v->width = (int)lround(image->width * scale);
  v->height = (int)lround(image->height * scale);
  const float *const from[3] = {image->L, image->a, image->b};
  for (int k = 0; k < 3; k++) {
    v->lab[k] = bc_allocate((size_t)v->width * (size_t)v->height, sizeof(float));
    if (!v->lab[k]) return false;
    for (int y = 0; y < v->height; y++)
      for (int x = 0; x < v->width; x++) {
        const int x0 = (int)((long)x * image->width / v->width), x1 = (int)((long)(x + 1) * image->width / v->width);
        const int y0 = (int)((long)y * image->height / v->height),
                  y1 = (int)((long)(y + 1) * image->height / v->height);
        double sum = 0;
        for (int row = y0; row < y1; row++)
          for (int column = x0; column < x1; column++)
            sum += (double)from[k][(size_t)row * (size_t)image->width + (size_t)column];
        v->lab[k][(size_t)y * (size_t)v->width + (size_t)x] = (float)(sum / ((x1 - x0) * (y1 - y0)));
      }
  }
  return true;
}

static void clear_view(view *v) {
  for (int k = 0; k < 3; k++) free(v->lab[k]);
}

/* ---- candidate lines ---- */

static int by_place(const void *first, const void *second) {
  const edge_line *const a = first, *const b = second;
  return a->at < b->at ? -1 : a->at > b->at;
}

static int by_weight(const void *first, const void *second) {
  const edge_line *const a = first, *const b = second;
  return a->weight > b->weight ? -1 : a->weight < b->weight;
}

static void through(edge_line *out, const double vanishing[3], double x, double y, bool level) {
  const double point[3] = {x, y, 1};
  look_cross(out->line, vanishing, point);
  out->at = -out->line[2] / out->line[level ? 1 : 0];
}

/* Each member becomes the line from its middle to the vanishing point; those on one line are one. */
static size_t lines_of(edge_line *out, const look_family *family, const look_segment *segment, const view *v,
                       bool level) {
  const double half = hypot(v->width, v->height) / 2;
  size_t count = 0;
  for (size_t i = 0; i < family->count; i++) {
    const look_segment *const s = &segment[family->member[i]];
    edge_line one = {.weight = s->length / half};
    through(&one, family->point, ((s->x1 + s->x2) / 2 - v->width / 2.0) / half,
            ((s->y1 + s->y2) / 2 - v->height / 2.0) / half, level);
    if (isfinite(one.at)) out[count++] = one;
  }
  qsort(out, count, sizeof *out, by_place);
  size_t merged = 0;
  for (size_t i = 0; i < count; i++) {
    edge_line *const last = merged ? &out[merged - 1] : NULL;
    if (!last || out[i].at - last->at > TOGETHER) {
      out[merged++] = out[i];
      continue;
    }
    const double all = last->weight + out[i].weight, at = (last->at * last->weight + out[i].at * out[i].weight) / all;
    through(last, family->point, level ? 0 : at, level ? at : 0, level);
    last->weight = all;
  }
  qsort(out, merged, sizeof *out, by_weight);
  if (merged > LINES) merged = LINES;
  qsort(out, merged, sizeof *out, by_place);
  return merged;
}

/* ---- what a quadrilateral shows ---- */

static bool colour_at(double lab[3], const view *v, double x, double y) {
  const int px = (int)floor(x), py = (int)floor(y);
  if (px < 0 || py < 0 || px >= v->width || py >= v->height) return false;
  for (int k = 0; k < 3; k++) lab[k] = (double)v->lab[k][(size_t)py * (size_t)v->width + (size_t)px];
  return true;
}

/* Mean over three places 3, 5 and 7 pixels beside the side. */
static bool colour_beside(double lab[3], const view *v, double x, double y, double nx, double ny) {
  memset(lab, 0, 3 * sizeof *lab);
  for (int k = 0; k < 3; k++) {
    double one[3];
    const double off = 3 + 2 * k;
    if (!colour_at(one, v, x + off * nx, y + off * ny)) return false;
    for (int i = 0; i < 3; i++) lab[i] += one[i] / 3;
  }
  return true;
}

static double apart(const double a[3], const double b[3], double lightness) {
  const double l = lightness * (a[0] - b[0]);
  return sqrt(l * l + (a[1] - b[1]) * (a[1] - b[1]) + (a[2] - b[2]) * (a[2] - b[2]));
}

static int by_value(const void *first, const void *second) {
  const double a = *(const double *)first, b = *(const double *)second;
  return a < b ? -1 : a > b;
}

static double median_of(const double (*lab)[3], int count, int channel) {
  double sorted[SAMPLES];
  for (int i = 0; i < count; i++) sorted[i] = lab[i][channel];
  qsort(sorted, (size_t)count, sizeof *sorted, by_value);
  return sorted[count / 2];
}

typedef struct side_view {
  double inside[3];  /* the wall's colour along the side */
  double share;      /* of the side that has wall inside and something else outside */
  double start, end; /* the same of its first and last seventh */
} side_view;

/* `wall`: the colour of the wall where it is known from other sides, or NULL. */
static bool look_along(side_view *out, const view *v, bc_look_point from, bc_look_point to, const double *wall) {
  const double length = hypot(to.x - from.x, to.y - from.y);
  const double nx = -(to.y - from.y) / length, ny = (to.x - from.x) / length; /* inwards: corners run clockwise */
  double in[SAMPLES][3], beyond[SAMPLES][3];
  int place[SAMPLES], seen = 0;
  for (int i = 0; i < SAMPLES; i++) {
    const double t = 0.012 + 0.976 * (i + 0.5) / SAMPLES;
    const double x = from.x + t * (to.x - from.x), y = from.y + t * (to.y - from.y);
    place[seen] = i;
    if (colour_beside(in[seen], v, x, y, nx, ny) && colour_beside(beyond[seen], v, x, y, -nx, -ny)) seen++;
  }
  *out = (side_view){.share = 0};
  if (seen < SAMPLES / 3) return false;
  for (int k = 0; k < 3; k++) out->inside[k] = wall ? wall[k] : median_of((const double(*)[3])in, seen, k);
  for (int i = 0; i < seen; i++) {
    if (apart(in[i], beyond[i], 1) <= DIFFERS || apart(in[i], out->inside, 0.5) >= EVEN) continue;
    out->share += 1.0 / SAMPLES;
    if (place[i] < END) out->start += 1.0 / END;
    if (place[i] >= SAMPLES - END) out->end += 1.0 / END;
  }
  return true;
}

/* Where a side runs on into a side wall, its edge is missing before the corner. Upper corners are hidden by nothing;
 * of a lower one a table may hide the edge along the floor. */
static double corners_hold(const side_view side[BC_LOOK_CORNERS]) {
  double hold = 1;
  for (int i = 0; i < BC_LOOK_CORNERS; i++) {
    const double before = side[(i + BC_LOOK_CORNERS - 1) % BC_LOOK_CORNERS].end, after = side[i].start;
    const bool lower = i >= BC_LOOK_BOTTOM_RIGHT;
    if (fmin(before, after) < 0.5) hold *= lower ? 0.85 : 0.6;
    if (fmax(before, after) < 0.5) hold *= 0.7;
  }
  return hold;
}

static bool like_a_wall(const bc_look_point c[BC_LOOK_CORNERS]) {
  double length[BC_LOOK_CORNERS];
  for (int i = 0; i < BC_LOOK_CORNERS; i++) {
    const bc_look_point to = c[(i + 1) % BC_LOOK_CORNERS];
    length[i] = hypot(to.x - c[i].x, to.y - c[i].y);
  }
  return fmax(length[0], length[2]) < MOST_LEVEL * fmin(length[0], length[2]) &&
         fmax(length[1], length[3]) < MOST_UPRIGHT * fmin(length[1], length[3]);
}

/* The bottom is looked at last, with the wall's colour from the sides: a table may hide most of it. */
static double score_of(const view *v, const bc_look_point corner[BC_LOOK_CORNERS]) {
  static const int order[BC_LOOK_CORNERS] = {0, 1, 3, 2};
  side_view side[BC_LOOK_CORNERS];
  double least = 1, mean = 0, wall[3];
  for (int k = 0; k < BC_LOOK_CORNERS; k++) {
    const int i = order[k];
    for (int c = 0; c < 3 && k == 3; c++) wall[c] = (side[1].inside[c] + side[3].inside[c]) / 2;
    if (!look_along(&side[i], v, corner[i], corner[(i + 1) % BC_LOOK_CORNERS], k == 3 ? wall : NULL)) return 0;
    const double counts = i == BC_LOOK_BOTTOM_RIGHT ? fmin(1, 2 * side[i].share) : side[i].share;
    least = fmin(least, counts);
    mean += counts / BC_LOOK_CORNERS;
    if (least < 0.3) return 0;
  }
  for (int i = 0; i < BC_LOOK_CORNERS; i++)
    if (apart(side[i].inside, side[(i + 1) % BC_LOOK_CORNERS].inside, 0.5) > ALIKE) return 0;
  return (0.6 * least + 0.4 * mean) * corners_hold(side);
}

/* The colour that most of a side has some way outside, or as far as the photo goes. */
static void colour_around(double lab[3], const view *v, bc_look_point from, bc_look_point to) {
  const double length = hypot(to.x - from.x, to.y - from.y);
  const double nx = (to.y - from.y) / length, ny = -(to.x - from.x) / length;
  double seen[SAMPLES][3];
  int count = 0;
  for (int i = 0; i < SAMPLES; i++) {
    const double t = (i + 0.5) / SAMPLES, x = from.x + t * (to.x - from.x), y = from.y + t * (to.y - from.y);
    double off = AROUND * fmax(v->width, v->height);
    while (off > 4 && !colour_at(seen[count], v, x + off * nx, y + off * ny)) off -= 2;
    if (off > 4) count++;
  }
  for (int k = 0; k < 3; k++) lab[k] = count ? median_of((const double(*)[3])seen, count, k) : NAN;
}

/* Whether all sides, but perhaps one, have the same around them. */
static bool alike_but(const double around[BC_LOOK_CORNERS][3], int but) {
  for (int i = 0; i < BC_LOOK_CORNERS; i++)
    for (int k = 0; k < i; k++)
      if (i != but && k != but && !(apart(around[i], around[k], 0.5) < AROUND_ALIKE)) return false;
  return true;
}

/* Round a wall there are floor, ceiling, sky, side walls; round a picture or banner on a wall there is that wall. One
 * side may run within the picture, with more of the same beyond it. */
static bool hangs_on_a_wall(const view *v, const bc_look_point corner[BC_LOOK_CORNERS]) {
  double around[BC_LOOK_CORNERS][3];
  for (int i = 0; i < BC_LOOK_CORNERS; i++) colour_around(around[i], v, corner[i], corner[(i + 1) % BC_LOOK_CORNERS]);
  if (alike_but((const double(*)[3])around, -1)) return true;
  for (int i = 0; i < BC_LOOK_CORNERS; i++) {
    side_view side;
    if (alike_but((const double(*)[3])around, i) &&
        look_along(&side, v, corner[i], corner[(i + 1) % BC_LOOK_CORNERS], NULL) &&
        apart(around[i], side.inside, 0.5) < 2 * AROUND_ALIKE)
      return true;
  }
  return false;
}

static bool meet(bc_look_point *out, const edge_line *a, const edge_line *b, const view *v) {
  double p[3];
  look_cross(p, a->line, b->line);
  const double half = hypot(v->width, v->height) / 2;
  *out = (bc_look_point){p[0] / p[2] * half + v->width / 2.0, p[1] / p[2] * half + v->height / 2.0};
  return isfinite(out->x) && isfinite(out->y) && out->x > -8 && out->y > -8 && out->x < v->width + 8 &&
         out->y < v->height + 8;
}

static double area_of(const bc_look_point corner[BC_LOOK_CORNERS]) {
  double sum = 0;
  for (int i = 0; i < BC_LOOK_CORNERS; i++) {
    const bc_look_point a = corner[i], b = corner[(i + 1) % BC_LOOK_CORNERS];
    sum += (a.x * b.y - b.x * a.y) / 2;
  }
  return sum;
}

static void search(quad *best, const view *v, const edge_line *level, size_t levels, const edge_line *upright,
                   size_t uprights) {
  double most = 0;
  const double whole = (double)v->width * v->height;
  for (size_t t = 0; t < levels; t++)
    for (size_t b = t + 1; b < levels; b++)
      for (size_t l = 0; l < uprights; l++)
        for (size_t r = l + 1; r < uprights; r++) {
          quad q;
          if (!meet(&q.corner[0], &level[t], &upright[l], v) || !meet(&q.corner[1], &level[t], &upright[r], v) ||
              !meet(&q.corner[2], &level[b], &upright[r], v) || !meet(&q.corner[3], &level[b], &upright[l], v))
            continue;
          q.area = area_of(q.corner);
          if (q.area < LEAST_AREA * whole || !like_a_wall(q.corner)) continue;
          q.score = score_of(v, q.corner);
          /* The clearer, but of two clear ones the much larger: a banner on the wall has four good sides, too. */
          const double use = pow(q.score, 3) * pow(q.area / whole, 1.2) * (q.score >= SURE ? 1 : 0.1);
          if (use <= most || hangs_on_a_wall(v, q.corner)) continue;
          most = use;
          *best = q;
        }
}

static bc_status search_view(quad *best, bc_context *context, const view *v) {
  look_segments segments = {0};
  look_family level = {0}, upright = {0};
  bc_status status = look_segments_find(&segments, context, v->lab[0], v->width, v->height);
  if (status == BC_OK) status = look_family_find(&level, context, &segments, true);
  if (status == BC_OK) status = look_family_find(&upright, context, &segments, false);
  edge_line *lines = status == BC_OK ? bc_allocate(level.count + upright.count, sizeof *lines) : NULL;
  if (status == BC_OK && !lines) status = bc_fail_memory(context);
  if (status == BC_OK) {
    const size_t levels = lines_of(lines, &level, segments.list, v, true);
    const size_t uprights = lines_of(lines + level.count, &upright, segments.list, v, false);
    search(best, v, lines, levels, lines + level.count, uprights);
  }
  free(lines);
  free(segments.list);
  look_family_clear(&level);
  look_family_clear(&upright);
  return status;
}

bc_status bc_look_find_outline(bc_look_outline *out, bc_context *context, const bc_image *image, const char *name) {
  *out = (bc_look_outline){.found = true};
  view v = {0};
  quad best = {.score = 0};
  const bool large = (image->width > image->height ? image->width : image->height) >= LEAST_PIXELS;
  bc_status status = make_view(&v, image) ? BC_OK : bc_fail_memory(context);
  if (status == BC_OK && large) status = search_view(&best, context, &v);
  if (status == BC_OK && best.score >= SURE) {
    for (int i = 0; i < BC_LOOK_CORNERS; i++)
      out->corner[i] =
          (bc_look_point){best.corner[i].x * image->width / v.width, best.corner[i].y * image->height / v.height};
    out->confidence = best.score;
    look_place_sides(out->corner, image, 4.0 * image->width / v.width);
    for (int i = 0; i < BC_LOOK_CORNERS; i++) {
      out->corner[i].x *= (double)image->full_width / image->width;
      out->corner[i].y *= (double)image->full_height / image->height;
    }
  }
  clear_view(&v);
  if (status != BC_OK || best.score >= SURE) return status;
  return bc_fail(
      context, BC_BAD_DATA,
      _("%s: the wall's corners are not seen for certain. Give them: --corners X,Y,X,Y,X,Y,X,Y, in pixels of "
        "the upright photo from its top left corner."),
      name);
}
