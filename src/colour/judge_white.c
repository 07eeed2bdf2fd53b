/* SPDX-License-Identifier: MIT */
/* Whether a white reference can be believed: how large the correction is and in which direction, whether a lamp can
 * have such a colour, and whether the rest of the picture agrees. What disagrees is told, and the colours count as less
 * sure. In: corrected picture and measurement. Out: notes, uncertainty. Source: docs/method/colour.md. */
#include "base/base.h"
#include "colour_internal.h"
#include "find_white.h"

#include <math.h>
#include <string.h>
#include <strings.h>

/* Our choices, from what `backcloth-bench light` shows of sound sheets. */
#define DUV_MOST 0.010     /* off the line of black-body light: about twice what a camera's own judgement leaves */
#define MIRED_MOST 120.0   /* along it */
#define TINT_LEAST 5.0     /* C* of a sheet that is tinted */
#define GREY_WITHIN 0.4    /* of the sheet's chroma: grey by the camera's own judgement */
#define GREY_SHARE 0.15    /* of the picture: then the tint is the sheet's, not the light's */
#define LIGHTER_FROM 1.15  /* times a white sheet's light: nothing but lamps and glints is so light */
#define LIGHTER_SHARE 0.02 /* of the picture */
#define MIXED_LEAST 8.0    /* C* left on a second sheet */
#define SAMPLES 64         /* a side */

typedef struct verdict {
  bc_cast off; /* what the light was, against daylight on a white sheet */
  double grey, lighter;
} verdict;

static bc_cast offset_of(const colour_white_measurement *measured) {
  double light[3], uv[2], home[2], mired, duv, home_mired, home_duv;
  for (int i = 0; i < 3; i++) light[i] = measured->seen[i] / measured->expected[i] * colour_white_d50[i];
  colour_uv_of_xyz(light, uv);
  colour_uv_of_xyz(colour_white_d50, home);
  colour_locus_nearest(uv, &mired, &duv);
  colour_locus_nearest(home, &home_mired, &home_duv);
  return (bc_cast){mired - home_mired, duv - home_duv, log2(measured->seen[1] / measured->expected[1])};
}

/* Shares of the picture outside the reference: grey before the correction, and lighter than white after it. */
static void look_round(verdict *v, const bc_image *image, const colour_white_measurement *measured) {
  colour_matrix3 back;
  const double tint = hypot(colour_from_xyz(measured->seen).lab.a, colour_from_xyz(measured->seen).lab.b);
  const double sx = (double)image->full_width / image->width, sy = (double)image->full_height / image->height;
  int count = 0, grey = 0, lighter = 0;
  if (!colour_matrix3_invert(&measured->correction, &back)) return;
  for (int k = 0; k < SAMPLES * SAMPLES; k++) {
    const int x = (2 * (k % SAMPLES) + 1) * image->width / (2 * SAMPLES),
              y = (2 * (k / SAMPLES) + 1) * image->height / (2 * SAMPLES);
    const bc_box b = image->reference_box;
    if (x * sx >= b.x && x * sx < b.x + b.width && y * sy >= b.y && y * sy < b.y + b.height) continue;
    const size_t i = (size_t)y * (size_t)image->width + (size_t)x;
    double xyz[3];
    colour_lab_to_xyz((bc_lab){(double)image->L[i], (double)image->a[i], (double)image->b[i]}, xyz);
    lighter += xyz[1] > LIGHTER_FROM * measured->expected[1];
    colour_matrix3_apply(&back, xyz, xyz);
    const bc_lab before = colour_from_xyz(xyz).lab;
    grey += before.L > 20 && hypot(before.a, before.b) < GREY_WITHIN * tint;
    count++;
  }
  v->grey = tint > TINT_LEAST && count ? (double)grey / count : 0;
  v->lighter = count ? (double)lighter / count : 0;
}

/* "warmer", "cooler", "greener", "pinker": the light's colour that was taken out, by what is larger. */
static const char *direction(bc_cast off) {
  if (fabs(off.mired) < 5 && fabs(off.duv) < 0.002) return _("hardly tinted");
  if (fabs(off.duv) / 0.005 > fabs(off.mired) / 25) return off.duv > 0 ? _("too green") : _("too pink");
  return off.mired > 0 ? _("too yellow") : _("too blue");
}

