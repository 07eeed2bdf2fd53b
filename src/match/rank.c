/* SPDX-License-Identifier: MIT */
/* Ranks cloths for a collection and says which cannot be told apart.
 * In: readings and cloths. Out: bc_match. Source: docs/method/match.md. */
#include "match_internal.h"

#include <math.h>
#include <stdlib.h>

/* Photos may be that much too light or too dark, in L* (our choice: a sixth of a stop in the middle). */
#define PHOTO_UNCERTAINTY 3.0
/* Below this difference nobody would see why one cloth is better than the other (our choice). */
#define LEAST_DIFFERENCE 0.5
/* So many cloths at the top get the costly answers: uncertainty, and how far the pieces can be seen. */
#define SHORTLIST 48
#define VISIBILITY_LIST 12

bc_match_options bc_match_options_default(void) {
  return (bc_match_options){.statement = SIZE_MAX, .view = bc_view_default()};
}

static bc_status new_match(bc_match **out, bc_context *context, size_t pieces, size_t cloths) {
  bc_match *match = bc_allocate(1, sizeof *match);
  *out = match;
  if (!match) return bc_fail_memory(context);
  match->piece_count = pieces;
  match->best_for_statement = SIZE_MAX;
  match->best_without = bc_allocate(pieces, sizeof *match->best_without);
  match->cloths = bc_allocate(cloths, sizeof *match->cloths);
  if (!match->cloths || !match->best_without) return bc_fail_memory(context);
  for (size_t i = 0; i < cloths; i++) {
    match->cloths[i].cloth = i;
    match->cloths[i].pairs = bc_allocate(pieces, sizeof *match->cloths[i].pairs);
    match->cloth_count = i + 1;
    if (!match->cloths[i].pairs) return bc_fail_memory(context);
  }
  return BC_OK;
}

static bc_status judge(bc_match *match, bc_context *context, const bc_reading *const *readings,
                       const bc_cloth *const *cloths) {
  bc_prepared *piece = malloc(sizeof *piece);
  if (!piece) return bc_fail_memory(context);
  for (size_t p = 0; p < match->piece_count; p++) {
    bc_prepare(piece, readings[p]);
    for (size_t c = 0; c < match->cloth_count; c++) match->cloths[c].pairs[p] = bc_prepared_on(piece, cloths[c]);
  }
  free(piece);
  for (size_t c = 0; c < match->cloth_count; c++) {
    bc_ranked_cloth *cloth = &match->cloths[c];
    cloth->score = bc_collection_score(cloth->pairs, match->piece_count, &cloth->weakest);
    cloth->score_low = cloth->score_high = cloth->score;
  }
  return BC_OK;
}

/* The scores of the first cloths if every photo were `shift` L* lighter. */
static bc_status shifted_scores(double *score, const bc_match *match, bc_context *context, size_t cloth_count,
                                const bc_reading *const *readings, const bc_cloth *const *cloths, double shift) {
  bc_prepared *piece = malloc(sizeof *piece);
  double *sum = bc_allocate(cloth_count, sizeof *sum);
  if (!piece || !sum) {
    free(piece);
    free(sum);
    return bc_fail_memory(context);
  }
  for (size_t c = 0; c < cloth_count; c++) score[c] = 1; /* the least clarity, until the end */
  for (size_t p = 0; p < match->piece_count; p++) {
    bc_prepare(piece, readings[p]);
    bc_prepared_lighten(piece, shift);
    for (size_t c = 0; c < cloth_count; c++) {
      const double clarity = bc_prepared_clarity(piece, cloths[match->cloths[c].cloth]);
      sum[c] += clarity;
      score[c] = fmin(score[c], clarity);
    }
  }
  for (size_t c = 0; c < cloth_count; c++) score[c] = bc_score_of(score[c], sum[c], match->piece_count);
  free(piece);
  free(sum);
  return BC_OK;
}

