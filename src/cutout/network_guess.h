/* SPDX-License-Identifier: MIT */
/* What the program's own network says of a photo: network_guess.c. */
#ifndef BC_CUTOUT_NETWORK_GUESS_H
#define BC_CUTOUT_NETWORK_GUESS_H

#include "scene.h"

/* The probability of every pixel of the image that it belongs to the piece, 0.003 .. 0.997: never without doubt.
 * malloc'd. */
bc_status cutout_network_guess(float **out, bc_context *context, const bc_image *image);

/* Where the network is unsure, the scene's own prior is the second voice. */
void cutout_network_join(float *guess, const bc_image *image, const cutout_scene *scene);

#endif
