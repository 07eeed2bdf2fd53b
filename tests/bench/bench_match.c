/* SPDX-License-Identifier: MIT */
/* Ranking 1,000 cloths for 50 pieces, as seconds and as a ratio to computing CIEDE2000 alone for every
 * piece's mean on every cloth in the same run. */
#include "bench.h"

#include <backcloth/match.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum { PIECES = 50, CLOTHS = 1000, ROUNDS = 5 };

static double next(uint64_t *seed) {
  *seed = *seed * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
  return (double)(*seed >> 11) / 9007199254740992.0;
}

static bc_lab any_lab(uint64_t *seed) {
  const double L = 100 * next(seed), chroma = 60 * next(seed), hue = 6.283185307 * next(seed);
  return (bc_lab){L, chroma * cos(hue), chroma * sin(hue)};
}

/* A textured piece: each rim place strays from one of six colours, as in a photo. */
static bc_reading *any_reading(uint64_t *seed) {
  bc_reading *r = calloc(1, sizeof *r);
  if (!r) abort();
  r->photo = strdup("piece.jpg");
  r->colour_count = BC_READING_COLOURS;
  for (size_t i = 0; i < r->colour_count; i++) {
    r->colours[i].lab = any_lab(seed);
    r->colours[i].share = 1.0 / BC_READING_COLOURS;
  }
  r->mean = bc_colour_from_lab(r->colours[0].lab);
  r->rim_count = BC_READING_RIM;
  r->rim = calloc(r->rim_count, sizeof *r->rim);
  if (!r->rim) abort();
  for (size_t i = 0; i < r->rim_count; i++) {
    bc_lab lab = r->colours[i * BC_READING_COLOURS / r->rim_count].lab;
    lab.L = fmin(100, fmax(0, lab.L + 16 * (next(seed) - 0.5)));
    lab.a += 8 * (next(seed) - 0.5);
    lab.b += 8 * (next(seed) - 0.5);
    r->rim[i] = (bc_rim_place){
        .luminance = (float)bc_colour_from_lab(lab).luminance, .L = (float)lab.L, .a = (float)lab.a, .b = (float)lab.b};
  }
  return r;
}

int bench_match(int argc, char **argv) {
  (void)argc, (void)argv;
  uint64_t seed = 3;
  const bc_reading *readings[PIECES];
  static bc_cloth cloth[CLOTHS];
  static const bc_cloth *cloths[CLOTHS];
  char name[] = "cloth";
  for (int i = 0; i < PIECES; i++) readings[i] = any_reading(&seed);
  for (int i = 0; i < CLOTHS; i++) {
    cloth[i] = (bc_cloth){.spec = name, .name = name, .colour = bc_colour_from_lab(any_lab(&seed))};
    cloths[i] = &cloth[i];
  }
  bc_context *context = NULL;
  if (bc_context_new(&context) != BC_OK) return 70;
  double best = 1e9, reference = 1e9, sum = 0;
  for (int round = 0; round < ROUNDS; round++) {
    const double start = bench_seconds();
    bc_match *match = NULL;
    if (bc_match_rank(&match, context, readings, PIECES, cloths, CLOTHS) != BC_OK) return 70;
    const double middle = bench_seconds();
    for (int p = 0; p < PIECES; p++)
      for (int c = 0; c < CLOTHS; c++) sum += bc_delta_e00(readings[p]->mean.lab, cloth[c].colour.lab);
    const double end = bench_seconds();
    best = fmin(best, middle - start);
    reference = fmin(reference, end - middle);
    bc_match_free(match);
  }
  printf("match %d pieces x %d cloths: %.3f s, %.1f times CIEDE2000 of the means alone (checksum %.0f)\n", PIECES,
         CLOTHS, best, best / reference, sum);
  for (int i = 0; i < PIECES; i++) bc_reading_free((bc_reading *)(uintptr_t)readings[i]);
  bc_context_free(context);
  return 0;
}
