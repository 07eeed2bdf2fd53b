/* SPDX-License-Identifier: MIT */
/**
 * @file cutout.h
 * Third stage: the mask that separates the piece from its photo's own background.
 */
#ifndef BACKCLOTH_CUTOUT_H
#define BACKCLOTH_CUTOUT_H

#include <backcloth/colour.h>

#ifdef __cplusplus
extern "C" {
#endif

/** Where a mask came from. */
typedef enum bc_cutout_source {
  BC_CUTOUT_AUTOMATIC = 0, /**< found without help */
  BC_CUTOUT_GUIDED,        /**< found with a box, points or strokes from the user */
  BC_CUTOUT_ALPHA,         /**< the photo's own alpha channel */
  BC_CUTOUT_MASK           /**< a mask file given by the user */
} bc_cutout_source;

/** Below this confidence a cut-out carries a note that says what would help. */
#define BC_CUTOUT_SURE 0.8

/** A point in pixels of the full upright photo. */
typedef struct bc_point_px {
  int x, y;
} bc_point_px;

enum { BC_CUTOUT_STRETCHES = 8, BC_CUTOUT_DOTS = 24 };
/** A stretch of the outline that may be wrong: hardly anything can be seen across it, or what was tried disagrees. */
typedef struct bc_cutout_stretch {
  bc_box box;                       /**< round it, in pixels of the full photo */
  double share;                     /**< of the whole outline's length, 0..1 */
  bc_point_px dots[BC_CUTOUT_DOTS]; /**< places along it, to mark it with; in pixels of the full photo, in no order */
  int dot_count;
} bc_cutout_stretch;
/** Where a cut-out is doubtful. Plain data. */
typedef struct bc_cutout_doubts {
  bc_cutout_stretch stretch[BC_CUTOUT_STRETCHES]; /**< the longest first */
  int stretch_count;
  bool has_tap;      /**< false: nothing large hangs on any one place */
  bc_point_px tap;   /**< the place where one word, piece or not, decides most; in pixels of the full photo */
  bool tap_is_piece; /**< what the cut-out has there now */
  double tap_share;  /**< of the cut-out's area, what hangs on it; may be more than 1 */
} bc_cutout_doubts;

/** True where an outline may be wrong, however it was found, so that its figures and pictures are marked: the
 * confidence is below BC_CUTOUT_SURE, or doubtful stretches are more than a quarter of the outline, or one place in
 * doubt decides about more than half of the piece (our choice, docs/method/cutout.md). So a box silences no doubt that
 * remains. */
BC_API bool bc_cutout_is_doubtful(double confidence, const bc_cutout_doubts *doubts);

/** A mask at the image's size. Plain data, so that later stages and tests can also make one. */
typedef struct bc_cutout {
  int width, height;
  uint8_t *alpha;    /**< width x height; 255 = piece, 0 = background, between = soft edge */
  bc_box box;        /**< smallest box round alpha >= 128, in pixels of this mask */
  double confidence; /**< 0..1: the overlap with the true mask that is to be expected; 1 for alpha and mask */
  bc_cutout_source source;
  bc_notes notes;          /**< for example what would help when confidence is low */
  bc_cutout_doubts doubts; /**< of what was found or guided; nothing in those from alpha or a person's mask */
} bc_cutout;

/** The seam for a better first guess than ours, for example a learned model run by the caller: fills
 *  `probability` (width x height floats, top row first) with the probability 0..1 that the middle of
 *  each cell belongs to the piece, for the whole of `image` at this reduced size. Returns false when it
 *  has no guess; the cut-out is then found as without it. It must not change the image. */
typedef bool (*bc_cutout_first_guess)(void *data, const bc_image *image, int width, int height, float *probability);

/** A bc_cutout_first_guess whose `data` is a `const bc_cutout *`, for example from bc_cutout_from_mask with a
 *  rough mask or the probability map that a model has written as a grey picture. */
BC_API bool bc_cutout_guess_of_mask(void *data, const bc_image *image, int width, int height, float *probability);

/** A learned model that finds the piece roughly: a file of the open standard ONNX, run by ONNX Runtime where the build
 *  has it. docs/model.md says what such a file must take and give. Treat a model of unknown origin as a program of
 *  unknown origin. Opaque; threads may ask it at the same time. */
typedef struct bc_cutout_model bc_cutout_model;
/** true when the file is a model, not a picture, by its name or its first bytes. */
BC_API bool bc_cutout_is_model(const char *path);
/** Errors: BC_NO_INPUT, BC_BAD_DATA (not a model, one that does not fit, or a build without ONNX Runtime). */
BC_API bc_status bc_cutout_model_open(bc_cutout_model **out, bc_context *context, const char *path);
/** What the model says of the photo: alpha is 255 times the probability. For bc_cutout_guess_of_mask; as a mask it is
 *  rough. Errors: BC_BAD_DATA (what it gives are no probabilities, or it sees no piece). */
BC_API bc_status bc_cutout_from_model(bc_cutout **out, bc_context *context, const bc_image *image,
                                      const bc_cutout_model *model);
BC_API void bc_cutout_model_free(bc_cutout_model *model);

typedef struct bc_cutout_options {
  bool has_box;
  bc_box box; /**< box round the piece, in pixels of the full upright photo */

  const bc_point_px *keep; /**< points that belong to the piece; a stroke is the list of its points. Borrowed. */
  size_t keep_count;
  const bc_point_px *drop; /**< points that do not belong to the piece. Borrowed. */
  size_t drop_count;
  int brush; /**< radius of each point in pixels of the full photo; 0 = 1/200 of the longer side */

  bc_cutout_first_guess first_guess; /**< NULL: none */
  void *first_guess_data;            /**< handed to first_guess */
  bool without_network; /**< Do not ask the network that comes with the library either; for comparisons. Default false.
                         */
} bc_cutout_options;

BC_API bc_cutout_options bc_cutout_options_default(void);

/** Finds the piece. Uses the photo's alpha when it has one, unless a box is given. A photo whose
 *  alpha is 255 everywhere is a flat picture: the whole rectangle is the piece.
 *  `options` may be NULL. Errors: BC_BAD_DATA (box outside the photo, nothing found), BC_OUR_FAULT. */
BC_API bc_status bc_cutout_find(bc_cutout **out, bc_context *context, const bc_image *image,
                                const bc_cutout_options *options);
/** Makes a cut-out from a mask picture (grey or alpha: light = piece) of any size with the photo's proportions. A mask
 *  that bc_cutout_write_png wrote, and that nobody has changed since, keeps the confidence and doubts it was found
 * with; any other is a person's word. */
BC_API bc_status bc_cutout_from_mask(bc_cutout **out, bc_context *context, const bc_image *image,
                                     const char *mask_path);
BC_API void bc_cutout_free(bc_cutout *cutout);

/** Finds every piece in a photo of several that lie apart, in reading order (rows from the top, each
 *  row from left to right). One piece gives one cut-out. `options` as for bc_cutout_find.
 *  `*out` is an array of `*count` cut-outs, to be freed with bc_cutout_free_list. */
BC_API bc_status bc_cutout_split(bc_cutout ***out, size_t *count, bc_context *context, const bc_image *image,
                                 const bc_cutout_options *options);
/** The same for a cut-out that exists already, for example from a mask; `whole` stays the caller's. */
BC_API bc_status bc_cutout_separate(bc_cutout ***out, size_t *count, bc_context *context, const bc_image *image,
                                    const bc_cutout *whole);
BC_API void bc_cutout_free_list(bc_cutout **list, size_t count);

/** A photo being cut out by hand: keeps the colour models and the reduced graph, so that each further
 *  stroke is answered in a few hundredths of a second. Opaque. The image is borrowed and must live as
 *  long as the session. Points in `options` are copied. One thread at a time. */
typedef struct bc_cutout_session bc_cutout_session;
/** Starts from what bc_cutout_find would find with these options (NULL: automatic). */
BC_API bc_status bc_cutout_session_new(bc_cutout_session **out, bc_context *context, const bc_image *image,
                                       const bc_cutout_options *options);
/** Adds a stroke (a list of points, joined by straight lines) that belongs to the piece (`keep`) or not.
 *  Errors: BC_BAD_DATA (a point outside the photo; the session is then unchanged). */
BC_API bc_status bc_cutout_session_add(bc_cutout_session *session, bc_context *context, bool keep,
                                       const bc_point_px *points, size_t count);
/** The cut-out as it is now. */
BC_API bc_status bc_cutout_session_find(bc_cutout **out, bc_cutout_session *session, bc_context *context);
BC_API void bc_cutout_session_free(bc_cutout_session *session);

/** Writes the mask as an 8-bit grey PNG of the photo's full size, with what is doubtful about it as a text. */
BC_API bc_status bc_cutout_write_png(const bc_cutout *cutout, bc_context *context, const bc_image *image,
                                     const char *path);

/** Replaces the colours along the soft edge by estimates of the piece's own colour, free of the old
 *  background, so that the piece can be laid on another cloth without a halo. Changes `image` in place. */
BC_API bc_status bc_cutout_clean_edge(const bc_cutout *cutout, bc_context *context, bc_image *image);

#ifdef __cplusplus
}
#endif
#endif
