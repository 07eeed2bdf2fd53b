/* SPDX-License-Identifier: MIT */
/* Searches the colours that cloth can be dyed for the best ones for a collection.
 * In: a match. Out: suggestions in distinct families. Source: coarse grid and pattern search (Hooke and Jeeves 1961).
 */
#include "match_internal.h"

#include <backcloth/colour.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Bounds of the solid: darker than L* 16 and lighter than 94 woven cloth hardly gets (our choice); outside
 * sRGB nobody could be shown the colour. */
#define DARKEST 16.0
#define LIGHTEST 94.0
/* Most chroma by hue, every 30 degrees from 0: halfway between the "moderate" and the "strong" centroids of
 * the ISCC-NBS system (Kelly and Judd, NBS Special Publication 440, 1976). Cloth by the metre in vivid colours
 * can be had, but it would outshine the work (our choice). */
static const double chroma_by_hue[13] = {44, 52, 59, 54, 44, 36, 29, 27, 31, 35, 37, 36, 44};
#define MOST_CHROMA 60.0
/* Pale and very dark dyeings are less vivid: full chroma from L* 35 up to 60, in yellows to 80. */
#define DARK_KNEE 35.0
#define LIGHT_KNEE 60.0
#define YELLOW_KNEE 20.0
#define YELLOW_HUE 80.0
#define STEP_L 6.0
#define STEP_AB 8.0
#define STARTS 8 /* places from which each family is refined */
#define LAST_STEP 0.6
#define WEAVE_COST 3.0 /* points of score that a weave may cost (our choice) */
#define DISTINCT 20.0  /* CIEDE2000 between suggestions beyond the three families */

typedef struct candidate {
  bc_lab lab;
  double score;
} candidate;

typedef struct search {
  match_prepared *pieces;
  size_t count;
} search;

double bc_match_most_chroma(double L, double hue_deg) {
  if (L < DARKEST || L > LIGHTEST) return 0;
  const double hue = hue_deg - 360 * floor(hue_deg / 360), at = hue / 30;
  const int i = at < 11 ? (int)at : 11;
  const double full = chroma_by_hue[i] + (at - i) * (chroma_by_hue[i + 1] - chroma_by_hue[i]);
  const double yellow = fmax(0, cos((hue - YELLOW_HUE) * (M_PI / 180)));
  const double knee = LIGHT_KNEE + YELLOW_KNEE * yellow * yellow;
  return full * fmin(1, fmin((100 - L) / (100 - knee), L / DARK_KNEE));
}

bool bc_match_dyeable(bc_lab lab) {
  if (lab.L < DARKEST || lab.L > LIGHTEST) return false;
  if (hypot(lab.a, lab.b) > bc_match_most_chroma(lab.L, atan2(lab.b, lab.a) * (180 / M_PI))) return false;
  double rgb[3];
  bc_lab_to_linear_srgb(lab, rgb);
  for (int i = 0; i < 3; i++)
    if (rgb[i] < -1e-6 || rgb[i] > 1 + 1e-6) return false;
  return true;
}

static double score_on(const search *s, bc_lab lab) {
  const bc_cloth cloth = {.colour = bc_colour_from_lab(lab)};
  return match_score_on(s->pieces, s->count, &cloth);
}

static bc_family family_of(double L) {
  return L < 40 ? BC_DARK : L <= 70 ? BC_MIDDLE : BC_LIGHT;
}

/* Keeps the best STARTS of a family, best first. */
static void keep(candidate *best, candidate c) {
  size_t at = STARTS;
  while (at > 0 && c.score > best[at - 1].score) at--;
  if (at == STARTS) return;
  memmove(best + at + 1, best + at, (STARTS - 1 - at) * sizeof *best);
  best[at] = c;
}

static void coarse_grid(const search *s, candidate best[3][STARTS]) {
  for (double L = DARKEST; L <= LIGHTEST; L += STEP_L)
    for (double a = -MOST_CHROMA; a <= MOST_CHROMA; a += STEP_AB)
      for (double b = -MOST_CHROMA; b <= MOST_CHROMA; b += STEP_AB) {
        const bc_lab lab = {L, a, b};
        if (bc_match_dyeable(lab)) keep(best[family_of(L)], (candidate){lab, score_on(s, lab)});
      }
}

