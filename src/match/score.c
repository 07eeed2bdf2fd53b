/* SPDX-License-Identifier: MIT */
/* The collection's score on one cloth. The worst piece decides the band, so that a cloth that loses a
 * piece never beats one that keeps them all. Source: our own; docs/method/match.md gives the reasons. */
#include "match_internal.h"

#include <math.h>
#include <stdlib.h>

/* Bands of equal width: 0 to 33 a piece gets lost, 33 to 67 a piece is soft, 67 to 100 all stand out.
 * Within a band the worst piece and the average count half each. */
double match_score_of(double least, double sum, size_t count) {
  const double band = (double)match_verdict_of(least);
  const double within = fmin(1, fmax(0, 3 * least - band));
  return 100 * (band + (within + fmin(1, sum / (double)count)) / 2) / 3;
}

double match_collection_score(const bc_pair *pairs, size_t count, size_t *weakest) {
  size_t worst = 0;
  double sum = 0;
  for (size_t i = 0; i < count; i++) {
    sum += pairs[i].clarity;
    if (pairs[i].clarity < pairs[worst].clarity) worst = i;
  }
  if (weakest) *weakest = worst;
  return count ? match_score_of(pairs[worst].clarity, sum, count) : 0;
}

bc_status match_prepare_all(match_prepared **out, bc_context *context, const bc_collection *collection) {
  match_prepared *pieces = *out = bc_allocate(collection->count, sizeof *pieces);
  if (!pieces) return bc_fail_memory(context);
  for (size_t p = 0; p < collection->count; p++) match_prepare(&pieces[p], collection->piece[p].reading);
  return BC_OK;
}

double match_score_on(const match_prepared *pieces, size_t count, const bc_cloth *cloth) {
  double least = 1, sum = 0;
  for (size_t p = 0; p < count; p++) {
    const double clarity = match_prepared_clarity(&pieces[p], cloth);
    least = fmin(least, clarity);
    sum += clarity;
  }
  return count ? match_score_of(least, sum, count) : 0;
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
