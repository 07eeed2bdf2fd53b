/* SPDX-License-Identifier: MIT */
/* Is a white sheet found where one lies, and none where none lies? Photos of our own making: a piece on a plain ground
 * (cloth, board, stone), with light that falls off, noise and a lamp's tint; beside it a sheet seen aslant, or else
 * things that are no sheet: plates, pale cards and books, white cloth, a window, a pale wall. `learn` is what the
 * limits in src/colour/find_white.c were chosen on, `test` other seeds, other pieces and other things. */
#include "bench.h"

#include "base/base.h"
#include "colour/find_white.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define WIDE 384
#define HIGH 288
#define WITH 200
#define WITHOUT 400
#define SHARP 1.2 /* pixels over which an edge goes */

typedef struct quad {
  double x[4], y[4]; /* in order */
} quad;
typedef struct scene {
  double ground[3], fall[3], weave; /* linear light; L* of its own light and dark */
  double cast[3], exposure, noise;
  double *light[3];
  quad sheet;
} scene;

static uint64_t seed;
static double any(double from, double to) {
  seed = seed * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
  return from + (to - from) * (double)(seed >> 11) / 9007199254740992.0;
}

static void any_colour(double rgb[3], double L, double chroma) {
  const double hue = any(0, 6.283185);
  bc_lab_to_linear_srgb((bc_lab){L, chroma * cos(hue), chroma * sin(hue)}, rgb);
  for (int c = 0; c < 3; c++) rgb[c] = fmin(1, fmax(0.005, rgb[c]));
}

static double soft(double distance) {
  if (fabs(distance) > 8) return distance > 0;
  return 1 / (1 + exp(-distance * 4 / SHARP));
}

static void mix(scene *s, int x, int y, const double rgb[3], double share) {
  for (int c = 0; c < 3; c++) {
    double *to = &s->light[c][y * WIDE + x];
    *to += share * (rgb[c] - *to);
  }
}

/* Distance inside a convex quadrilateral. */
static double inside(const quad *q, double x, double y) {
  double least = 1e9;
  for (int i = 0; i < 4; i++) {
    const double ex = q->x[(i + 1) % 4] - q->x[i], ey = q->y[(i + 1) % 4] - q->y[i];
    least = fmin(least, (ex * (y - q->y[i]) - ey * (x - q->x[i])) / hypot(ex, ey));
  }
  return least;
}

static void paint_quad(scene *s, const quad *q, const double rgb[3], double shadow, double weave) {
  const quad below = {/* its shadow */
                      {q->x[0] + 3, q->x[1] + 3, q->x[2] + 3, q->x[3] + 3},
                      {q->y[0] + 3, q->y[1] + 3, q->y[2] + 3, q->y[3] + 3}};
  for (int y = 0; y < HIGH; y++)
    for (int x = 0; x < WIDE; x++) {
      const double here = 1 + (weave > 0 ? weave * any(-1, 1) : 0), in = inside(q, x, y);
      if (in < -20) continue;
      mix(s, x, y, (double[3]){0, 0, 0}, shadow * soft(inside(&below, x, y) / 3));
      mix(s, x, y, (double[3]){rgb[0] * here, rgb[1] * here, rgb[2] * here}, soft(in));
    }
}

static quad any_quad(double least, double most) {
  const double aspect = any(1.0, 1.5), area = any(least, most) * WIDE * HIGH, w = sqrt(area * aspect), h = area / w;
  const double turn = any(0, 6.283185), squash = any(0.6, 1), reach = 0.5 * hypot(w, h);
  double cx, cy;
  do {
    cx = any(reach * 0.9, WIDE - reach * 0.9);
    cy = any(reach * 0.9, HIGH - reach * 0.9);
  } while (fabs(cx - WIDE / 2.0) < 0.8 * reach + 38 && fabs(cy - HIGH / 2.0) < 0.8 * reach + 30);
  quad q;
  for (int i = 0; i < 4; i++) {
    const double u = (i == 1 || i == 2 ? 0.5 : -0.5) * w, v = (i >= 2 ? 0.5 : -0.5) * h;
    const double px = u * cos(turn) - v * sin(turn), py = (u * sin(turn) + v * cos(turn)) * squash;
    const double near = 1 + 0.0006 * py * any(0.8, 1.2); /* what is nearer is larger */
    q.x[i] = cx + px * near;
    q.y[i] = cy + py * near;
  }
  return q;
}

