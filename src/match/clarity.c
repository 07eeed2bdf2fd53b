/* SPDX-License-Identifier: MIT */
/* The scale on which everything rests: from a difference of two colours to a clarity 0..1 and a verdict.
 * In: colour of a part of the piece, cloth. Source: WCAG 2.2 SC 1.4.11 and 1.4.3, CIEDE2000; docs/method/match.md. */
#include "match_internal.h"

#include <backcloth/colour.h>
#include <math.h>

#define LN_3 1.0986122886681098   /* log 3: WCAG 2.2 SC 1.4.11, what must be told apart without reading */
#define LN_1_5 0.4054651081081644 /* log 1.5: from 3:1 to the 4.5:1 of SC 1.4.3 is one step of 1.5 */

/* CIEDE2000 of two greys whose contrast ratio is 3:1 lies between 24.7 and 31.0, by level. A difference
 * of hue is worth 3:1 from the upper end on, so that no pair of greys gains by it. */
#define DELTA_E_AT_3 31.0

static double strength(double by_lightness, double delta_e) {
  return fmax(by_lightness, delta_e * (LN_3 / DELTA_E_AT_3));
}

double match_strength(const bc_colour *colour, const bc_colour *behind) {
  const double by_lightness = log(bc_contrast_ratio(colour->luminance, behind->luminance));
  return strength(by_lightness, match_delta_e00(colour->lab, behind->lab));
}

/* Steps of equal ratio: 4/3, 2, 3 and 4.5 to 1 give 0, 1/3, 2/3 and 1. */
double match_clarity(double amount) {
  const double clarity = (2 + (amount - LN_3) / LN_1_5) / 3;
  return fmin(1, fmax(0, clarity));
}

/* A pattern's own light and dark draws the eye from edges that are no stronger than itself (contrast
 * masking; sigma of L* x 2 is our choice). */
static double left_by_pattern(double delta_e, double spread_l) {
  if (!(spread_l > 0)) return 1;
  return delta_e > 0 ? delta_e / hypot(delta_e, 2 * spread_l) : 0;
}

double match_left_by_pattern(const bc_colour *colour, const bc_colour *behind, double spread_l) {
  return spread_l > 0 ? left_by_pattern(match_delta_e00(colour->lab, behind->lab), spread_l) : 1;
}

void match_clarity_lanes(double *out, const match_lanes *lanes, size_t count, const bc_colour *behind,
                         double spread_l) {
  const double light = log(fmax(0, behind->luminance) + MATCH_FLARE);
  double delta_e[MATCH_LANES];
  match_delta_e00_lanes(delta_e, lanes, count, behind->lab);
  for (size_t i = 0; i < count; i++)
    out[i] =
        match_clarity(strength(fabs(lanes->log_light[i] - light), delta_e[i])) * left_by_pattern(delta_e[i], spread_l);
}

size_t match_cloth_part_count(const bc_cloth *cloth) {
  return cloth->part_count ? cloth->part_count : 1;
}

bc_cloth_part match_cloth_part_at(const bc_cloth *cloth, size_t i) {
  return cloth->part_count ? cloth->parts[i] : (bc_cloth_part){cloth->colour, 1};
}

double match_clarity_on(const bc_colour *own, double see_through, const bc_cloth *cloth) {
  double clarity = 0;
  for (size_t i = 0; i < match_cloth_part_count(cloth); i++) {
    const bc_cloth_part part = match_cloth_part_at(cloth, i);
    const bc_colour seen = match_before_cloth(own, see_through, &part.colour);
    clarity += part.share * match_clarity(match_strength(&seen, &part.colour)) *
               match_left_by_pattern(&seen, &part.colour, cloth->spread_l);
  }
  return clarity;
}

/* A hair below a third or two thirds is rounding, not a reason for another verdict. */
bc_verdict match_verdict_of(double clarity) {
  const double hair = 1e-9;
  if (clarity + hair >= 2.0 / 3) return BC_STANDS_OUT;
  return clarity + hair >= 1.0 / 3 ? BC_SOFT : BC_GETS_LOST;
}

const char *bc_verdict_word(bc_verdict verdict) {
  return verdict == BC_STANDS_OUT ? "stands out" : verdict == BC_SOFT ? "soft" : "gets lost";
}

const char *bc_verdict_text(bc_verdict verdict) {
  return verdict == BC_STANDS_OUT ? _("stands out") : verdict == BC_SOFT ? _("soft") : _("gets lost");
}
