/* SPDX-License-Identifier: MIT */
/* From a file to a reading in one call: photo, colour, cut-out, reading.
 * In: a path. Out: bc_study, which keeps the image and the mask for drawing. */
#include "study.h"

#include <stdlib.h>

bc_study_options bc_study_options_default(void) {
  return (bc_study_options){.cutout = bc_cutout_options_default(), .image = bc_image_options_default()};
}

bc_status study_read_image(bc_image **out, bc_context *context, const study_source *from, const bc_image_options *how) {
  bc_photo_options photo_options = bc_photo_options_default();
  /* A sixteenth less does as well: a photo of 4000 pixels then comes at a quarter of its size, which the decoder
   * does in vector code in two thirds of the time that three eighths take. */
  photo_options.wanted_side = how->side - how->side / 16;
  bc_photo *photo = NULL;
  const bc_status status = from->bytes
                               ? bc_photo_decode(&photo, context, from->bytes, from->size, from->name, &photo_options)
                               : bc_photo_open(&photo, context, from->name, &photo_options);
  if (from->owned) {
    free(*from->owned); /* of a large photo some megabytes: not needed any more */
    *from->owned = NULL;
  }
  if (status != BC_OK) return status;
  const bc_status converted = bc_image_from_photo(out, context, photo, how);
  bc_photo_free(photo); /* the raster is the largest block: not needed any more */
  return converted;
}

/* The search begins from the guess in a file, or from what a model says. */
static bc_status find_from_guess(bc_study *study, bc_context *context, const bc_study_options *options) {
  bc_cutout *guess = NULL;
  bc_status status = options->guess_path ? bc_cutout_from_mask(&guess, context, study->image, options->guess_path)
                                         : bc_cutout_from_model(&guess, context, study->image, options->guess_model);
  if (status != BC_OK) return status;
  bc_cutout_options from_guess = options->cutout;
  from_guess.first_guess = bc_cutout_guess_of_mask;
  from_guess.first_guess_data = guess;
  status = bc_cutout_find(&study->cutout, context, study->image, &from_guess);
  bc_cutout_free(guess);
  return status;
}

static bc_status find_piece(bc_study *study, bc_context *context, const bc_study_options *options) {
  if (options->mask_path) return bc_cutout_from_mask(&study->cutout, context, study->image, options->mask_path);
  if (options->guess_path || options->guess_model) return find_from_guess(study, context, options);
  return bc_cutout_find(&study->cutout, context, study->image, &options->cutout);
}

/* Takes the image over and finds the piece in it; without a reading. */
static bc_status cut_out(bc_study **out, bc_context *context, bc_image *image, const bc_study_options *options) {
  *out = NULL;
  bc_study *study = bc_allocate(1, sizeof *study);
  if (!study) {
    bc_image_free(image);
    return bc_fail_memory(context);
  }
  study->image = image;
  const bc_status status = find_piece(study, context, options);
  if (status == BC_OK)
    *out = study;
  else
    bc_study_free(study);
  return status;
}

/* Image and cut-out, without a reading. */
static bc_status open_photo(bc_study **out, bc_context *context, const study_source *from,
                            const bc_study_options *options) {
  *out = NULL;
  bc_image *image = NULL;
  const bc_status status = study_read_image(&image, context, from, &options->image);
  return status == BC_OK ? cut_out(out, context, image, options) : status;
}

bc_status bc_study_of_image(bc_study **out, bc_context *context, bc_image *image, const char *name,
                            const bc_study_options *options) {
  const bc_study_options defaults = bc_study_options_default();
  bc_status status = cut_out(out, context, image, options ? options : &defaults);
  if (status == BC_OK) status = bc_reading_of(&(*out)->reading, context, (*out)->image, (*out)->cutout, name);
  if (status == BC_OK || !*out) return status;
  bc_study_free(*out);
  *out = NULL;
  return status;
}