/* A turned pot, a ring or a bowl, lit from one side. */
static void paint_piece(scene *s, double L, bool ring) {
  double rgb[3];
  any_colour(rgb, L, any(0, 35));
  const double rx = any(22, 52), ry = any(22, 52), side = any(-0.7, 0.7), bands = any(0, 0.25), many = any(2, 9);
  for (int y = 0; y < HIGH; y++)
    for (int x = 0; x < WIDE; x++) {
      const double u = (x - WIDE / 2.0) / rx, v = (y - HIGH / 2.0) / ry, far = hypot(u, v);
      const double off = ring ? (far - 0.75) / 0.25 : far, in = (1 - fabs(off)) * fmin(rx, ry) * (ring ? 0.25 : 1);
      if (in < -6) continue;
      const double z = sqrt(fmax(0, 1 - off * off)), lit = 0.35 + 0.65 * fmax(0, 0.8 * z + 0.6 * side * u);
      const double by = lit * (1 + bands * sin(many * v * 3));
      mix(s, x, y, (double[3]){rgb[0] * by, rgb[1] * by, rgb[2] * by}, soft(in));
    }
}

static void paint_ground(scene *s) {
  any_colour(s->ground, any(12, 82), fabs(any(-30, 30)));
  s->weave = any(0, 1) < 0.6 ? any(0, 0.04) : any(0.04, 0.15);
  for (int i = 0; i < 3; i++) s->fall[i] = any(-0.25, 0.25);
  const double grain = any(3, 40);
  for (int y = 0; y < HIGH; y++)
    for (int x = 0; x < WIDE; x++) mix(s, x, y, s->ground, 1);
  for (int i = 0; i < WIDE * HIGH; i++) {
    const double wood = 1 + s->weave * (sin(i % WIDE / grain + 3 * sin(i / WIDE / 60.0)) + any(-1, 1));
    for (int c = 0; c < 3; c++) s->light[c][i] *= wood;
  }
}

static void paint_disc(scene *s, const double rgb[3]) {
  const quad at = any_quad(0.02, 0.08);
  const double cx = (at.x[0] + at.x[2]) / 2, cy = (at.y[0] + at.y[2]) / 2, r = hypot(at.x[0] - cx, at.y[0] - cy) * 0.8;
  const double squash = any(0.6, 1);
  for (int y = 0; y < HIGH; y++)
    for (int x = 0; x < WIDE; x++) mix(s, x, y, rgb, soft(r - hypot(x - cx, (y - cy) / squash)));
}

static void paint_edge(scene *s, const double rgb[3]) {
  const double line = any(30, 105), slope = any(-0.2, 0.2);
  for (int y = 0; y < HIGH; y++)
    for (int x = 0; x < WIDE; x++) mix(s, x, y, rgb, soft(line + slope * x - y));
}

/* Something pale that is no sheet. */
static void paint_other(scene *s, int kind) {
  double rgb[3];
  any_colour(rgb, any(82, 95), any(0, 4));
  if (kind == 1) paint_disc(s, rgb);
  if (kind == 2) paint_edge(s, rgb);
  const quad q = any_quad(0.02, 0.08);
  if (kind == 3) paint_quad(s, &q, rgb, 0.3, any(0.12, 0.25)); /* a napkin: woven */
  if (kind == 4) paint_quad(s, &q, (double[3]){4, 4, 4.4}, 0, 0);
  if (kind == 5) { /* a bag or box with print on it */
    paint_quad(s, &q, rgb, 0.3, 0);
    for (int i = 0; i < 3; i++) {
      const double at = 0.2 + 0.3 * i, to = at + any(0.05, 0.12);
      quad line;
      for (int k = 0; k < 4; k++) {
        const double down = k < 2 ? at : to, along = k == 0 || k == 3 ? 0.15 : 0.85;
        line.x[k] = (1 - down) * (q.x[0] + along * (q.x[1] - q.x[0])) + down * (q.x[3] + along * (q.x[2] - q.x[3]));
        line.y[k] = (1 - down) * (q.y[0] + along * (q.y[1] - q.y[0])) + down * (q.y[3] + along * (q.y[2] - q.y[3]));
      }
      paint_quad(s, &line, (double[3]){0.1, 0.1, 0.12}, 0, 0);
    }
  }
  if (kind == 6) paint_disc(s, rgb), paint_disc(s, rgb);
  any_colour(rgb, any(60, 92), any(14, 45));
  if (kind == 7) paint_quad(s, &q, rgb, 0.3, 0); /* a card or book of some colour */
}

static void any_light(scene *s) {
  double white[3], d50[3];
  /* As a camera's own judgement is off (bc_uncertainty_unknown): sums of three even chances have those spreads. */
  const bc_uncertainty u = bc_uncertainty_unknown;
  const double off[2] = {any(-1, 1) + any(-1, 1) + any(-1, 1), any(-1, 1) + any(-1, 1) + any(-1, 1)};
  colour_white_shifted(off[0] * u.mired, off[1] * u.duv, white);
  bc_lab_to_linear_srgb(colour_lab_from_xyz(white), s->cast);
  bc_lab_to_linear_srgb((bc_lab){100, 0, 0}, d50);
  for (int c = 0; c < 3; c++) s->cast[c] /= d50[c];
  s->exposure = exp2(any(-0.7, -0.05));
  s->noise = any(0.003, 0.012);
}