static bc_status tell(bc_image *image, bc_context *context, const colour_white_measurement *measured,
                      const verdict *v) {
  const bc_lab paper = colour_from_xyz(measured->expected).lab;
  const double by = bc_delta_e00(colour_from_xyz(measured->seen).lab, paper);
  return bc_note(
      &image->notes, context,
      _("The white reference is taken for something of lightness %.0f (a* %.0f, b* %.0f). The light was %s and "
        "the photo %.0f %% %s; all colours were corrected by about %.0f. If the sheet isn't plain white paper, "
        "say what it is: --white-is 'copy paper', newsprint, 'cream paper', 'paper towel', 'grey card', or a "
        "colour."),
      paper.L, paper.a, paper.b, direction(v->off), 100 * fabs(exp2(v->off.stops) - 1),
      v->off.stops < 0 ? _("too dark") : _("too bright"), by);
}

static void widen(bc_uncertainty *u, bc_cast off, bool level) {
  u->mired = hypot(u->mired, off.mired / 2);
  u->duv = hypot(u->duv, off.duv / 2);
  if (level) u->stops = hypot(u->stops, 0.5);
}

static bc_status warn(bc_image *image, bc_context *context, const verdict *v) {
  bc_status status = BC_OK;
  const bool off = fabs(v->off.duv) > DUV_MOST || fabs(v->off.mired) > MIRED_MOST, tinted = v->grey > GREY_SHARE,
             dark = v->lighter > LIGHTER_SHARE;
  if (off)
    status = bc_note(&image->notes, context,
                     _("Hardly any lamp has the colour that this sheet shows. Perhaps the sheet isn't white: the "
                       "colours count as less sure."));
  if (status == BC_OK && tinted && !off)
    status = bc_note(&image->notes, context,
                     _("The sheet looks tinted, but %.0f %% of the picture looks grey as the camera judged the light. "
                       "Perhaps the sheet isn't white: the colours count as less sure."),
                     100 * v->grey);
  if (status == BC_OK && dark)
    status = bc_note(&image->notes, context,
                     _("%.0f %% of the picture would be lighter than white. Perhaps the sheet lies in the shade or "
                       "isn't white: the colours count as less sure."),
                     100 * v->lighter);
  if (off || tinted || dark) widen(&image->uncertainty, v->off, dark);
  return status;
}

/* Another sheet that keeps a tint once this one is white stands in another light. */
static bc_status look_for_second(bc_image *image, bc_context *context) {
  colour_found_white second;
  const bc_status status = colour_find_second_white(&second, context, image, image->reference_box);
  if (status != BC_OK || second.confidence <= 0 || second.grey) return status;
  const double left = hypot(second.lab.a, second.lab.b);
  if (left < MIXED_LEAST) return BC_OK;
  image->uncertainty.mired = hypot(image->uncertainty.mired, bc_uncertainty_unknown.mired);
  image->uncertainty.duv = hypot(image->uncertainty.duv, bc_uncertainty_unknown.duv);
  return bc_note(&image->notes, context,
                 _("Mixed light: two white sheets in the photo have different colours. The colours are corrected by "
                   "one of them and count as less sure. With one kind of lamp, or daylight alone, they are surer."));
}

bc_status colour_judge_white(bc_image *image, bc_context *context, const colour_white_measurement *measured,
                             bool cast_only) {
  verdict v = {.off = offset_of(measured)};
  if (cast_only) return BC_OK; /* a grey card that was found: its lightness isn't known */
  look_round(&v, image, measured);
  bc_status status = image->reference == BC_REFERENCE_GIVEN ? tell(image, context, measured, &v) : BC_OK;
  if (status == BC_OK) status = warn(image, context, &v);
  return status == BC_OK ? look_for_second(image, context) : status;
}

/* Kinds of paper: ISO 12647-2 gives coated and uncoated paper L* 93 to 95 with b* down to -4 from brighteners,
 * newsprint (ISO 12647-3) L* 82, a* 0, b* 3; the others are our choice. */
static const struct {
  const char *kind;
  bc_lab lab;
} kinds[] = {{"paper", {94, 0, 0}},       {"copy paper", {94, 1, -3}}, {"newsprint", {82, 0, 3}},
             {"cream paper", {92, 1, 9}}, {"paper towel", {91, 0, 2}}, {"grey card", {50, 0, 0}}};

bc_status bc_white_parse(bc_colour *out, bc_context *context, const char *text) {
  for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++)
    if (strcasecmp(text, kinds[i].kind) == 0) {
      *out = bc_colour_from_lab(kinds[i].lab);
      return BC_OK;
    }
  return bc_colour_parse_css(out, context, text);
}
