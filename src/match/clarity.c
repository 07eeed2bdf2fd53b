/* SPDX-License-Identifier: MIT */
/* The scale on which everything rests: from a difference of two colours to a clarity 0..1 and a verdict.
 * In: colour of a part of the piece, cloth. Source: CIEDE2000; edges by eye (tests/bench/by_eye), docs/method/match.md.
 */
#include "match_internal.h"

#include <backcloth/colour.h>
#include <math.h>

/* A pattern hides edges no stronger than so many times its own spread (fitted with it). */
#define PATTERN 2.0

/* Of nine published scales CIEDE2000 agrees best with what was judged by eye. A difference of colour as a clarity 0..1:
 * 1/3 at 10, 2/3 at 20, 1 from 30 on. */
static double match_clarity(double delta_e00) {
  const double share = delta_e00 / MATCH_FULL_CLARITY;
  return share > 0 ? share < 1 ? share : 1 : 0;
}

/* A pattern's own light and dark and its colours draw the eye from edges no stronger than themselves: contrast masking.
 */
double match_left_by_pattern(double delta_e00, double spread) {
  if (!(spread > 0)) return 1;
  return delta_e00 > 0 ? delta_e00 / hypot(delta_e00, PATTERN * spread) : 0;
}

void match_clarity_lanes(double *out, const match_lanes *lanes, size_t count, const bc_colour *behind, double spread) {
  match_delta_e00_lanes(out, lanes, count, behind->lab);
  if (spread > 0)
    for (size_t i = 0; i < count; i++) out[i] = match_clarity(out[i]) * match_left_by_pattern(out[i], spread);
  else
    for (size_t i = 0; i < count; i++) out[i] = match_clarity(out[i]);
}

/* The threads' own light and dark, or what the main colours differ by, whichever is more. */
double match_cloth_spread(const bc_cloth *cloth) {
  double squares = 0;
  for (size_t i = 0; i < cloth->part_count; i++) {
    const double off = match_delta_e00(cloth->parts[i].colour.lab, cloth->colour.lab);
    squares += cloth->parts[i].share * off * off;
  }
  return fmax(cloth->spread_l, sqrt(squares));
}

size_t match_cloth_part_count(const bc_cloth *cloth) {
  return cloth->part_count ? cloth->part_count : 1;
}

bc_cloth_part match_cloth_part_at(const bc_cloth *cloth, size_t i) {
  return cloth->part_count ? cloth->parts[i] : (bc_cloth_part){cloth->colour, 1};
}

static void set_lane(match_lanes *lanes, size_t i, bc_lab lab) {
  lanes->L[i] = lab.L;
  lanes->a[i] = lab.a;
  lanes->b[i] = lab.b;
  lanes->chroma[i] = sqrt(lab.a * lab.a + lab.b * lab.b);
}

void match_clarities_on(double *out, const bc_colour *own, size_t count, double see_through, const bc_cloth *cloth) {
  const double spread = match_cloth_spread(cloth);
  match_lanes lanes;
  double delta_e00[MATCH_LANES];
  for (size_t k = 0; k < count; k++) out[k] = 0;
  for (size_t i = 0; i < match_cloth_part_count(cloth); i++) {
    const bc_cloth_part part = match_cloth_part_at(cloth, i);
    for (size_t k = 0; k < count; k++) set_lane(&lanes, k, bc_colour_mixed(own[k], part.colour, see_through).lab);
    match_delta_e00_lanes(delta_e00, &lanes, count, part.colour.lab);
    for (size_t k = 0; k < count; k++)
      out[k] += part.share * match_clarity(delta_e00[k]) * match_left_by_pattern(delta_e00[k], spread);
  }
}

/* Nearer to an edge than this nobody sees on which side of it a piece is, however sure the light (our choice). */
#define LEAST_SPREAD 0.02

bc_verdict bc_verdict_of(double clarity) {
  return match_verdict_of(clarity);
}

void match_find_edge(bc_pair *pair) {
  const double spread = fmax(LEAST_SPREAD, pair->clarity_sd);
  pair->on_edge = false;
  pair->neighbour = pair->verdict;
  for (int side = -1; side <= 1 && !pair->on_edge; side += 2) {
    pair->neighbour = match_verdict_of(fmin(1, fmax(0, pair->clarity + side * spread)));
    pair->on_edge = pair->neighbour != pair->verdict;
  }
}

const char *bc_verdict_word(bc_verdict verdict) {
  return verdict == BC_STANDS_OUT ? "stands out" : verdict == BC_SOFT ? "soft" : "gets lost";
}

const char *bc_verdict_text(bc_verdict verdict) {
  return verdict == BC_STANDS_OUT ? _("stands out") : verdict == BC_SOFT ? _("soft") : _("gets lost");
}