/* Light over the table, tint, noise, eight bits. */
static void expose(scene *s, bc_image *image) {
  static double encoded[8192], decoded[256];
  for (int i = 0; i < 8192 && !(decoded[255] > 0); i++) encoded[i] = bc_srgb_encode(i / 8191.0);
  for (int i = 0; i < 256; i++) decoded[i] = bc_srgb_decode(i / 255.0);
  for (int y = 0; y < HIGH; y++)
    for (int x = 0; x < WIDE; x++) {
      const double u = 2.0 * x / WIDE - 1, v = 2.0 * y / HIGH - 1;
      const double here =
          s->exposure * (1 + s->fall[0] * u + s->fall[1] * v) / (1 + fabs(s->fall[0]) + fabs(s->fall[1]));
      double rgb[3];
      for (int c = 0; c < 3; c++) {
        const double value = s->light[c][y * WIDE + x] * s->cast[c] * here;
        const double coded = encoded[(int)(fmin(1, fmax(0, value)) * 8191)] + s->noise * (any(-1, 1) + any(-1, 1));
        rgb[c] = decoded[(int)fmin(255, fmax(0, 255 * coded + 0.5))];
      }
      const bc_colour colour = bc_colour_from_linear_srgb(rgb);
      const size_t at = (size_t)y * WIDE + (size_t)x;
      image->L[at] = (float)colour.lab.L;
      image->a[at] = (float)colour.lab.a;
      image->b[at] = (float)colour.lab.b;
    }
}

static void make(scene *s, bc_image *image, bool with_sheet, int number) {
  double paper[3];
  paint_ground(s);
  const int kind = with_sheet ? 0 : number % 8;
  if (kind) paint_other(s, kind);
  if (with_sheet) {
    bc_lab_to_linear_srgb((bc_lab){any(91, 96), any(-0.5, 1), any(-3, 2)}, paper);
    s->sheet = any_quad(0.012, 0.08);
    paint_quad(s, &s->sheet, paper, 0.3, 0);
  }
  paint_piece(s, any(10, 95), number % 3 == 2);
  any_light(s);
  expose(s, image);
}

static bool lies_on(const colour_found_white *found, const quad *q) {
  const bc_box b = found->box;
  return inside(q, b.x, b.y) > -2 && inside(q, b.x + b.width, b.y) > -2 && inside(q, b.x, b.y + b.height) > -2 &&
         inside(q, b.x + b.width, b.y + b.height) > -2;
}

int bench_sheets(int argc, char **argv) {
  const bool learn = argc > 1 && strcmp(argv[1], "learn") == 0;
  bc_context *context = NULL;
  bc_image image = {.width = WIDE, .height = HIGH, .full_width = WIDE, .full_height = HIGH};
  scene s = {0};
  float *planes = calloc(3 * WIDE * HIGH, sizeof *planes);
  double *light = calloc(3 * WIDE * HIGH, sizeof *light);
  if (!planes || !light || bc_context_new(&context)) return 70;
  image.L = planes, image.a = planes + WIDE * HIGH, image.b = planes + 2 * WIDE * HIGH;
  for (int c = 0; c < 3; c++) s.light[c] = light + c * WIDE * HIGH;
  int found = 0, wrong = 0, taken[8] = {0};
  seed = learn ? 1 : 424242;
  for (int i = 0; i < WITH + WITHOUT; i++) {
    colour_found_white white;
    make(&s, &image, i < WITH, i);
    if (colour_find_white(&white, context, &image)) return 70;
    if (i < WITH && white.confidence > 0) *(lies_on(&white, &s.sheet) ? &found : &wrong) += 1;
    if (i >= WITH && white.confidence > 0) taken[i % 8]++;
    if (argc > 2 && i < WITH) printf("%d %s\n", i, white.confidence > 0 ? "found" : "-");
  }
  int all = 0;
  for (int k = 0; k < 8; k++) all += taken[k];
  printf("%s: sheets found %d of %d, something else taken %d; without a sheet something taken %d of %d (plain %d, "
         "plate %d, pale wall %d, napkin %d, window %d, print %d, two plates %d, coloured card %d)\n",
         learn ? "learn" : "test", found, WITH, wrong, all, WITHOUT, taken[0], taken[1], taken[2], taken[3], taken[4],
         taken[5], taken[6], taken[7]);
  bc_context_free(context);
  free(planes);
  free(light);
  return 0;
}
