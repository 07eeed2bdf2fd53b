/* SPDX-License-Identifier: MIT */
/* Normal equations, solved by elimination with pivots from the diagonal, which suits symmetric matrices. */
#include "least_squares.h"

#include <string.h>

void least_squares_add(least_squares *sums, const double *x, double y, double weight) {
  for (int i = 0; i < sums->unknowns; i++) {
    for (int k = 0; k < sums->unknowns; k++) sums->square[i][k] += weight * x[i] * x[k];
    sums->right[i] += weight * x[i] * y;
  }
}

static int next_pivot(const least_squares *s, const int *done) {
  int best = -1;
  for (int i = 0; i < s->unknowns; i++)
    if (!done[i] && s->square[i][i] > 1e-9 && (best < 0 || s->square[i][i] > s->square[best][best])) best = i;
  return best;
}

static void eliminate(least_squares *s, int pivot) {
  for (int i = 0; i < s->unknowns; i++) {
    if (i == pivot) continue;
    const double times = s->square[i][pivot] / s->square[pivot][pivot];
    for (int k = 0; k < s->unknowns; k++) s->square[i][k] -= times * s->square[pivot][k];
    s->right[i] -= times * s->right[pivot];
  }
}

void least_squares_solve(double *solution, const least_squares *sums, double ridge) {
  least_squares s = *sums;
  int done[least_squares_most] = {0};
  memset(solution, 0, (size_t)s.unknowns * sizeof *solution);
  for (int i = 1; i < s.unknowns; i++) s.square[i][i] += ridge;
  for (int pivot; (pivot = next_pivot(&s, done)) >= 0;) {
    eliminate(&s, pivot);
    done[pivot] = 1;
  }
  for (int i = 0; i < s.unknowns; i++)
    if (done[i]) solution[i] = s.right[i] / s.square[i][i];
}
