/* SPDX-License-Identifier: MIT */
/* The photo's own alpha as the cut-out, or a flat picture. */
#include "base/base.h"
#include "value.h"

#include <string.h>

static uint8_t least_alpha(const bc_image *image) {
  const size_t count = (size_t)image->width * (size_t)image->height;
  uint8_t least = 255;
  for (size_t i = 0; i < count; i++)
    if (image->alpha[i] < least) least = image->alpha[i];
  return least;
}

bc_status cutout_take_alpha(bc_cutout *cutout, bc_context *context, const bc_image *image) {
  memcpy(cutout->alpha, image->alpha, (size_t)image->width * (size_t)image->height);
  cutout->source = BC_CUTOUT_ALPHA;
  cutout->confidence = 1;
  if (!cutout_set_box(cutout))
    return bc_fail(context, BC_BAD_DATA,
                   _("This picture is transparent all over, so there is no piece in it. Save it again with the piece "
                     "opaque, or give a mask."));
  if (least_alpha(image) < 255) return BC_OK;
  return bc_note(&cutout->notes, context,
                 _("The picture says that it is opaque everywhere, so the whole rectangle counts as the piece."));
}
