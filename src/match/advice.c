/* SPDX-License-Identifier: MIT */
/* What would help a piece that doesn't stand out: each remedy is tried on the figures.
 * In: a match. Out: bc_advice. Source: docs/method/match.md. */
#include "match_internal.h"

#include <backcloth/colour.h>
#include <math.h>
#include <stdlib.h>

#define LAMP 2.0 /* a small spot doubles the light on a piece: one stop (our choice) */
/* Card that can be had: greys first, then the hues that card and board are sold in, at moderate chroma. */
#define DARKEST_CARD 14.0
#define LIGHTEST_CARD 94.0
#define CARD_STEP 4.0
#define CARD_CHROMA 30.0

/* Another given cloth that is better for the piece and not worse for the collection. */
static bool other_cloth(bc_advice *advice, const bc_match *match, size_t position, size_t piece) {
  const bc_verdict now = match->cloths[position].pairs[piece].verdict;
  for (size_t c = 0; c < position; c++) { /* rank order: these have a better score */
    const bc_pair *pair = &match->cloths[c].pairs[piece];
    if (pair->verdict <= now || match->cloths[c].rank == match->cloths[position].rank) continue;
    *advice = (bc_advice){.remedy = BC_REMEDY_CLOTH, .cloth = c, .clarity = pair->clarity};
    return true;
  }
  return false;
}

static double clarity_lit(const bc_reading *reading, const bc_cloth *cloth) {
  match_prepared piece;
  match_prepare(&piece, reading);
  match_prepared_light(&piece, LAMP);
  return match_prepared_clarity(&piece, cloth);
}

static void try_card(bc_advice *best, const match_prepared *piece, bc_lab lab, double by_at_least) {
  const bc_cloth card = {.colour = bc_colour_from_lab(lab)};
  const double clarity = match_prepared_clarity(piece, &card);
  if (clarity < best->clarity + by_at_least) return;
  best->clarity = clarity;
  best->mount = lab;
}

/* The card on which the piece is clearest: a grey one, unless a coloured one is clearer by a tenth. */
static bc_advice best_card(const bc_reading *reading) {
  bc_advice best = {.remedy = BC_REMEDY_MOUNT, .clarity = -1};
  match_prepared piece;
  match_prepare(&piece, reading);
  for (double L = DARKEST_CARD; L <= LIGHTEST_CARD; L += CARD_STEP) try_card(&best, &piece, (bc_lab){L, 0, 0}, 1e-9);
  double by = 0.1;
  for (double L = DARKEST_CARD + 12; L <= LIGHTEST_CARD - 12; L += 2 * CARD_STEP)
    for (int hue = 0; hue < 360; hue += 45) {
      const double chroma = fmin(CARD_CHROMA, bc_match_most_chroma(L, hue)), before = best.clarity;
      try_card(&best, &piece, (bc_lab){L, chroma * cos(hue * (M_PI / 180)), chroma * sin(hue * (M_PI / 180))}, by);
      if (best.clarity > before) by = 1e-9; /* from one colour to a better one any gain counts */
    }
  best.light_mount = best.mount.L > reading->mean.lab.L;
  bc_lab_to_hex(best.mount, best.css);
  return best;
}

static bc_advice best_remedy(const bc_match *match, size_t position, size_t piece) {
  const bc_ranked_cloth *ranked = &match->cloths[position];
  const bc_pair *pair = &ranked->pairs[piece];
  bc_advice advice = {.clarity = pair->clarity};
  if (pair->verdict == BC_STANDS_OUT || other_cloth(&advice, match, position, piece)) return advice;
  const double lamp = clarity_lit(match_reading(match, piece), match_cloth_of(match, ranked));
  const bc_advice mount = best_card(match_reading(match, piece));
  /* A lamp costs least; a mount has to win by a verdict to be worth the work. */
  if (match_verdict_of(lamp) > pair->verdict && match_verdict_of(lamp) >= match_verdict_of(mount.clarity))
    return (bc_advice){.remedy = BC_REMEDY_LAMP, .clarity = lamp};
  if (match_verdict_of(mount.clarity) > pair->verdict) return mount;
  return (bc_advice){.remedy = BC_REMEDY_PLACE, .clarity = pair->clarity};
}

bc_advice bc_match_advice(const bc_match *match, size_t position, size_t piece) {
  bc_advice advice = best_remedy(match, position, piece);
  advice.verdict = match_verdict_of(advice.clarity);
  return advice;
}
