/* SPDX-License-Identifier: MIT */
/* How far a piece of known size can be made out: its outline against the cloth, and its own detail.
 * In: reading, cloth, true width. Out: bc_visibility. Source: castleCSF; docs/method/match.md. */
#include "csf_internal.h"
#include "match_internal.h"

#include <math.h>
#include <stdlib.h>

/* Cycles across the smaller dimension that a shape needs to be recognized. Source: Johnson 1958,
 * "Analysis of image forming systems", line pairs for recognition 4.0 +- 0.8. */
#define RECOGNITION_CYCLES 4.0
/* Detail counts when its contrast is five thresholds: seen at a glance, not in a laboratory (our choice). */
#define GLANCE 5.0
/* Light that stray reflections and the eye itself lay over everything, as WCAG's 0.05 does. */
#define FLARE 0.05
#define DEGREE (3.14159265358979323846 / 180)

bc_view bc_view_default(void) {
  return (bc_view){.distance_m = 4, .white_cd_m2 = 95};
}

/* Contrast of every rim patch with the cloth: doesn't depend on distance. */
typedef struct scene {
  double contrast[MATCH_RIM_PATCHES][3], share[MATCH_RIM_PATCHES], left[MATCH_RIM_PATCHES];
  size_t patches;
  double luminance; /* to which the eye is adapted */
  double area_cm2;
  double thickness_cm;     /* diameter of a disk with the same area for its outline: thin parts count as thin */
  double detail_luminance; /* the piece's own mean */
} scene;

/* What a pattern leaves of the difference between a colour and the cloth: it raises the threshold by as much. */
static double left_by_pattern(const bc_colour *colour, const bc_cloth *cloth) {
  const double spread = match_cloth_spread(cloth);
  double left = 0;
  for (size_t i = 0; i < match_cloth_part_count(cloth); i++) {
    const bc_cloth_part part = match_cloth_part_at(cloth, i);
    left += part.share * match_left_by_pattern(match_delta_e00(colour->lab, part.colour.lab), spread);
  }
  return left;
}

static void scene_fill(scene *s, const bc_reading *reading, const bc_cloth *cloth, double width_cm,
                       const bc_view *view) {
  match_prepared piece;
  match_prepare(&piece, reading);
  double background[3];
  bc_cones_from_lab(cloth->colour.lab, view->white_cd_m2, background);
  double flare[3];
  bc_cones_from_lab((bc_lab){100, 0, 0}, FLARE * view->white_cd_m2, flare);
  const match_patch whole = {piece.mean, 1};
  s->patches = piece.rim_patches ? piece.rim_patches : 1;
  for (size_t p = 0; p < s->patches; p++) {
    const match_patch *patch = piece.rim_patches ? &piece.rim[p] : &whole;
    double cones[3], delta[3], middle[3];
    const bc_colour colour = bc_colour_mixed(patch->colour, cloth->colour, piece.see_through);
    bc_cones_from_lab(colour.lab, view->white_cd_m2, cones);
    for (int i = 0; i < 3; i++) {
      delta[i] = (fmax(0, cones[i]) - fmax(0, background[i])) / 2;
      middle[i] = (fmax(0, cones[i]) + fmax(0, background[i])) / 2 + flare[i];
    }
    match_csf_contrasts(s->contrast[p], middle, delta);
    s->share[p] = patch->share;
    s->left[p] = left_by_pattern(&colour, cloth);
  }
  s->luminance = view->white_cd_m2 * (fmax(0, cloth->colour.luminance) + FLARE);
  s->detail_luminance = view->white_cd_m2 * (fmax(0, reading->mean.luminance) + FLARE);
  s->area_cm2 = reading->box_share * width_cm * width_cm * reading->box.height / fmax(1, reading->box.width);
  /* Area over length of the outline is a quarter of a disk's diameter, half the width of a strip. */
  s->thickness_cm = reading->outline_length > 0 ? 4 * sqrt(s->area_cm2) / reading->outline_length
                                                : 2 * sqrt(s->area_cm2 / 3.14159265);
}

