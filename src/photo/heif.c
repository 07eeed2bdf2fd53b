/* SPDX-License-Identifier: MIT */
/* HEIC, HEIF and AVIF by libheif, which applies the file's own turns and crops; so EXIF's orientation is
 * left alone. Source: ISO/IEC 23008-12 (HEIF), 23000-22 (MIAF), AV1 Image File Format 1.1. */
#include "limits.h"
#include "photo_internal.h"

#include <libheif/heif.h>
#include <stdlib.h>
#include <string.h>

typedef struct heif_work {
  struct heif_context *file;
  struct heif_image_handle *handle;
  struct heif_image *image;
  struct heif_decoding_options *options;
  bc_photo *photo;
  bc_context *context;
  const photo_source *source;
} heif_work;

/* ---- libheif's errors become our sentences ---- */

static bc_status fail(const heif_work *reader, struct heif_error error) {
  if (error.subcode == heif_suberror_Security_limit_exceeded)
    return bc_fail(reader->context, BC_BAD_DATA,
                   _("%s: opening this picture would take too much memory. Save a smaller copy."),
                   reader->source->name);
  if (error.subcode == heif_suberror_End_of_data) return photo_fail_cut_off(reader->context, reader->source);
  switch (error.code) {
  case heif_error_Memory_allocation_error:
    return bc_fail_memory(reader->context);
  case heif_error_Unsupported_filetype:
  case heif_error_Unsupported_feature:
  case heif_error_Plugin_loading_error:
    return photo_fail_kind(reader->context, reader->source);
  default:
    return photo_fail_damaged(reader->context, reader->source);
  }
}

static uint32_t big_endian(const uint8_t *bytes) {
  return (uint32_t)bytes[0] << 24 | (uint32_t)bytes[1] << 16 | (uint32_t)bytes[2] << 8 | bytes[3];
}

/* The outermost boxes must fit the file: the picture data lie in one of them, and libheif tells a file
 * whose data are missing no differently from a damaged one. */
static bool is_cut_off(const photo_source *source) {
  size_t at = 0;
  while (source->size - at >= 8) {
    uint64_t size = big_endian(source->bytes + at);
    if (size == 0) return false; /* to the end of the file */
    if (size == 1) {
      if (source->size - at < 16) return true;
      size = (uint64_t)big_endian(source->bytes + at + 8) << 32 | big_endian(source->bytes + at + 12);
    }
    if (size < 8) return false; /* damaged: libheif will say */
    if (size > source->size - at) return true;
    at += (size_t)size;
  }
  return at != source->size;
}

/* ---- colour and EXIF ---- */

static bc_status take_profile(const heif_work *reader) {
  const size_t size = heif_image_handle_get_raw_color_profile_size(reader->handle);
  if (size == 0) return BC_OK;
  if (size > bc_context_limits(reader->context)->profile_bytes)
    return photo_fail_profile_size(reader->context, reader->source);
  uint8_t *bytes = bc_allocate(size, 1);
  if (!bytes) return bc_fail_memory(reader->context);
  const struct heif_error error = heif_image_handle_get_raw_color_profile(reader->handle, bytes);
  const bc_status status = error.code == heif_error_Ok
                               ? photo_take_profile(reader->photo, reader->context, reader->source, bytes, size)
                               : fail(reader, error);
  free(bytes);
  return status;
}

static void take_nclx(bc_photo *photo, struct heif_color_profile_nclx *nclx) {
  if (!nclx) return;
  (void)photo_take_code_points(photo, (unsigned)nclx->color_primaries, (unsigned)nclx->transfer_characteristics);
  heif_nclx_color_profile_free(nclx);
}

/* A profile says more than code points; those in the file's boxes come before those in its bitstream. */
static void take_declaration(const heif_work *reader) {
  struct heif_color_profile_nclx *nclx = NULL;
  if (reader->photo->profile_source == BC_PROFILE_ASSUMED &&
      heif_image_handle_get_nclx_color_profile(reader->handle, &nclx).code == heif_error_Ok)
    take_nclx(reader->photo, nclx);
  nclx = NULL;
  if (reader->photo->profile_source == BC_PROFILE_ASSUMED &&
      heif_image_get_nclx_color_profile(reader->image, &nclx).code == heif_error_Ok)
    take_nclx(reader->photo, nclx);
}

