/* SPDX-License-Identifier: MIT */
/* Photos of market stands whose truth is known: a wall of plain paint, patterned or folded cloth, pieces flat on it and
 * on shelves, a table or chair before it, in uneven light, from the side and through a lens that bends; and photos that
 * show no wall. Ray casting; lengths cm, wall coordinates, z towards the viewer. One seed, one scene. */
#ifndef BC_TESTS_SUPPORT_STANDS_H
#define BC_TESTS_SUPPORT_STANDS_H

#include <backcloth/look.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { STAND_PIECES = 16, STAND_BOXES = 14, STAND_POOLS = 3 };

/* What covers the wall. Those from STAND_TEST on are kept for testing. */
typedef enum stand_cover {
  STAND_PAINT,
  STAND_FOLDS,
  STAND_SPOTS,
  STAND_STRIPES,
  STAND_CHECKS,
  STAND_COVER_TEST,
  STAND_DIAMONDS = STAND_COVER_TEST,
  STAND_SPRIGS, /* flowers strewn without a period */
  STAND_PLAID,
  STAND_GATHERS, /* folds of unequal width that lean */
  STAND_BOARDS,  /* upright boards */
  STAND_COVERS
} stand_cover;

/* What stands before it. */
typedef enum stand_front {
  STAND_NOTHING,
  STAND_TABLE,
  STAND_CHAIR,
  STAND_FRONT_TEST,
  STAND_TWO_TABLES = STAND_FRONT_TEST,
  STAND_STOOL_AND_TABLE,
  STAND_FRONTS
} stand_front;

typedef enum stand_shape { STAND_RECT, STAND_DISC, STAND_VASE, STAND_BELL } stand_shape;

typedef struct stand_piece { /* flat, its middle at (x, y), z before the wall */
  stand_shape shape;
  double x, y, z, width, height;
  double rgb[2][3]; /* two colours, in bands; linear */
  double bands;     /* how many; 0: one colour */
  bool counted;     /* hangs on the wall or stands on a shelf of it */
} stand_piece;

typedef struct stand_box {
  double x0, x1, y0, y1, z0, z1;
  double rgb[3];
} stand_box;

typedef struct stand_scene {
  double width, height, side;
  stand_cover cover;
  double wall[2][3];  /* the cover's two colours */
  double scale, lean; /* of the pattern, cm; of folds */
  double depth;       /* of folds, share of light */
  double floor[3], sides[3], above[3], back[3];
  double gradient[2];          /* of light, across and up, shares */
  double pool[STAND_POOLS][3]; /* x, y, strength of spots */
  int pools;
  double shadow; /* how dark a piece's shadow is; its offset is to the lower right */
  stand_piece piece[STAND_PIECES];
  int pieces;
  stand_box box[STAND_BOXES];
  int boxes;
  /* camera */
  double x, y, distance, yaw, pitch, roll, focal, bend, noise;
  int pixels_x, pixels_y;
  uint64_t seed;
} stand_scene;

static inline double stand_random(uint64_t *state) { /* 0..1; xorshift64*, Vigna 2016 */
  *state ^= *state >> 12;
  *state ^= *state << 25;
  *state ^= *state >> 27;
  return (double)((*state * 2685821657736338717ULL) >> 11) / 9007199254740992.0;
}
static inline double stand_between(uint64_t *state, double low, double high) {
  return low + (high - low) * stand_random(state);
}
/* A number that belongs to a lattice point. */
static inline double stand_hash(int x, int y, uint64_t seed) {
  uint64_t s = seed * UINT64_C(0x9E3779B97F4A7C15) + (uint64_t)(uint32_t)x * UINT64_C(0xBF58476D1CE4E5B9) +
               (uint64_t)(uint32_t)y * UINT64_C(0x94D049BB133111EB) + 1;
  stand_random(&s);
  return stand_random(&s);
}

/* ---- camera ---- */

static inline void stand_axes(double r[3][3], const stand_scene *s) {
  const double k = M_PI / 180, y = s->yaw * k, p = s->pitch * k, o = s->roll * k;
  const double ry[3][3] = {{cos(y), 0, -sin(y)}, {0, 1, 0}, {sin(y), 0, cos(y)}};
  const double rx[3][3] = {{1, 0, 0}, {0, cos(p), sin(p)}, {0, -sin(p), cos(p)}};
  const double rz[3][3] = {{cos(o), -sin(o), 0}, {sin(o), cos(o), 0}, {0, 0, 1}};
  double half[3][3];
  for (int i = 0; i < 3; i++)
    for (int j = 0; j < 3; j++) {
      half[i][j] = 0;
      for (int m = 0; m < 3; m++) half[i][j] += rx[i][m] * ry[m][j];
    }
  for (int i = 0; i < 3; i++)
    for (int j = 0; j < 3; j++) {
      r[i][j] = 0;
      for (int m = 0; m < 3; m++) r[i][j] += rz[i][m] * half[m][j];
    }
}