/* Steps along the axes and the diagonals as long as that helps, then with half the step. */
static void refine(const search *s, candidate *c) {
  const bc_family family = family_of(c->lab.L);
  for (double step = STEP_L / 2; step >= LAST_STEP; step /= 2) {
    bool better = true;
    for (int round = 0; better && round < 12; round++) {
      better = false;
      const bc_lab from = c->lab;
      for (int direction = 0; direction < 27; direction++) {
        const bc_lab to = {from.L + step * (direction % 3 - 1), from.a + 1.6 * step * (direction / 3 % 3 - 1),
                           from.b + 1.6 * step * (direction / 9 - 1)};
        if (direction == 13 || !bc_match_dyeable(to) || family_of(to.L) != family) continue;
        const double score = score_on(s, to);
        if (score <= c->score + 1e-9) continue;
        *c = (candidate){to, score};
        better = true;
      }
    }
  }
}

static int better_first(const void *first, const void *second) {
  const candidate *a = first, *b = second;
  if (a->score != b->score) return a->score < b->score ? 1 : -1;
  return a->lab.L < b->lab.L ? -1 : a->lab.L > b->lab.L;
}

/* What is told is the colour as it can be written in CSS, judged as such. */
static bc_status add(bc_match *match, bc_context *context, const search *s, bc_lab lab) {
  bc_suggestion *to = &match->suggested[match->suggested_count];
  bc_lab_to_hex(lab, to->css);
  bc_colour colour;
  const bc_status status = bc_colour_parse_css(&colour, context, to->css);
  if (status != BC_OK) return status;
  to->lab = colour.lab;
  to->name = bc_colour_name(colour.lab);
  to->family = family_of(lab.L);
  to->score = score_on(s, colour.lab);
  match->suggested_count++;
  return BC_OK;
}

static bool distinct(const bc_match *match, bc_lab lab) {
  for (size_t i = 0; i < match->suggested_count; i++)
    if (bc_delta_e00(match->suggested[i].lab, lab) < DISTINCT) return false;
  return true;
}

static bc_status choose(bc_match *match, bc_context *context, const search *s, candidate best[3][STARTS],
                        size_t wanted) {
  candidate first[3], rest[3 * STARTS];
  for (int f = 0; f < 3; f++) {
    for (int i = 0; i < STARTS; i++) refine(s, &best[f][i]);
    qsort(best[f], STARTS, sizeof **best, better_first);
    first[f] = best[f][0];
    memcpy(rest + (size_t)f * STARTS, best[f], sizeof best[f]);
  }
  qsort(first, 3, sizeof *first, better_first);
  qsort(rest, 3UL * STARTS, sizeof *rest, better_first);
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < 3 && i < wanted; i++) status = add(match, context, s, first[i].lab);
  for (size_t i = 0; status == BC_OK && i < 3UL * STARTS && match->suggested_count < wanted; i++)
    if (distinct(match, rest[i].lab)) status = add(match, context, s, rest[i].lab);
  return status;
}

size_t match_nearest_own(const bc_match *match, bc_lab lab) {
  size_t nearest = 0;
  double least = INFINITY;
  for (size_t c = 0; c < match->cloth_count; c++) {
    const double off = bc_delta_e00(match_cloth_of(match, &match->cloths[c])->colour.lab, lab);
    if (off < least) least = off, nearest = c;
  }
  return nearest;
}

/* How coarse a weave is still as good: contrast masking, as on a given cloth. */
static void find_weave(bc_suggestion *suggestion, const search *s) {
  static const double spreads[] = {2, 4, 6, 8, 12};
  for (size_t i = 0; i < sizeof spreads / sizeof spreads[0]; i++) {
    const bc_cloth cloth = {.colour = bc_colour_from_lab(suggestion->lab), .spread_l = spreads[i]};
    if (match_score_on(s->pieces, s->count, &cloth) < suggestion->score - WEAVE_COST) return;
    suggestion->weave_l = spreads[i];
  }
}

bc_status bc_match_suggest(bc_match *match, bc_context *context, size_t wanted) {
  if (wanted > 3UL * STARTS) wanted = 3UL * STARTS;
  free(match->suggested);
  match->suggested_count = 0;
  match->suggested = bc_allocate(wanted, sizeof *match->suggested);
  if (!match->suggested) return bc_fail_memory(context);
  search s = {.count = match->piece_count};
  bc_status status = match_prepare_all(&s.pieces, context, match->collection);
  if (status != BC_OK) return status;
  candidate best[3][STARTS];
  for (int f = 0; f < 3; f++)
    for (int i = 0; i < STARTS; i++) best[f][i] = (candidate){{f == 0 ? 30 : f == 1 ? 55 : 80, 0, 0}, -1};
  coarse_grid(&s, best);
  status = choose(match, context, &s, best, wanted);
  for (size_t i = 0; i < match->suggested_count; i++) find_weave(&match->suggested[i], &s);
  free(s.pieces);
  return status;
}
