/* SPDX-License-Identifier: MIT */
/* The public face of the stage: a photo decoded here or apart, and the accessors. */
#include "photo_internal.h"

#include <backcloth/file.h>
#include <stdlib.h>
#include <string.h>

bc_photo_options bc_photo_options_default(void) {
  return (bc_photo_options){.wanted_side = 0};
}

static bc_status decode(bc_photo **out, bc_context *context, const photo_source *source, const char *name) {
  return (photo_is_kept_apart() ? photo_decode_apart : photo_decode_here)(out, context, source, name);
}

static int wanted_side(const bc_photo_options *options) {
  return options && options->wanted_side > 0 ? options->wanted_side : 0;
}

bc_status bc_photo_decode(bc_photo **out, bc_context *context, const void *bytes, size_t size, const char *name,
                          const bc_photo_options *options) {
  const photo_source source = {.bytes = bytes, .size = size, .name = name, .wanted_side = wanted_side(options)};
  return decode(out, context, &source, name);
}

bc_status bc_photo_open(bc_photo **out, bc_context *context, const char *path, const bc_photo_options *options) {
  *out = NULL;
  uint8_t *bytes = NULL;
  size_t size = 0;
  bc_status status = bc_file_read(&bytes, &size, context, path, bc_context_limits(context)->file_bytes);
  if (status != BC_OK) return status;
  const photo_source source = {.bytes = bytes,
                               .size = size,
                               .name = strcmp(path, "-") == 0 ? _("standard input") : path,
                               .wanted_side = wanted_side(options)};
  status = decode(out, context, &source, path);
  free(bytes);
  return status;
}

/* ---- accessors ---- */

bc_raster bc_photo_raster(const bc_photo *photo) {
  return photo->raster;
}

void bc_photo_full_size(const bc_photo *photo, int *width, int *height) {
  *width = photo->full_width;
  *height = photo->full_height;
}

const char *bc_photo_name(const bc_photo *photo) {
  return photo->name;
}

const char *bc_photo_format(const bc_photo *photo) {
  return photo->format;
}

const void *bc_photo_profile(const bc_photo *photo, size_t *size) {
  const bool embedded = photo->profile_source == BC_PROFILE_EMBEDDED;
  *size = embedded ? photo->profile_size : 0;
  return embedded ? photo->profile : NULL;
}

bc_profile_source bc_photo_profile_source(const bc_photo *photo) {
  return photo->profile_source;
}

const bc_declared_colour *bc_photo_declared_colour(const bc_photo *photo) {
  return photo->profile_source == BC_PROFILE_DECLARED ? &photo->declared : NULL;
}

double bc_photo_focal_35_mm(const bc_photo *photo) {
  return photo->focal_35_mm;
}
const bc_notes *bc_photo_notes(const bc_photo *photo) {
  return &photo->notes;
}
