/* SPDX-License-Identifier: MIT */
/* Contrast sensitivity of the eye: from a target's cone contrast to a response that is 1 at threshold.
 * Source: castleCSF (Ashraf, Mantiuk, Chapiro, Wuerger 2024), still targets at the fovea; disks: docs/method/match.md.
 */
#include "csf_internal.h"

#include <backcloth/colour.h>
#include <math.h>

/* Published parameters of castleCSF. At 0 Hz the transient achromatic channel's weight is below 1e-9
 * and it is left out. */
typedef struct channel {
  double peak, peak_luminance, peak_power;                /* how the greatest sensitivity grows with luminance */
  double glare, glare_power;                              /* and falls again in very bright light (0: it does not) */
  double frequency, frequency_luminance, frequency_power; /* where the sensitivity is greatest */
  double width;                                           /* bandwidth: log-parabola, 2^width */
  double floor;                                           /* below the peak the curve does not fall under 1 - floor */
  double area, area_frequency;                            /* spatial summation */
} channel;

static const channel channels[3] = {
    {56.4947, 7.54726, 0.144532, 5.58341e-7, 9.66862e9, 1.78119, 91.5718, 0.256682, 0.000213047, 0.100207, 157.103,
     0.702338},
    {681.434, 38.0038, 0.480386, 0, 0, 0.0178364, 0, 0, 2.42104, 0, 2816.44, 0.0711058},
    {166.683, 62.8974, 0.41193, 0, 0, 0.00425753, 0, 0, 2.68197, 0, 2.82789e7, 0.000635093},
};

/* Cone coordinates to the three mechanisms: light, red-green, yellow-violet. */
#define M_WEIGHT 2.3112
#define S_WEIGHT 50.9875

/* A disk is judged by the best single cycle that fits along its edge. Two constants fitted to 18
 * published thresholds from 1/12 to 1 degree: gain at 1 degree, power of the radius up to 1 degree. */
#define DISK_GAIN 1.635
#define DISK_POWER (-0.2555)

double match_csf_sensitivity(int which, double frequency, double luminance, double area) {
  const channel *c = &channels[which];
  double peak = c->peak * pow(1 + c->peak_luminance / luminance, -c->peak_power);
  if (c->glare > 0) peak *= 1 - pow(1 + c->glare / luminance, -c->glare_power);
  const double at = c->frequency * pow(1 + c->frequency_luminance / luminance, -c->frequency_power);
  const double octaves = log10(frequency / at);
  double shape = pow(10, -octaves * octaves / exp2(c->width));
  if (frequency < at && shape < 1 - c->floor) shape = 1 - c->floor; /* low-pass when floor is 0 */
  const double ratio = frequency / c->area_frequency, critical = c->area / (1 + ratio * ratio);
  return peak * shape * sqrt(critical / (1 + critical / area)) * frequency;
}

void match_csf_contrasts(double contrast[3], const double background[3], const double delta[3]) {
  const double light = background[0] + background[1];
  contrast[0] = fabs(delta[0] + delta[1]) / light;
  contrast[1] = fabs(delta[0] - M_WEIGHT * delta[1]) / light;
  contrast[2] = fabs(S_WEIGHT * delta[2] - delta[0] - delta[1]) / light;
}

double match_csf_combine(const double contrast[3], const double sensitivity[3]) {
  double energy = 0;
  for (int i = 0; i < 3; i++) energy += contrast[i] * sensitivity[i] * (contrast[i] * sensitivity[i]);
  return sqrt(energy);
}

static void match_csf_disk(match_csf_curve *curve, double luminance, double radius_deg) {
  const double gain = DISK_GAIN * pow(fmin(1, radius_deg), DISK_POWER);
  curve->count = 0;
  /* Half octaves from the lowest cycle that fits; above 40 cycles per degree nothing is resolved. */
  for (double f = 0.25 / radius_deg; curve->count < MATCH_CSF_STEPS; f *= 1.4142135623730951) {
    if (f > 40 && curve->count) break;
    for (int i = 0; i < 3; i++)
      curve->sensitivity[curve->count][i] = gain * match_csf_sensitivity(i, f, luminance, 1 / (f * f));
    curve->count++;
  }
}

static double match_csf_disk_response(const match_csf_curve *curve, const double contrast[3]) {
  double best = 0;
  for (size_t i = 0; i < curve->count; i++) best = fmax(best, match_csf_combine(contrast, curve->sensitivity[i]));
  return best;
}

double bc_csf_response(const bc_target *target) {
  double contrast[3], sensitivity[3];
  match_csf_contrasts(contrast, target->background, target->delta);
  if (target->kind == BC_TARGET_DISK) {
    match_csf_curve curve;
    match_csf_disk(&curve, target->luminance_cd_m2, sqrt(target->area_deg2 / 3.14159265358979323846));
    return match_csf_disk_response(&curve, contrast);
  }
  for (int i = 0; i < 3; i++)
    sensitivity[i] = match_csf_sensitivity(i, target->frequency_cpd, target->luminance_cd_m2, target->area_deg2);
  return match_csf_combine(contrast, sensitivity);
}

/* XYZ (D65) to the cones of CIE 170-1:2006 as castleCSF's data use them: white of 50 cd/m2 gives
 * L 36.7373, M 15.8141, S 1.0410, the background of its first data set. */
static const double cones_from_xyz[3][3] = {
    {0.187596268556126, 0.585168649077728, -0.026384263306304},
    {-0.133397430663221, 0.405505777260049, 0.034502127690364},
    {0.000244379021663, -0.000542995890619, 0.019406849066323},
};
/* IEC 61966-2-1, linear sRGB to XYZ. */
static const double xyz_from_rgb[3][3] = {{0.4124, 0.3576, 0.1805}, {0.2126, 0.7152, 0.0722}, {0.0193, 0.1192, 0.9505}};

void bc_cones_from_lab(bc_lab lab, double white_cd_m2, double cones[3]) {
  double rgb[3], xyz[3];
  bc_lab_to_linear_srgb(lab, rgb);
  for (int i = 0; i < 3; i++)
    xyz[i] = xyz_from_rgb[i][0] * rgb[0] + xyz_from_rgb[i][1] * rgb[1] + xyz_from_rgb[i][2] * rgb[2];
  for (int i = 0; i < 3; i++)
    cones[i] =
        white_cd_m2 * (cones_from_xyz[i][0] * xyz[0] + cones_from_xyz[i][1] * xyz[1] + cones_from_xyz[i][2] * xyz[2]);
}
