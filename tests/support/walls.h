/* SPDX-License-Identifier: MIT */
/* Photos of walls whose truth is known: a wall with rectangles and discs on it, floor, ceiling and side walls about
 * it, seen by a pinhole camera with an optional lens bend, shading and noise. Ray casting, with samples in each pixel.
 */
#ifndef BC_TESTS_SUPPORT_WALLS_H
#define BC_TESTS_SUPPORT_WALLS_H

#include <backcloth/look.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct wall_shape {
  bool disc;
  double x, y, width, height; /* cm of the wall, its middle */
  double tilt;                /* degrees, clockwise */
  double fade;                /* how much of its light is lost from its left end to its right, as on a rounded thing */
  double rgb[3];              /* linear */
} wall_shape;

enum { WALL_SHAPES = 12 };
typedef struct wall_scene {
  double width, height; /* of the wall, cm */
  double side;          /* how far the side walls and the floor come forward, cm; 0: nothing but dark about the wall */
  double wall[3], floor[3], sides[3], above[3]; /* linear rgb */
  double shade;                                 /* light falls off to the right by this share */
  wall_shape shape[WALL_SHAPES];
  int shapes;
  /* camera */
  double x, y, distance; /* of the lens, cm of the wall */
  double yaw, pitch, roll;
  int pixels_x, pixels_y;
  double focal; /* pixels */
  double bend;  /* first radial coefficient, of the half diagonal: r' = r (1 + bend r^2) */
  double noise; /* of the encoded value */
} wall_scene;

static uint64_t wall_state = 1;
static inline double wall_random(void) { /* 0..1; xorshift64*, Vigna 2016 */
  wall_state ^= wall_state >> 12;
  wall_state ^= wall_state << 25;
  wall_state ^= wall_state >> 27;
  return (double)((wall_state * 2685821657736338717ULL) >> 11) / 9007199254740992.0;
}
static inline double wall_between(double low, double high) {
  return low + (high - low) * wall_random();
}

