/* SPDX-License-Identifier: MIT */
/* From an image to a cut-out in one call: the photo's own alpha, a flat picture, or a session without
 * strokes. */
#include "cutout_internal.h"

#include <stdlib.h>
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

static bool has_help(const bc_cutout_options *options) {
  return options && (options->has_box || options->keep_count + options->drop_count > 0);
}

static bc_status find_alpha(bc_cutout **out, bc_context *context, const bc_image *image) {
  bc_status status = cutout_new(out, context, image);
  if (status == BC_OK) status = cutout_take_alpha(*out, context, image);
  if (status == BC_OK) return BC_OK;
  bc_cutout_free(*out);
  *out = NULL;
  return status;
}

bc_status bc_cutout_find(bc_cutout **out, bc_context *context, const bc_image *image,
                         const bc_cutout_options *options) {
  *out = NULL;
  if (image->alpha && !has_help(options)) return find_alpha(out, context, image);
  bc_cutout_session *session = NULL;
  bc_status status = bc_cutout_session_new(&session, context, image, options);
  if (status == BC_OK) status = bc_cutout_session_find(out, session, context);
  bc_cutout_session_free(session);
  return status;
}
