/* SPDX-License-Identifier: MIT */
/* What the files of the match stage share: a piece prepared for many cloths, and the clarity scale. */
#ifndef BC_SRC_MATCH_INTERNAL_H
#define BC_SRC_MATCH_INTERNAL_H

#include "base/base.h"
#include <backcloth/match.h>

static inline const bc_reading *match_reading(const bc_match *match, size_t piece) {
  return match->collection->piece[piece].reading;
}
static inline const bc_cloth *match_cloth_of(const bc_match *match, const bc_ranked_cloth *ranked) {
  return match->collection->cloths.cloth[ranked->cloth];
}

/* The difference, CIEDE2000, from which a part is as clear as can be. */
#define MATCH_FULL_CLARITY 30.0

/* Of WCAG's contrast ratio: light that stray reflections lay over everything. */
#define MATCH_FLARE 0.05

/* Part of a piece with one colour. */
typedef struct match_patch {
  bc_colour colour;
  double share;
} match_patch;

/* Rim places of like colour are judged together, so that speed doesn't depend on texture. */
#define MATCH_RIM_PATCHES 64

/* Colours in columns, for loops over all of them at once; with the weight that each has in the clarity. */
#define MATCH_LANES (MATCH_RIM_PATCHES + BC_READING_COLOURS + 2)
typedef struct match_lanes {
  double L[MATCH_LANES], a[MATCH_LANES], b[MATCH_LANES], chroma[MATCH_LANES];
  double weight[MATCH_LANES];
} match_lanes;

/* A reading arranged so that one cloth costs little: rim luminances sorted, like colours gathered. */
typedef struct match_prepared {
  bc_colour mean;
  double rim_luminance[BC_READING_RIM]; /* ascending */
  size_t rim_count;
  match_patch rim[MATCH_RIM_PATCHES]; /* shares sum to 1 */
  size_t rim_patches;
  match_patch body[BC_READING_COLOURS]; /* shares sum to 1 */
  size_t body_patches;
  double see_through; /* share of the light of what is behind that shows through the piece */
  double polished;    /* share of the area that mirrors */
  bc_colour metal;    /* the mean light of a polished piece, whose hue its mirror has */
  double clarity;     /* on the cloth that match_score_on was last asked about */
  match_lanes lanes;  /* rim and body again, in that order; kept true by match_prepared_settle */
} match_prepared;

/* One piece on one cloth: why its verdict is what it is, what would help most, its figures; a line each. */
void match_say_piece(bc_buffer *text, const bc_match *match, size_t position, size_t piece);

void match_prepare(match_prepared *out, const bc_reading *reading);
/* To be called after colours of the rim or body were changed. */
void match_prepared_settle(match_prepared *piece);
/* The same piece had the light of its photo been misjudged so. */
void match_prepared_cast(match_prepared *piece, bc_cast cast);
/* The same piece in `factor` times the light. */
void match_prepared_light(match_prepared *piece, double factor);
/* All pieces of a collection, arranged; `*out` is freed with free(). */
bc_status match_prepare_all(match_prepared **out, bc_context *context, const bc_collection *collection);
/* The collection's score 0..100 on a cloth. */
double match_score_on(match_prepared *pieces, size_t count, const bc_cloth *cloth);
/* Only the clarity: the part of match_prepared_on that the score needs. */
double match_prepared_clarity(const match_prepared *piece, const bc_cloth *cloth);
bc_pair match_prepared_on(const match_prepared *piece, const bc_cloth *cloth);

/* --- silver and other polish --------------------------------------------------------------------- */
/* Clarity 0..1 of a mirror at the stand: of the cloth, of the hall, each as often as a ball shows it. */
double match_mirror_clarity(const match_prepared *piece, const bc_cloth *cloth);
/* The rim of a reading without the sparkle of lamps: `out` (at least BC_READING_RIM places) gets it. */
void match_rim_without_sparkle(bc_rim_place *out, const bc_reading *reading);
/* A note that names the polished pieces and says how they were judged. */
bc_status match_note_polished(bc_match *match, bc_context *context);

