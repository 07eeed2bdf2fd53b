/* SPDX-License-Identifier: MIT */
/* From an image to a cut-out in one call: the photo's own alpha, or a session without strokes. */
#include "value.h"

static bool has_help(const bc_cutout_options *options) {
  return options && (options->has_box || options->first_guess || options->keep_count + options->drop_count > 0);
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
