/* SPDX-License-Identifier: MIT */
/* Makes hard photos of which the true alpha is known, drawn from shapes and grounds of our own: OUT/tune to work with,
 * and OUT/test, other chance and other grounds, to look at figures only. Always the same for the same SEED. */
#include "bench.h"
#include "hard_shapes.h"
#include "scene_file.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

enum { POINTS = 4 }; /* each way in a pixel */
typedef enum ground_kind { PLAIN, LINEN, PLANKS, PEBBLES, CHECK, STRIPES } ground_kind;

typedef struct hard_scene {
  const hard_kind *kind;
  hard_piece piece;
  ground_kind ground;
  double colour[3], ground_colour[2][3], scale, light[2];
  double shadow_x, shadow_y, soft, depth;
} hard_scene;

/* ---- grounds ---- */

/* 0..1, always the same at a place. */
static double noise_at(int x, int y) {
  uint32_t h = (uint32_t)x * 374761393u + (uint32_t)y * 668265263u;
  h = (h ^ (h >> 13)) * 1274126177u;
  return (double)((h ^ (h >> 16)) & 0xffff) / 65536.0;
}

static double smooth_noise(double x, double y) {
  const int left = (int)floor(x), top = (int)floor(y);
  const double u = x - left, v = y - top;
  const double above = noise_at(left, top) * (1 - u) + noise_at(left + 1, top) * u;
  return above * (1 - v) + v * (noise_at(left, top + 1) * (1 - u) + noise_at(left + 1, top + 1) * u);
}

/* How much of the second colour, and how bright. */
static double pebble(double x, double y, double *bright) {
  double nearest = 9;
  for (int row = (int)floor(y) - 1; row <= (int)floor(y) + 1; row++)
    for (int column = (int)floor(x) - 1; column <= (int)floor(x) + 1; column++) {
      const double far = hypot(x - column - noise_at(column, row), y - row - noise_at(row, column + 71));
      if (far >= nearest) continue;
      nearest = far;
      *bright = 0.7 + 0.5 * noise_at(column + 17, row + 5);
    }
  *bright *= 1.1 - 0.9 * nearest;
  return noise_at((int)floor(x), (int)floor(y));
}

static void ground_at(double rgb[3], const hard_scene *s, double x, double y) {
  const double u = x / s->scale, v = y / s->scale;
  double second = 0, bright = 1 + s->light[0] * (x / hard_width - 0.5) + s->light[1] * (y / hard_height - 0.5);
  if (s->ground == PLAIN) bright *= 1 + 0.04 * (smooth_noise(u, v) - 0.5);
  if (s->ground == LINEN) bright *= 0.88 + 0.1 * sin(9 * u) * sin(9 * v) + 0.2 * smooth_noise(3 * u, 14 * v);
  if (s->ground == PLANKS) {
    const double board = v / 2.6, in_board = board - floor(board);
    second = 0.7 * smooth_noise(0.5 * u + 31 * floor(board), 9 * v);
    bright *= in_board < 0.035 ? 0.12 : 0.9 + 0.2 * noise_at((int)floor(board), 3);
  }
  if (s->ground == PEBBLES) {
    double own = 1;
    second = pebble(u, v, &own);
    bright *= own;
  }
  if (s->ground == CHECK) second = ((int)floor(u) + (int)floor(v)) & 1;
  if (s->ground == STRIPES) second = (int)floor(u + 0.4 * v) & 1;
  for (int c = 0; c < 3; c++)
    rgb[c] = bright * ((1 - second) * s->ground_colour[0][c] + second * s->ground_colour[1][c]);
}

/* Other things at the frame's edge. */
static void add_clutter(double rgb[3], double x, double y) {
  static const double things[4][6] = {{40, 110, 90, 0.5, 0.1, 0.08},
                                      {850, 150, 100, 0.1, 0.25, 0.4},
                                      {830, 600, 80, 0.6, 0.5, 0.12},
                                      {60, 590, 70, 0.08, 0.3, 0.12}};
  for (int k = 0; k < 4; k++) {
    const double far = hypot(x - things[k][0], y - things[k][1]) / things[k][2];
    for (int c = 0; c < 3 && far < 1; c++) rgb[c] = things[k][3 + c] * (1.1 - 0.7 * far * far);
  }
}