/* bc_delta_e00 of one colour from each of many, quicker; reads L, a, b and chroma. */
void match_delta_e00_lanes(double *out, const match_lanes *lanes, size_t count, bc_lab to);
double match_delta_e00(bc_lab first, bc_lab second);

/* The CSS colour of a word that shops use for cloth, such as "oatmeal"; NULL when it is none of those known. */
const char *match_cloth_word(const char *word);
/* The word known, of shops or CSS, that comes nearest to one that isn't: by its last word, or within a third of its
 * letters; NULL when none does. */
const char *match_cloth_nearest_word(const char *typed);
/* The cloth as such eyes see it; its texts are borrowed. */
bc_cloth match_cloth_to_eyes(const bc_cloth *cloth, bc_vision vision);
/* The colours of a cloth, at least one; a plain cloth is one part. Shares sum to 1. */
size_t match_cloth_part_count(const bc_cloth *cloth);
bc_cloth_part match_cloth_part_at(const bc_cloth *cloth, size_t i);

/* Spread of a cloth's own pattern in lightness and colour, as CIEDE2000 about its mean; 0 for a plain cloth. */
double match_cloth_spread(const bc_cloth *cloth);
/* What is left of a difference on a cloth with a pattern of such a spread, 0..1; 1 on a plain one. */
double match_left_by_pattern(double delta_e00, double spread);
/* Clarities of many colours, one of the cloth's own behind them all. */
void match_clarity_lanes(double *out, const match_lanes *lanes, size_t count, const bc_colour *behind, double spread);
/* Clarity of each of at most MATCH_LANES colours on a cloth, which may show through them: the mean over the cloth's
 * colours. Each is what it is alone. */
void match_clarities_on(double *out, const bc_colour *own, size_t count, double see_through, const bc_cloth *cloth);
/* A hair below a third or two thirds is rounding, not a reason for another verdict. */
static inline bc_verdict match_verdict_of(double clarity) {
  const double hair = 1e-9;
  if (clarity + hair >= 2.0 / 3) return BC_STANDS_OUT;
  return clarity + hair >= 1.0 / 3 ? BC_SOFT : BC_GETS_LOST;
}
/* Fills in on_edge and neighbour from clarity and clarity_sd. */
void match_find_edge(bc_pair *pair);

/* The collection's score 0..100 from its pieces' clarities. */
double match_collection_score(const bc_pair *pairs, size_t count, size_t *weakest);
double match_score_without(const bc_pair *pairs, size_t count, size_t left_out);
/* What bounds that score whoever is left out, found once a cloth. */
typedef struct match_bound {
  double sum, least, least_but_one; /* of the clarities */
  size_t weakest;
} match_bound;
match_bound match_bound_of(const bc_pair *pairs, size_t count);
/* A score that match_score_without does not exceed. `own`: the clarity of the one that is left out. */
double match_most_without(const match_bound *bound, size_t count, size_t left_out, double own);
/* The most that a piece counts for, by the least clear one. */
size_t match_count_verdict(const bc_pair *pairs, size_t count, bc_verdict verdict);

/* "keeps all 9 pieces clear." and the like: what a sentence about a cloth goes on with. */
void match_say_verdicts(bc_buffer *text, bc_context *context, const bc_match *match, const bc_ranked_cloth *ranked);

/* The place in rank order of the cloth whose colour comes nearest. */
size_t match_nearest_own(const bc_match *match, bc_lab lab);

/* Notes on cloths behind the best that have the better counts of verdicts. */
bc_status match_note_ahead(bc_match *match, bc_context *context);

/* Notes on patterned cloths. */
bc_status match_note_busy(bc_match *match, bc_context *context);

/* Fills `eyes` of the first cloths and `alike`. */
bc_status match_find_eyes(bc_match *match, bc_context *context);

#endif
