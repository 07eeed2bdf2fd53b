/* SPDX-License-Identifier: MIT */
/* Another's first guess, and what it says to every later step: guess.c. */
#ifndef BC_CUTOUT_GUESS_H
#define BC_CUTOUT_GUESS_H

#include "scene.h"

/* Asks for the guess of every pixel of the image, once; *out stays NULL when there is none. Probabilities 0..1, what is
 * no number counts as 0.5. malloc'd. */
bc_status cutout_guess_ask(float **out, bc_context *context, const bc_image *image, const bc_cutout_options *options);
/* The scene's prior and word are its cells' means of the guess. */
bc_status cutout_guess_tell(cutout_scene *scene, bc_context *context, const bc_image *image, const float *guess);
/* The user contradicts it at a pixel of the full photo: round about, it only doubts what it was sure of. Then it is to
 * be told again. Returns whether it was sure of the contrary. */
bool cutout_guess_doubt(float *guess, const bc_image *image, bc_point_px at, bool keep);
/* What a probability speaks for the piece, in nats: CUTOUT_SURE_WORD or its opposite where it leaves no doubt. */
float cutout_guess_word(float probability, float hearing);
/* What share of its log odds is heard: a guess and the colours have seen the same photo. Of the program's own network
 * measured; of one from elsewhere the same, since at a half a rough mask is no longer trimmed to what can be seen. */
#define CUTOUT_HEARING 0.25f
static inline bool cutout_guess_is_sure(float probability) {
  return probability >= 0.998f || probability <= 0.002f;
}
/* Whether it tells pixels apart: it jumps from a pixel to those beside it. Then its doubt is that pixel's share. */
bool cutout_guess_is_sharp(const float *guess, const bc_image *image, int x, int y);

#endif
