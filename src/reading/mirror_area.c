/* SPDX-License-Identifier: MIT */
/* Polished pieces: how much of one mirrors. In: a reading. Out: its `polished`. The estimate is a fit to made balls
 * and rings in made rooms (tests/bench/bench_polish.c), docs/method/reading.md. */
#include "reading_internal.h"

#include <math.h>

#define CLIPPED_FROM 98.0 /* L*: lamps and windows in the mirror, mostly */
#define LEAST 0.2         /* of what a person calls polished (our choice) */
/* Least squares of `backcloth-bench polish fit`. */
#define AT_NONE 0.314
#define BY_CLIPPED 2.917
#define BY_SPREAD 0.00685 /* an L* of standard deviation */

double bc_reading_mirror_share(const bc_reading *reading) {
  double all = 0, clipped = 0, mean = 0, square = 0;
  for (int i = 0; i < BC_READING_LEVELS; i++) {
    const double share = (double)reading->lightness_share[i], L = (i + 0.5) * 100 / BC_READING_LEVELS;
    all += share;
    mean += share * L;
    square += share * L * L;
    if (L > CLIPPED_FROM) clipped += share;
  }
  if (!(all > 0)) return LEAST;
  mean /= all;
  const double spread = sqrt(fmax(0, square / all - mean * mean));
  return fmin(1, fmax(LEAST, AT_NONE + BY_CLIPPED * clipped / all + BY_SPREAD * spread));
}

void bc_reading_polish(bc_reading *reading, double share) {
  reading->polish_estimated = !(share > 0);
  reading->polished = share > 0 ? fmin(1, share) : bc_reading_mirror_share(reading);
}