static void behind(double rgb[3], const hard_scene *s, double x, double y) {
  ground_at(rgb, s, x, y);
  if (s->kind->traits & HARD_CLUTTER) add_clutter(rgb, x, y);
}

/* ---- the piece ---- */

static void shade(double rgb[3], const hard_scene *s, double x, double y, double across) {
  const double round = 0.55 + 0.5 * sqrt(fmax(0, 1 - across * across)) - 0.2 * across;
  const double shine = exp(-30 * (across + 0.45) * (across + 0.45));
  if (s->kind->traits & HARD_CLEAR) {
    behind(rgb, s, s->piece.x - 0.75 * (x - s->piece.x), y);
    const double rim = fabs(across) > 0.93 ? 0.35 : 0.9 - 0.15 * across * across;
    for (int c = 0; c < 3; c++) rgb[c] = rgb[c] * rim + 0.35 * shine * shine;
    return;
  }
  const double gloss = s->kind->traits & (HARD_AS_PALE | HARD_PLANKS) ? 0.02 : 0.25;
  for (int c = 0; c < 3; c++) rgb[c] = s->colour[c] * round + gloss * shine;
}

/* One point: the light, and whether it is the piece. `k` chooses where in a soft light the point looks from. */
static int point_at(double rgb[3], const hard_scene *s, double x, double y, int k) {
  double across = 0;
  if (s->kind->shape(&s->piece, x, y, &across)) {
    shade(rgb, s, x, y, across);
    return 1;
  }
  behind(rgb, s, x, y);
  const double sway_x = s->soft * (k % 4 / 1.5 - 1), sway_y = s->soft * (k / 4 / 1.5 - 1);
  if (s->kind->shape(&s->piece, x - s->shadow_x - sway_x, y - s->shadow_y - sway_y, &across))
    for (int c = 0; c < 3; c++) rgb[c] *= 1 - s->depth;
  return 0;
}

static void draw(bench_scene *to, const hard_scene *s) {
  for (int y = 0; y < to->height; y++)
    for (int x = 0; x < to->width; x++) {
      const int i = y * to->width + x;
      for (int k = 0; k < POINTS * POINTS; k++) {
        double rgb[3];
        to->alpha[i] += point_at(rgb, s, x + (k % POINTS + 0.5) / POINTS, y + (k / POINTS + 0.5) / POINTS, k * 7 % 16);
        for (int c = 0; c < 3; c++) to->rgb[3 * i + c] += rgb[c] / (POINTS * POINTS);
      }
      to->alpha[i] /= POINTS * POINTS;
    }
}

/* ---- by chance ---- */

static double luminance(const double rgb[3]) {
  return 0.2126 * rgb[0] + 0.7152 * rgb[1] + 0.0722 * rgb[2];
}

static void choose_colours(hard_scene *s) {
  static const double pieces[][3] = {{0.62, 0.42, 0.13}, {0.58, 0.59, 0.6},  {0.5, 0.2, 0.1},   {0.05, 0.08, 0.25},
                                     {0.42, 0.3, 0.18},  {0.02, 0.02, 0.03}, {0.1, 0.25, 0.12}, {0.8, 0.78, 0.7}};
  static const double grounds[][3] = {{0.75, 0.7, 0.6},  {0.3, 0.18, 0.1},   {0.09, 0.09, 0.1},  {0.35, 0.4, 0.36},
                                      {0.5, 0.42, 0.32}, {0.12, 0.16, 0.22}, {0.62, 0.62, 0.62}, {0.2, 0.24, 0.15}};
  double ratio;
  do {
    memcpy(s->colour, pieces[(int)(8 * bench_chance())], sizeof s->colour);
    for (int k = 0; k < 2; k++)
      memcpy(s->ground_colour[k], grounds[(int)(8 * bench_chance())], sizeof s->ground_colour[k]);
    for (int c = 0; c < 3; c++)
      s->ground_colour[1][c] = 0.5 * (s->ground_colour[0][c] + s->ground_colour[1][c]) * bench_between(0.7, 1.2);
    ratio = (luminance(s->colour) + 0.02) / (luminance(s->ground_colour[0]) + 0.02);
  } while (ratio > 0.55 && ratio < 1.8);
  const double white = bench_between(0.72, 0.8), dark = bench_between(0.025, 0.04);
  for (int c = 0; c < 3; c++) {
    if (s->kind->traits & HARD_AS_PALE) s->ground_colour[0][c] = white;
    if (s->kind->traits & HARD_AS_PALE) s->colour[c] = 0.98 * white;
    if (s->kind->traits & HARD_AS_DARK) s->ground_colour[0][c] = s->ground_colour[1][c] = dark * (c == 0 ? 1.3 : 1);
    if (s->kind->traits & HARD_AS_DARK) s->colour[c] = 0.4 * dark;
  }
}

