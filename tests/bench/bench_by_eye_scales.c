/* SPDX-License-Identifier: MIT */
/* Which published scale of difference agrees best with what the eye said: for each candidate two edges and the weight
 * of a pattern are fitted on one half of the pairs and told on the other half, and the other way round.
 * In: tests/bench/by_eye. Out: agreement. Sources: docs/method/match.md. */
#include "bench.h"
#include "by_eye.h"

#include "colour/cam16.h"
#include "match/match_internal.h"
#include <backcloth/colour.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { most_places = (MATCH_RIM_PATCHES + BC_READING_COLOURS + 1) * BC_READING_COLOURS, most_masks = 8 };

/* One colour of the piece before one of the cloth. */
typedef struct place {
  double weight, strength;
} place;

typedef struct judged {
  place places[most_places];
  size_t count;
  double spread; /* of the cloth, on the scale */
  double unit;   /* the scale's figure for black on white */
  double answer[2];
} judged;

typedef double distance(const bc_colour *first, const bc_colour *second);

/* --- the candidates --- */

static double by_delta_e00(const bc_colour *a, const bc_colour *b) {
  return bc_delta_e00(a->lab, b->lab);
}

static double by_lightness(const bc_colour *a, const bc_colour *b) {
  return fabs(a->lab.L - b->lab.L);
}

static double by_ratio(const bc_colour *a, const bc_colour *b) {
  return log(bc_contrast_ratio(a->luminance, b->luminance));
}

static double by_ratio_or_delta_e(const bc_colour *a, const bc_colour *b) {
  return fmax(by_ratio(a, b), by_delta_e00(a, b) * log(3) / 31);
}

/* Brightness steps: log(1 + 6.91 W), W the difference over the lesser light with the flare of WCAG's ratio (Whittle
 * 1992, the constant from memory). */
static double by_whittle(const bc_colour *a, const bc_colour *b) {
  return log(1 + 6.91 * (bc_contrast_ratio(a->luminance, b->luminance) - 1));
}

static void cam16_jab(double out[3], const bc_colour *colour, double c2) {
  const double d50[3] = {96.42, 100, 82.49};
  static colour_cam16 conditions;
  if (!(conditions.F_L > 0)) conditions = colour_cam16_conditions(d50, 31.8, 20, COLOUR_SURROUND_AVERAGE);
  double xyz[3];
  colour_lab_to_xyz(colour->lab, xyz);
  for (int i = 0; i < 3; i++) xyz[i] *= 100;
  const colour_appearance seen = colour_cam16_forward(&conditions, xyz);
  const double M = log(1 + c2 * seen.M) / c2, h = seen.h * M_PI / 180;
  out[0] = 1.7 * seen.J / (1 + 0.007 * seen.J);
  out[1] = M * cos(h);
  out[2] = M * sin(h);
}

static double by_jab(const bc_colour *a, const bc_colour *b, double c2, double kl) {
  double first[3], second[3];
  cam16_jab(first, a, c2);
  cam16_jab(second, b, c2);
  return hypot((first[0] - second[0]) / kl, hypot(first[1] - second[1], first[2] - second[2]));
}

static double by_cam16_ucs(const bc_colour *a, const bc_colour *b) {
  return by_jab(a, b, 0.0228, 1);
}
static double by_cam16_lcd(const bc_colour *a, const bc_colour *b) {
  return by_jab(a, b, 0.0053, 0.77);
}
static double by_cam16_scd(const bc_colour *a, const bc_colour *b) {
  return by_jab(a, b, 0.0363, 1.24);
}

static double by_lab(const bc_colour *a, const bc_colour *b) {
  return hypot(a->lab.L - b->lab.L, hypot(a->lab.a - b->lab.a, a->lab.b - b->lab.b));
}

