/* SPDX-License-Identifier: MIT */
/* A photo's raster and profile become a picture in CIELAB D50 and luminance. Stands between the photo
 * stage and the cut-out; the steps are in samples_to_light.c, reduce.c and to_lab.c. */
#include "base/base.h"
#include "colour_internal.h"
#include "find_white.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

bc_image_options bc_image_options_default(void) {

  return (bc_image_options){
      .side = BC_READING_SIDE, .white_is = bc_colour_from_lab(BC_WHITE_SHEET), .find_white = true};
}

void bc_image_free(bc_image *image) {
  if (!image) return;
  free(image->L); /* heads the block of all four planes */
  free(image->alpha);
  free(image->profile);
  bc_notes_clear(&image->notes);
  free(image);
}

/* --- what the samples mean ------------------------------------------------------------------------------- */
static const char *model_word(bc_photo_model model) {
  return model == BC_PHOTO_GREY ? _("grey") : model == BC_PHOTO_RGB ? _("red, green and blue") : _("printing inks");
}

static bc_status no_meaning(bc_context *context, const char *name, bool has_profile) {
  if (has_profile)
    return bc_fail(context, BC_BAD_DATA,
                   _("%s: the colours are printing inks (CMYK), and the colour profile in the file is damaged or does "
                     "not fit them. Save the photo as sRGB and try again."),
                   name);
  return bc_fail(context, BC_BAD_DATA,
                 _("%s: the colours are printing inks (CMYK), and the file has no colour profile that says which. Save "
                   "the photo as sRGB and try again."),
                 name);
}

static bc_status from_meaning(colour_linear *out, bc_context *context, const bc_raster *raster,
                              const colour_meaning *meaning) {
  if (meaning->profile)
    return colour_linear_from_profile(out, context, meaning->profile, meaning->profile_size, raster->model,
                                      raster->bits);
  if (meaning->declared && raster->model != BC_PHOTO_CMYK)
    return colour_linear_from_declared(out, context, meaning->declared, raster->model, raster->bits);
  return BC_BAD_DATA;
}

/* Finds the meaning: the profile's or declaration's, else sRGB with a note, else none (CMYK). */
static bc_status find_meaning(colour_linear *out, bc_context *context, bc_notes *notes, const bc_raster *raster,
                              const colour_meaning *meaning, const char *name) {
  bc_status status = from_meaning(out, context, raster, meaning);
  if (status != BC_BAD_DATA) return status;
  if (raster->model == BC_PHOTO_CMYK) return no_meaning(context, name, meaning->profile != NULL);
  status = colour_linear_from_srgb(out, context, raster->model, raster->bits);
  if (status) return status;
  if (meaning->profile)
    return bc_note(notes, context,
                   _("The colour profile in the photo is damaged, or is not meant for a photo in %s. Its colours are "
                     "read as sRGB."),
                   model_word(raster->model));
  return bc_note(notes, context, "%s",
                 meaning->declared
                     ? _("What the photo says about its colours makes no sense. They are read as sRGB.")
                     : _("The photo does not say how its colours are meant. They are read as sRGB, the usual way."));
}

/* --- size and memory ----------------------------------------------------------------------------------- */
static void reduced_size(const bc_raster *raster, int side, int *width, int *height) {
  const int longer = raster->width > raster->height ? raster->width : raster->height;
  *width = raster->width;
  *height = raster->height;
  if (side <= 0 || longer <= side) return;
  const double scale = (double)side / longer;
  *width = (int)fmax(1, round(raster->width * scale));
  *height = (int)fmax(1, round(raster->height * scale));
}

static bc_status new_image(bc_image **out, bc_context *context, const bc_raster *raster,
                           const bc_image_options *options) {
  bc_image *image = bc_allocate(1, sizeof *image);
  *out = image;
  if (!image) return bc_fail_memory(context);
  reduced_size(raster, options->side, &image->width, &image->height);
  image->uncertainty = bc_uncertainty_unknown;
  image->full_width = raster->width;
  image->full_height = raster->height;
  size_t count = 0, all = 0, bytes = 0;
  if (!base_size_multiply((size_t)image->width, (size_t)image->height, &count) || !base_size_multiply(count, 4, &all) ||
      !base_size_multiply(all, sizeof(float), &bytes))
    return bc_fail_memory(context);
  image->L = base_allocate_large(bytes, 1);
  /* Not zeroed: every row is written, or the image is not handed out. */
  if (raster->alpha) image->alpha = malloc(count);
  if (!image->L || (raster->alpha && !image->alpha)) return bc_fail_memory(context);
  image->a = image->L + count;
  image->b = image->L + 2 * count;
  image->Y = image->L + 3 * count;
  return BC_OK;
}

/* --- the whole --------------------------------------------------------------------------------------------- */
typedef struct target {
  bc_image *image;
  const colour_matrix3 *to_xyz;
} target;

static void store_row(void *cargo, int y, const float *const plane[4]) {
  const target *t = cargo;
  const bc_image *image = t->image;
  const size_t width = (size_t)image->width, at = (size_t)y * width;
  colour_planes_to_lab((colour_lab_planes){image->L + at, image->a + at, image->b + at, image->Y + at}, plane,
                       t->to_xyz, width);
  if (!image->alpha) return;
  for (size_t x = 0; x < width; x++) {
    const float v = plane[3][x] * 255.0f + 0.5f;
    image->alpha[at + x] = (uint8_t)(v < 0 ? 0 : v > 255 ? 255 : v);
  }
}