/* Where a point of the wall lies in the photo. */
static inline bc_look_point stand_project(const stand_scene *s, double x, double y) {
  double r[3][3], c[3];
  stand_axes(r, s);
  const double d[3] = {x - s->x, s->y - y, s->distance};
  for (int i = 0; i < 3; i++) c[i] = r[i][0] * d[0] + r[i][1] * d[1] + r[i][2] * d[2];
  const double half = hypot(s->pixels_x, s->pixels_y) / 2;
  const double u = s->focal * c[0] / c[2] / half, v = s->focal * c[1] / c[2] / half;
  const double bent = 1 + s->bend * (u * u + v * v);
  return (bc_look_point){s->pixels_x / 2.0 + u * bent * half, s->pixels_y / 2.0 + v * bent * half};
}

static inline void stand_corners(bc_look_point corner[BC_LOOK_CORNERS], const stand_scene *s) {
  corner[0] = stand_project(s, 0, s->height);
  corner[1] = stand_project(s, s->width, s->height);
  corner[2] = stand_project(s, s->width, 0);
  corner[3] = stand_project(s, 0, 0);
}

/* ---- what a ray meets ---- */

/* Signed distance from a piece's edge, about; negative inside, cm. */
static inline double stand_inside(const stand_piece *p, double x, double y) {
  const double u = fabs(x - p->x) / (p->width / 2), v = (y - p->y) / (p->height / 2);
  const double size = fmin(p->width, p->height) / 2;
  double half = 1;
  if (p->shape == STAND_DISC) return (sqrt(u * u + v * v) - 1) * size;
  if (p->shape == STAND_VASE) half = v > 0.75 ? 0.45 : 0.45 + 0.55 * sin((v + 1) / 1.75 * M_PI);
  if (p->shape == STAND_BELL) half = 0.35 + 0.65 * (1 - v) / 2;
  return fmax((u - half) * p->width / 2, (fabs(v) - 1) * p->height / 2);
}

static inline void stand_piece_colour(double rgb[3], const stand_piece *p, double x, double y) {
  const double along = ((y - p->y) / p->height + 0.5) * p->bands;
  const int which = p->bands > 0 ? (int)floor(along) % 2 != 0 : 0;
  const double round = p->shape == STAND_RECT ? 1 : 1 - 0.35 * fmax(0, (x - p->x) / p->width);
  for (int k = 0; k < 3; k++) rgb[k] = p->rgb[which][k] * round;
}

static inline void stand_cover_colour(double rgb[3], const stand_scene *s, double x, double y) {
  const double c = s->scale;
  const double gx = x / c, gy = y / c;
  double share = 0, fold = 0;
  switch (s->cover) {
  case STAND_SPOTS:
    share = hypot(gx - floor(gx) - 0.5, gy - floor(gy) - 0.5) < 0.28;
    break;
  case STAND_STRIPES:
    share = gx - floor(gx) < 0.5;
    break;
  case STAND_CHECKS:
    share = ((int)floor(gx) + (int)floor(gy)) % 2 != 0;
    break;
  case STAND_DIAMONDS:
    share = fabs(gx - floor(gx) - 0.5) + fabs(gy - floor(gy) - 0.5) < 0.36;
    break;
  case STAND_SPRIGS: {
    const int ix = (int)floor(gx), iy = (int)floor(gy);
    const double ox = 0.3 + 0.4 * stand_hash(ix, iy, s->seed), oy = 0.3 + 0.4 * stand_hash(ix, iy, s->seed + 1);
    const double dx = gx - ix - ox, dy = gy - iy - oy;
    share = hypot(dx, dy) < 0.14 + 0.08 * cos(5 * atan2(dy, dx));
    break;
  }
  case STAND_PLAID:
    share = 0.5 * (gx - floor(gx) < 0.4) + 0.5 * (gy - floor(gy) < 0.4);
    break;
  case STAND_FOLDS:
    fold = sin(2 * M_PI * gx) + 0.3 * sin(2 * M_PI * 2.3 * gx + 1);
    break;
  case STAND_GATHERS:
    fold = sin(2 * M_PI * (gx + 0.35 * sin(gx * 1.7)) + s->lean * y / s->height);
    break;
  case STAND_BOARDS:
    share = gx - floor(gx) < 0.03;
    fold = 2 * stand_hash((int)floor(gx), 0, s->seed) - 1;
    break;
  default:
    break;
  }
  for (int k = 0; k < 3; k++) rgb[k] = (s->wall[0][k] * (1 - share) + s->wall[1][k] * share) * (1 + s->depth * fold);
}

