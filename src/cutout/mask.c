/* SPDX-License-Identifier: MIT */
/* A cut-out from a mask picture that the user gives: grey, colour or alpha; light means piece. */
#include "base/base.h"
#include "mask_doubt.h"
#include "scale.h"
#include "value.h"

#include <stdlib.h>

static uint8_t sample_at(const bc_raster *raster, const void *row, size_t index) {
  return raster->bits == 16 ? (uint8_t)(((const uint16_t *)row)[index] >> 8) : ((const uint8_t *)row)[index];
}

/* A mask is data, not a colour: its encoded samples are averaged as they are. */
static uint8_t grey_of(const bc_raster *raster, const void *row, int x) {
  const size_t samples = (size_t)raster->model;
  unsigned sum = 0;
  for (size_t i = 0; i < samples; i++) sum += sample_at(raster, row, (size_t)x * samples + i);
  const unsigned mean = sum / (samples > 0 ? (unsigned)samples : 1);
  return (uint8_t)(raster->model == BC_PHOTO_CMYK ? 255 - mean : mean);
}

static bool has_clear_pixels(const bc_raster *raster) {
  const size_t count = (size_t)raster->width * (size_t)raster->height;
  for (size_t i = 0; raster->alpha && i < count; i++)
    if (raster->alpha[i] < 255) return true;
  return false;
}

/* The mask's own plane: its alpha when that says anything, else its grey. */
static uint8_t *mask_plane(const bc_raster *raster) {
  const size_t width = (size_t)raster->width, height = (size_t)raster->height;
  uint8_t *plane = bc_allocate(width * height, 1);
  if (!plane) return NULL;
  const bool use_alpha = has_clear_pixels(raster);
  for (size_t y = 0; y < height; y++) {
    const uint8_t *row = (const uint8_t *)raster->samples + y * raster->row_bytes;
    for (size_t x = 0; x < width; x++)
      plane[y * width + x] = use_alpha ? raster->alpha[y * width + x] : grey_of(raster, row, (int)x);
  }
  return plane;
}

static bc_status scale_to(bc_cutout *cutout, bc_context *context, const bc_raster *raster) {
  uint8_t *plane = mask_plane(raster);
  float *scratch = bc_allocate((size_t)raster->width, sizeof *scratch);
  const bool ready = plane && scratch;
  for (int y = 0; ready && y < cutout->height; y++)
    cutout_scale_row(cutout->alpha + (size_t)y * (size_t)cutout->width, y, plane,
                     (cutout_scaling){raster->width, raster->height, cutout->width, cutout->height}, scratch);
  free(plane);
  free(scratch);
  return ready ? BC_OK : bc_fail_memory(context);
}

/* The proportions agree when each side, scaled by the other's ratio, is within 1 % or a pixel. */
static bool same_proportions(int mask_width, int mask_height, int width, int height) {
  const double first = (double)mask_width * height, second = (double)mask_height * width;
  const double slack = 0.01 * (first > second ? first : second) + (width > height ? width : height);
  return first - second <= slack && second - first <= slack;
}

/* A soft edge has all greys, but only there. */
static bc_status doubt_mask(bc_cutout *cutout, bc_context *context, const char *name) {
  const uint8_t dark = 32, light = 223;
  const size_t count = (size_t)cutout->width * (size_t)cutout->height;
  size_t between = 0;
  for (size_t i = 0; i < count; i++) between += cutout->alpha[i] > dark && cutout->alpha[i] < light;
  if (2 * between < count) return BC_OK;
  return bc_note(
      &cutout->notes, context,
      _("%s: most of this mask is neither black nor white. Is it the right picture? A mask is white where the "
        "piece is and black elsewhere."),
      name);
}

static bc_status fill_from_photo(bc_cutout *cutout, bc_context *context, const bc_image *image, const bc_photo *photo) {
  int width = 0, height = 0;
  bc_photo_full_size(photo, &width, &height);
  if (!same_proportions(width, height, image->full_width, image->full_height))
    return bc_fail(context, BC_BAD_DATA,
                   _("%s: this mask is %d x %d pixels, but the photo is %d x %d. A mask must have its photo's "
                     "proportions; make it from the whole, uncropped photo."),
                   bc_photo_name(photo), width, height, image->full_width, image->full_height);
  const bc_raster raster = bc_photo_raster(photo);
  const bc_status status = scale_to(cutout, context, &raster);
  if (status != BC_OK) return status;
  cutout->source = BC_CUTOUT_MASK;
  cutout->confidence = 1;
  cutout_doubt_read(cutout, bc_photo_name(photo));
  if (cutout_set_box(cutout)) return doubt_mask(cutout, context, bc_photo_name(photo));
  return bc_fail(context, BC_BAD_DATA, _("%s: this mask is dark all over. Paint the piece white and the rest black."),
                 bc_photo_name(photo));
}

bc_status bc_cutout_from_mask(bc_cutout **out, bc_context *context, const bc_image *image, const char *mask_path) {
  *out = NULL;
  bc_photo_options options = bc_photo_options_default();
  options.wanted_side = image->width > image->height ? image->width : image->height;
  bc_photo *photo = NULL;
  bc_cutout *cutout = NULL;
  bc_status status = bc_photo_open(&photo, context, mask_path, &options);
  if (status == BC_OK) status = cutout_new(&cutout, context, image);
  if (status == BC_OK) status = fill_from_photo(cutout, context, image, photo);
  bc_photo_free(photo);
  if (status != BC_OK) {
    bc_cutout_free(cutout);
    return status;
  }
  *out = cutout;
  return BC_OK;
}
