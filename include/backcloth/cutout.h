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

/** A mask at the image's size. Plain data, so that later stages and tests can also make one. */
typedef struct bc_cutout {
  int width, height;
  uint8_t *alpha;         /**< width x height; 255 = piece, 0 = background, between = soft edge */
  bc_box box;             /**< smallest box round alpha >= 128, in pixels of this mask */
  double confidence;      /**< 0..1: how sure the method is; 1 for alpha and mask */
  bc_cutout_source source;
  bc_notes notes;         /**< for example what would help when confidence is low */
} bc_cutout;

typedef struct bc_cutout_options {
  bool has_box;
  bc_box box; /**< box round the piece, in pixels of the full upright photo */
} bc_cutout_options;

BC_API bc_cutout_options bc_cutout_options_default(void);

/** Finds the piece. Uses the photo's alpha when it has one, unless a box is given. A photo whose
 *  alpha is 255 everywhere is a flat picture: the whole rectangle is the piece.
 *  `options` may be NULL. Errors: BC_BAD_DATA (box outside the photo, nothing found), BC_OUR_FAULT. */
BC_API bc_status bc_cutout_find(bc_cutout **out, bc_context *context, const bc_image *image,
                                const bc_cutout_options *options);
/** Makes a cut-out from a mask picture (grey or alpha: light = piece) of any size with the photo's proportions. */
BC_API bc_status bc_cutout_from_mask(bc_cutout **out, bc_context *context, const bc_image *image, const char *mask_path);
BC_API void bc_cutout_free(bc_cutout *cutout);
/** Writes the mask as an 8-bit grey PNG of the photo's full size. */
BC_API bc_status bc_cutout_write_png(const bc_cutout *cutout, bc_context *context, const bc_image *image, const char *path);

/** Replaces the colours along the soft edge by estimates of the piece's own colour, free of the old
 *  background, so that the piece can be laid on another cloth without a halo. Changes `image` in place. */
BC_API bc_status bc_cutout_clean_edge(const bc_cutout *cutout, bc_context *context, bc_image *image);

#ifdef __cplusplus
}
#endif
#endif
