/* SPDX-License-Identifier: MIT */
/* Ranking 1,000 cloths for 50 pieces, as CPU seconds and side by side with the plain way: every rim place
 * against every cloth by the published functions (a sample of the cloths, told for all of them). */
#include "bench.h"

#include <backcloth/match.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum { PIECES = 50, CLOTHS = 1000, SAMPLE = 10, ROUNDS = 5 };

static double cpu_seconds(void) {
  return (double)clock() / CLOCKS_PER_SEC;
}

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

static double plain_clarity(bc_lab lab, const bc_cloth *cloth) {
  return fmin(1, bc_delta_e00(lab, cloth->colour.lab) / 27);
}

/* One piece on one cloth as docs/method/match.md writes it. */
static double plain_way(const bc_reading *r, const bc_cloth *cloth) {
  double outline = 0, body = 0;
  for (size_t i = 0; i < r->rim_count; i++)
    outline += plain_clarity((bc_lab){(double)r->rim[i].L, (double)r->rim[i].a, (double)r->rim[i].b}, cloth);
  for (size_t i = 0; i < r->colour_count; i++) body += r->colours[i].share * plain_clarity(r->colours[i].lab, cloth);
  return (2 * outline / (double)r->rim_count + body) / 3;
}

static void measure(bc_context *context, const bc_collection *all) {
  double best = 1e9, plain = 1e9, worst = 0;
  for (int round = 0; round < ROUNDS; round++) {
    const double start = cpu_seconds();
    bc_match *match = NULL;
    if (bc_match_rank(&match, context, all, NULL) != BC_OK) abort();
    const double middle = cpu_seconds();
    for (int c = 0; c < SAMPLE; c++)
      for (int p = 0; p < PIECES; p++) {
        const bc_ranked_cloth *ranked = &match->cloths[c * (CLOTHS / SAMPLE)];
        worst = fmax(
            worst, fabs(plain_way(all->piece[p].reading, all->cloths.cloth[ranked->cloth]) - ranked->pairs[p].clarity));
      }
    best = fmin(best, middle - start);
    plain = fmin(plain, (cpu_seconds() - middle) * CLOTHS / SAMPLE);
    bc_match_free(match);
  }
  printf("match %d pieces x %d cloths: %.3f s of CPU; the plain way %.1f s, %.0f times as long; clarity differs by "
         "at most %.4f\n",
         PIECES, CLOTHS, best, plain, plain / best, worst);
}

int bench_match(int argc, char **argv) {
  (void)argc, (void)argv;
  uint64_t seed = 3;
  char name[] = "cloth";
  bc_context *context = NULL;
  if (bc_context_new(&context) != BC_OK) return 70;
  bc_collection all = bc_collection_start();
  for (int i = 0; i < PIECES; i++)
    if (bc_collection_take(&all, context, any_reading(&seed)) != BC_OK) return 70;
  for (int i = 0; i < CLOTHS; i++) {
    const bc_cloth cloth = {.spec = name, .name = name, .colour = bc_colour_from_lab(any_lab(&seed))};
    if (bc_cloths_add_copy(&all.cloths, context, &cloth) != BC_OK) return 70;
  }
  measure(context, &all);
  bc_collection_clear(&all);
  bc_context_free(context);
  return 0;
}