static inline double stand_light(const stand_scene *s, double x, double y) {
  double light = 1 + s->gradient[0] * (x / s->width - 0.5) + s->gradient[1] * (y / s->height - 0.5);
  for (int i = 0; i < s->pools; i++) {
    const double dx = (x - s->pool[i][0]) / 70, dy = (y - s->pool[i][1]) / 90;
    light += s->pool[i][2] * exp(-dx * dx - dy * dy);
  }
  return fmax(0.1, light);
}

static inline void stand_wall_colour(double rgb[3], const stand_scene *s, double x, double y) {
  stand_cover_colour(rgb, s, x, y);
  double dark = 0;
  for (int i = 0; i < s->pieces; i++) {
    const stand_piece *const p = &s->piece[i];
    if (!p->counted) continue;
    const double off = 1.5 + 0.4 * p->z, d = stand_inside(p, x - off, y + off), soft = 1 + 0.3 * p->z;
    if (d < soft) dark = fmax(dark, s->shadow * fmin(1, (soft - d) / (2 * soft)));
  }
  for (int i = 0; i < s->boxes; i++) { /* a shelf's shadow beneath it */
    const stand_box *const b = &s->box[i];
    if (b->z0 > 1 || x < b->x0 || x > b->x1 + 3 || y > b->y0) continue;
    dark = fmax(dark, s->shadow * fmax(0, 1 - (b->y0 - y) / (0.6 * b->z1)));
  }
  const double light = stand_light(s, x, y) * (1 - dark);
  for (int k = 0; k < 3; k++) rgb[k] *= light;
}

/* The nearest thing along a ray from the lens; o at (x, y, distance), d down the wall's axes with y up. */
static inline void stand_ray(double rgb[3], const stand_scene *s, const double d[3]) {
  double near = HUGE_VAL;
  const double oz = s->distance;
  memcpy(rgb, s->above, 3 * sizeof *rgb);
  if (d[2] < 0) { /* towards the wall */
    const double t = -oz / d[2], x = s->x + t * d[0], y = s->y + t * d[1];
    near = t;
    if (x >= 0 && x <= s->width && y >= 0 && y <= s->height)
      stand_wall_colour(rgb, s, x, y);
    else if (y > s->height || s->back[0] < 0)
      memcpy(rgb, s->above, 3 * sizeof *rgb);
    else
      memcpy(rgb, s->back, 3 * sizeof *rgb);
  }
  if (d[1] < 0) { /* floor */
    const double t = -s->y / d[1], z = oz + t * d[2];
    if (t < near && t > 0) {
      near = t;
      for (int k = 0; k < 3; k++) rgb[k] = s->floor[k] * (1 - 0.2 * fmin(1, fabs(z) / 300));
    }
  }
  for (int side = 0; side < 2 && s->side > 0; side++) {
    const double t = ((side ? s->width : 0) - s->x) / d[0], z = oz + t * d[2], y = s->y + t * d[1];
    if (!(t > 0) || t >= near || z < 0 || z > s->side || y < 0 || y > s->height) continue;
    near = t;
    for (int k = 0; k < 3; k++) rgb[k] = s->sides[k] * (side ? 0.85 : 1);
  }
  for (int i = 0; i < s->boxes; i++) {
    const stand_box *const b = &s->box[i];
    const double lo[3] = {b->x0, b->y0, b->z0}, hi[3] = {b->x1, b->y1, b->z1}, o[3] = {s->x, s->y, oz};
    double in = 0, out = near;
    int axis = -1;
    for (int k = 0; k < 3; k++) {
      double a = (lo[k] - o[k]) / d[k], c = (hi[k] - o[k]) / d[k];
      if (a > c) {
        const double keep = a;
        a = c;
        c = keep;
      }
      if (a > in) {
        in = a;
        axis = k;
      }
      out = fmin(out, c);
    }
    if (in >= out || axis < 0) continue;
    near = in;
    const double face = axis == 1 ? 1.15 : axis == 0 ? 0.8 : 1;
    for (int k = 0; k < 3; k++) rgb[k] = b->rgb[k] * face;
  }
  for (int i = 0; i < s->pieces; i++) {
    const stand_piece *const p = &s->piece[i];
    const double t = (p->z - oz) / d[2], x = s->x + t * d[0], y = s->y + t * d[1];
    if (!(t > 0) || t >= near + (p->z < 0.5 ? 1e-6 : 0) || stand_inside(p, x, y) > 0) continue;
    near = t;
    stand_piece_colour(rgb, p, x, y);
    const double light = p->counted ? stand_light(s, x, y) : 1;
    for (int k = 0; k < 3; k++) rgb[k] *= light;
  }
}