static bc_status find_uncertainty(bc_match *match, bc_context *context, const bc_reading *const *readings,
                                  const bc_cloth *const *cloths) {
  double low[SHORTLIST], high[SHORTLIST];
  const size_t count = match->cloth_count < SHORTLIST ? match->cloth_count : SHORTLIST;
  bc_status status = shifted_scores(low, match, context, count, readings, cloths, -PHOTO_UNCERTAINTY);
  if (status == BC_OK) status = shifted_scores(high, match, context, count, readings, cloths, PHOTO_UNCERTAINTY);
  for (size_t c = 0; status == BC_OK && c < count; c++) {
    match->cloths[c].score_low = low[c];
    match->cloths[c].score_high = high[c];
  }
  return status;
}

static int best_first(const void *first, const void *second) {
  const bc_ranked_cloth *a = first, *b = second;
  if (a->score != b->score) return a->score < b->score ? 1 : -1;
  return a->cloth < b->cloth ? -1 : 1;
}

/* Two cloths whose order another exposure of the photos would turn round cannot be told apart; but a
 * cloth that loses a piece never shares a rank with one that loses none. */
static bool cannot_be_told_apart(const bc_ranked_cloth *better, const bc_ranked_cloth *other) {
  if (better->pairs[better->weakest].verdict != other->pairs[other->weakest].verdict) return false;
  return better->score - other->score < LEAST_DIFFERENCE || other->score_low > better->score_low ||
         other->score_high > better->score_high;
}

/* Competition ranking (1, 1, 3): each group is led by its best, from which no member can be told. */
static void give_ranks(bc_match *match) {
  size_t leader = 0;
  for (size_t i = 0; i < match->cloth_count; i++) {
    if (!cannot_be_told_apart(&match->cloths[leader], &match->cloths[i])) leader = i;
    match->cloths[i].rank = (int)leader + 1;
  }
}

static double mean_of(const bc_ranked_cloth *cloth, size_t pieces) {
  double sum = 0;
  for (size_t p = 0; p < pieces; p++) sum += cloth->pairs[p].clarity;
  return sum;
}

static void find_trade_off(bc_match *match, size_t statement) {
  for (size_t i = 0; i < match->cloth_count; i++) {
    const bc_ranked_cloth *c = match->cloths, *here = &c[i];
    const bc_ranked_cloth *weakest = &c[match->best_for_weakest];
    if (here->pairs[here->weakest].clarity > weakest->pairs[weakest->weakest].clarity) match->best_for_weakest = i;
    if (mean_of(here, match->piece_count) > mean_of(&c[match->best_on_average], match->piece_count))
      match->best_on_average = i;
    if (statement >= match->piece_count) continue;
    if (match->best_for_statement == SIZE_MAX ||
        here->pairs[statement].clarity > c[match->best_for_statement].pairs[statement].clarity)
      match->best_for_statement = i;
  }
}

static double score_without(const bc_ranked_cloth *cloth, size_t pieces, size_t left_out) {
  double least = 1, sum = 0;
  for (size_t p = 0; p < pieces; p++) {
    if (p == left_out) continue;
    least = fmin(least, cloth->pairs[p].clarity);
    sum += cloth->pairs[p].clarity;
  }
  return bc_score_of(least, sum, pieces - 1);
}

/* Leaves each piece at home in turn and looks which cloth would then be the best. */
static void leave_one_out(bc_match *match) {
  for (size_t p = 0; p < match->piece_count && match->piece_count > 1; p++) {
    double best = -1;
    for (size_t c = 0; c < match->cloth_count; c++) {
      const double score = score_without(&match->cloths[c], match->piece_count, p);
      if (score <= best + 1e-9) continue; /* on a tie the cloth that is better with it */
      best = score;
      match->best_without[p] = c;
    }
    match->steady += match->cloths[match->best_without[p]].rank == 1;
  }
}

static bc_status note_ties(bc_match *match, bc_context *context, const bc_cloth *const *cloths) {
  if (match->cloth_count < 2 || match->cloths[1].rank != 1) return BC_OK;
  bc_buffer names = {0};
  for (size_t i = 0; i < match->cloth_count && match->cloths[i].rank == 1; i++)
    bc_buffer_add(&names, i ? _(", “%s”") : _("“%s”"), cloths[match->cloths[i].cloth]->name);
  char *text = NULL;
  bc_status status = bc_buffer_finish(&names, &text, context);
  if (status == BC_OK)
    status = bc_note(&match->notes, context,
                     _("These cloths are equally good as far as the photos can tell: %s. Choose among them by taste."),
                     text);
  free(text);
  return status;
}

