/* SPDX-License-Identifier: MIT */
/* Looks for a white sheet or a grey card in a converted picture: a flat, evenly lit, nearly neutral
 * quadrilateral with clear edges, off the middle. Cautious by design: a wrong reference is worse than none. */
#include "find_white.h"
#include "base/base.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Our choices, on made photos (backcloth-bench sheets learn); docs/method/colour.md gives the reasons. */
#define GRID_SIDE 128       /* cells along the longer side */
#define FLAT_MOST 1.6       /* standard deviation of L* in a cell: sensor noise passes, weave does not */
#define STEP_MOST 1.8       /* difference between neighbouring cells of one sheet, L*, a*, b* each */
#define DRIFT_MOST 7.0      /* L* across one sheet: light falls off */
#define AREA_LEAST 0.004    /* share of the picture: a bank card beside a basket */
#define AREA_MOST 0.20      /* larger is a wall or a table */
#define SIDE_LEAST 4        /* cells */
#define FILL_LEAST 0.90     /* region / its hull */
#define QUAD_LEAST 0.78     /* best four corners / hull, whose corners lose a cell each: a disc has 0.64 */
#define ASPECT_MOST 2.5     /* sheets and cards are 1 to 1.6; seen aslant more */
#define EDGE_LEAST 0.90     /* share of the surroundings that is clearly different */
#define EDGE_DIFFERENCE 6.0 /* in CIELAB units */
#define WHITE_LEAST 66.0    /* L* of a sheet in a usable exposure */
#define TINTED_LEAST 73.0   /* of one that is tinted: a card of some colour is darker than paper */
#define CLIPPED_FROM 99.0   /* L*: nothing can be learnt from it */
#define DUV_MOST 0.016      /* off the line of black-body light, where nothing is off along it */
#define MIRED_MOST 110.0    /* camera's error along it, where nothing is off across */
#define TINT_LEAST 6.0      /* C* from which a sheet counts as tinted */
#define CONFIDENCE_LEAST 0.6
#define BUSY_LEAST 500       /* one cell in so many: the outline of a smooth piece */
#define THING_LEAST 80       /* one in so many, in the middle half of the picture */
#define THING_DIFFERENCE 9.0 /* in CIELAB units, from the ground round the sheet */

typedef struct cell {
  float L, a, b, sd;
  int region; /* -1 not flat, 0 not visited, else the region's number */
} cell;

typedef struct grid {
  cell *cells;
  int *queue; /* also the list of the current region's cells */
  int width, height;
  bool second;    /* looks for another one: of any tint, outside `avoided` */
  bc_box avoided; /* cells */
} grid;

/* --- cells ---------------------------------------------------------------------------------------------- */
static cell summarise(const bc_image *image, int x0, int x1, int y0, int y1) {
  double L = 0, a = 0, b = 0, square = 0;
  int count = 0;
  const int step = x1 - x0 > 6 ? 2 : 1; /* of many, every second pixel tells as much */
  for (int y = y0; y < y1; y += step)
    for (int x = x0; x < x1; x += step, count++) {
      const size_t at = (size_t)y * (size_t)image->width + (size_t)x;
      const double l = (double)image->L[at];
      L += l;
      square += l * l;
      a += (double)image->a[at];
      b += (double)image->b[at];
    }
  const double mean = L / count, variance = square / count - mean * mean;
  return (cell){(float)mean, (float)(a / count), (float)(b / count), (float)sqrt(fmax(0, variance)), 0};
}

static bool make_grid(grid *g, const bc_image *image) {
  const int longer = image->width > image->height ? image->width : image->height;
  const int size = (longer + GRID_SIDE - 1) / GRID_SIDE;
  g->width = image->width / size;
  g->height = image->height / size;
  g->cells = bc_allocate((size_t)g->width * (size_t)g->height, sizeof *g->cells);
  g->queue = bc_allocate((size_t)g->width * (size_t)g->height, sizeof *g->queue);
  if (!g->cells || !g->queue) return false;
  for (int y = 0; y < g->height; y++)
    for (int x = 0; x < g->width; x++) {
      cell *c = &g->cells[y * g->width + x];
      *c = summarise(image, x * size, (x + 1) * size, y * size, (y + 1) * size);
      const double chroma = hypot((double)c->a, (double)c->b);
      c->region = (double)c->sd < FLAT_MOST && c->L > 35 && (double)c->L < CLIPPED_FROM && chroma < 40 ? 0 : -1;
    }
  return true;
}

