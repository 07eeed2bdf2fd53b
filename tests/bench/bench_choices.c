/* SPDX-License-Identifier: MIT */
/* How much the ranking depends on each constant of the score: 300 made collections of six textured pieces on
 * ten usual cloths, ranked as docs/method/match.md writes it, one constant changed at a time. Per change: how
 * often the best cloth stays the same, and Kendall's tau. The first row is the library itself. */
#include "bench.h"

#include <backcloth/match.h>
#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum { COLLECTIONS = 300, PIECES = 6, CLOTHS = 10, RIM = 64 };

typedef struct choice {
  const char *name;
  double full, outline;
  int rule; /* 0 the cap, 1 the mean alone, 2 the least clear piece alone */
} choice;

static const choice usual = {"as it is", 27, 2.0 / 3, 0};

static double next(uint64_t *seed) {
  *seed = *seed * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
  return (double)(*seed >> 11) / 9007199254740992.0;
}

static bc_lab any_lab(uint64_t *seed) {
  const double L = 8 + 88 * next(seed), chroma = 50 * next(seed) * next(seed), hue = 6.283185307 * next(seed);
  return (bc_lab){L, chroma * cos(hue), chroma * sin(hue)};
}

static bc_reading *any_reading(uint64_t *seed) {
  bc_reading *r = calloc(1, sizeof *r);
  if (!r) abort();
  r->photo = strdup("piece.jpg");
  r->colour_count = 3;
  for (size_t i = 0; i < r->colour_count; i++)
    r->colours[i] = (bc_main_colour){.lab = any_lab(seed), .share = i == 0 ? 0.6 : 0.2};
  r->mean = bc_colour_from_lab(r->colours[0].lab);
  r->rim_count = RIM;
  r->rim = calloc(r->rim_count, sizeof *r->rim);
  if (!r->rim) abort();
  for (size_t i = 0; i < r->rim_count; i++) {
    bc_lab lab = r->colours[i < RIM * 6 / 10 ? 0 : i < RIM * 8 / 10 ? 1 : 2].lab;
    lab.L = fmin(100, fmax(0, lab.L + 20 * (next(seed) - 0.5)));
    r->rim[i] = (bc_rim_place){
        .luminance = (float)bc_colour_from_lab(lab).luminance, .L = (float)lab.L, .a = (float)lab.a, .b = (float)lab.b};
  }
  return r;
}

static double clarity(const choice *how, bc_lab lab, const bc_cloth *cloth) {
  return fmin(1, bc_delta_e00(lab, cloth->colour.lab) / how->full);
}

static double clarity_of_piece(const choice *how, const bc_reading *r, const bc_cloth *cloth) {
  double outline = 0, body = 0;
  for (size_t i = 0; i < r->rim_count; i++)
    outline += clarity(how, (bc_lab){(double)r->rim[i].L, (double)r->rim[i].a, (double)r->rim[i].b}, cloth) /
               (double)r->rim_count;
  for (size_t i = 0; i < r->colour_count; i++) body += r->colours[i].share * clarity(how, r->colours[i].lab, cloth);
  return how->outline * outline + (1 - how->outline) * body;
}

static double cap(double least) {
  if (least <= 1.0 / 3) return 1.0 / 6 + least / 2;
  if (least <= 2.0 / 3) return fmin(2.0 / 3, 1.0 / 3 + 2 * (least - 1.0 / 3));
  return fmin(1, 2.0 / 3 + 2 * (least - 2.0 / 3));
}

static double score(const choice *how, bc_reading *const *pieces, const bc_cloth *cloth) {
  double here[PIECES], least = 1, sum = 0;
  for (int p = 0; p < PIECES; p++) least = fmin(least, here[p] = clarity_of_piece(how, pieces[p], cloth));
  for (int p = 0; p < PIECES; p++) sum += how->rule == 1 ? here[p] : fmin(here[p], cap(least));
  return how->rule == 2 ? least : sum / PIECES;
}

typedef struct outcome {
  double same_best, tau;
} outcome;

static void compare(outcome *out, const double *first, const double *second) {
  int best_first = 0, best_second = 0, agree = 0;
  for (int i = 0; i < CLOTHS; i++) {
    if (first[i] > first[best_first]) best_first = i;
    if (second[i] > second[best_second]) best_second = i;
    for (int k = i + 1; k < CLOTHS; k++) agree += (first[i] < first[k]) == (second[i] < second[k]) ? 1 : -1;
  }
  out->same_best += 100.0 * (best_first == best_second) / COLLECTIONS;
  out->tau += (double)agree / (CLOTHS * (CLOTHS - 1) / 2) / COLLECTIONS;
}

static bool make_cloths(bc_cloth *cloths, bc_context *context) {
  static const char *const css[CLOTHS] = {"#f1efe9", "#e6dac1", "#a39a84", "#8d867d", "#9aa58a",
                                          "#c2913f", "#8c2f2b", "#22432f", "#1f2f56", "#121113"};
  static char name[] = "cloth";
  for (int i = 0; i < CLOTHS; i++) {
    cloths[i] = (bc_cloth){.spec = name, .name = name};
    if (bc_colour_parse_css(&cloths[i].colour, context, css[i]) != BC_OK) return false;
  }
  return true;
}

int bench_choices(int argc, char **argv) {
  (void)argc, (void)argv;
  choice changed[14];
  int count = 0;
#define CHANGE(field, value, words) changed[count] = usual, changed[count].field = value, changed[count++].name = words
  CHANGE(full, 22, "full clarity at 22");
  CHANGE(full, 33, "full clarity at 33");
  CHANGE(outline, 0.5, "outline : body 1 : 1");
  CHANGE(outline, 0.8, "outline : body 4 : 1");
  CHANGE(rule, 1, "mean clarity only");
  CHANGE(rule, 2, "least clear piece only");
  static outcome all[15];
  bc_cloth cloths[CLOTHS];
  bc_context *context = NULL;
  if (bc_context_new(&context) != BC_OK || !make_cloths(cloths, context)) return 70;
  uint64_t seed = 41;
  for (int round = 0; round < COLLECTIONS; round++) {
    bc_reading *pieces[PIECES];
    double before[CLOTHS], after[CLOTHS];
    bc_collection all_pieces = bc_collection_start();
    for (int p = 0; p < PIECES; p++) {
      pieces[p] = any_reading(&seed);
      if (bc_collection_take(&all_pieces, context, pieces[p]) != BC_OK) return 70;
    }
    for (int c = 0; c < CLOTHS; c++) {
      before[c] = score(&usual, pieces, &cloths[c]);
      if (bc_match_score(&after[c], context, &all_pieces, &cloths[c]) != BC_OK) return 70;
    }
    compare(&all[count], before, after);
    for (int i = 0; i < count; i++) {
      for (int c = 0; c < CLOTHS; c++) after[c] = score(&changed[i], pieces, &cloths[c]);
      compare(&all[i], before, after);
    }
    bc_collection_clear(&all_pieces);
  }
  printf("%-28s same best %3.0f %%  tau %.2f\n", "the library itself", all[count].same_best, all[count].tau);
  for (int i = 0; i < count; i++)
    printf("%-28s same best %3.0f %%  tau %.2f\n", changed[i].name, all[i].same_best, all[i].tau);
  bc_context_free(context);
  return 0;
}