static double degrees(double size_cm, double distance_m) {
  return 2 * atan(size_cm / (200 * distance_m)) / DEGREE;
}

/* An edge holds all frequencies, so what matters is the best one from `least` up: the coarse ones below
 * it don't show the shape. */
static void best_sensitivity(double sensitivity[3], double least, double luminance, double area) {
  for (int i = 0; i < 3; i++) {
    sensitivity[i] = match_csf_sensitivity(i, least, luminance, area);
    for (double f = least * 2; f < 8; f *= 2) /* every mechanism falls from 8 cycles per degree on */
      sensitivity[i] = fmax(sensitivity[i], match_csf_sensitivity(i, f, luminance, area));
  }
}

/* A place is told from where its contrast is above the published threshold; how strong it then looks is the clarity's
 * matter, and hardly changes with distance (contrast constancy, Georgeson and Sullivan 1975). */
static double share_made_out(const scene *s, double distance_m) {
  const double frequency = RECOGNITION_CYCLES / degrees(s->thickness_cm, distance_m);
  const double side = degrees(sqrt(s->area_cm2), distance_m), area = fmax(1e-9, side * side);
  double sensitivity[3], share = 0;
  best_sensitivity(sensitivity, frequency, s->luminance, area);
  for (size_t p = 0; p < s->patches; p++) {
    const double response = match_csf_combine(s->contrast[p], sensitivity);
    if (response * s->left[p] > 1) share += s->share[p];
  }
  return fmin(1, share);
}

static bool detail_made_out(const scene *s, const bc_reading *reading, double width_cm, double distance_m) {
  const double width = degrees(width_cm, distance_m);
  const double area =
      fmax(1e-6, reading->box_share * width * width * reading->box.height / fmax(1, reading->box.width));
  for (size_t i = 0; i < BC_READING_DETAIL && reading->detail_cycles[i] >= 1; i++) {
    const double frequency = (double)reading->detail_cycles[i] / width;
    if (frequency > 60) continue; /* finer than the eye's lattice */
    const double contrast = (double)reading->detail[i] * reading->mean.luminance / (reading->mean.luminance + FLARE);
    if (contrast * match_csf_sensitivity(0, frequency, s->detail_luminance, area) >= GLANCE) return true;
  }
  return false;
}

typedef bool (*made_out)(const scene *s, const bc_reading *reading, double width_cm, double distance_m);

static bool half_made_out(const scene *s, const bc_reading *reading, double width_cm, double distance_m) {
  (void)reading, (void)width_cm;
  return share_made_out(s, distance_m) >= 0.5;
}

/* The farthest distance from which `test` still holds; seen from nearer it holds, too. */
static double farthest(made_out test, const scene *s, const bc_reading *reading, double width_cm) {
  double near = 0.3, far = BC_FAR_M;
  if (test(s, reading, width_cm, far)) return far;
  if (!test(s, reading, width_cm, near)) return 0;
  for (int i = 0; i < 12; i++) {
    const double middle = sqrt(near * far);
    *(test(s, reading, width_cm, middle) ? &near : &far) = middle;
  }
  return near;
}

bc_visibility bc_match_visibility(const bc_reading *reading, const bc_cloth *cloth, double width_cm,
                                  const bc_view *view) {
  const bc_view standard = bc_view_default(), *chosen = view ? view : &standard;
  bc_visibility v = {0};
  if (!(width_cm > 0) || !isfinite(width_cm)) return v;
  scene s;
  scene_fill(&s, reading, cloth, width_cm, chosen);
  v.known = true;
  v.width_cm = width_cm;
  v.made_out = share_made_out(&s, chosen->distance_m);
  v.outline_m = farthest(half_made_out, &s, reading, width_cm);
  v.detail_m = farthest(detail_made_out, &s, reading, width_cm);
  for (int i = 0; i < BC_SWEEP; i++) v.sweep[i] = share_made_out(&s, i + 1);
  return v;
}