/* --- regions -------------------------------------------------------------------------------------------- */
typedef struct region {
  int number, count;
  int left, right, top, bottom; /* inclusive */
  double L, a, b;               /* means */
} region;

static bool joins(const cell *from, const cell *to, double seed_L) {
  return to->region == 0 && fabs((double)(from->L - to->L)) < STEP_MOST &&
         fabs((double)(from->a - to->a)) < STEP_MOST && fabs((double)(from->b - to->b)) < STEP_MOST &&
         fabs((double)to->L - seed_L) < DRIFT_MOST;
}

static void take(grid *g, region *r, int at) {
  const int x = at % g->width, y = at / g->width;
  cell *c = &g->cells[at];
  c->region = r->number;
  g->queue[r->count++] = at;
  r->L += (double)c->L;
  r->a += (double)c->a;
  r->b += (double)c->b;
  if (x < r->left) r->left = x;
  if (x > r->right) r->right = x;
  if (y < r->top) r->top = y;
  if (y > r->bottom) r->bottom = y;
}

/* Floods from a seed; g->queue then lists the region's cells. */
static region grow(grid *g, int seed, int number) {
  region r = {.number = number, .left = g->width, .top = g->height, .right = -1, .bottom = -1};
  const double seed_L = (double)g->cells[seed].L;
  take(g, &r, seed);
  for (int next = 0; next < r.count; next++) {
    const int at = g->queue[next], x = at % g->width, y = at / g->width;
    const cell *c = &g->cells[at];
    if (x > 0 && joins(c, c - 1, seed_L)) take(g, &r, at - 1);
    if (x + 1 < g->width && joins(c, c + 1, seed_L)) take(g, &r, at + 1);
    if (y > 0 && joins(c, c - g->width, seed_L)) take(g, &r, at - g->width);
    if (y + 1 < g->height && joins(c, c + g->width, seed_L)) take(g, &r, at + g->width);
  }
  r.L /= r.count;
  r.a /= r.count;
  r.b /= r.count;
  return r;
}

/* --- shape ---------------------------------------------------------------------------------------------- */
typedef struct corner {
  int x, y;
} corner;
typedef struct hull {
  corner at[4 * GRID_SIDE + 8];
  int count;
} hull;

static long turn(corner o, corner a, corner b) {
  return (long)(a.x - o.x) * (b.y - o.y) - (long)(a.y - o.y) * (b.x - o.x);
}

static void add_to_chain(hull *h, int base, corner c) {
  while (h->count - base >= 2 && turn(h->at[h->count - 2], h->at[h->count - 1], c) <= 0) h->count--;
  h->at[h->count++] = c;
}

/* The middles of the leftmost and rightmost cell of each row are enough for the convex hull (Andrew's
 * chains, by y). Middles, not corners: a slanting edge is a staircase of corners that would bulge it. */
static hull hull_of(const grid *g, const region *r) {
  int left[GRID_SIDE + 2] = {0}, right[GRID_SIDE + 2] = {0};
  hull h = {.count = 0};
  for (int y = r->top; y <= r->bottom; y++) left[y - r->top] = g->width, right[y - r->top] = -1;
  for (int i = 0; i < r->count; i++) {
    const int x = g->queue[i] % g->width, row = g->queue[i] / g->width - r->top;
    if (x < left[row]) left[row] = x;
    if (x > right[row]) right[row] = x;
  }
  const int rows = r->bottom - r->top + 1;
  for (int k = 0; k < rows; k++) add_to_chain(&h, 0, (corner){right[k], r->top + k});
  const int base = h.count - 1;
  for (int k = rows - 1; k >= 0; k--) add_to_chain(&h, base, (corner){left[k], r->top + k});
  return h;
}