/* ---- a scene ---- */

static inline void stand_ink(double rgb[3], uint64_t *r) {
  static const double inks[9][3] = {{0.03, 0.05, 0.18}, {0.38, 0.07, 0.04}, {0.05, 0.16, 0.07},
                                    {0.48, 0.30, 0.05}, {0.04, 0.04, 0.04}, {0.18, 0.10, 0.05},
                                    {0.05, 0.22, 0.26}, {0.30, 0.06, 0.22}, {0.55, 0.42, 0.28}};
  const double *const ink = inks[(int)(stand_random(r) * 9)];
  for (int k = 0; k < 3; k++) rgb[k] = ink[k] * stand_between(r, 0.8, 1.25);
}

static inline double stand_difference(const double a[3], const double b[3]) {
  double sum = 0;
  for (int k = 0; k < 3; k++) sum += fabs(bc_srgb_encode(a[k]) - bc_srgb_encode(b[k]));
  return sum / 3;
}

static inline void stand_hang(stand_scene *s, uint64_t *r, int wanted, double low, bool white) {
  for (int tries = 0; s->pieces < wanted && tries < 500; tries++) {
    stand_piece p = {.shape = (stand_shape)(int)(stand_random(r) * 4),
                     .width = stand_between(r, 12, 55),
                     .height = stand_between(r, 14, 65),
                     .counted = true,
                     .bands = stand_random(r) < 0.4 ? floor(stand_between(r, 2, 6)) : 0};
    p.x = stand_between(r, p.width / 2 + 10, s->width - p.width / 2 - 10);
    p.y = stand_between(r, fmax(low, 12) + p.height / 2 + 6, s->height - p.height / 2 - 10);
    if (!(p.y + p.height / 2 + 9 < s->height) || p.y - p.height / 2 < low) continue;
    for (int c = 0; c < 2; c++) {
      do stand_ink(p.rgb[c], r);
      while (stand_difference(p.rgb[c], s->wall[0]) < 0.12 || stand_difference(p.rgb[c], s->wall[1]) < 0.12);
      for (int k = 0; white && k < 3; k++) p.rgb[c][k] = s->wall[0][k] * (c ? 0.8 : 1.06);
    }
    if (white && p.bands < 1) p.bands = 3;
    bool apart = true;
    for (int i = 0; i < s->pieces; i++) {
      const stand_piece *const o = &s->piece[i];
      apart = apart &&
              (fabs(o->x - p.x) > (o->width + p.width) / 2 + 8 || fabs(o->y - p.y) > (o->height + p.height) / 2 + 8);
    }
    for (int i = 0; i < s->boxes; i++) {
      const stand_box *const b = &s->box[i];
      if (b->z0 > 1) continue;
      apart = apart && (p.x + p.width / 2 + 4 < b->x0 || p.x - p.width / 2 - 4 > b->x1 ||
                        p.y - p.height / 2 - 4 > b->y1 + 30 || p.y + p.height / 2 + 6 < b->y0 - 12);
    }
    if (apart) s->piece[s->pieces++] = p;
  }
}

