/* SPDX-License-Identifier: MIT */
/* Part of an image as an image of its own, so that the stages before can be asked about it. */
#include "look_internal.h"

#include <stdlib.h>
#include <string.h>

bc_status look_crop(bc_image **out, bc_context *context, const bc_image *image, bc_box box) {
  const size_t width = (size_t)box.width, height = (size_t)box.height;
  bc_image *part = bc_allocate(1, sizeof *part);
  *out = NULL;
  if (!part) return bc_fail_memory(context);
  *part = (bc_image){.width = box.width,
                     .height = box.height,
                     .full_width = box.width,
                     .full_height = box.height,
                     .reference = image->reference,
                     .reference_seen = image->reference_seen,
                     .reference_confidence = image->reference_confidence,
                     .uncertainty = image->uncertainty,
                     .profile = bc_copy_text(image->profile)};
  float **const to[4] = {&part->L, &part->a, &part->b, &part->Y};
  const float *const from[4] = {image->L, image->a, image->b, image->Y};
  bool room = part->profile != NULL;
  for (int k = 0; k < 4; k++) {
    *to[k] = bc_allocate(width * height, sizeof(float));
    room = room && *to[k];
    for (size_t y = 0; *to[k] && y < height; y++)
      memcpy(*to[k] + y * width, from[k] + (y + (size_t)box.y) * (size_t)image->width + (size_t)box.x,
             width * sizeof(float));
  }
  if (!room) {
    bc_image_free(part);
    return bc_fail_memory(context);
  }
  *out = part;
  return BC_OK;
}