static void remember(bc_image *image, const colour_white_measurement *measured, bc_reference reference, bc_box box,
                     double confidence, bc_uncertainty uncertainty) {
  image->reference = reference;
  image->reference_box = box;
  image->reference_seen = colour_from_xyz(measured->seen);
  image->reference_confidence = confidence;
  image->uncertainty = uncertainty;
}

/* A reference given by a person changes the matrix before any pixel is converted. */
static bc_status correct_given(colour_white_measurement *measured, bc_image *image, bc_context *context,
                               const bc_raster *raster, colour_linear *linear, const colour_white_request *request) {
  const bc_status status = colour_white_measure(measured, context, raster, linear, request);
  if (status) return status;
  colour_matrix3_multiply(&measured->correction, &linear->to_xyz, &linear->to_xyz);
  remember(image, measured, BC_REFERENCE_GIVEN, request->box, 1, bc_uncertainty_given);
  return BC_OK;
}

static bc_status note_none(bc_image *image, bc_context *context) {
  return bc_note(&image->notes, context,
                 _("No white sheet or grey card was found in the photo, so its colours are as the camera judged the "
                   "light. For surer figures, lay a sheet of white paper beside the piece."));
}

static bc_status note_found(bc_image *image, bc_context *context, bool grey) {
  const bc_box box = image->reference_box;
  return bc_note(&image->notes, context,
                 grey ? _("What looks like a grey card was found in the photo (%d × %d pixels, from %d, %d), and the "
                          "tint of the light is corrected by it. If it is something else, point out the reference "
                          "yourself.")
                      : _("What looks like a white sheet was found in the photo (%d × %d pixels, from %d, %d), and the "
                          "light is corrected by it. If it is something else, point out the reference yourself."),
                 box.width, box.height, box.x, box.y);
}

/* A reference found in the finished picture corrects it afterwards: rare, so that the usual photo pays
 * nothing but the search. One that turns out unsound is as good as none. */
static bc_status correct_found(bc_image *image, bc_context *context, const bc_raster *raster,
                               const colour_linear *linear, const char *name) {
  colour_found_white found;
  bc_status status = colour_find_white(&found, context, image);
  if (status) return status;
  if (found.confidence <= 0) return note_none(image, context);
  const colour_white_request request = {.box = found.box,
                                        .white_is = bc_colour_from_lab(BC_WHITE_SHEET),
                                        .cast_only = found.grey,
                                        .full_width = image->full_width,
                                        .full_height = image->full_height,
                                        .name = name};
  colour_white_measurement measured;
  status = colour_white_measure(&measured, context, raster, linear, &request);
  if (status == BC_BAD_DATA) return note_none(image, context);
  if (status) return status;
  bc_uncertainty uncertainty = bc_uncertainty_found;
  if (found.grey) uncertainty.stops = bc_uncertainty_unknown.stops;
  colour_lab_planes_correct(image, &measured.correction);
  remember(image, &measured, BC_REFERENCE_FOUND, found.box, found.confidence, uncertainty);
  status = note_found(image, context, found.grey);
  return status ? status : colour_judge_white(image, context, &measured, found.grey);
}

static bc_status convert(bc_image *image, bc_context *context, const bc_raster *raster, colour_linear *linear,
                         const bc_image_options *options, const char *name) {
  const colour_white_request request = {.box = options->white,
                                        .white_is = options->white_is,
                                        .full_width = image->full_width,
                                        .full_height = image->full_height,
                                        .name = name};
  colour_white_measurement measured;
  bc_status status = BC_OK;
  if (options->has_white) status = correct_given(&measured, image, context, raster, linear, &request);
  if (status) return status;
  target t = {image, &linear->to_xyz};
  status = colour_reduce(context, raster, linear, &(colour_reduction){image->width, image->height, store_row, &t});
  if (!status && options->has_white) return colour_judge_white(image, context, &measured, false);
  if (!status && options->find_white) status = correct_found(image, context, raster, linear, name);
  return status;
}

bc_status colour_image_from_raster(bc_image **out, bc_context *context, const bc_raster *raster,
                                   const colour_meaning *meaning, const char *name, const bc_image_options *options) {
  const bc_image_options defaults = bc_image_options_default();
  bc_image *image = NULL;
  colour_linear linear = {0};
  *out = NULL;
  if (!options) options = &defaults;
  bc_status status = new_image(&image, context, raster, options);
  if (!status && meaning->full_width > 0) {
    image->full_width = meaning->full_width;
    image->full_height = meaning->full_height;
  }
  if (!status) status = find_meaning(&linear, context, &image->notes, raster, meaning, name);
  if (!status) status = convert(image, context, raster, &linear, options, name);
  if (!status) {
    image->profile = linear.description;
    linear.description = NULL;
    *out = image;
  } else
    bc_image_free(image);
  colour_linear_clear(&linear);
  return status;
}

bc_status bc_image_from_photo(bc_image **out, bc_context *context, const bc_photo *photo,
                              const bc_image_options *options) {
  const bc_raster raster = bc_photo_raster(photo);
  colour_meaning meaning = {.declared = bc_photo_declared_colour(photo)};
  meaning.profile = bc_photo_profile(photo, &meaning.profile_size);
  bc_photo_full_size(photo, &meaning.full_width, &meaning.full_height);
  bc_image *image = NULL;
  *out = NULL;
  bc_status status = colour_image_from_raster(&image, context, &raster, &meaning, bc_photo_name(photo), options);
  if (status) return status;
  status = base_notes_copy(&image->notes, context, bc_photo_notes(photo));
  if (status)
    bc_image_free(image);
  else
    *out = image;
  return status;
}
