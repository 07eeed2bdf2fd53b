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

/* A cloth's own light and dark hides differences of its own size: sigma of L* x 2 (our choice). */
static double left_by_pattern(double delta_e, double spread_l) {
  if (!(spread_l > 0) || !(delta_e > 0)) return 1;
  return delta_e / hypot(delta_e, 2 * spread_l);
}

static double strength(double by_lightness, double delta_e, double spread_l) {
  return fmax(by_lightness, delta_e * (LN_3 / DELTA_E_AT_3)) * left_by_pattern(delta_e, spread_l);
}

double bc_strength(const bc_colour *colour, const bc_cloth *cloth) {
  const double by_lightness = log(bc_contrast_ratio(colour->luminance, cloth->colour.luminance));
  return strength(by_lightness, bc_match_delta_e00(colour->lab, cloth->colour.lab), cloth->spread_l);
}

void bc_strength_lanes(double *out, const bc_lanes *lanes, size_t count, const bc_cloth *cloth) {
  const double cloth_light = log(fmax(0, cloth->colour.luminance) + BC_FLARE);
  double delta_e[BC_LANES];
  bc_match_delta_e00_lanes(delta_e, lanes, count, cloth->colour.lab);
  for (size_t i = 0; i < count; i++)
    out[i] = strength(fabs(lanes->log_light[i] - cloth_light), delta_e[i], cloth->spread_l);
}

/* Steps of equal ratio: 4/3, 2, 3 and 4.5 to 1 give 0, 1/3, 2/3 and 1. */
double bc_clarity(double strength) {
  const double clarity = (2 + (strength - LN_3) / LN_1_5) / 3;
  return fmin(1, fmax(0, clarity));
}

/* A hair below a third or two thirds is rounding, not a reason for another verdict. */
bc_verdict bc_verdict_of(double clarity) {
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