static inline void stand_shelf(stand_scene *s, uint64_t *r, double x, double y) {
  const double width = stand_between(r, 60, 90), deep = stand_between(r, 10, 16);
  s->box[s->boxes++] = (stand_box){x, x + width, y - 2.5, y, 0, deep, {0.20, 0.12, 0.06}};
  for (double at = x + 6; at < x + width - 14 && s->pieces < STAND_PIECES;) {
    stand_piece p = {.shape = STAND_VASE,
                     .width = stand_between(r, 10, 16),
                     .height = stand_between(r, 14, 26),
                     .z = deep / 2,
                     .counted = true};
    p.x = at + p.width / 2;
    p.y = y + p.height / 2;
    do stand_ink(p.rgb[0], r);
    while (stand_difference(p.rgb[0], s->wall[0]) < 0.12 || stand_difference(p.rgb[0], s->wall[1]) < 0.12);
    s->piece[s->pieces++] = p;
    at += p.width + stand_between(r, 8, 16);
  }
}

static inline void stand_table(stand_scene *s, uint64_t *r, double x, double width) {
  const double z0 = stand_between(r, 30, 60), z1 = z0 + stand_between(r, 45, 75), high = stand_between(r, 70, 76);
  stand_box top = {x, x + width, 0, high, z0, z1, {0}};
  stand_ink(top.rgb, r);
  s->box[s->boxes++] = top;
  for (double at = x + 10; at < x + width - 24 && s->pieces < STAND_PIECES;) {
    stand_piece p = {.shape = stand_random(r) < 0.5 ? STAND_VASE : STAND_RECT,
                     .width = stand_between(r, 8, 18),
                     .height = stand_between(r, 8, 30),
                     .z = (z0 + z1) / 2};
    p.x = at + p.width / 2;
    p.y = high + p.height / 2;
    stand_ink(p.rgb[0], r);
    s->piece[s->pieces++] = p;
    at += p.width + stand_between(r, 8, 40);
  }
}

static inline void stand_chair(stand_scene *s, uint64_t *r, double x, bool back) {
  const double z = stand_between(r, 40, 80);
  double rgb[3];
  stand_ink(rgb, r);
  const stand_box parts[4] = {{x, x + 42, 42, 46, z, z + 40, {0}},
                              {x, x + 4, 0, back ? 84 : 43, z, z + 4, {0}},
                              {x + 38, x + 42, 0, back ? 84 : 43, z, z + 4, {0}},
                              {x, x + 42, back ? 60 : 20, back ? 84 : 24, z, z + 3, {0}}};
  for (int i = 0; i < 4; i++) {
    s->box[s->boxes] = parts[i];
    memcpy(s->box[s->boxes++].rgb, rgb, sizeof rgb);
  }
}

static inline void stand_camera(stand_scene *s, uint64_t *r) {
  s->pixels_x = 1440;
  s->pixels_y = 1080;
  for (int tries = 0; tries < 4000; tries++) {
    const double turn = stand_between(r, -35, 35), away = stand_between(r, 330, 560);
    s->x = s->width / 2 - away * sin(turn * M_PI / 180) + stand_between(r, -20, 20);
    s->distance = away * cos(turn * M_PI / 180);
    s->y = stand_between(r, 120, 175);
    s->yaw = turn + stand_between(r, -4, 4);
    s->pitch = stand_between(r, -8, 3);
    s->roll = stand_between(r, -3.5, 3.5);
    s->focal = stand_between(r, 850, 1300);
    bc_look_point c[BC_LOOK_CORNERS];
    stand_corners(c, s);
    bool in = true;
    double low = HUGE_VAL, high = 0;
    for (int i = 0; i < BC_LOOK_CORNERS; i++) {
      in = in && c[i].x > 20 && c[i].y > 20 && c[i].x < s->pixels_x - 20 && c[i].y < s->pixels_y - 20;
      low = fmin(low, c[i].x);
      high = fmax(high, c[i].x);
    }
    if (in && high - low > 0.5 * s->pixels_x) return;
  }
}