/* EXIF may still declare Adobe RGB. Its block begins with the offset of the TIFF header. */
static void take_exif(const heif_work *reader) {
  heif_item_id id = 0;
  if (heif_image_handle_get_list_of_metadata_block_IDs(reader->handle, "Exif", &id, 1) < 1) return;
  const size_t size = heif_image_handle_get_metadata_size(reader->handle, id);
  if (size < 12 || size > PHOTO_EXIF_BYTES) return;
  uint8_t *block = bc_allocate(size, 1);
  if (block && heif_image_handle_get_metadata(reader->handle, id, block).code == heif_error_Ok) {
    const uint32_t offset = big_endian(block);
    if (offset <= size - 12) photo_take_exif(reader->photo, block + 4 + offset, size - 4 - offset);
  }
  free(block);
  reader->photo->orientation = 1;
}

/* ---- the raster ---- */

/* A grey profile fits grey samples only; libheif can give either from a grey picture. */
static bool has_grey_profile(const bc_photo *photo) {
  return photo->profile_source == BC_PROFILE_EMBEDDED && photo->profile_size >= 20 &&
         memcmp(photo->profile + 16, "GRAY", 4) == 0;
}

static bool is_little_endian(void) {
  const uint16_t one = 1;
  uint8_t first;
  memcpy(&first, &one, 1);
  return first == 1;
}

static enum heif_chroma interleaved(bool deep, bool alpha) {
  if (!deep) return alpha ? heif_chroma_interleaved_RGBA : heif_chroma_interleaved_RGB;
  if (is_little_endian()) return alpha ? heif_chroma_interleaved_RRGGBBAA_LE : heif_chroma_interleaved_RRGGBB_LE;
  return alpha ? heif_chroma_interleaved_RRGGBBAA_BE : heif_chroma_interleaved_RRGGBB_BE;
}

/* libheif holds the decoded planes, for an alpha one more, and the interleaved picture at the same time:
 * at most 4 + 4 samples a pixel. */
static uint64_t working_bytes(const heif_work *reader, bool deep) {
  return (uint64_t)reader->photo->full_width * (uint64_t)reader->photo->full_height * 8 * (deep ? 2 : 1);
}

static bc_status copy_rows(const heif_work *reader, const photo_raster_shape *shape, enum heif_channel channel) {
  int stride = 0;
  const uint8_t *plane = heif_image_get_plane_readonly(reader->image, channel, &stride);
  if (!plane || stride < 0) return photo_fail_damaged(reader->context, reader->source);
  const bc_status status = photo_raster_make(reader->photo, reader->context, reader->source, shape);
  if (status != BC_OK) return status;
  const size_t row_bytes = reader->photo->raster.row_bytes;
  if ((size_t)stride < row_bytes) return photo_fail_damaged(reader->context, reader->source);
  for (int y = 0; y < shape->height; y++)
    memcpy(photo_raster_row(reader->photo, y), plane + (size_t)y * (size_t)stride, row_bytes);
  return BC_OK;
}

/* The size is taken again from the decoded picture: it need not be what the header promised. */
static bc_status take_samples(const heif_work *reader, bool grey, bool alpha) {
  const enum heif_channel channel = grey ? heif_channel_Y : heif_channel_interleaved;
  const int width = heif_image_get_width(reader->image, channel);
  const int height = heif_image_get_height(reader->image, channel);
  const int bits = heif_image_get_bits_per_pixel_range(reader->image, channel);
  if (width < 1 || height < 1 || bits < 8 || bits > 16) return photo_fail_damaged(reader->context, reader->source);
  bc_status status = photo_set_size(reader->photo, reader->context, reader->source, (uint64_t)width, (uint64_t)height);
  if (status != BC_OK) return status;
  const photo_raster_shape shape = {.width = width,
                                    .height = height,
                                    .model = grey ? BC_PHOTO_GREY : BC_PHOTO_RGB,
                                    .bits = bits > 8 ? 16 : 8,
                                    .has_alpha = alpha,
                                    .alpha_inside = alpha};
  status = copy_rows(reader, &shape, channel);
  if (status != BC_OK) return status;
  if (bits > 8 && bits < 16) photo_raster_widen(reader->photo, bits);
  if (!alpha) return BC_OK;
  photo_raster_split_alpha(reader->photo);
  if (heif_image_handle_is_premultiplied_alpha(reader->handle)) photo_raster_undo_premultiplied(reader->photo);
  return BC_OK;
}