static const struct {
  const char *name;
  distance *of;
} scales[] = {{"WCAG ratio, dE00 as in 1.0", by_ratio_or_delta_e},
              {"WCAG ratio alone", by_ratio},
              {"Whittle's steps alone", by_whittle},
              {"L* alone", by_lightness},
              {"CIELAB", by_lab},
              {"CIEDE2000", by_delta_e00},
              {"CAM16-SCD", by_cam16_scd},
              {"CAM16-UCS", by_cam16_ucs},
              {"CAM16-LCD", by_cam16_lcd}};

/* --- one pair on a scale --- */

static void add_places(judged *j, const bc_cloth *cloth, const match_patch *patches, size_t count, double weight,
                       distance *of) {
  for (size_t c = 0; c < match_cloth_part_count(cloth); c++) {
    const bc_cloth_part part = match_cloth_part_at(cloth, c);
    for (size_t i = 0; i < count; i++)
      j->places[j->count++] = (place){weight * patches[i].share * part.share, of(&patches[i].colour, &part.colour)};
  }
}

/* A pair made once for all scales. */
typedef struct made {
  match_prepared piece;
  bc_cloth cloth;
  bc_verdict verdict; /* the library's */
} made;

static bool make(made *m, bc_context *context, const by_eye_pair *pair, const char *demo) {
  bc_study *study = NULL;
  if (!by_eye_make(&study, &m->cloth, context, pair, demo)) return false;
  match_prepare(&m->piece, study->reading);
  m->verdict = bc_match_pair(study->reading, &m->cloth).verdict;
  bc_study_free(study);
  return true;
}

static void judge(judged *j, const made *m, const by_eye_pair *pair, distance *of) {
  *j = (judged){.answer = {pair->answer[0], pair->answer[1]}};
  add_places(j, &m->cloth, m->piece.rim, m->piece.rim_patches, 2.0 / 3, of);
  add_places(j, &m->cloth, m->piece.body, m->piece.body_patches, 1.0 / 3, of);
  for (size_t c = 0; c < match_cloth_part_count(&m->cloth); c++) {
    const bc_cloth_part part = match_cloth_part_at(&m->cloth, c);
    j->spread += part.share * pow(of(&part.colour, &m->cloth.colour), 2);
  }
  j->spread = sqrt(j->spread);
}

/* --- the fit --- */

typedef struct edges {
  double low, high, mask; /* strengths of clarity 0 and 1; weight of the cloth's own spread */
} edges;

static double clarity(const judged *j, const edges *e) {
  double sum = 0;
  for (size_t i = 0; i < j->count; i++) {
    const double s = j->places[i].strength, spread = e->mask * j->spread;
    const double left = s > 0 ? s / hypot(s, spread) : 0;
    sum += j->places[i].weight * left * fmin(1, fmax(0, (s - e->low) / (e->high - e->low)));
  }
  return sum;
}

static double verdict(double c) {
  return c >= 2.0 / 3 ? 2 : c >= 1.0 / 3 ? 1 : 0;
}

typedef struct agreement {
  double same, harsher, kinder, two, rms;
  int count;
} agreement;

static agreement agree(const judged *all, int count, int half, const edges *e) {
  agreement a = {0};
  for (int i = 0; i < count; i++) {
    if (half >= 0 && i % 2 != half) continue;
    const double c = clarity(&all[i], e);
    for (int turn = 0; turn < 2; turn++) {
      const double off = verdict(c) - all[i].answer[turn];
      a.same += off == 0;
      a.harsher += off < 0;
      a.kinder += off > 0;
      a.two += fabs(off) > 1.5;
      a.rms += pow(fmin(2, fmax(0, 3 * c - 0.5)) - all[i].answer[turn], 2); /* the middles of the verdicts: 0, 1, 2 */
      a.count++;
    }
  }
  a.rms = sqrt(a.rms / a.count);
  return a;
}

