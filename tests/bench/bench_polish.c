/* SPDX-License-Identifier: MIT */
/* What a photo says of how much of a piece mirrors: balls and rings of a known share of mirror, matt elsewhere, in
 * rooms of our own making with lamps, windows and dark corners; the share that is estimated against the true one.
 * The constants in src/reading/polish.c are least squares of `fit`; `test` is other rooms and other metals. */
#include "bench.h"

#include <backcloth/reading.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#define SIDE 64
#define LAMPS 6

typedef struct room {
  double ceiling, wall, floor, cloth, lamp[LAMPS][4]; /* direction, cosine of its half width; light 1 is white */
  int lamps;
  double lamp_light[LAMPS], rough, wave[3][4]; /* things in the room: three waves of light and dark */
} room;

static uint64_t seed;
static double any(double from, double to) {
  seed = seed * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
  return from + (to - from) * (double)(seed >> 11) / 9007199254740992.0;
}

static room any_room(void) {
  room r = {
      any(0.15, 0.8), any(0.05, 0.5), any(0.03, 0.3), any(0.02, 0.9), {{0}}, 1 + (int)any(0, LAMPS - 0.01), {0}, 0,
      {{0}}};
  for (int i = 0; i < r.lamps; i++) {
    const double z = any(-0.5, 1), turn = any(0, 6.283185), flat = sqrt(fmax(0, 1 - z * z));
    r.lamp[i][0] = flat * cos(turn);
    r.lamp[i][1] = fabs(flat * sin(turn)); /* above */
    r.lamp[i][2] = z;                      /* + is in front of the piece */
    r.lamp[i][3] = cos(any(0.03, 0.5));
    r.lamp_light[i] = any(1.5, 12);
  }
  r.rough = any(0.1, 0.35);
  for (int i = 0; i < 12; i++) r.wave[i / 4][i % 4] = any(-6, 6);
  return r;
}

/* Light from a direction: y up, z to the camera. */
static double light_from(const room *r, const double d[3]) {
  for (int i = 0; i < r->lamps; i++)
    if (d[0] * r->lamp[i][0] + d[1] * r->lamp[i][1] + d[2] * r->lamp[i][2] > r->lamp[i][3]) return r->lamp_light[i];
  double things = 1;
  for (int i = 0; i < 3; i++) {
    const double *w = r->wave[i];
    things += r->rough * sin(w[0] * d[0] + w[1] * d[1] + w[2] * d[2] + w[3]);
  }
  if (d[2] < -0.2) return r->cloth * fmax(0.1, 1 + (things - 1) / 3);
  return fmax(0.1, things) * (d[1] > 0.5 ? r->ceiling : d[1] < -0.4 ? r->floor : r->wall);
}

/* What falls on a matt place, as a share of white: the mean of the room over its half space, by cosine. */
static double falls_on(const room *r, const double n[3]) {
  double sum = 0, weight = 0;
  for (int i = 0; i < 12; i++)
    for (int k = 0; k < 16; k++) {
      const double z = -1 + (2 * i + 1) / 12.0, turn = 6.283185 * k / 16, flat = sqrt(1 - z * z);
      const double d[3] = {flat * cos(turn), flat * sin(turn), z}, c = d[0] * n[0] + d[1] * n[1] + d[2] * n[2];
      if (c <= 0) continue;
      sum += c * light_from(r, d);
      weight += c;
    }
  return sum / weight;
}

static double lightness(double Y) {
  return Y > 216.0 / 24389 ? 116 * cbrt(Y) - 16 : Y * 24389.0 / 27;
}

/* Fills the lightness shares of a ball (or a ring, whose normals turn about its tube) of which a share mirrors. */
static void photograph(bc_reading *out, double mirror, bool ring) {
  const room r = any_room();
  const double matt = any(0.3, 0.9), metal = any(0.6, 0.95), bands = any(1, 6), tilt = any(0, 3.14);
  static double light[SIDE * SIDE];
  double mean = 0;
  int count = 0;
  memset(out->lightness_share, 0, sizeof out->lightness_share);
  for (int i = 0; i < SIDE * SIDE; i++) {
    const double x = 2 * (i % SIDE + 0.5) / SIDE - 1, y = 1 - 2 * (i / SIDE + 0.5) / SIDE, far = hypot(x, y);
    const double off = ring ? (far - 0.8) / 0.2 : far;
    if (fabs(off) >= 1 || far <= 0) continue;
    const double n[3] = {ring ? off * x / far : x, ring ? off * y / far : y, sqrt(1 - off * off)};
    const double at = bands * (x * cos(tilt) + y * sin(tilt) + 1),
                 mirrored[3] = {2 * n[2] * n[0], 2 * n[2] * n[1], 2 * n[2] * n[2] - 1};
    light[count] = at - floor(at) < mirror ? metal * light_from(&r, mirrored) : matt * falls_on(&r, n);
    mean += fmin(light[count++], 2);
  }
  const double exposure = any(0.15, 0.35) / (mean / count);
  for (int i = 0; i < count; i++) {
    const double L = lightness(fmin(1, exposure * light[i])) + any(-1.5, 1.5);
    out->lightness_share[(int)fmax(0, fmin(BC_READING_LEVELS - 1, L * BC_READING_LEVELS / 100))] += 1.0f / (float)count;
  }
}

int bench_polish(int argc, char **argv) {
  const bool fit = argc > 1 && strcmp(argv[1], "fit") == 0;
  const int count = 600;
  double squares = 0, bias = 0, flat = 0;
  seed = fit ? 17 : 4711;
  bc_reading reading = {0};
  for (int i = 0; i < count; i++) {
    const double mirror = any(0.1, 1);
    photograph(&reading, mirror, i % 2);
    const double told = bc_reading_mirror_share(&reading);
    if (argc > 2) printf("%.4f %.4f\n", mirror, told);
    squares += (told - mirror) * (told - mirror) / count;
    bias += (told - mirror) / count;
    flat += (0.55 - mirror) * (0.55 - mirror) / count;
  }
  printf("%s: %d balls and rings, error of the estimated share r.m.s. %.3f, mean %+.3f; one share for all %.3f\n",
         fit ? "fit" : "test", count, sqrt(squares), bias, sqrt(flat));
  return 0;
}
