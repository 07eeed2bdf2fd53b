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

/* The mean alpha of the mask over one cell. */
static float cell_mean(const bc_cutout *mask, int x, int y, int width, int height) {
  const int left = (int)((int64_t)x * mask->width / width), top = (int)((int64_t)y * mask->height / height);
  int right = (int)((int64_t)(x + 1) * mask->width / width), bottom = (int)((int64_t)(y + 1) * mask->height / height);
  if (right <= left) right = left + 1;
  if (bottom <= top) bottom = top + 1;
  double sum = 0;
  for (int row = top; row < bottom; row++)
    for (int column = left; column < right; column++)
      sum += mask->alpha[(size_t)row * (size_t)mask->width + (size_t)column];
  return (float)(sum / (255.0 * (right - left) * (bottom - top)));
}

bool bc_cutout_guess_of_mask(void *data, const bc_image *image, int width, int height, float *probability) {
  const bc_cutout *mask = data;
  (void)image;
  for (int y = 0; y < height; y++)
    for (int x = 0; x < width; x++)
      probability[(size_t)y * (size_t)width + (size_t)x] = cell_mean(mask, x, y, width, height);
  return true;
}

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