static bc_status open_and_read(bc_study **out, bc_context *context, const study_source *from,
                               const bc_study_options *options) {
  const bc_study_options defaults = bc_study_options_default();
  bc_image *image = NULL;
  *out = NULL;
  const bc_status status = study_read_image(&image, context, from, options ? &options->image : &defaults.image);
  return status == BC_OK ? bc_study_of_image(out, context, image, from->name, options) : status;
}

bc_status bc_study_decode(bc_study **out, bc_context *context, const void *bytes, size_t size, const char *name,
                          const bc_study_options *options) {
  return open_and_read(out, context, &(study_source){.name = name, .bytes = bytes ? bytes : "", .size = size}, options);
}

/* ---- several pieces in one photo ---- */

char *study_name(const char *photo, size_t number, size_t of) {
  return of > 1 ? bc_format("%s#%zu", photo, number) : bc_copy_text(photo);
}

static bc_status read_part(bc_study *study, bc_context *context, const char *path, size_t number, size_t of) {
  char *name = study_name(path, number, of);
  const bc_status status =
      name ? bc_reading_of(&study->reading, context, study->image, study->cutout, name) : bc_fail_memory(context);
  free(name);
  return status;
}

/* Fills `list` with studies that take the cut-outs over; the last takes the image. */
static bc_status read_parts(bc_study **list, bc_context *context, const char *path, bc_study *whole, bc_cutout **part,
                            size_t count) {
  bc_status status = BC_OK;
  for (size_t i = 0; i < count && status == BC_OK; i++) {
    list[i] = bc_allocate(1, sizeof *list[i]);
    if (!list[i]) return bc_fail_memory(context);
    *list[i] = (bc_study){.image = whole->image, .cutout = part[i], .shares_image = i + 1 < count};
    part[i] = NULL;
    status = read_part(list[i], context, path, i + 1, count);
  }
  return status;
}

static bc_status split_photo(bc_study ***out, size_t *count, bc_context *context, const char *path, bc_study *whole) {
  bc_cutout **part = NULL;
  size_t parts = 0;
  bc_status status = bc_cutout_separate(&part, &parts, context, whole->image, whole->cutout);
  if (status != BC_OK) return status;
  bc_study **list = bc_allocate(parts, sizeof *list);
  status = list ? read_parts(list, context, path, whole, part, parts) : bc_fail_memory(context);
  bc_cutout_free_list(part, parts);
  const bool handed_over = list && parts > 0 && list[parts - 1];
  if (handed_over) whole->image = NULL;
  if (status == BC_OK) {
    *out = list;
    *count = parts;
    return BC_OK;
  }
  for (size_t i = 0; list && i < parts; i++) bc_study_free(list[i]);
  free(list);
  return status;
}

static bc_status compute_single(bc_study ***out, bc_context *context, const study_source *from,
                                const bc_study_options *options) {
  *out = bc_allocate(1, sizeof **out);
  if (!*out) return bc_fail_memory(context);
  const bc_status status = open_and_read(*out, context, from, options);
  if (status == BC_OK) return BC_OK;
  free(*out);
  *out = NULL;
  return status;
}

bc_status study_compute(bc_study ***out, size_t *count, bc_context *context, const study_source *from,
                        const bc_study_options *options) {
  *out = NULL;
  *count = 0;
  bc_status status;
  if (!options->split) {
    status = compute_single(out, context, from, options);
    *count = status == BC_OK;
    return status;
  }
  bc_study *whole = NULL;
  status = open_photo(&whole, context, from, options);
  if (status == BC_OK) status = split_photo(out, count, context, from->name, whole);
  bc_study_free(whole);
  return status;
}

void study_origin_free(bc_study_origin *origin) {
  if (!origin) return;
  free(origin->path);
  free(origin->mask_path);
  free(origin->guess_path);
  free(origin->points);
  free(origin);
}

void bc_study_free(bc_study *study) {
  if (!study) return;
  if (!study->shares_image) bc_image_free(study->image);
  bc_image_free(study->photographed);
  bc_cutout_free(study->cutout);
  bc_reading_free(study->reading);
  study_origin_free(study->origin);
  free(study);
}