/* Scene `number` of a part: its kinds in turn. `testing`: kinds and seeds that nothing is fitted on. */
static inline stand_scene stand_make(int number, bool testing) {
  uint64_t state = UINT64_C(7919) * (uint64_t)number + (testing ? UINT64_C(0x51ED27A5) : UINT64_C(0x2545F491));
  uint64_t *const r = &state;
  for (int i = 0; i < 8; i++) stand_random(r);
  stand_scene s = {.width = stand_between(r, 240, 360), .height = stand_between(r, 205, 250), .seed = state};
  const int kind = testing ? number % 7 : number % 7;
  static const stand_cover learnt[7] = {STAND_PAINT,   STAND_FOLDS,  STAND_SPOTS, STAND_PAINT,
                                        STAND_STRIPES, STAND_CHECKS, STAND_PAINT};
  static const stand_cover other[7] = {STAND_GATHERS, STAND_DIAMONDS, STAND_SPRIGS, STAND_PAINT,
                                       STAND_PLAID,   STAND_BOARDS,   STAND_PAINT};
  s.cover = testing ? other[kind] : learnt[kind];
  const bool white = kind == 3 && number % 2 == 0;
  static const double grounds[6][3] = {{0.78, 0.77, 0.74}, {0.62, 0.55, 0.42}, {0.30, 0.36, 0.42},
                                       {0.55, 0.60, 0.52}, {0.10, 0.16, 0.13}, {0.72, 0.64, 0.60}};
  memcpy(s.wall[0], grounds[white ? 0 : (int)(stand_random(r) * 6)], sizeof s.wall[0]);
  const double paler = stand_between(r, 0.45, 0.75);
  for (int k = 0; k < 3; k++)
    s.wall[1][k] = s.cover == STAND_PAINT || s.cover == STAND_FOLDS || s.cover == STAND_GATHERS
                       ? s.wall[0][k]
                       : s.wall[0][k] * paler + (k == 0 ? 0.05 : 0);
  s.scale = s.cover == STAND_FOLDS || s.cover == STAND_GATHERS ? stand_between(r, 18, 40)
            : s.cover == STAND_BOARDS                          ? stand_between(r, 12, 18)
                                                               : stand_between(r, 5, 14);
  s.depth = s.cover == STAND_FOLDS || s.cover == STAND_GATHERS ? stand_between(r, 0.08, 0.22)
            : s.cover == STAND_BOARDS                          ? 0.06
                                                               : 0;
  s.lean = stand_between(r, -3, 3);
  const double grey = stand_between(r, 0.08, 0.3);
  for (int k = 0; k < 3; k++) {
    s.floor[k] = grey * (1 - 0.1 * k);
    s.sides[k] = s.wall[0][k] * stand_between(r, 0.55, 0.8);
    s.above[k] = stand_random(r) < 0.5 ? 0.04 + 0.01 * k : 0.45 + 0.1 * k;
    s.back[k] = stand_between(r, 0.1, 0.4);
  }
  const double sky = stand_random(r);
  for (int k = 0; k < 3; k++) s.above[k] = sky < 0.5 ? 0.03 + 0.012 * k : sky < 0.75 ? 0.42 + 0.14 * k : 0.2;
  s.side = stand_random(r) < 0.6 ? stand_between(r, 60, 220) : 0;
  s.gradient[0] = stand_between(r, -0.5, 0.5);
  s.gradient[1] = stand_between(r, -0.2, 0.4);
  s.pools = (int)(stand_random(r) * 3);
  for (int i = 0; i < s.pools; i++) {
    s.pool[i][0] = stand_between(r, 0, s.width);
    s.pool[i][1] = stand_between(r, 100, s.height);
    s.pool[i][2] = stand_between(r, 0.1, 0.45);
  }
  s.shadow = stand_between(r, 0.1, 0.4);
  s.bend = stand_between(r, -0.07, 0.04);
  s.noise = stand_between(r, 0.002, 0.012);
  if (stand_random(r) < 0.35) stand_shelf(&s, r, stand_between(r, 15, s.width - 110), stand_between(r, 110, 160));
  const double any = stand_random(r);
  double low = 10;
  if (!testing && any < 0.45) {
    stand_table(&s, r, stand_between(r, -20, s.width - 190), stand_between(r, 120, 200));
    low = 118;
  } else if (!testing && any < 0.7) {
    stand_chair(&s, r, stand_between(r, 20, s.width - 60), true);
    low = 95;
  } else if (testing && any < 0.4) {
    stand_table(&s, r, stand_between(r, -30, 10), stand_between(r, 110, 130));
    stand_table(&s, r, s.width / 2 + stand_between(r, 0, 30), stand_between(r, 110, 130));
    low = 118;
  } else if (testing && any < 0.7) {
    stand_chair(&s, r, stand_between(r, 10, 60), false);
    stand_table(&s, r, stand_between(r, 120, s.width - 150), 140);
    low = 118;
  }
  stand_hang(&s, r, s.pieces + 4 + (int)(stand_random(r) * 5), low, white);
  stand_camera(&s, r);
  return s;
}

/* ---- photos without a wall ---- */

enum { STAND_LANDSCAPE, STAND_PRODUCT, STAND_ROOM, STAND_STREET, STAND_BANNER, STAND_OTHERS };

