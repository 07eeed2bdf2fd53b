/* SPDX-License-Identifier: MIT */
/* What would help a piece that doesn't stand out: each remedy is tried on the figures.
 * In: a match. Out: bc_advice. Source: docs/method/match.md. */
#include "match_internal.h"

#include <math.h>
#include <stdlib.h>

#define LAMP 2.0         /* a small spot doubles the light on a piece: one stop (our choice) */
#define LIGHT_MOUNT 92.0 /* L* of off-white card */
#define DARK_MOUNT 18.0  /* L* of near-black card */

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
  bc_prepared piece;
  bc_prepare(&piece, reading);
  bc_prepared_light(&piece, LAMP);
  return bc_prepared_clarity(&piece, cloth);
}

static double clarity_on_card(const bc_reading *reading, double L) {
  bc_prepared piece;
  bc_prepare(&piece, reading);
  const bc_cloth card = {.colour = bc_colour_from_lab((bc_lab){L, 0, 0})};
  return bc_prepared_clarity(&piece, &card);
}

bc_advice bc_match_advice(const bc_match *match, const bc_reading *const *readings, const bc_cloth *const *cloths,
                          size_t position, size_t piece) {
  const bc_ranked_cloth *ranked = &match->cloths[position];
  const bc_pair *pair = &ranked->pairs[piece];
  bc_advice advice = {.clarity = pair->clarity};
  if (pair->verdict == BC_STANDS_OUT || other_cloth(&advice, match, position, piece)) return advice;
  const double lamp = clarity_lit(readings[piece], cloths[ranked->cloth]);
  const double light = clarity_on_card(readings[piece], LIGHT_MOUNT),
               dark = clarity_on_card(readings[piece], DARK_MOUNT);
  const double mount = fmax(light, dark);
  /* A lamp costs least; a mount has to win by a verdict to be worth the work. */
  if (bc_verdict_of(lamp) > pair->verdict && bc_verdict_of(lamp) >= bc_verdict_of(mount))
    return (bc_advice){.remedy = BC_REMEDY_LAMP, .clarity = lamp};
  if (bc_verdict_of(mount) > pair->verdict)
    return (bc_advice){.remedy = BC_REMEDY_MOUNT, .light_mount = light > dark, .clarity = mount};
  return (bc_advice){.remedy = BC_REMEDY_PLACE, .clarity = pair->clarity};
}
