/* SPDX-License-Identifier: MIT */
/* Pieces that stand on a table have two cloths behind them: wall cloth and table cloth chosen together.
 * In: readings, where each piece stands, candidates for both. Out: the best pairs. Source: docs/method/match.md. */
#include "match_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* The eye looks down over the piece: the table's back edge appears at this height above its foot.
 *
 *   eye o---___                      rise = eye_cm * behind / (distance + behind)
 *              ---___  piece
 *                    --|--___ back edge of the table
 *   table -------------|-----   <- behind ->                              */
double bc_match_table_share(double height_cm, double behind_cm, double eye_cm, double distance_cm) {
  if (!(height_cm > 0) || !(behind_cm > 0) || !(eye_cm > 0) || !(distance_cm > 0)) return 0;
  return fmin(1, eye_cm * behind_cm / (distance_cm + behind_cm) / height_cm);
}

/* The reading of the part of the outline above or below the line; the body is the same for both. */
static void split(bc_reading *part, bc_rim_place *places, const bc_reading *whole, double table_share, bool lower) {
  double top = 1, bottom = 0;
  for (size_t i = 0; i < whole->rim_count; i++) {
    top = fmin(top, (double)whole->rim[i].y);
    bottom = fmax(bottom, (double)whole->rim[i].y);
  }
  const double line = bottom - table_share * (bottom - top);
  *part = *whole;
  part->rim = places;
  part->rim_count = 0;
  for (size_t i = 0; i < whole->rim_count && part->rim_count < BC_READING_RIM; i++)
    if (((double)whole->rim[i].y > line) == lower) places[part->rim_count++] = whole->rim[i];
}

typedef struct halves {
  match_prepared upper, lower;
  double lower_weight; /* share of the outline below the line */
} halves;

static void prepare_halves(halves *out, const bc_reading *reading, double table_share) {
  bc_rim_place places[BC_READING_RIM];
  bc_reading part;
  split(&part, places, reading, table_share, false);
  const size_t upper = part.rim_count;
  match_prepare(&out->upper, &part);
  split(&part, places, reading, table_share, true);
  match_prepare(&out->lower, &part);
  out->lower_weight = reading->rim_count ? (double)part.rim_count / (double)(part.rim_count + upper) : table_share;
}

static double blend(double wall, double table, double weight) {
  return wall + weight * (table - wall);
}

bc_pair bc_match_pair_on_table(const bc_reading *reading, const bc_cloth *wall, const bc_cloth *table,
                               double table_share) {
  halves both;
  prepare_halves(&both, reading, fmin(1, fmax(0, table_share)));
  const bc_pair above = match_prepared_on(&both.upper, wall), below = match_prepared_on(&both.lower, table);
  const double w = both.lower_weight;
  bc_pair pair = {.contrast_ratio = exp(blend(log(above.contrast_ratio), log(below.contrast_ratio), w)),
                  .delta_l = blend(above.delta_l, below.delta_l, w),
                  .delta_e00 = blend(above.delta_e00, below.delta_e00, w),
                  .outline_share = blend(above.outline_share, below.outline_share, w),
                  .seen_share = blend(above.seen_share, below.seen_share, w),
                  .clarity_photographed = blend(above.clarity_photographed, below.clarity_photographed, w),
                  .clarity_at_stand = blend(above.clarity_at_stand, below.clarity_at_stand, w),
                  .clarity = blend(above.clarity, below.clarity, w)};
  pair.verdict = match_verdict_of(pair.clarity);
  return pair;
}

/* Clarity of every piece's two parts on every cloth: all that trying the pairs needs. */
typedef struct table_of {
  double *wall, *table; /* [piece * count + cloth] */
  double *lower_weight;
  double *here; /* clarities on the pair that is being tried */
  size_t pieces, walls, tables;
} table_of;

static void clear(table_of *t) {
  free(t->wall);
  free(t->table);
  free(t->lower_weight);
  free(t->here);
}

static bc_status judge_parts(table_of *t, bc_context *context, const bc_collection *all) {
  bc_cloth *const *walls = all->cloths.cloth, *const *tables = all->tables.cloth;
  t->wall = bc_allocate(t->pieces, t->walls * sizeof *t->wall);
  t->table = bc_allocate(t->pieces, t->tables * sizeof *t->table);
  t->lower_weight = bc_allocate(t->pieces, sizeof *t->lower_weight);
  t->here = bc_allocate(t->pieces, sizeof *t->here);
  halves *both = malloc(sizeof *both);
  if (!t->wall || !t->table || !t->lower_weight || !t->here || !both) {
    free(both);
    return bc_fail_memory(context);
  }
  for (size_t p = 0; p < t->pieces; p++) {
    const bc_standing standing = all->piece[p].standing;
    prepare_halves(both, all->piece[p].reading, standing.on_table ? fmin(1, fmax(0, standing.table_share)) : 0);
    t->lower_weight[p] = standing.on_table ? both->lower_weight : 0;
    for (size_t c = 0; c < t->walls; c++) t->wall[p * t->walls + c] = match_prepared_clarity(&both->upper, walls[c]);
    for (size_t c = 0; c < t->tables; c++)
      t->table[p * t->tables + c] = match_prepared_clarity(&both->lower, tables[c]);
  }
  free(both);
  return BC_OK;
}

static bc_two_cloths score_pair(const table_of *t, size_t wall, size_t table) {
  bc_two_cloths two = {.wall = wall, .table = table};
  for (size_t p = 0; p < t->pieces; p++) {
    t->here[p] = blend(t->wall[p * t->walls + wall], t->table[p * t->tables + table], t->lower_weight[p]);
    if (t->here[p] < t->here[two.weakest]) two.weakest = p;
  }
  two.score = bc_match_score_of(t->here, t->pieces);
  return two;
}

static int best_first(const void *first, const void *second) {
  const bc_two_cloths *a = first, *b = second;
  if (a->score != b->score) return a->score < b->score ? 1 : -1;
  if (a->wall != b->wall) return a->wall < b->wall ? -1 : 1;
  return a->table < b->table ? -1 : a->table > b->table;
}

static void give_ranks(bc_two_cloths *all, size_t count) {
  size_t leader = 0;
  for (size_t i = 0; i < count; i++) {
    if (all[leader].score - all[i].score >= 0.5) leader = i;
    all[i].rank = (int)leader + 1;
  }
}

bc_status bc_match_together(bc_match *match, bc_context *context, size_t wanted) {
  const bc_collection *all = match->collection;
  const size_t wall_count = all->cloths.count, table_count = all->tables.count;
  size_t pairs;
  free(match->together);
  match->together = NULL;
  match->together_count = 0;
  if (!table_count)
    return bc_fail(context, BC_BAD_USAGE,
                   _("Wall cloth and table cloth: name at least one photo and one cloth for each."));
  if (!base_size_multiply(wall_count, table_count, &pairs)) return bc_fail_memory(context);
  table_of t = {.pieces = all->count, .walls = wall_count, .tables = table_count};
  const bc_status status = judge_parts(&t, context, all);
  bc_two_cloths *found = status == BC_OK ? bc_allocate(pairs, sizeof *found) : NULL;
  for (size_t i = 0; found && i < pairs; i++) found[i] = score_pair(&t, i / table_count, i % table_count);
  clear(&t);
  if (!found) return status == BC_OK ? bc_fail_memory(context) : status;
  qsort(found, pairs, sizeof *found, best_first);
  give_ranks(found, pairs);
  match->together = found;
  match->together_count = wanted < pairs ? wanted : pairs;
  return BC_OK;
}