static inline double stand_ridge(double x, uint64_t seed) {
  double sum = 0;
  for (int o = 0; o < 5; o++) {
    const double f = 3 * (1 << o), at = x * f, t = at - floor(at);
    const double a = stand_hash((int)floor(at), o, seed), b = stand_hash((int)floor(at) + 1, o, seed);
    sum += (a + (b - a) * t * t * (3 - 2 * t) - 0.5) / (1 << o);
  }
  return sum;
}

static inline void stand_other_colour(double rgb[3], int kind, uint64_t seed, double u, double v) {
  const double a = stand_hash(1, 1, seed), b = stand_hash(2, 1, seed), c = stand_hash(3, 1, seed);
  if (kind == STAND_LANDSCAPE) {
    static const double layer[4][3] = {{0.35, 0.50, 0.75}, {0.22, 0.28, 0.36}, {0.10, 0.19, 0.08}, {0.28, 0.24, 0.10}};
    int at = 0;
    for (int l = 1; l < 4; l++)
      if (v > 0.25 + 0.2 * l * (0.7 + 0.5 * a) + (0.22 - 0.05 * l) * stand_ridge(u, seed + (uint64_t)l)) at = l;
    const double grain = at > 0 ? 0.5 + 0.5 * stand_hash((int)(u * 500), (int)(v * 400), seed) : 1 - 0.3 * v;
    for (int k = 0; k < 3; k++) rgb[k] = layer[at][k] * grain;
  } else if (kind == STAND_PRODUCT) { /* a thing on a sheet, or on a table before a wall; some are square */
    const double ground = 0.3 + 0.6 * b;
    const bool table = c < 0.5 && v > 0.62;
    for (int k = 0; k < 3; k++) rgb[k] = table ? 0.25 - 0.05 * k : ground * (1 - 0.1 * k * a) * (1 - 0.2 * u);
    const double x = (u - 0.5) / (0.12 + 0.2 * a), y = (v - 0.55) / (0.15 + 0.18 * b);
    const bool in = c < 0.25  ? fmax(fabs(x), fabs(y)) < 1
                    : c < 0.5 ? x * x + y * y < 1
                              : fabs(x) < 0.5 + 0.5 * cos(2 * y) && fabs(y) < 1;
    if (in)
      for (int k = 0; k < 3; k++)
        rgb[k] = (0.05 + 0.4 * stand_hash(k, 9, seed)) * (1 - 0.4 * fmax(0, x)) * (fmod(fabs(y) * 6, 2) < 1 ? 1 : 0.7);
  } else if (kind == STAND_BANNER) { /* alone on a wall that goes on, with a frame or without */
    const double x = fabs(u - 0.5 - 0.1 * (a - 0.5)) / (0.18 + 0.2 * b), y = fabs(v - 0.5) / (0.2 + 0.18 * c);
    const bool framed = a < 0.5, on = fmax(x, y) < 1, inner = fmax(x, y) < 0.88;
    for (int k = 0; k < 3; k++)
      rgb[k] = !on ? (0.35 + 0.4 * c) * (1 - 0.06 * k * b) * (1 - 0.3 * u)
                   : (framed && inner ? 0.2 + 0.6 * stand_hash(k, 6, seed) : 0.03 + 0.3 * stand_hash(k, 7, seed));
    if (on && (x - 0.2) * (x - 0.2) + y * y < 0.1)
      for (int k = 0; k < 3; k++) rgb[k] = 0.05 + 0.5 * stand_hash(k, 8, seed);
  } else if (kind == STAND_ROOM) { /* into a corner: two walls, floor, a window, a sofa */
    const double corner = 0.3 + 0.4 * a, dx = u - corner;
    const double ceiling = 0.2 - 0.25 * fabs(dx) * (dx < 0 ? 1 : 0.8),
                 floor = 0.7 + 0.35 * fabs(dx) * (dx < 0 ? 0.9 : 1);
    for (int k = 0; k < 3; k++)
      rgb[k] = v < ceiling ? 0.75 : v > floor ? 0.2 - 0.04 * k : (dx < 0 ? 0.6 : 0.42) - 0.05 * k * b;
    if (dx > 0.15 && dx < 0.35 && v > 0.3 && v < 0.5)
      for (int k = 0; k < 3; k++) rgb[k] = fmod(dx * 20, 2) < 0.15 ? 0.7 : 0.8 + 0.1 * k;
    if (u > 0.05 && u < 0.05 + 0.35 * c && v > 0.58 && v < 0.85)
      for (int k = 0; k < 3; k++) rgb[k] = 0.12 + 0.1 * stand_hash(k, 5, seed) + (v < 0.66 ? 0.05 : 0);
  } else { /* a street: fronts of houses with windows, running away */
    const double van = 0.3 + 0.4 * a, away = fabs(u - van) + 0.03, top = 0.5 - 0.75 * away, foot = 0.5 + 0.35 * away;
    for (int k = 0; k < 3; k++) rgb[k] = v < top ? 0.5 + 0.1 * k : v > foot ? 0.15 : 0;
    if (v >= top && v <= foot) {
      const double depth = 1 / away, high = (v - 0.5) / away;
      const int house = (int)floor(depth * 1.5);
      const bool window = fmod(depth * 6, 1) < 0.4 && fmod(fabs(high) * 5, 1) < 0.5;
      for (int k = 0; k < 3; k++) rgb[k] = window ? 0.08 : 0.2 + 0.4 * stand_hash(house, k + (u < van ? 5 : 0), seed);
    }
  }
}