static bc_status read_samples(heif_work *reader) {
  const bool deep = heif_image_handle_get_luma_bits_per_pixel(reader->handle) > 8;
  const bool grey = has_grey_profile(reader->photo);
  const bool alpha = !grey && heif_image_handle_has_alpha_channel(reader->handle) != 0;
  const bc_status status = photo_check_memory(reader->context, reader->source, working_bytes(reader, deep));
  if (status != BC_OK) return status;
  reader->options = heif_decoding_options_alloc();
  if (!reader->options) return bc_fail_memory(reader->context);
  reader->options->strict_decoding = 1;
  const struct heif_error error = grey ? heif_decode_image(reader->handle, &reader->image, heif_colorspace_monochrome,
                                                           heif_chroma_monochrome, reader->options)
                                       : heif_decode_image(reader->handle, &reader->image, heif_colorspace_RGB,
                                                           interleaved(deep, alpha), reader->options);
  if (error.code != heif_error_Ok) return fail(reader, error);
  return take_samples(reader, grey, alpha);
}

/* ---- opening ---- */

static const char *format_of(const photo_source *source) {
  const char *const brand = (const char *)source->bytes + 8;
  if (source->size >= 12 && memcmp(brand, "avi", 3) == 0) return "AVIF";
  return source->size >= 12 && memcmp(brand, "he", 2) == 0 ? "HEIC" : "HEIF";
}

static bc_status open_file(heif_work *reader) {
  const photo_source *const source = reader->source;
  const int head = source->size < 64 ? (int)source->size : 64;
  if (heif_check_filetype(source->bytes, head) == heif_filetype_no) return photo_fail_kind(reader->context, source);
  if (is_cut_off(source)) return photo_fail_cut_off(reader->context, source);
  reader->file = heif_context_alloc();
  if (!reader->file) return bc_fail_memory(reader->context);
  const uint32_t side = bc_context_limits(reader->context)->photo_side;
  heif_context_set_maximum_image_size_limit(reader->file, side < 65536 ? (int)side : 65536);
  struct heif_error error = heif_context_read_from_memory_without_copy(reader->file, source->bytes, source->size, NULL);
  if (error.code == heif_error_Ok) error = heif_context_get_primary_image_handle(reader->file, &reader->handle);
  if (error.code != heif_error_Ok) return fail(reader, error);
  const int width = heif_image_handle_get_width(reader->handle);
  const int height = heif_image_handle_get_height(reader->handle);
  if (width < 1 || height < 1) return photo_fail_damaged(reader->context, source);
  return photo_set_size(reader->photo, reader->context, source, (uint64_t)width, (uint64_t)height);
}

bc_status photo_heif_decode(bc_photo *photo, bc_context *context, const photo_source *source) {
  heif_work reader = {.photo = photo, .context = context, .source = source};
  photo->format = format_of(source);
  bc_status status = open_file(&reader);
  if (status == BC_OK) status = take_profile(&reader);
  if (status == BC_OK) status = read_samples(&reader);
  if (status == BC_OK) {
    take_declaration(&reader);
    take_exif(&reader);
  }
  if (reader.image) heif_image_release(reader.image);
  if (reader.options) heif_decoding_options_free(reader.options);
  if (reader.handle) heif_image_handle_release(reader.handle);
  if (reader.file) heif_context_free(reader.file);
  return status;
}
