/* SPDX-License-Identifier: MIT */
/* Logistic regression as a row of weighted least squares. */
#include "logistic.h"

#include <math.h>

double logistic_probability(const double *weights, const double *x, int unknowns) {
  double sum = 0;
  for (int k = 0; k < unknowns; k++) sum += weights[k] * x[k];
  return 1 / (1 + exp(-fmin(fmax(sum, -30), 30)));
}

void logistic_add(least_squares *sums, const double *weights, const double *x, double y, double weight) {
  const double p = logistic_probability(weights, x, sums->unknowns), spread = fmax(p * (1 - p), 1e-6);
  least_squares_add(sums, x, (y - p) / spread, weight * spread);
}

double logistic_step(double *weights, const least_squares *sums) {
  double step[least_squares_most], most = 0;
  least_squares_solve(step, sums, 0);
  for (int k = 0; k < sums->unknowns; k++) {
    weights[k] += step[k];
    most = fmax(most, fabs(step[k]));
  }
  return most;
}

double logistic_loss(double probability, double y) {
  const double p = fmin(fmax(probability, 0.001), 0.999);
  return -(y * log(p) + (1 - y) * log(1 - p));
}
