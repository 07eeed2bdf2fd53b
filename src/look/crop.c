/* SPDX-License-Identifier: MIT */
/* Images of this stage's own: empty ones, and parts of another, so that the stages before can be asked about them. */
#include "look_internal.h"

#include <stdlib.h>
#include <string.h>

/* The planes are one block, which begins with L: bc_image_free takes them so. */
bc_status look_image_new(bc_image **out, bc_context *context, const bc_image *like, int width, int height) {
  const size_t count = (size_t)width * (size_t)height;
  bc_image *image = bc_allocate(1, sizeof *image);
  *out = NULL;
  if (!image) return bc_fail_memory(context);
  *image = (bc_image){.width = width,
                      .height = height,
                      .full_width = width,
                      .full_height = height,
                      .L = bc_allocate(count, 4 * sizeof(float)),
                      .profile = bc_copy_text(like->profile ? like->profile : ""),
                      .reference = like->reference,
                      .reference_seen = like->reference_seen,
                      .reference_confidence = like->reference_confidence,
                      .uncertainty = like->uncertainty};
  if (!image->L || !image->profile) {
    bc_image_free(image);
    return bc_fail_memory(context);
  }
  image->a = image->L + count;
  image->b = image->a + count;
  image->Y = image->b + count;
  *out = image;
  return BC_OK;
}

bc_status look_crop(bc_image **out, bc_context *context, const bc_image *image, bc_box box) {
  const bc_status status = look_image_new(out, context, image, box.width, box.height);
  if (status != BC_OK) return status;
  const size_t width = (size_t)box.width;
  float *const to[4] = {(*out)->L, (*out)->a, (*out)->b, (*out)->Y};
  const float *const from[4] = {image->L, image->a, image->b, image->Y};
  for (int k = 0; k < 4; k++)
    for (size_t y = 0; y < (size_t)box.height; y++)
      memcpy(to[k] + y * width, from[k] + (y + (size_t)box.y) * (size_t)image->width + (size_t)box.x,
             width * sizeof(float));
  return BC_OK;
}