/* Camera axes in wall axes (x right, y down, z into the wall): rows are the camera's right, down, forward. */
static inline void wall_axes(double r[3][3], const wall_scene *s) {
  const double k = M_PI / 180, y = s->yaw * k, p = s->pitch * k, o = s->roll * k;
  /* R = Rz(roll) Rx(pitch) Ry(yaw), angles as bc_look_camera has them */
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

/* Where a point of the wall (cm, y up) lies in the photo. */
static inline bc_look_point wall_project(const wall_scene *s, bc_look_point at) {
  double r[3][3], c[3];
  wall_axes(r, s);
  const double d[3] = {at.x - s->x, s->y - at.y, s->distance};
  for (int i = 0; i < 3; i++) c[i] = r[i][0] * d[0] + r[i][1] * d[1] + r[i][2] * d[2];
  const double half = hypot(s->pixels_x, s->pixels_y) / 2;
  double u = s->focal * c[0] / c[2] / half, v = s->focal * c[1] / c[2] / half;
  const double bent = 1 + s->bend * (u * u + v * v);
  return (bc_look_point){s->pixels_x / 2.0 + u * bent * half, s->pixels_y / 2.0 + v * bent * half};
}

static inline void wall_corners(bc_look_point corner[BC_LOOK_CORNERS], const wall_scene *s) {
  const bc_look_point at[BC_LOOK_CORNERS] = {{0, s->height}, {s->width, s->height}, {s->width, 0}, {0, 0}};
  for (int i = 0; i < BC_LOOK_CORNERS; i++) corner[i] = wall_project(s, at[i]);
}

static inline void wall_surface(double rgb[3], const wall_scene *s, double x, double y) {
  memcpy(rgb, s->wall, 3 * sizeof *rgb);
  for (int i = 0; i < s->shapes; i++) {
    const wall_shape *const p = &s->shape[i];
    const double t = p->tilt * M_PI / 180, dx = x - p->x, dy = y - p->y;
    const double u = dx * cos(t) - dy * sin(t), v = dx * sin(t) + dy * cos(t);
    const bool in = p->disc ? (u * u) / (p->width * p->width) + (v * v) / (p->height * p->height) < 0.25
                            : fabs(u) < p->width / 2 && fabs(v) < p->height / 2;
    for (int k = 0; in && k < 3; k++) rgb[k] = p->rgb[k] * (1 - p->fade * (u / p->width + 0.5));
  }
  const double light = 1 - s->shade * (0.7 * x / s->width + 0.3 * (1 - y / s->height));
  for (int k = 0; k < 3; k++) rgb[k] *= light;
}

static inline void wall_hit(double rgb[3], const wall_scene *s, const double d[3]) {
  const double t = s->distance / d[2], x = s->x + t * d[0], y = s->y - t * d[1];
  if (d[2] > 0 && x >= 0 && x <= s->width && y >= 0 && y <= s->height) {
    wall_surface(rgb, s, x, y);
    return;
  }
  /* the planes at right angles to the wall, from it towards the viewer */
  double near = HUGE_VAL;
  memcpy(rgb, s->above, 3 * sizeof *rgb);
  const double to[3] = {d[1] > 0 ? s->y / d[1] : HUGE_VAL, d[0] < 0 ? -s->x / d[0] : HUGE_VAL,
                        d[0] > 0 ? (s->width - s->x) / d[0] : HUGE_VAL};
  for (int i = 0; i < 3; i++) {
    const double z = s->distance - to[i] * d[2]; /* before the wall */
    if (!(to[i] > 0) || to[i] >= near || z < 0 || (i && z > s->side)) continue;
    if (i && s->y - to[i] * d[1] > s->height) continue;
    near = to[i];
    for (int k = 0; k < 3; k++) rgb[k] = (i ? s->sides[k] : s->floor[k]) * (1 - 0.25 * fmin(1, z / 300));
  }
}

/* One sample at a place of the photo. */
static inline void wall_sample(double rgb[3], const wall_scene *s, double r[3][3], double px, double py) {
  const double half = hypot(s->pixels_x, s->pixels_y) / 2;
  double u = (px - s->pixels_x / 2.0) / half, v = (py - s->pixels_y / 2.0) / half;
  const double bent_u = u, bent_v = v;
  for (int i = 0; i < 8 && s->bend != 0; i++) { /* undo the bend by fixed point */
    const double k = 1 + s->bend * (u * u + v * v);
    u = bent_u / k;
    v = bent_v / k;
  }
  const double c[3] = {u * half / s->focal, v * half / s->focal, 1};
  double d[3];
  for (int i = 0; i < 3; i++) d[i] = r[0][i] * c[0] + r[1][i] * c[1] + r[2][i] * c[2];
  wall_hit(rgb, s, d);
}

/* 8-bit sRGB, three samples a pixel; malloc'd. */
static inline uint8_t *wall_render(const wall_scene *s) {
  uint8_t *pixels = malloc((size_t)s->pixels_x * (size_t)s->pixels_y * 3);
  double r[3][3];
  wall_axes(r, s);
  for (int y = 0; pixels && y < s->pixels_y; y++)
    for (int x = 0; x < s->pixels_x; x++) {
      double sum[3] = {0};
      for (int k = 0; k < 4; k++) {
        double rgb[3]; /* rotated grid: any straight edge gets four steps */
        static const double at[4][2] = {{0.125, 0.625}, {0.375, 0.125}, {0.625, 0.875}, {0.875, 0.375}};
        wall_sample(rgb, s, r, x + at[k][0], y + at[k][1]);
        for (int c = 0; c < 3; c++) sum[c] += rgb[c] / 4;
      }
      double grain = 0;
      for (int k = 0; k < 6; k++) grain += wall_random() - 0.5; /* nearly normal; variance 1/2 */
      for (int c = 0; c < 3; c++) {
        const double value = 255 * (bc_srgb_encode(sum[c]) + s->noise * M_SQRT2 * grain);
        pixels[3 * ((size_t)y * (size_t)s->pixels_x + (size_t)x) + (size_t)c] = (uint8_t)(value < 0     ? 0
                                                                                          : value > 255 ? 255
                                                                                                        : lrint(value));
      }
    }
  return pixels;
}

/* As a binary PPM, which the photo stage reads. */
static inline bool wall_write(const wall_scene *s, const char *path) {
  uint8_t *pixels = wall_render(s);
  FILE *file = pixels ? fopen(path, "wb") : NULL;
  bool fine = file != NULL;
  if (file) {
    const size_t size = (size_t)s->pixels_x * (size_t)s->pixels_y * 3;
    fine = fprintf(file, "P6\n%d %d\n255\n", s->pixels_x, s->pixels_y) > 0 && fwrite(pixels, 1, size, file) == size;
    fine = fclose(file) == 0 && fine;
  }
  free(pixels);
  return fine;
}

/* A stand at a market, and a camera somewhere before it. */
static inline wall_scene wall_usual(void) {
  return (wall_scene){.width = 300,
                      .height = 240,
                      .side = 120,
                      .wall = {0.72, 0.71, 0.68},
                      .floor = {0.16, 0.15, 0.14},
                      .sides = {0.52, 0.51, 0.48},
                      .above = {0.05, 0.06, 0.09},
                      .shade = 0.2,
                      .x = 150,
                      .y = 150,
                      .distance = 420,
                      .pixels_x = 1600,
                      .pixels_y = 1200,
                      .focal = 1200,
                      .noise = 0.006};
}

static inline wall_scene wall_anywhere(void) {
  wall_scene s = wall_usual();
  for (;;) { /* until all of the wall is in the photo */
    s.x = wall_between(60, 240);
    s.y = wall_between(120, 180);
    s.distance = wall_between(330, 480);
    s.yaw = (150 - s.x) * 0.12 + wall_between(-6, 6);
    s.pitch = wall_between(-8, 4);
    s.roll = wall_between(-5, 5);
    s.focal = wall_between(1000, 1400);
    bc_look_point c[BC_LOOK_CORNERS];
    wall_corners(c, &s);
    bool in = true;
    for (int i = 0; i < BC_LOOK_CORNERS; i++)
      in = in && c[i].x > 25 && c[i].y > 25 && c[i].x < s.pixels_x - 25 && c[i].y < s.pixels_y - 25;
    if (in) return s;
  }
}

/* Rectangles and discs apart from one another, clearly unlike the wall. */
static inline void wall_hang(wall_scene *s, int wanted) {
  for (int tries = 0; s->shapes < wanted && tries < 400; tries++) {
    wall_shape p = {.disc = wall_random() < 0.5, .width = wall_between(14, 60), .height = wall_between(14, 60)};
    p.x = wall_between(p.width / 2 + 12, s->width - p.width / 2 - 12);
    p.y = wall_between(p.height / 2 + 20, s->height - p.height / 2 - 12);
    static const double inks[5][3] = {
        {0.05, 0.07, 0.20}, {0.35, 0.08, 0.04}, {0.06, 0.16, 0.07}, {0.45, 0.30, 0.05}, {0.04, 0.04, 0.04}};
    memcpy(p.rgb, inks[s->shapes % 5], sizeof p.rgb);
    bool apart = true;
    for (int i = 0; i < s->shapes; i++) {
      const wall_shape *const o = &s->shape[i];
      apart = apart &&
              (fabs(o->x - p.x) > (o->width + p.width) / 2 + 6 || fabs(o->y - p.y) > (o->height + p.height) / 2 + 6);
    }
    if (apart) s->shape[s->shapes++] = p;
  }
}

#endif
