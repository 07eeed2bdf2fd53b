/* SPDX-License-Identifier: MIT */
/* The collection's score on one cloth: the mean clarity, where no piece counts for more than a cap that the least clear
 * one sets, so that a cloth that loses a piece never beats one that keeps them all. Source: our own;
 * docs/method/match.md proves it. */
#include "match_internal.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>

/* 1/6 at 0, 1/3 at 1/3, 2/3 from 1/2 to 2/3, 1 from 5/6 on, straight between: it never falls, nowhere rises faster than
 * by 2, and passes through (1/3, 1/3) and (2/3, 2/3). */
static double match_cap(double least) {
  if (least <= 1.0 / 3) return 1.0 / 6 + fmax(0, least) / 2;
  if (least <= 2.0 / 3) return fmin(2.0 / 3, 1.0 / 3 + 2 * (least - 1.0 / 3));
  return fmin(1, 2.0 / 3 + 2 * (least - 2.0 / 3));
}

double bc_match_score_of(const double *clarity, size_t count) {
  double least = 1, sum = 0;
  for (size_t i = 0; i < count; i++) least = fmin(least, clarity[i]);
  const double cap = match_cap(least);
  for (size_t i = 0; i < count; i++) sum += fmin(clarity[i], cap);
  return count ? 100 * sum / (double)count : 0;
}

/* The same of what pairs hold; `left_out` (SIZE_MAX: none) stays at home. */
double match_score_without(const bc_pair *pairs, size_t count, size_t left_out) {
  double least = 1, sum = 0;
  for (size_t i = 0; i < count; i++)
    if (i != left_out) least = fmin(least, pairs[i].clarity);
  const double cap = match_cap(least);
  for (size_t i = 0; i < count; i++)
    if (i != left_out) sum += fmin(pairs[i].clarity, cap);
  const size_t stay = count - (left_out < count);
  return stay ? 100 * sum / (double)stay : 0;
}

match_bound match_bound_of(const bc_pair *pairs, size_t count) {
  match_bound bound = {0, 1, 1, SIZE_MAX};
  for (size_t i = 0; i < count; i++) {
    const double clarity = pairs[i].clarity;
    bound.sum += clarity;
    if (clarity < bound.least) {
      bound.least_but_one = bound.least;
      bound.least = clarity;
      bound.weakest = i;
    } else if (clarity < bound.least_but_one) {
      bound.least_but_one = clarity;
    }
  }
  return bound;
}

/* No piece counts for more than its clarity, nor than the cap; sums of the same in another order differ by less than
 * the hair that is added. */
double match_most_without(const match_bound *bound, size_t count, size_t left_out, double own) {
  const double hair = 1e-7, mean = (bound->sum - own) / (double)(count - 1);
  const double cap = match_cap(left_out == bound->weakest ? bound->least_but_one : bound->least);
  return 100 * (mean < cap ? mean : cap) + hair;
}

double match_collection_score(const bc_pair *pairs, size_t count, size_t *weakest) {
  size_t worst = 0;
  for (size_t i = 0; i < count; i++)
    if (pairs[i].clarity < pairs[worst].clarity) worst = i;
  if (weakest) *weakest = worst;
  return match_score_without(pairs, count, SIZE_MAX);
}

bc_status match_prepare_all(match_prepared **out, bc_context *context, const bc_collection *collection) {
  match_prepared *pieces = *out = bc_allocate(collection->count, sizeof *pieces);
  if (!pieces) return bc_fail_memory(context);
  for (size_t p = 0; p < collection->count; p++) match_prepare(&pieces[p], collection->piece[p].reading);
  return BC_OK;
}

double match_score_on(match_prepared *pieces, size_t count, const bc_cloth *cloth) {
  double least = 1, sum = 0;
  for (size_t p = 0; p < count; p++) least = fmin(least, pieces[p].clarity = match_prepared_clarity(&pieces[p], cloth));
  const double cap = match_cap(least);
  for (size_t p = 0; p < count; p++) sum += fmin(pieces[p].clarity, cap);
  return count ? 100 * sum / (double)count : 0;
}

bc_status bc_match_score(double *score, bc_context *context, const bc_collection *collection, const bc_cloth *cloth) {
  match_prepared *pieces = NULL;
  *score = 0;
  const bc_status status = match_prepare_all(&pieces, context, collection);
  if (status == BC_OK) *score = match_score_on(pieces, collection->count, cloth);
  free(pieces);
  return status;
}

size_t match_count_verdict(const bc_pair *pairs, size_t count, bc_verdict verdict) {
  size_t found = 0;
  for (size_t i = 0; i < count; i++) found += pairs[i].verdict == verdict;
  return found;
}
