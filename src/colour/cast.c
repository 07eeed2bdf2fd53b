/* SPDX-License-Identifier: MIT */
/* How wrong a photo's colours may be: casts along and across the line of black-body light, and exposure.
 * Later stages apply the same cast to all colours of a photo and see whether their answer stands. */
#include "colour_internal.h"

#include <math.h>

/* Chosen with all lamps of `backcloth-bench spreads fit` and `test` in view; what they are worth on others says
 * `spreads unseen`, to which nothing is fitted: docs/method/colour.md. */
const bc_uncertainty bc_uncertainty_unknown = {.mired = 27, .duv = 0.0053, .stops = 0.47};
const bc_uncertainty bc_uncertainty_found = {.mired = 4, .duv = 0.0016, .stops = 0.08};
const bc_uncertainty bc_uncertainty_given = {.mired = 3.5, .duv = 0.0014, .stops = 0.06};
const bc_uncertainty bc_uncertainty_none = {0, 0, 0};

bc_colour bc_colour_with_cast(bc_colour colour, bc_cast cast) {
  if (cast.mired == 0 && cast.duv == 0 && cast.stops == 0) return colour;
  double xyz[3], white[3];
  colour_matrix3 adapt;
  colour_white_shifted(fmax(-120, fmin(400, cast.mired)), fmax(-0.05, fmin(0.05, cast.duv)), white);
  colour_lab_to_xyz(colour.lab, xyz);
  if (colour_adaptation(&adapt, colour_white_d50, white)) colour_matrix3_apply(&adapt, xyz, xyz);
  const double exposure = exp2(cast.stops);
  for (int i = 0; i < 3; i++) xyz[i] *= exposure;
  return colour_from_xyz(xyz);
}

/* Seven points: the middle weighs 0 (n + kappa = 3 with n = 3), so mean and deviations are carried by
 * the six others, a sixth each, at sqrt(3) deviations. */
void bc_casts_plausible(bc_uncertainty u, bc_cast casts[BC_CASTS], double weight[BC_CASTS]) {
  const double reach = sqrt(3.0);
  for (int i = 0; i < BC_CASTS; i++) {
    const double side = i % 2 ? reach : -reach;
    const int axis = (i + 1) / 2;
    casts[i] = (bc_cast){axis == 1 ? side * u.mired : 0, axis == 2 ? side * u.duv : 0, axis == 3 ? side * u.stops : 0};
    if (weight) weight[i] = i == 0 ? 0 : 1.0 / (BC_CASTS - 1);
  }
}

/* A camera has other cones than the eye, and a lamp another spectrum than daylight (metamerism): what is left when cast
 * and exposure are right grows with chroma. Chosen as above. */
#define CAMERA_LEAST 0.9
#define CAMERA_PER_CHROMA 0.065

double bc_colour_camera_spread(bc_colour colour) {
  return hypot(CAMERA_LEAST, CAMERA_PER_CHROMA * hypot(colour.lab.a, colour.lab.b));
}

double bc_colour_spread(bc_colour colour, bc_uncertainty uncertainty) {
  bc_cast casts[BC_CASTS];
  double weight[BC_CASTS], variance = 0;
  bc_casts_plausible(uncertainty, casts, weight);
  for (int i = 0; i < BC_CASTS; i++) {
    const double difference = bc_delta_e00(colour.lab, bc_colour_with_cast(colour, casts[i]).lab);
    variance += weight[i] * difference * difference;
  }
  return variance > 0 ? hypot(sqrt(variance), bc_colour_camera_spread(colour)) : 0;
}
