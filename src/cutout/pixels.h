/* SPDX-License-Identifier: MIT */
/* From the answer on the grid to the image's pixels: band.c, band_learn.c, cut_pixels.c, specks.c, soft_edge.c. */
#ifndef BC_CUTOUT_PIXELS_H
#define BC_CUTOUT_PIXELS_H

#include "scene.h"

/* ---- band.c ---- */
/* The scene's answer on the image's pixels, decided again near its outline and where pixels contradict it. `box`, in
 * the image's pixels: outside of it all is background. Learns the mixtures `of` background and piece from pixels. After
 * a stroke, `touched` tells the cells that it changed: the rest of `piece` and the mixtures are kept; else NULL.
 * Obeys a guess where that leaves no doubt, and hears it where it does.
 */
typedef struct cutout_band_input {
  const bc_image *image;
  const cutout_scene *scene;
  const bc_box *box;
  const float *guess;     /* of each pixel, from elsewhere; NULL: none */
  const uint8_t *touched; /* after a stroke */
} cutout_band_input;
/* Learns the mixtures alone: band_learn.c. */
bc_status cutout_band_learn(cutout_mixture of[2], bc_context *context, const uint8_t *piece,
                            const cutout_band_input *from);
bc_status cutout_band(uint8_t *piece, bc_context *context, cutout_mixture of[2], const cutout_band_input *from);

/* ---- cut_pixels.c ---- */
/* The minimum cut over the pixels that are CUTOUT_UNDECIDED in `state`. `pull` as flow, of each pixel of the image. */
bc_status cutout_cut_pixels(uint8_t *state, bc_context *context, const bc_image *image, const int16_t *pull,
                            float stiffness);

/* ---- specks.c ---- */
/* Drops parts of an answer on the image's pixels that are tiny beside the largest and apart from all others, but for
 * those that a guess (may be NULL) has for more likely than not. */
bc_status cutout_specks_drop(uint8_t *piece, bc_context *context, const bc_image *image, const cutout_scene *scene,
                             const float *guess);

/* ---- soft_edge.c ---- */
/* Soft alpha from an answer on the image's pixels; as a guess (may be NULL) has it where that leaves no doubt. */
bc_status cutout_edge(uint8_t *alpha, bc_context *context, const bc_image *image, const uint8_t *piece,
                      const float *guess);

#endif