static double area_of(const hull *h) {
  long twice = 0;
  for (int i = 0; i < h->count; i++) {
    const corner p = h->at[i], q = h->at[(i + 1) % h->count];
    twice += (long)p.x * q.y - (long)p.y * q.x;
  }
  return fabs((double)twice) / 2;
}

/* Drops the corner that costs least until four are left. */
static void keep_four(hull *h) {
  while (h->count > 4) {
    int least = 0;
    long cost = -1;
    for (int i = 0; i < h->count; i++) {
      const long c = labs(turn(h->at[(i + h->count - 1) % h->count], h->at[i], h->at[(i + 1) % h->count]));
      if (cost < 0 || c < cost) cost = c, least = i;
    }
    memmove(&h->at[least], &h->at[least + 1], (size_t)(h->count - least - 1) * sizeof h->at[0]);
    h->count--;
  }
}

static double side_length(const hull *h, int i) {
  const corner p = h->at[i], q = h->at[(i + 1) % 4];
  return hypot(p.x - q.x, p.y - q.y);
}

/* 0 when it is no quadrilateral; else how good a one, up to 1. */
static double squareness(const grid *g, const region *r) {
  hull h = hull_of(g, r);
  const double hull_area = area_of(&h);
  keep_four(&h);
  if (h.count < 4 || hull_area <= 0) return 0;
  /* A convex set of cells has at least as many as the area between their middles. */
  const double fill = fmin(1, r->count / hull_area), quad = area_of(&h) / hull_area;
  const double along = 0.5 * (side_length(&h, 0) + side_length(&h, 2));
  const double across = 0.5 * (side_length(&h, 1) + side_length(&h, 3));
  const double aspect = fmax(along, across) / fmax(1e-9, fmin(along, across));
  if (fill < FILL_LEAST || quad < QUAD_LEAST || aspect > ASPECT_MOST || fmin(along, across) < SIDE_LEAST) return 0;
  return fmin(1, 0.5 + (fill - FILL_LEAST) / 0.16) * fmin(1, 0.6 + (quad - QUAD_LEAST) / 0.25);
}

/* --- surroundings ----------------------------------------------------------------------------------------- */
static bool near_region(const grid *g, const region *r, int x, int y, int reach) {
  for (int dy = -reach; dy <= reach; dy++)
    for (int dx = -reach; dx <= reach; dx++) {
      const int nx = x + dx, ny = y + dy;
      if (nx >= 0 && ny >= 0 && nx < g->width && ny < g->height && g->cells[ny * g->width + nx].region == r->number)
        return true;
    }
  return false;
}

/* A cell two to three away: the next ones are a mixture. */
static bool lies_round(const grid *g, const region *r, int x, int y) {
  return x >= 0 && y >= 0 && x < g->width && y < g->height && near_region(g, r, x, y, 3) && !near_region(g, r, x, y, 1);
}

/* Share of the cells round the region that differ clearly. */
static double edge_share(const grid *g, const region *r) {
  int ring = 0, different = 0;
  for (int y = r->top - 3; y <= r->bottom + 3; y++)
    for (int x = r->left - 3; x <= r->right + 3; x++) {
      if (!lies_round(g, r, x, y)) continue;
      const cell *c = &g->cells[y * g->width + x];
      const double dL = (double)c->L - r->L, da = (double)c->a - r->a, db = (double)c->b - r->b;
      ring++;
      different += sqrt(dL * dL + da * da + db * db) > EDGE_DIFFERENCE;
    }
  return ring > 0 ? (double)different / ring : 0;
}

/* L* that 97 in 100 cells do not exceed: the bright things, without glints. */
static double bright_level(const grid *g) {
  int with[102] = {0}, count = g->width * g->height, below = 0, level = 0;
  for (int i = 0; i < count; i++) with[(int)fmax(0, fmin(101, (double)g->cells[i].L))]++;
  while (level < 101 && (below += with[level]) * 100 < count * 97) level++;
  return level;
}

