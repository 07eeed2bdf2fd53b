/* SPDX-License-Identifier: MIT */
/**
 * @file match.h
 * Fifth stage: how clearly each piece, and the whole collection, stands out on each cloth.
 * docs/method.md derives verdict and score.
 */
#ifndef BACKCLOTH_MATCH_H
#define BACKCLOTH_MATCH_H

#include <backcloth/collection.h>

#ifdef __cplusplus
extern "C" {
#endif

/* --- seen from where people stand ---------------------------------------------------------------- */

/** What is to be detected. */
typedef enum bc_target_kind {
  BC_TARGET_GABOR = 0, /**< a grating under a Gaussian envelope; area = pi sigma^2 */
  BC_TARGET_GRATING,   /**< a grating in an aperture with a hard edge */
  BC_TARGET_DISK       /**< an even patch with a hard edge; `frequency` is not used, area = pi radius^2 */
} bc_target_kind;

typedef struct bc_target {
  bc_target_kind kind;
  double luminance_cd_m2; /**< of the background, to which the eye is adapted; 0.0002 to 10000 */
  double frequency_cpd;   /**< cycles per degree */
  double area_deg2;       /**< square degrees */
  double background[3];   /**< L, M, S cone coordinates of the background (CIE 170-1:2006, L + M about its luminance) */
  double delta[3];        /**< amplitude of the modulation in the same coordinates */
} bc_target;

/** Response of the human eye to a still target looked at directly: 1 at the threshold of detection,
 *  proportional to contrast. Its reciprocal is the factor by which the contrast could be lowered.
 *  Source: Ashraf, Mantiuk, Chapiro and Wuerger, "castleCSF", Journal of Vision 24(4):5, 2024; how
 *  hard edges and disks are treated is our own fit, see docs/method/match.md. */
BC_API double bc_csf_response(const bc_target *target);
/** L, M, S of a colour shown where a perfect white has `white_cd_m2`. */
BC_API void bc_cones_from_lab(bc_lab lab, double white_cd_m2, double cones[3]);

/** The distances of a sweep: 1, 2, … metres. */
#define BC_SWEEP 10

typedef struct bc_view {
  double distance_m;  /**< from the eye to the piece; default 4 */
  double white_cd_m2; /**< luminance of a white card at the stand; default 95 (300 lx on white) */
} bc_view;
BC_API bc_view bc_view_default(void);

/** How far a piece of known size can be made out on a cloth. */
typedef struct bc_visibility {
  bool known; /**< false: the piece's true width isn't known and all else is 0 */
  double width_cm;
  double made_out;        /**< share of the outline above the threshold of detection at the view's distance, fine enough
                               for its shape (4 cycles across the piece's thickness, Johnson 1958) */
  double outline_m;       /**< up to here at least half the outline can be told so; 0 never, at most BC_FAR_M */
  double detail_m;        /**< up to here the piece's own light and dark can be made out; 0 never, at most BC_FAR_M */
  double sweep[BC_SWEEP]; /**< share of the outline made out at 1, 2, … 10 m */
} bc_visibility;
/** No aisle is longer: larger distances are told as this one. */
#define BC_FAR_M 30.0

/** `width_cm` is the piece's true width (0 = unknown); `view` may be NULL. */
BC_API bc_visibility bc_match_visibility(const bc_reading *reading, const bc_cloth *cloth, double width_cm,
                                         const bc_view *view);

/* --- verdict, match ------------------------------------------------------------------------------- */

typedef enum bc_verdict { BC_GETS_LOST = 0, BC_SOFT = 1, BC_STANDS_OUT = 2 } bc_verdict;
/** The verdict of a clarity: its edges are at a third and two thirds. */
BC_API bc_verdict bc_verdict_of(double clarity);
/** "stands out", "soft" or "gets lost": the JSON word, never translated. */
BC_API const char *bc_verdict_word(bc_verdict verdict);
/** The same for a person, translated. */
BC_API const char *bc_verdict_text(bc_verdict verdict);

/** One piece on one cloth. */
typedef struct bc_pair {
  double contrast_ratio; /**< WCAG 2.2 on area-mean luminances */
  double delta_l;        /**< |difference of L*| of the area means */
  double delta_e00;      /**< CIEDE2000 of the area means */
  double outline_share;  /**< share of the outline whose rim has contrast ratio >= 3 with the cloth */
  double seen_share;     /**< share of the outline that can be told from the cloth by lightness or by colour */
  double clarity;        /**< 0..1, the figure that verdict and score rest on */
  double clarity_sd;     /**< its standard deviation from the light of the photo; 0 where it wasn't looked for */
  /** Of a polished piece `clarity` is the mean of these two; of any other all three are the same. */
  double clarity_photographed; /**< as it was photographed, mirroring that room */
  double clarity_at_stand;     /**< as it mirrors cloth and hall at the stand, docs/method/match.md */
  bc_verdict verdict;
  bool on_edge;         /**< so near the next verdict that it may as well be that one */
  bc_verdict neighbour; /**< that one; the same as `verdict` when it isn't on an edge */
} bc_pair;

/** A cloth to other eyes: bc_vision is the index, BC_VISION_USUAL the figures shown elsewhere. */
#define BC_EYES 4
typedef struct bc_eyes {
  double score; /**< the collection's */
  size_t lost;  /**< pieces that get lost */
} bc_eyes;

/** Two cloths that such eyes can't tell apart though usual ones can: CIEDE2000 below 5 against 10 or more. */
typedef struct bc_alike {
  bc_vision vision;
  size_t first, second; /**< indices into bc_match.cloths */
} bc_alike;

/** One cloth with the whole collection on it. */
typedef struct bc_ranked_cloth {
  size_t cloth;   /**< index into the collection's cloths */
  int rank;       /**< 1 is best; cloths that cannot be told apart share a rank */
  double score;   /**< 0..100, the collection's */
  size_t weakest; /**< index of the piece with the lowest clarity */
  /** The score had the light of all photos been misjudged: one a cast of bc_casts_plausible, the first
   *  without error. Only for the first 24 cloths; for the others all are the score. */
  double score_cast[BC_CASTS];
  double score_sd; /**< standard deviation of the score from that */
  const bc_light
      *worst_light; /**< where the score is lowest of all lights known; NULL: bc_match_lights wasn't called */
  double worst_light_score;
  bc_eyes eyes[BC_EYES]; /**< by bc_vision; only for the first 12 cloths, otherwise score is -1 */
  bc_pair *pairs;        /**< one per reading, in the order given */
  /** The same to protan, deutan and tritan eyes, by bc_vision; NULL for usual ones and beyond the first 12 cloths. */
  bc_pair *pairs_to_eyes[BC_EYES];
  bc_visibility *visibility; /**< one per reading, or NULL: no true size is known, or the cloth is far down the list */
} bc_ranked_cloth;

/** A colour found by search. */
typedef enum bc_family { BC_DARK = 0, BC_MIDDLE, BC_LIGHT } bc_family;
typedef struct bc_suggestion {
  bc_lab lab; /**< of `css` */
  char css[8];
  const char *name; /**< plain words, borrowed for ever */
  bc_family family; /**< L* below 40, 40 to 70, above 70 */
  double score;     /**< the collection's on it, 0..100 */
  double weave_l; /**< a weave or pattern may spread so much (standard deviation of L*) and cost no more than 3 points;
                       0: best plain */
} bc_suggestion;

typedef struct bc_two_cloths {
  size_t wall, table; /**< indices into the collection's cloths and tables */
  int rank;           /**< as in bc_ranked_cloth */
  double score;
  size_t weakest;
} bc_two_cloths;

/** A match. It borrows the collection that it was made of, which must live as long. */
typedef struct bc_match {
  const bc_collection *collection;
  bc_ranked_cloth *cloths; /**< in rank order */
  size_t cloth_count, piece_count;
  /* The trade-off: indices into `cloths` above. */
  size_t best_for_weakest;   /**< where the least clear piece is clearest */
  size_t best_on_average;    /**< where the mean clarity is highest */
  size_t best_for_statement; /**< where the statement piece is clearest; SIZE_MAX without one */
  size_t *best_without;      /**< one per piece: index into `cloths` of the best if that piece stayed at home */
  size_t steady;             /**< number of pieces that could stay at home without another cloth becoming the best */
  bc_alike *alike;           /**< among the first 24 cloths */
  size_t alike_count;
  bc_suggestion *suggested;
  size_t suggested_count;
  bc_two_cloths *together; /**< the best pairs of wall cloth and table cloth, if bc_match_together was called */
  size_t together_count;
  bc_view view;     /**< as it was asked for */
  bc_notes notes;   /**< ties, and what the ranking cannot tell */
  size_t explained; /**< index into `cloths` of the one whose reasons bc_match_to_json gives; SIZE_MAX: none */
} bc_match;

/* --- one piece on one cloth ----------------------------------------------------------------------- */

/** The longest stretch of an outline that gets lost. */
typedef struct bc_lost_stretch {
  size_t first, count; /**< places first, first + 1, … modulo the places of that outline; count 0: none is lost */
  int contour;         /**< the outline they lie on; its places follow one another in bc_reading.rim */
  double share;        /**< of the whole outline's length */
  double lost_share;   /**< of the whole outline, all lost stretches together */
} bc_lost_stretch;
/** Finds it; `lost` (may be NULL) gets one flag a rim place, true where the rim gets lost in the cloth. */
BC_API bc_lost_stretch bc_match_lost(const bc_reading *reading, const bc_cloth *cloth, bool *lost);
/** Where on the piece that stretch lies, in words, translated: "at the top left". */
BC_API const char *bc_match_where(const bc_reading *reading, const bc_lost_stretch *stretch);

/** One piece on one plain cloth. */
BC_API bc_pair bc_match_pair(const bc_reading *reading, const bc_cloth *cloth);
/** All that bc_match_pair needs of a reading, as a small JSON object of text, so that a page can judge
 *  cloths without asking: {"figures":…,"rim":…}, both base64 (RFC 4648) of little-endian IEEE 754.
 *  `figures` are doubles: how much shows through, the number of body and of rim patches, the mean's L*, a*,
 *  b* and luminance, then five a patch (L*, a*, b*, luminance, share), body first. `rim` are the luminances
 *  along the rim as floats, ascending. At most 6.5 kB. The caller frees it with free(). */
BC_API bc_status bc_match_face_json(char **out, bc_context *context, const bc_reading *reading);
/** Ranks the collection's cloths for its pieces. `view` NULL: the usual distance and light. */
BC_API bc_status bc_match_rank(bc_match **out, bc_context *context, const bc_collection *collection,
                               const bc_view *view);
BC_API void bc_match_free(bc_match *match);

/** Sweeps all lights of bc_lights and fills in worst_light of every cloth; a note says where a cloth
 *  suffers by 10 points or more. The collection must be as in daylight. */
BC_API bc_status bc_match_lights(bc_match *match, bc_context *context);

/** Searches the colours that cloth can be dyed for the `wanted` best and puts them into `match`: first
 *  the best dark, middle and light one, best first, then others that differ clearly from those. */
BC_API bc_status bc_match_suggest(bc_match *match, bc_context *context, size_t wanted);
/** The most chroma C*ab of cloth that is searched, by L* and hue; 0 outside L* 16 to 94. Source: ISCC-NBS
 *  centroids, docs/method/match.md. */
BC_API double bc_match_most_chroma(double L, double hue_deg);
/** True for a colour inside the bounds of that search: within that chroma and inside sRGB. */
BC_API bool bc_match_dyeable(bc_lab lab);
/** The collection's score 0..100 on one cloth. */
BC_API bc_status bc_match_score(double *score, bc_context *context, const bc_collection *collection,
                                const bc_cloth *cloth);

/** The score over all cloths that can be dyed: rows by L*, columns by hue. */
#define BC_LANDSCAPE_ROWS 40
#define BC_LANDSCAPE_COLUMNS 36
#define BC_LANDSCAPE_DARKEST 16.0 /**< L* of the first row */
#define BC_LANDSCAPE_STEP 2.0     /**< L* from row to row */
typedef struct bc_landscape_place {
  bc_lab lab;   /**< the best cloth of this hue and lightness, of a quarter, half, three quarters and all of the
                     chroma that can be dyed */
  double score; /**< the collection's on it, 0..100 */
} bc_landscape_place;
typedef struct bc_landscape {
  bc_landscape_place place[BC_LANDSCAPE_ROWS][BC_LANDSCAPE_COLUMNS]; /**< column c: hue 10 c degrees */
  bc_landscape_place grey[BC_LANDSCAPE_ROWS];                        /**< cloths without a hue */
} bc_landscape;
/** `*out` is freed with free(). */
BC_API bc_status bc_match_landscape(bc_landscape **out, bc_context *context, const bc_collection *collection);

/* --- wall cloth and table cloth together ------------------------------------------------------------ */

/** That share from the geometry: `behind_cm` of table behind a piece `height_cm` tall, seen from
 *  `eye_cm` above the table top at `distance_cm`. */
BC_API double bc_match_table_share(double height_cm, double behind_cm, double eye_cm, double distance_cm);
BC_API bc_pair bc_match_pair_on_table(const bc_reading *reading, const bc_cloth *wall, const bc_cloth *table,
                                      double table_share);

/** Tries every cloth of the wall with every one of the table and puts the best `wanted` pairs, in rank order, into the
 *  match. BC_BAD_USAGE when the collection has no cloth for the table. */
BC_API bc_status bc_match_together(bc_match *match, bc_context *context, size_t wanted);

/* --- why --------------------------------------------------------------------------------------------- */

/** What would help a piece most on a cloth. */
typedef enum bc_remedy {
  BC_REMEDY_NONE = 0, /**< it stands out already */
  BC_REMEDY_CLOTH,    /**< another of the given cloths, better for the whole collection, too */
  BC_REMEDY_LAMP,     /**< a lamp on the piece: twice the light */
  BC_REMEDY_MOUNT,    /**< a plain card or board behind the piece */
  BC_REMEDY_PLACE     /**< nothing of these: show it elsewhere, against something else */
} bc_remedy;
typedef struct bc_advice {
  bc_remedy remedy;
  size_t cloth;       /**< BC_REMEDY_CLOTH: index into match->cloths */
  bc_lab mount;       /**< BC_REMEDY_MOUNT: the colour of card or board on which the piece is clearest */
  char css[8];        /**< the same */
  bool light_mount;   /**< the same: lighter than the piece is on the whole */
  double clarity;     /**< the piece's clarity after the change */
  bc_verdict verdict; /**< and its verdict */
} bc_advice;
/** The single change that would help piece `piece` most on the cloth at `position` in rank order. */
BC_API bc_advice bc_match_advice(const bc_match *match, size_t position, size_t piece);
/** Each piece's figures on the cloth at `position` in rank order, the reason for its verdict, and the
 *  change that would help most, in plain words. The caller frees it with free(). */
BC_API bc_status bc_match_why(char **out, bc_context *context, const bc_match *match, size_t position);
/** Why the cloth at `ahead` in rank order has the better score though the counts of verdicts speak for the one at
 *  `other`: more stand out there, or fewer get lost. A sentence or two, translated, freed with free(); NULL where
 * counts and score agree. BC_BAD_USAGE when there is no such cloth. */
BC_API bc_status bc_match_why_ahead(char **out, bc_context *context, const bc_match *match, size_t ahead, size_t other);
/** The collection's score 0..100 by its pieces' clarities, as docs/method/match.md defines it. */
BC_API double bc_match_score_of(const double *clarity, size_t count);
/** From now on bc_match_to_json gives what bc_match_why tells of the cloth at `position`. BC_BAD_USAGE when there is no
 *  such cloth. */
BC_API bc_status bc_match_explain(bc_match *match, bc_context *context, size_t position);
/** The contract's JSON object; the caller frees it with free(). */
BC_API bc_status bc_match_to_json(char **out, bc_context *context, const bc_match *match);
/** The answer in plain words: which cloth, why, and which pieces suffer where. The caller frees it with free(). */
BC_API bc_status bc_match_to_words(char **out, bc_context *context, const bc_match *match);

#ifdef __cplusplus
}
#endif
#endif
