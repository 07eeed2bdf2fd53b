/* SPDX-License-Identifier: MIT */
/* From a file to a reading in one call: photo, colour, cut-out, reading.
 * In: a path. Out: bc_study, which keeps the image and the mask for drawing. */
#include "reading_internal.h"

#include <stdlib.h>

bc_study_options bc_study_options_default(void) {
  return (bc_study_options){.cutout = bc_cutout_options_default(), .image = bc_image_options_default()};
}

static bc_status read_image(bc_study *study, bc_context *context, const char *path, const bc_image_options *how) {
  bc_photo_options photo_options = bc_photo_options_default();
  photo_options.wanted_side = how->side;
  bc_photo *photo = NULL;
  const bc_status status = bc_photo_open(&photo, context, path, &photo_options);
  if (status != BC_OK) return status;
  const bc_status converted = bc_image_from_photo(&study->image, context, photo, how);
  bc_photo_free(photo); /* the raster is the largest block: not needed any more */
  return converted;
}

static bc_status find_piece(bc_study *study, bc_context *context, const bc_study_options *options) {
  if (options->mask_path) return bc_cutout_from_mask(&study->cutout, context, study->image, options->mask_path);
  return bc_cutout_find(&study->cutout, context, study->image, &options->cutout);
}

bc_status bc_study_open(bc_study **out, bc_context *context, const char *path, const bc_study_options *options) {
  *out = NULL;
  const bc_study_options defaults = bc_study_options_default();
  const bc_study_options *chosen = options ? options : &defaults;
  bc_study *study = bc_allocate(1, sizeof *study);
  if (!study) return bc_fail_memory(context);
  bc_status status = read_image(study, context, path, &chosen->image);
  if (status == BC_OK) status = find_piece(study, context, chosen);
  if (status == BC_OK) status = bc_reading_of(&study->reading, context, study->image, study->cutout, path);
  if (status != BC_OK) {
    bc_study_free(study);
    return status;
  }
  *out = study;
  return BC_OK;
}

void bc_study_free(bc_study *study) {
  if (!study) return;
  bc_image_free(study->image);
  bc_cutout_free(study->cutout);
  bc_reading_free(study->reading);
  free(study);
}
