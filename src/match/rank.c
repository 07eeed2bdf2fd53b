/* SPDX-License-Identifier: MIT */
/* Ranks cloths for a collection and says which cannot be told apart.
 * In: readings and cloths. Out: bc_match. Source: docs/method/match.md. */
#include "match_internal.h"

#include "base/parallel.h"
#include <backcloth/colour.h>
#include <math.h>
#include <stdlib.h>

/* Below this difference nobody would see why one cloth is better than the other (our choice). */
#define LEAST_DIFFERENCE 0.5
/* So many cloths at the top get the costly answers: uncertainty, and how far the pieces can be seen. */
#define SHORTLIST 24
#define VISIBILITY_LIST 24
/* So many pairs of a piece and a cloth take longer than a thread takes to start. */
#define WORTH_DIVIDING 4096

static bc_status new_match(bc_match **out, bc_context *context, const bc_collection *collection) {
  const size_t pieces = collection->count, cloths = collection->cloths.count;
  bc_match *match = bc_allocate(1, sizeof *match);
  *out = match;
  if (!match) return bc_fail_memory(context);
  match->collection = collection;
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

typedef struct judging {
  bc_match *match;
  match_prepared *piece; /* room for one of each half */
} judging;

/* Every second piece on all cloths. */
static void judge_half(void *cargo, int half) {
  const judging *all = cargo;
  bc_match *match = all->match;
  match_prepared *piece = &all->piece[half];
  for (size_t p = (size_t)half; p < match->piece_count; p += 2) {
    match_prepare(piece, match_reading(match, p));
    for (size_t c = 0; c < match->cloth_count; c++)
      match->cloths[c].pairs[p] = match_prepared_on(piece, match->collection->cloths.cloth[c]);
  }
}

static bc_status judge(bc_match *match, bc_context *context) {
  match_prepared *piece = malloc(2 * sizeof *piece);
  if (!piece) return bc_fail_memory(context);
  judging all = {match, piece};
  if (match->piece_count * match->cloth_count < WORTH_DIVIDING) {
    for (int half = 0; half < 2; half++) judge_half(&all, half);
  } else {
    base_do_both(judge_half, &all);
  }
  free(piece);
  for (size_t c = 0; c < match->cloth_count; c++) {
    bc_ranked_cloth *cloth = &match->cloths[c];
    cloth->score = match_collection_score(cloth->pairs, match->piece_count, &cloth->weakest);
    for (size_t k = 0; k < BC_CASTS; k++) cloth->score_cast[k] = cloth->score;
  }
  return BC_OK;
}

/* Clarities of the first cloths' pieces, a row a cloth and a block of rows a cast, had the light of every photo been
 * misjudged by that cast. `piece` has room for two. */
static void clarities_with_casts(double *clarity, match_prepared *piece, const bc_match *match, size_t cloth_count) {
  const size_t block = cloth_count * match->piece_count;
  for (size_t p = 0; p < match->piece_count; p++) {
    bc_cast casts[BC_CASTS];
    bc_casts_plausible(match_reading(match, p)->uncertainty, casts, NULL);
    match_prepare(&piece[0], match_reading(match, p));
    for (size_t k = 1; k < BC_CASTS; k++) { /* the first is no cast */
      piece[1] = piece[0];
      match_prepared_cast(&piece[1], casts[k]);
      for (size_t c = 0; c < cloth_count; c++)
        clarity[k * block + c * match->piece_count + p] =
            match_prepared_clarity(&piece[1], match_cloth_of(match, &match->cloths[c]));
    }
  }
}

static void take_cast(bc_match *match, const double *clarity, size_t cloth_count, size_t k) {
  double weight[BC_CASTS];
  bc_casts_plausible(bc_uncertainty_unknown, (bc_cast[BC_CASTS]){{0}}, weight);
  for (size_t c = 0; c < cloth_count; c++) {
    const double *row = clarity + c * match->piece_count;
    bc_ranked_cloth *cloth = &match->cloths[c];
    cloth->score_cast[k] = bc_match_score_of(row, match->piece_count);
    for (size_t p = 0; p < match->piece_count; p++) {
      const double off = row[p] - cloth->pairs[p].clarity;
      cloth->pairs[p].clarity_sd += weight[k] * off * off; /* the square, until all casts are in */
    }
  }
}

/* Standard deviation of what the casts make of a difference of two scores; of one score if `other` is NULL. */
static double deviation(const bc_ranked_cloth *cloth, const bc_ranked_cloth *other) {
  bc_cast casts[BC_CASTS];
  double weight[BC_CASTS], squares = 0;
  bc_casts_plausible(bc_uncertainty_unknown, casts, weight);
  const double without = cloth->score_cast[0] - (other ? other->score_cast[0] : 0);
  for (size_t k = 0; k < BC_CASTS; k++) {
    const double off = cloth->score_cast[k] - (other ? other->score_cast[k] : 0) - without;
    squares += weight[k] * off * off;
  }
  return sqrt(squares);
}

static bool all_certain(const bc_match *match) {
  for (size_t p = 0; p < match->piece_count; p++) {
    const bc_uncertainty u = match_reading(match, p)->uncertainty;
    if (u.mired > 0 || u.duv > 0 || u.stops > 0) return false;
  }
  return true;
}

/* The camera's own errors, piece by piece; they move all cloths of a piece alike, so that the ranking hardly feels
 * them.
 */
static void add_camera(bc_pair *pair, const bc_reading *reading) {
  const bc_uncertainty u = reading->uncertainty;
  const bool is_photo = u.mired > 0 || u.duv > 0 || u.stops > 0;
  const double camera = is_photo && pair->clarity < 1 ? bc_colour_camera_spread(reading->mean) / MATCH_FULL_CLARITY : 0;
  pair->clarity_sd = sqrt(pair->clarity_sd + camera * camera);
}

static bc_status find_uncertainty(bc_match *match, bc_context *context) {
  if (all_certain(match)) return BC_OK;
  const size_t count = match->cloth_count < SHORTLIST ? match->cloth_count : SHORTLIST;
  double *clarity = bc_allocate(match->piece_count, BC_CASTS * count * sizeof *clarity);
  match_prepared *piece = malloc(2 * sizeof *piece);
  if (clarity && piece) clarities_with_casts(clarity, piece, match, count);
  for (size_t k = 1; clarity && piece && k < BC_CASTS; k++)
    take_cast(match, clarity + k * count * match->piece_count, count, k);
  const bool room = clarity && piece;
  free(clarity);
  free(piece);
  for (size_t c = 0; c < count; c++) {
    match->cloths[c].score_sd = deviation(&match->cloths[c], NULL);
    for (size_t p = 0; p < match->piece_count; p++) add_camera(&match->cloths[c].pairs[p], match_reading(match, p));
  }
  return room ? BC_OK : bc_fail_memory(context);
}

/* Which of the two rooms a polished piece will mirror isn't known: half their difference is a part of the spread. */
static void find_edges(bc_match *match) {
  for (size_t c = 0; c < match->cloth_count; c++)
    for (size_t p = 0; p < match->piece_count; p++) {
      bc_pair *pair = &match->cloths[c].pairs[p];
      pair->clarity_sd = hypot(pair->clarity_sd, (pair->clarity_photographed - pair->clarity_at_stand) / 2);
      match_find_edge(pair);
    }
}

static int best_first(const void *first, const void *second) {
  const bc_ranked_cloth *a = first, *b = second;
  if (a->score != b->score) return a->score < b->score ? 1 : -1;
  return a->cloth < b->cloth ? -1 : 1;
}

/* Two cloths whose difference is less than what a misjudged light of the photos makes of it cannot be told apart,
 * whatever the verdicts on either side of an edge. */
static bool cannot_be_told_apart(const bc_ranked_cloth *better, const bc_ranked_cloth *other) {
  const double difference = better->score - other->score;
  return difference < LEAST_DIFFERENCE || difference < deviation(better, other);
}

static bool is_shown_as(const bc_ranked_cloth *one, const bc_ranked_cloth *other) {
  return lround(one->score) == lround(other->score);
}

/* Competition ranking (1, 1, 3): each group is led by its best, from which no member can be told; and what is shown
 * as the same figure isn't ranked apart. */
static void give_ranks(bc_match *match) {
  size_t leader = 0;
  for (size_t i = 0; i < match->cloth_count; i++) {
    const bc_ranked_cloth *c = match->cloths;
    if (!cannot_be_told_apart(&c[leader], &c[i]) && !(i && is_shown_as(&c[i - 1], &c[i]))) leader = i;
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

/* The first of the best cloths when a piece stays at home. */
static size_t best_without(const bc_match *match, const match_bound *bounds, size_t piece) {
  size_t found = 0;
  double best = -1;
  for (size_t c = 0; c < match->cloth_count; c++) {
    const bc_pair *pairs = match->cloths[c].pairs;
    if (match_most_without(&bounds[c], match->piece_count, piece, pairs[piece].clarity) <= best) continue;
    const double score = match_score_without(pairs, match->piece_count, piece);
    if (score <= best + 1e-9) continue; /* on a tie the cloth that is better with it */
    best = score;
    found = c;
  }
  return found;
}

/* Leaves each piece at home in turn and looks which cloth would then be the best. */
static bc_status leave_one_out(bc_match *match, bc_context *context) {
  match_bound *bounds = bc_allocate(match->cloth_count, sizeof *bounds);
  if (!bounds) return bc_fail_memory(context);
  for (size_t c = 0; c < match->cloth_count; c++)
    bounds[c] = match_bound_of(match->cloths[c].pairs, match->piece_count);
  for (size_t p = 0; p < match->piece_count && match->piece_count > 1; p++) {
    match->best_without[p] = best_without(match, bounds, p);
    match->steady += match->cloths[match->best_without[p]].rank == 1;
  }
  free(bounds);
  return BC_OK;
}

static bc_status note_ties(bc_match *match, bc_context *context) {
  if (match->cloth_count < 2 || match->cloths[1].rank != 1) return BC_OK;
  bc_buffer names = {0};
  for (size_t i = 0; i < match->cloth_count && match->cloths[i].rank == 1; i++)
    bc_buffer_add(&names, i ? _(", “%s”") : _("“%s”"), match_cloth_of(match, &match->cloths[i])->name);
  char *text = NULL;
  bc_status status = bc_buffer_finish(&names, &text, context);
  if (status == BC_OK)
    status = bc_note(&match->notes, context,
                     _("These cloths are equally good as far as the photos can tell: %s. Choose among them by taste."),
                     text);
  free(text);
  return status;
}

static bc_status note_one_piece(bc_match *match, bc_context *context) {
  for (size_t p = 0; p < match->piece_count && match->piece_count > 1; p++) {
    const bc_ranked_cloth *other = &match->cloths[match->best_without[p]];
    if (other->rank == 1) continue;
    char *title = bc_collection_title(match->collection, p);
    const bc_status status = title ? bc_note(&match->notes, context, _("Without %s, “%s” would be the best cloth."),
                                             title, match_cloth_of(match, other)->name)
                                   : bc_fail_memory(context);
    free(title);
    if (status != BC_OK) return status;
  }
  return BC_OK;
}

static bool any_width(const bc_collection *collection) {
  size_t p = 0;
  while (p < collection->count && !(collection->piece[p].width_cm > 0)) p++;
  return p < collection->count;
}

static bc_status find_visibility(bc_match *match, bc_context *context) {
  if (!any_width(match->collection)) return BC_OK;
  for (size_t c = 0; c < match->cloth_count && c < VISIBILITY_LIST; c++) {
    bc_ranked_cloth *cloth = &match->cloths[c];
    cloth->visibility = bc_allocate(match->piece_count, sizeof *cloth->visibility);
    if (!cloth->visibility) return bc_fail_memory(context);
    for (size_t p = 0; p < match->piece_count; p++)
      cloth->visibility[p] = bc_match_visibility(match_reading(match, p), match_cloth_of(match, cloth),
                                                 match->collection->piece[p].width_cm, &match->view);
  }
  return BC_OK;
}

static bc_status rank(bc_match *match, bc_context *context) {
  bc_status status = judge(match, context);
  if (status != BC_OK) return status;
  qsort(match->cloths, match->cloth_count, sizeof *match->cloths, best_first);
  status = find_uncertainty(match, context);
  if (status != BC_OK) return status;
  find_edges(match);
  give_ranks(match);
  find_trade_off(match, match->collection->statement);
  status = leave_one_out(match, context);
  if (status == BC_OK) status = note_ties(match, context);
  if (status == BC_OK) status = match_note_ahead(match, context);
  if (status == BC_OK) status = note_one_piece(match, context);
  if (status == BC_OK) status = match_note_busy(match, context);
  if (status == BC_OK) status = match_note_polished(match, context);
  if (status == BC_OK) status = match_find_eyes(match, context);
  return status == BC_OK ? find_visibility(match, context) : status;
}

bc_status bc_match_rank(bc_match **out, bc_context *context, const bc_collection *collection, const bc_view *view) {
  *out = NULL;
  if (!collection->count)
    return bc_fail(context, BC_BAD_USAGE, _("There is no piece to match. Name at least one photo."));
  if (!collection->cloths.count)
    return bc_fail(context, BC_BAD_USAGE, _("There is no cloth to match with. Name at least one cloth."));
  bc_match *match = NULL;
  bc_status status = new_match(&match, context, collection);
  if (status == BC_OK) match->explained = SIZE_MAX;
  if (status == BC_OK) match->view = view ? *view : bc_view_default();
  if (status == BC_OK) status = rank(match, context);
  if (status != BC_OK) {
    bc_match_free(match);
    return status;
  }
  *out = match;
  return BC_OK;
}

void bc_match_free(bc_match *match) {
  if (!match) return;
  for (size_t i = 0; i < match->cloth_count; i++) {
    free(match->cloths[i].pairs);
    for (int v = 0; v < BC_EYES; v++) free(match->cloths[i].pairs_to_eyes[v]);
    free(match->cloths[i].visibility);
  }
  free(match->cloths);
  free(match->best_without);
  free(match->alike);
  free(match->suggested);
  free(match->together);
  bc_notes_clear(&match->notes);
  free(match);
}