static bc_status note_one_piece(bc_match *match, bc_context *context, const bc_reading *const *readings,
                                const bc_cloth *const *cloths) {
  for (size_t p = 0; p < match->piece_count && match->piece_count > 1; p++) {
    const bc_ranked_cloth *other = &match->cloths[match->best_without[p]];
    if (other->rank == 1) continue;
    char *title = bc_reading_title(readings[p]->photo);
    const bc_status status = title ? bc_note(&match->notes, context, _("Without %s, “%s” would be the best cloth."),
                                             title, cloths[other->cloth]->name)
                                   : bc_fail_memory(context);
    free(title);
    if (status != BC_OK) return status;
  }
  return BC_OK;
}

static bc_status find_visibility(bc_match *match, bc_context *context, const bc_reading *const *readings,
                                 const bc_cloth *const *cloths, const bc_match_options *options) {
  if (!options->width_cm) return BC_OK;
  for (size_t c = 0; c < match->cloth_count && c < VISIBILITY_LIST; c++) {
    bc_ranked_cloth *cloth = &match->cloths[c];
    cloth->visibility = bc_allocate(match->piece_count, sizeof *cloth->visibility);
    if (!cloth->visibility) return bc_fail_memory(context);
    for (size_t p = 0; p < match->piece_count; p++)
      cloth->visibility[p] =
          bc_match_visibility(readings[p], cloths[cloth->cloth], options->width_cm[p], &options->view);
  }
  return BC_OK;
}

static bc_status rank(bc_match *match, bc_context *context, const bc_reading *const *readings,
                      const bc_cloth *const *cloths, const bc_match_options *options) {
  bc_status status = judge(match, context, readings, cloths);
  if (status != BC_OK) return status;
  qsort(match->cloths, match->cloth_count, sizeof *match->cloths, best_first);
  status = find_uncertainty(match, context, readings, cloths);
  if (status != BC_OK) return status;
  give_ranks(match);
  find_trade_off(match, options->statement);
  leave_one_out(match);
  status = note_ties(match, context, cloths);
  if (status == BC_OK) status = note_one_piece(match, context, readings, cloths);
  return status == BC_OK ? find_visibility(match, context, readings, cloths, options) : status;
}

bc_status bc_match_rank_with(bc_match **out, bc_context *context, const bc_reading *const *readings,
                             size_t reading_count, const bc_cloth *const *cloths, size_t cloth_count,
                             const bc_match_options *options) {
  *out = NULL;
  const bc_match_options standard = bc_match_options_default();
  if (!reading_count) return bc_fail(context, BC_BAD_USAGE, _("There is no piece to match. Name at least one photo."));
  if (!cloth_count)
    return bc_fail(context, BC_BAD_USAGE, _("There is no cloth to match with. Name at least one cloth."));
  bc_match *match = NULL;
  bc_status status = new_match(&match, context, reading_count, cloth_count);
  if (status == BC_OK) status = rank(match, context, readings, cloths, options ? options : &standard);
  if (status != BC_OK) {
    bc_match_free(match);
    return status;
  }
  *out = match;
  return BC_OK;
}

bc_status bc_match_rank(bc_match **out, bc_context *context, const bc_reading *const *readings, size_t reading_count,
                        const bc_cloth *const *cloths, size_t cloth_count) {
  return bc_match_rank_with(out, context, readings, reading_count, cloths, cloth_count, NULL);
}

void bc_match_free(bc_match *match) {
  if (!match) return;
  for (size_t i = 0; i < match->cloth_count; i++) {
    free(match->cloths[i].pairs);
    free(match->cloths[i].visibility);
  }
  free(match->cloths);
  free(match->best_without);
  free(match->suggested);
  bc_notes_clear(&match->notes);
  free(match);
}
