/* SPDX-License-Identifier: MIT */
/* Weighted logistic regression for a few unknowns, by iteratively reweighted least squares. */
#ifndef BC_TESTS_BENCH_LOGISTIC_H
#define BC_TESTS_BENCH_LOGISTIC_H

#include "least_squares.h"

/* One round, which is one of Newton's steps: begin with all sums zero, add every row, then step. Source: McCullagh and
 * Nelder, "Generalized Linear Models", 1989, chapter 2.5 (from memory). x[0] is 1, the constant; 0 <= y <= 1. */
void logistic_add(least_squares *sums, const double *weights, const double *x, double y, double weight);
/* Moves the weights; returns the largest movement. */
double logistic_step(double *weights, const least_squares *sums);

double logistic_probability(const double *weights, const double *x, int unknowns);
/* Minus the log likelihood of y, which may lie between 0 and 1, nats; a probability counts as 0.001 at least. */
double logistic_loss(double probability, double y);

#endif