/* Tries edges round low = from[0], width = from[1], in hundredths of the unit: from[3] steps of from[2] either way. */
static void search(edges *found, double *best, const judged *all, int count, int half, const int from[4]) {
  static const double masks[] = {0, 0.5, 1, 1.5, 2};
  const int step = from[2], reach = from[3];
  for (int low = from[0] > reach * step ? from[0] - reach * step : 0; low <= from[0] + reach * step; low += step)
    for (int wide = from[1] - reach * step; wide <= from[1] + reach * step; wide += step)
      for (size_t m = 0; wide > 0 && m < sizeof masks / sizeof *masks; m++) {
        const edges e = {low * 0.01 * all[0].unit, (low + wide) * 0.01 * all[0].unit, masks[m]};
        const agreement a = agree(all, count, half, &e);
        const double value = 0.25 * (a.same - a.two) / a.count - a.rms;
        if (value > *best) *best = value, *found = e;
      }
}

static edges fit(const judged *all, int count, int half) {
  double best = -1e9;
  edges found = {0, 1, 0};
  search(&found, &best, all, count, half, (const int[]){8, 36, 4, 8});
  for (int step = 2; step >= 1; step--) {
    const int low = (int)lround(found.low / all[0].unit * 100), high = (int)lround(found.high / all[0].unit * 100);
    search(&found, &best, all, count, half, (const int[]){low, high - low, step, 2});
  }
  return found;
}

static void print_library(const made *m, const by_eye_pair *pairs, int count) {
  int same = 0, harsher = 0, kinder = 0, two = 0, repeated = 0;
  for (int i = 0; i < count; i++) {
    repeated += pairs[i].answer[0] == pairs[i].answer[1];
    for (int turn = 0; turn < 2; turn++) {
      const int off = (int)m[i].verdict - pairs[i].answer[turn];
      same += off == 0;
      harsher += off < 0;
      kinder += off > 0;
      two += abs(off) > 1;
    }
  }
  const double all = 2.0 * count;
  printf("%d pairs; the same answer twice %.3f\nthe library: agrees %.3f, harsher %.3f, kinder %.3f, two steps %.3f\n",
         count, (double)repeated / count, same / all, harsher / all, kinder / all, two / all);
}

int bench_by_eye_scales(int argc, char **argv) {
  if (argc != 3) return fprintf(stderr, "usage: by-eye-scales FOLDER DEMO\n"), 64;
  static by_eye_pair pairs[by_eye_most];
  bc_context *context = NULL;
  const int count = by_eye_read(pairs, argv[1]);
  judged *all = calloc(by_eye_most, sizeof *all);
  made *m = calloc(by_eye_most, sizeof *m);
  if (!count || !all || !m || bc_context_new(&context) != BC_OK) return 70;
  for (int i = 0; i < count; i++)
    if (!make(&m[i], context, &pairs[i], argv[2])) return 70;
  print_library(m, pairs, count);
  const bc_colour white = bc_colour_from_lab((bc_lab){100, 0, 0}), black = bc_colour_from_lab((bc_lab){0, 0, 0});
  for (size_t s = 0; s < sizeof scales / sizeof *scales; s++) {
    for (int i = 0; i < count; i++) judge(&all[i], &m[i], &pairs[i], scales[s].of);
    all[0].unit = scales[s].of(&white, &black);
    double held = 0, rms = 0;
    for (int half = 0; half < 2; half++) {
      const edges e = fit(all, count, half);
      const agreement a = agree(all, count, 1 - half, &e), own = agree(all, count, half, &e);
      held += a.same / a.count / 2;
      rms += a.rms / 2;
      printf("  %-28s half %d: 0 at %.3f, 1 at %.3f, pattern x %.2f: %.3f; other half %.3f (harsher %.3f, kinder %.3f, "
             "two "
             "steps %.3f)\n",
             scales[s].name, half, e.low, e.high, e.mask, own.same / own.count, a.same / a.count, a.harsher / a.count,
             a.kinder / a.count, a.two / a.count);
    }
    const edges e = fit(all, count, -1);
    printf("%-28s held out %.3f (rms %.3f); all: 0 at %.3f, 1 at %.3f, pattern x %.2f\n", scales[s].name, held, rms,
           e.low, e.high, e.mask);
    fflush(stdout);
  }
  free(all);
  free(m);
  bc_context_free(context);
  return 0;
}