static hard_scene choose(const hard_kind *kind, int testing) {
  static const ground_kind grounds[2][3] = {{PLAIN, LINEN, PLANKS}, {PLAIN, PEBBLES, STRIPES}};
  hard_scene s = {.kind = kind, .ground = grounds[testing][(int)(3 * bench_chance())], .scale = bench_between(20, 55)};
  if (kind->traits & (HARD_AS_PALE | HARD_AS_DARK)) s.ground = PLAIN;
  if (testing && kind->traits & HARD_CLEAR) s.ground = CHECK;
  if (kind->traits & HARD_PLANKS) s.ground = PLANKS;
  choose_colours(&s);
  s.piece = (hard_piece){.x = hard_width * bench_between(0.42, 0.58),
                         .y = hard_height * bench_between(0.46, 0.54),
                         .size = hard_height * bench_between(0.27, 0.4),
                         .thickness = kind->thickness,
                         .lean = bench_chance()};
  for (int k = 0; k < 2; k++) s.light[k] = bench_between(-0.25, 0.25);
  const int sun = kind->traits & HARD_SUN;
  s.shadow_x = sun ? bench_between(50, 120) : bench_between(-12, 12);
  s.shadow_y = sun ? bench_between(10, 60) : bench_between(4, 16);
  s.soft = sun ? 0.7 : 9;
  s.depth = sun ? bench_between(0.65, 0.8) : bench_between(0.15, 0.45);
  return s;
}

/* ---- all of them ---- */

static int make(bc_context *context, const hard_scene *s, const char *name) {
  char path[4200];
  bench_scene all;
  int made = 0;
  if (bench_scene_new(&all, hard_width, hard_height)) {
    draw(&all, s);
    snprintf(path, sizeof path, "%s.jpg", name);
    made = bench_scene_write_jpeg(&all, path) == 0;
    snprintf(path, sizeof path, "%s.mask.png", name);
    made = made && bench_scene_write_mask(&all, context, path) == BC_OK;
  }
  bench_scene_clear(&all);
  return made;
}

static int make_part(bc_context *context, const char *out, int testing, int each) {
  char folder[4096], name[4180];
  int made = 0;
  snprintf(folder, sizeof folder, "%s/%s", out, testing ? "test" : "tune");
  mkdir(folder, 0777);
  for (int k = 0; k < hard_kind_count; k++)
    for (int i = 0; i < each; i++) {
      const hard_scene s = choose(&hard_kinds[k], testing);
      snprintf(name, sizeof name, "%s/%s-%d", folder, hard_kinds[k].name, i + 1);
      made += make(context, &s, name);
    }
  return made;
}

int bench_hard(int argc, char **argv) {
  bc_context *context = NULL;
  if (argc < 2 || argc > 4) {
    fprintf(stderr, "usage: backcloth-bench hard OUT [EACH [SEED]]   (OUT exists; makes OUT/tune and OUT/test)\n");
    return 64;
  }
  if (bc_context_new(&context) != BC_OK) return 70;
  const int each = argc > 2 ? atoi(argv[2]) : 3;
  int made = 0;
  for (int testing = 0; testing < 2; testing++) {
    bench_chance_state = (argc > 3 ? (uint32_t)strtoul(argv[3], NULL, 10) : 41u) * 2u + (uint32_t)testing * 7919u;
    made += make_part(context, argv[1], testing, each);
  }
  printf("%d hard scenes in %s\n", made, argv[1]);
  bc_context_free(context);
  return made > 0 ? 0 : 66;
}
