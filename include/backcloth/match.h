/* SPDX-License-Identifier: MIT */
/**
 * @file match.h
 * Fifth stage: how clearly each piece, and the whole collection, stands out on each cloth.
 * docs/method.md derives verdict and score.
 */
#ifndef BACKCLOTH_MATCH_H
#define BACKCLOTH_MATCH_H

#include <backcloth/reading.h>

#ifdef __cplusplus
extern "C" {
#endif

/** A candidate backdrop. Plain data. */
typedef struct bc_cloth {
  char *spec;        /**< as the user gave it: a CSS colour or "photo:FILE" */
  char *name;        /**< the user's name for it, or a plain-word colour name */
  bc_colour colour;  /**< mean colour */
  double spread_l;   /**< standard deviation of L* over the cloth, 0 for a plain colour */
} bc_cloth;

/** Reads a cloth SPEC: a CSS Color 4 colour or "photo:FILE". `name` may be NULL; it is copied. */
BC_API bc_status bc_cloth_parse(bc_cloth **out, bc_context *context, const char *spec, const char *name);
BC_API void bc_cloth_free(bc_cloth *cloth);

typedef struct bc_cloth_list {
  bc_cloth **cloth;
  size_t count;
} bc_cloth_list;
/** Reads a cloths file: {"cloths":[{"name":…,"colour":…}|{"name":…,"photo":…},…]}; paths are relative to the file's folder. */
BC_API bc_status bc_cloths_open(bc_cloth_list *out, bc_context *context, const char *path);
BC_API void bc_cloths_clear(bc_cloth_list *list);

typedef enum bc_verdict { BC_GETS_LOST = 0, BC_SOFT = 1, BC_STANDS_OUT = 2 } bc_verdict;
/** "stands out", "soft" or "gets lost": the JSON word, never translated. */
BC_API const char *bc_verdict_word(bc_verdict verdict);
/** The same for a person, translated. */
BC_API const char *bc_verdict_text(bc_verdict verdict);

/** One piece on one cloth. */
typedef struct bc_pair {
  double contrast_ratio;  /**< WCAG 2.2 on area-mean luminances */
  double delta_l;         /**< |difference of L*| of the area means */
  double delta_e00;       /**< CIEDE2000 of the area means */
  double outline_share;   /**< share of the outline whose rim has contrast ratio >= 3 with the cloth */
  double seen_share;      /**< share of the outline that can be told from the cloth by lightness or by colour */
  double clarity;         /**< 0..1, the figure that verdict and score rest on */
  bc_verdict verdict;
} bc_pair;

/** One cloth with the whole collection on it. */
typedef struct bc_ranked_cloth {
  size_t cloth;        /**< index into the cloths that were given */
  int rank;            /**< 1 is best; cloths that cannot be told apart share a rank */
  double score;        /**< 0..100, the collection's */
  size_t weakest;      /**< index of the piece with the lowest clarity */
  bc_pair *pairs;      /**< one a reading, in the order given */
} bc_ranked_cloth;

typedef struct bc_match {
  bc_ranked_cloth *cloths; /**< in rank order */
  size_t cloth_count, piece_count;
  bc_notes notes;          /**< ties, and what the ranking cannot tell */
} bc_match;

/** One piece on one plain cloth. */
BC_API bc_pair bc_match_pair(const bc_reading *reading, const bc_cloth *cloth);
/** Ranks cloths for a collection. The readings and cloths are not kept. */
BC_API bc_status bc_match_rank(bc_match **out, bc_context *context, const bc_reading *const *readings,
                               size_t reading_count, const bc_cloth *const *cloths, size_t cloth_count);
BC_API void bc_match_free(bc_match *match);
/** The contract's JSON object; the caller frees it with free(). `light` is the light's name, for example "D50". */
BC_API bc_status bc_match_to_json(char **out, bc_context *context, const bc_match *match,
                                  const bc_reading *const *readings, const bc_cloth *const *cloths, const char *light);
/** The answer in plain words: which cloth, why, and which pieces suffer where. The caller frees it with free(). */
BC_API bc_status bc_match_to_words(char **out, bc_context *context, const bc_match *match,
                                   const bc_reading *const *readings, const bc_cloth *const *cloths);

#ifdef __cplusplus
}
#endif
#endif