/* ---- to a file ---- */

static inline void stand_put(uint8_t *pixel, const double rgb[3], double noise, uint64_t *r) {
  double grain = 0;
  for (int k = 0; k < 4; k++) grain += stand_random(r) - 0.5;
  for (int c = 0; c < 3; c++) {
    const double value = 255 * (bc_srgb_encode(fmin(1, rgb[c])) + noise * 1.73 * grain);
    pixel[c] = (uint8_t)(value < 0 ? 0 : value > 255 ? 255 : lrint(value));
  }
}

/* 8-bit sRGB, malloc'd. kind < 0: the scene; else a photo of that kind without a wall. */
static inline uint8_t *stand_render(const stand_scene *s, int kind) {
  uint8_t *pixels = malloc((size_t)s->pixels_x * (size_t)s->pixels_y * 3);
  double r[3][3];
  uint64_t grain = s->seed + 77;
  stand_axes(r, s);
  const double half = hypot(s->pixels_x, s->pixels_y) / 2;
  for (int y = 0; pixels && y < s->pixels_y; y++)
    for (int x = 0; x < s->pixels_x; x++) {
      double sum[3] = {0};
      for (int k = 0; k < 4; k++) {
        static const double at[4][2] = {{0.125, 0.625}, {0.375, 0.125}, {0.625, 0.875}, {0.875, 0.375}};
        double rgb[3];
        if (kind >= 0) {
          stand_other_colour(rgb, kind, s->seed, (x + at[k][0]) / s->pixels_x, (y + at[k][1]) / s->pixels_y);
        } else {
          const double bu = (x + at[k][0] - s->pixels_x / 2.0) / half, bv = (y + at[k][1] - s->pixels_y / 2.0) / half;
          double u = bu, v = bv;
          for (int i = 0; i < 6; i++) { /* undo the bend by fixed point */
            const double m = 1 + s->bend * (u * u + v * v);
            u = bu / m;
            v = bv / m;
          }
          const double c[3] = {u * half / s->focal, v * half / s->focal, 1};
          double d[3];
          for (int i = 0; i < 3; i++) d[i] = r[0][i] * c[0] + r[1][i] * c[1] + r[2][i] * c[2];
          const double up[3] = {d[0], -d[1], -d[2]};
          stand_ray(rgb, s, up);
        }
        for (int c = 0; c < 3; c++) sum[c] += rgb[c] / 4;
      }
      stand_put(pixels + 3 * ((size_t)y * (size_t)s->pixels_x + (size_t)x), sum, s->noise, &grain);
    }
  return pixels;
}

/* As a binary PPM, which the photo stage reads. */
static inline bool stand_write(const stand_scene *s, int kind, const char *path) {
  uint8_t *const pixels = stand_render(s, kind);
  FILE *const file = pixels ? fopen(path, "wb") : NULL;
  bool fine = file != NULL;
  if (file) {
    const size_t size = (size_t)s->pixels_x * (size_t)s->pixels_y * 3;
    fine = fprintf(file, "P6\n%d %d\n255\n", s->pixels_x, s->pixels_y) > 0 && fwrite(pixels, 1, size, file) == size;
    fine = fclose(file) == 0 && fine;
  }
  free(pixels);
  return fine;
}

#endif