/* The ground round the sheet, the mean of its cells. */
static bc_lab ground_round(const grid *g, const region *r) {
  bc_lab sum = {0, 0, 0};
  int count = 0;
  for (int y = r->top - 3; y <= r->bottom + 3; y++)
    for (int x = r->left - 3; x <= r->right + 3; x++) {
      if (!lies_round(g, r, x, y)) continue;
      const cell *c = &g->cells[y * g->width + x];
      sum = (bc_lab){sum.L + (double)c->L, sum.a + (double)c->a, sum.b + (double)c->b};
      count++;
    }
  return count ? (bc_lab){sum.L / count, sum.a / count, sum.b / count} : sum;
}

/* There must be something else to photograph: busy cells that are not this sheet's own edge, or a thing in the middle
 * that is of another colour than the ground on which the sheet lies. */
static bool has_a_subject(const grid *g, const region *r) {
  const bc_lab ground = ground_round(g, r);
  int busy = 0, thing = 0;
  for (int y = 0; y < g->height; y++)
    for (int x = 0; x < g->width; x++) {
      if (x >= r->left - 2 && x <= r->right + 2 && y >= r->top - 2 && y <= r->bottom + 2) continue;
      const cell *c = &g->cells[y * g->width + x];
      const double dL = (double)c->L - ground.L, da = (double)c->a - ground.a, db = (double)c->b - ground.b;
      const bool middle = abs(2 * x - g->width) < g->width / 2 && abs(2 * y - g->height) < g->height / 2;
      busy += (double)c->sd > 2 * FLAT_MOST;
      thing += middle && sqrt(dL * dL + da * da + db * db) > THING_DIFFERENCE;
    }
  return busy * BUSY_LEAST > g->width * g->height || thing * THING_LEAST > g->width * g->height;
}

/* --- colour -------------------------------------------------------------------------------------------------- */
/* 0 when this cannot be a neutral thing in some lamp's light; else how good, up to 1. */
static double neutrality(const region *r) {
  double xyz[3], uv[2], home[2], mired, duv, home_mired, home_duv;
  colour_lab_to_xyz((bc_lab){r->L, r->a, r->b}, xyz);
  colour_uv_of_xyz(xyz, uv);
  colour_uv_of_xyz(colour_white_d50, home);
  colour_locus_nearest(uv, &mired, &duv);
  colour_locus_nearest(home, &home_mired, &home_duv);
  const double off = fabs(duv - home_duv) / DUV_MOST, along = fabs(mired - home_mired) / MIRED_MOST;
  return off * off + along * along > 1 ? 0 : 1 - 0.5 * (off * off + along * along);
}

/* A tinted sheet means a tinted light, which tints everything. Where a good part of the picture is grey
 * by the camera's own judgement, a tinted patch is a thing of that colour: skin, cream, a pale wood. */
static bool tint_is_of_the_light(const grid *g, const region *r) {
  const double chroma = hypot(r->a, r->b);
  if (chroma < TINT_LEAST) return true;
  int grey = 0;
  const int count = g->width * g->height;
  for (int i = 0; i < count; i++)
    grey += g->cells[i].L > 20 && hypot((double)g->cells[i].a, (double)g->cells[i].b) < 0.4 * chroma;
  return grey * 10 < count;
}

/* --- judging ---------------------------------------------------------------------------------------------- */
static bool worth_a_look(const grid *g, const region *r) {
  const double share = (double)r->count / (g->width * g->height);
  const int x = g->width / 2, y = g->height / 2;
  return share >= AREA_LEAST && share <= AREA_MOST && r->left > 0 && r->top > 0 && r->right < g->width - 1 &&
         r->bottom < g->height - 1 && !(r->left <= x && x <= r->right && r->top <= y && y <= r->bottom);
}

static double confidence_of(const grid *g, const region *r, double bright, bool *grey) {
  const bool white = r->L >= (hypot(r->a, r->b) < TINT_LEAST ? WHITE_LEAST : TINTED_LEAST) && r->L >= bright - 4;
  *grey = !white && r->L > 38 && r->L < 62 && r->L <= bright - 18 && hypot(r->a, r->b) < 9;
  if (!white && !*grey) return 0;
  const double neutral = neutrality(r), square = neutral > 0 ? squareness(g, r) : 0;
  if (square <= 0 || !has_a_subject(g, r) || (!g->second && !tint_is_of_the_light(g, r))) return 0;
  const double edge = edge_share(g, r);
  if (edge < EDGE_LEAST) return 0;
  return neutral * square * (0.5 + 0.5 * (edge - EDGE_LEAST) / (1 - EDGE_LEAST)) * (*grey ? 0.75 : 1);
}

