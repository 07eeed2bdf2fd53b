/* SPDX-License-Identifier: MIT */
/* Weighted least squares for a few unknowns. */
#ifndef BC_TESTS_BENCH_LEAST_SQUARES_H
#define BC_TESTS_BENCH_LEAST_SQUARES_H

enum { least_squares_most = 32 };

/* The sums that a fit needs; begin with all zero. */
typedef struct least_squares {
  int unknowns;
  double square[least_squares_most][least_squares_most], right[least_squares_most];
} least_squares;

void least_squares_add(least_squares *sums, const double *x, double y, double weight);
/* The solution; `ridge` is added to the diagonal of all unknowns but the first, which is the constant. Unknowns that
 * the rows cannot tell apart become 0. */
void least_squares_solve(double *solution, const least_squares *sums, double ridge);

#endif
