/* SPDX-License-Identifier: MIT */
/**
 * @file reading.h
 * Fourth stage: what a photo says about a piece: mean colour, lightness spread, main colours and
 * the outline with the rim along it. After this stage no pixel is needed to judge a cloth.
 * docs/method/reading.md says how each figure is found.
 */
#ifndef BACKCLOTH_READING_H
#define BACKCLOTH_READING_H

#include <backcloth/cutout.h>

#ifdef __cplusplus
extern "C" {
#endif

#define BC_READING_COLOURS 6  /**< at most so many main colours */
#define BC_READING_RIM 512    /**< at most so many places along the outline, evenly spaced by length */
#define BC_READING_DETAIL 8   /**< octaves of detail */
#define BC_READING_LEVELS 256 /**< bins of the luminance histogram */

/** One of the piece's main colours. */
typedef struct bc_main_colour {
  bc_lab lab;
  double share;   /**< share of the piece's area, 0..1 */
  char css[8];    /**< "#rrggbb" */
  char name[160]; /**< plain-word name, UTF-8 */
} bc_main_colour;

/** One place on the outline. Places are evenly spaced, in order along each closed outline, so each
 *  stands for the same length. */
typedef struct bc_rim_place {
  float x, y;      /**< on the outline, as a share 0..1 of the photo's width and height */
  float luminance; /**< mean relative luminance of the band just inside the outline here */
  float L, a, b;   /**< mean CIELAB D50 of that band here */
  int contour;     /**< number of the closed outline it belongs to: 0 the longest; holes count too */
  bool after_gap;  /**< the outline between the place before and this one lies beyond the photo's edge */
} bc_rim_place;

/** A reading. Plain data without pixels: it can be stored and sent. */
typedef struct bc_reading {
  char *photo; /**< the name the photo was opened under */
  int full_width, full_height;
  char *profile;
  bc_box box;        /**< box round the piece in pixels of the full photo */
  double area_share; /**< the piece's area as a share of the photo's */
  double box_share;  /**< the piece's area as a share of its box */
  bc_colour mean;    /**< area means of L*, a*, b* and of luminance, weighted by the mask */
  bc_lab mixed;      /**< CIELAB of the area-mean light: what the eye sees when detail blurs */
  double lightness_p05, lightness_p50, lightness_p95;
  bc_main_colour colours[BC_READING_COLOURS];
  size_t colour_count;
  float lightness_share[BC_READING_LEVELS]; /**< share of the area by L*, bin i holds [i, i+1) * 100/256 */
  bc_rim_place *rim;                        /**< rim_count places */
  size_t rim_count;
  /** The piece's own light and dark by size: octave i has `detail_cycles[i]` light-dark cycles across the
   *  width of `box` and the contrast `detail[i]` (amplitude over mean luminance). 0 where none was found. */
  float detail[BC_READING_DETAIL], detail_cycles[BC_READING_DETAIL];
  double see_through;         /**< how much of what is behind shows through the piece, 0..1, by the photo's own alpha */
  double polished;            /**< how much of the area mirrors, 0..1; 0 unless bc_reading_polish was called */
  bool polish_estimated;      /**< that share is an estimate, not a person's */
  double outline_length;      /**< length of all outlines as a multiple of the square root of the piece's area */
  double confidence;          /**< the cut-out's */
  bc_cutout_doubts doubts;    /**< the cut-out's */
  bc_uncertainty uncertainty; /**< how unsure the photo's light is; all zero: not at all */
  bc_notes notes;
} bc_reading;

/** Reads a piece from an image and its mask. `name` is kept as the photo's name. */
BC_API bc_status bc_reading_of(bc_reading **out, bc_context *context, const bc_image *image, const bc_cutout *cutout,
                               const char *name);
BC_API void bc_reading_free(bc_reading *reading);
/** The same piece as it appears under a light at the stand: mean, main colours and rim
 *  are changed; lightness percentiles and shares stay those of the photo. */
BC_API bc_status bc_reading_under_light(bc_reading **out, bc_context *context, const bc_reading *reading,
                                        const bc_light *light);
/** The share of the area that mirrors, 0.2..1, of a piece known to be polished: by how much of the photo is at the top
 *  of its scale and how far its lightness spreads. A rough guess, good to about a fifth of the area (r.m.s. 0.22 on
 * made balls and rings). Source: our own fit, docs/method/reading.md. */
BC_API double bc_reading_mirror_share(const bc_reading *reading);
/** Tells that the piece is polished: what was photographed of it is partly the room, which a match then takes into
 *  account. `share` 0..1 of the area mirrors; 0: estimated by bc_reading_mirror_share. */
BC_API void bc_reading_polish(bc_reading *reading, double share);
/** bc_cutout_is_doubtful of this reading's outline. */
BC_API bool bc_reading_is_doubtful(const bc_reading *reading);
/** The contract's JSON object for this reading on one line, without newline. The caller frees it with free(). */
BC_API bc_status bc_reading_to_json(char **out, bc_context *context, const bc_reading *reading);
/** The same with the key "stored", from which bc_reading_from_json makes exactly this reading again: base64
 *  (RFC 4648) of little-endian IEEE 754, described in docs/method/reading.md. The caller frees it with free(). */
BC_API bc_status bc_reading_to_stored_json(char **out, bc_context *context, const bc_reading *reading);
/** A reading from such a line; `name` is for messages. BC_BAD_DATA when it isn't one. */
BC_API bc_status bc_reading_from_json(bc_reading **out, bc_context *context, const char *text, size_t size,
                                      const char *name);

/** A reading as one sentence or two in plain words, without its notes. The caller frees it with free(). */
BC_API bc_status bc_reading_to_words(char **out, bc_context *context, const bc_reading *reading);

/* --- a photo of a textile ---------------------------------------------------------------------------- */

/** What a photo says about a textile. Plain data. */
typedef struct bc_textile {
  bc_colour mean;  /**< area means of L*, a*, b* and of luminance */
  double spread_l; /**< standard deviation of L* */
  bc_main_colour colours[BC_READING_COLOURS];
  size_t colour_count;
  /** How coarse the pattern is: the wavelength that halves the power of its light and dark, as a share of
   *  the photo's shorter side; 0 where there is none. */
  double pattern_share;
  /** How busy it is: mean entropy, in bits a sample, of the subbands of L* (a* and b* a sixteenth each).
   *  Source: Rosenholtz, Li and Nakano, "Measuring visual clutter", Journal of Vision 7(2):17, 2007; ours
   *  counts in fixed steps of 2 L*, so that an even cloth's noise is not stretched into a pattern. */
  double busy_bits;
} bc_textile;

/** In words. */
typedef enum bc_busy { BC_PLAIN = 0, BC_QUIET, BC_LIVELY, BC_BUSY } bc_busy;

/** Reads a textile from its image; `name` is the photo's, for messages. */
BC_API bc_status bc_textile_of(bc_textile *out, bc_context *context, const bc_image *image, const char *name);
BC_API bc_busy bc_textile_busy(const bc_textile *textile);
/** "plain", "quiet", "lively" or "busy": never translated. */
BC_API const char *bc_busy_word(bc_busy busy);

/** What a study of a file was made from. Opaque. */
typedef struct bc_study_origin bc_study_origin;

/** All that one photo gave: kept together for drawing. A study from a context with a store may be without pixels
 *  (`image->L` and the other planes NULL, `cutout->alpha` NULL), all else as ever: see bc_study_load. */
typedef struct bc_study {
  bc_image *image; /**< edge colours not yet cleaned */
  bc_cutout *cutout;
  bc_reading *reading;
  bool shares_image;       /**< the image belongs to another study of the same photo (bc_study_open_each) */
  double see_through;      /**< share of what is behind that shows through, once bc_study_see_through was called */
  bc_image *photographed;  /**< the picture as it was before that; NULL: `image` is it */
  bc_study_origin *origin; /**< where its pixels can be had again; NULL: they are in memory */
} bc_study;

/** How a study is made from a file. */
typedef struct bc_study_options {
  bc_cutout_options cutout;
  const char *mask_path;  /**< a mask file, or NULL */
  const char *guess_path; /**< a rough mask or a grey map of probabilities that the search starts from, or NULL */
  const bc_cutout_model *guess_model; /**< or a learned model that gives such a map, or NULL. Borrowed. */
  bool split;             /**< for bc_study_open_each: a study for each piece that lies apart from the others */
  bc_image_options image; /**< the light of the photo and the reading resolution */
} bc_study_options;

BC_API bc_study_options bc_study_options_default(void);
/** photo -> colour -> cut-out -> reading for one file. `options` may be NULL. */
BC_API bc_status bc_study_open(bc_study **out, bc_context *context, const char *path, const bc_study_options *options);
/** The same for a photo that may show several pieces: with `options->split` each becomes a study of its own, in
 *  reading order, named PHOTO#1, PHOTO#2 …; one piece keeps the photo's own name. `*out` is an array of
 *  `*count` >= 1 studies that share one image: free them all (bc_study_free, then free the array), in any order,
 *  when none is needed any more. */
BC_API bc_status bc_study_open_each(bc_study ***out, size_t *count, bc_context *context, const char *path,
                                    const bc_study_options *options);
/** bc_study_open for bytes in memory, which are not kept; `name` takes the path's place. Opens no file unless
 *  `options` names one. */
BC_API bc_status bc_study_decode(bc_study **out, bc_context *context, const void *bytes, size_t size, const char *name,
                                 const bc_study_options *options);
/** image -> cut-out -> reading, for an image that was made before. Takes `image` over, whatever the outcome;
 *  options->image does not count. */
BC_API bc_status bc_study_of_image(bc_study **out, bc_context *context, bc_image *image, const char *name,
                                   const bc_study_options *options);
BC_API void bc_study_free(bc_study *study);
/** Brings the pixels of a study without any: the image from the photo, the mask from the store (from the photo, if it
 *  isn't there any more). Nothing is done where they are in memory. BC_BAD_DATA when the photo has changed meanwhile.
 */
BC_API bc_status bc_study_load(bc_study *study, bc_context *context);
/** The same for the mask alone, which needs no decoding. */
BC_API bc_status bc_study_load_mask(bc_study *study, bc_context *context);
/** A study with pixels where this one has none, for one use: `*out` is NULL when `study` has them itself. */
BC_API bc_status bc_study_loaded(bc_study **out, bc_context *context, const bc_study *study);
/** Lets go of the pixels of the studies of one photo, if the store has what is needed to bring them back. */
BC_API void bc_study_rest(bc_study *const *studies, size_t count);
/** Under what its cut-out is kept (base/kept), or NULL: it is not what the file and the options alone give. */
BC_API const char *bc_study_cut_key(const bc_study *study);
/** For clear glass and gauze in an opaque photo: takes the photo's own backdrop out of the piece, so that a
 *  cloth can be judged and drawn through it. `through` is the share of the light behind that comes through,
 *  0..0.95; 0: the most that the photo allows. Changes the study's image and reading. BC_BAD_DATA when
 *  nothing is seen round the piece. Source: docs/method/match.md. */
BC_API bc_status bc_study_see_through(bc_study *study, bc_context *context, double through);

#ifdef __cplusplus
}
#endif
#endif