/* The largest box of the region's proportions round its middle that holds nothing else. */
static bc_box inner_box(const grid *g, const region *r) {
  const double cx = 0.5 * (r->left + r->right + 1), cy = 0.5 * (r->top + r->bottom + 1);
  for (double share = 0.9; share > 0.2; share -= 0.05) {
    const double w = share * (r->right + 1 - r->left), h = share * (r->bottom + 1 - r->top);
    const int x0 = (int)ceil(cx - w / 2), x1 = (int)floor(cx + w / 2), y0 = (int)ceil(cy - h / 2),
              y1 = (int)floor(cy + h / 2);
    bool whole = x1 > x0 && y1 > y0;
    for (int y = y0; whole && y < y1; y++)
      for (int x = x0; whole && x < x1; x++) whole = g->cells[y * g->width + x].region == r->number;
    if (whole) return (bc_box){x0, y0, x1 - x0, y1 - y0};
  }
  return (bc_box){0};
}

/* Of several that pass, the largest: a sheet rather than a label; and a white one before a grey one. */
static bool is_better(const colour_found_white *best, int best_count, bool grey, int count) {
  if (best->confidence <= 0 || best->grey != grey) return best->confidence <= 0 || best->grey;
  return count > best_count;
}

static bool is_avoided(const grid *g, const region *r) {
  const bc_box a = g->avoided;
  return r->left < a.x + a.width && r->right >= a.x && r->top < a.y + a.height && r->bottom >= a.y;
}

static void search(grid *g, double bright, colour_found_white *best, bc_box *cells) {
  const int count = g->width * g->height;
  int number = 0, best_count = 0;
  for (int i = 0; i < count; i++) {
    if (g->cells[i].region != 0) continue;
    const region r = grow(g, i, ++number);
    bool grey = false;
    const double confidence =
        worth_a_look(g, &r) && !(g->second && is_avoided(g, &r)) ? confidence_of(g, &r, bright, &grey) : 0;
    if (confidence < CONFIDENCE_LEAST || !is_better(best, best_count, grey, r.count)) continue;
    const bc_box box = inner_box(g, &r);
    if (box.width == 0) continue;
    *cells = box;
    *best = (colour_found_white){.confidence = confidence, .grey = grey, .lab = {r.L, r.a, r.b}};
    best_count = r.count;
  }
}

static bc_status find(colour_found_white *out, bc_context *context, const bc_image *image, const bc_box *first) {
  *out = (colour_found_white){0};
  if (image->alpha || image->width < GRID_SIDE / 2 || image->height < GRID_SIDE / 2) return BC_OK;
  grid g = {0};
  bc_box cells = {0};
  const int longer = image->width > image->height ? image->width : image->height;
  const double size = (longer + GRID_SIDE - 1) / GRID_SIDE; /* whole pixels per cell */
  const double sx = size * image->full_width / image->width, sy = size * image->full_height / image->height;
  bc_status status = make_grid(&g, image) ? BC_OK : bc_fail_memory(context);
  g.second = first != NULL;
  if (first)
    g.avoided = (bc_box){(int)(first->x / sx), (int)(first->y / sy), (int)ceil(first->width / sx) + 1,
                         (int)ceil(first->height / sy) + 1};
  if (!status) search(&g, bright_level(&g), out, &cells);
  if (!status && out->confidence > 0)
    out->box = (bc_box){(int)(cells.x * sx), (int)(cells.y * sy), (int)(cells.width * sx), (int)(cells.height * sy)};
  free(g.cells);
  free(g.queue);
  return status;
}

bc_status colour_find_white(colour_found_white *out, bc_context *context, const bc_image *image) {
  return find(out, context, image, NULL);
}

bc_status colour_find_second_white(colour_found_white *out, bc_context *context, const bc_image *image, bc_box first) {
  return find(out, context, image, &first);
}
