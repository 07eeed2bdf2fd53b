/* SPDX-License-Identifier: MIT */
/* WebP by libwebp, reduced while decoding when less is wanted; of a moving picture the first frame.
 * Source: RFC 9649 (WebP Image Format). */
#include "photo_internal.h"

#include <webp/decode.h>
#include <webp/demux.h>

static uint32_t little_endian(const uint8_t *bytes) {
  return (uint32_t)bytes[3] << 24 | (uint32_t)bytes[2] << 16 | (uint32_t)bytes[1] << 8 | bytes[0];
}

static bc_status fail(VP8StatusCode code, bc_context *context, const photo_source *source) {
  switch (code) {
  case VP8_STATUS_OUT_OF_MEMORY:
    return bc_fail_memory(context);
  case VP8_STATUS_SUSPENDED:
  case VP8_STATUS_NOT_ENOUGH_DATA:
    return photo_fail_cut_off(context, source);
  case VP8_STATUS_UNSUPPORTED_FEATURE:
    return photo_fail_kind(context, source);
  default:
    return photo_fail_damaged(context, source);
  }
}

/* Photos are reduced by a whole factor, so that each new sample averages whole old ones. */
static int reduction(const bc_photo *photo, int wanted_side) {
  const int longer = photo->full_width > photo->full_height ? photo->full_width : photo->full_height;
  return wanted_side > 0 && longer >= 2 * wanted_side ? longer / wanted_side : 1;
}

/* libwebp keeps the luma, chroma and alpha of a lossy picture for some rows only, but 4 bytes for every
 * pixel of a lossless one, and the plane of its alpha. */
static uint64_t working_bytes(const bc_photo *photo) {
  return 5 * (uint64_t)photo->full_width * (uint64_t)photo->full_height;
}

static void set_output(WebPDecoderConfig *config, const bc_photo *photo, int factor) {
  config->options.use_threads = 1;
  config->options.use_scaling = factor > 1;
  config->options.scaled_width = photo->raster.width;
  config->options.scaled_height = photo->raster.height;
  config->output.colorspace = photo->alpha ? MODE_RGBA : MODE_RGB;
  config->output.is_external_memory = 1;
  config->output.u.RGBA.rgba = photo->samples;
  config->output.u.RGBA.stride = (int)photo->raster.row_bytes;
  config->output.u.RGBA.size = photo->raster.row_bytes * (size_t)photo->raster.height;
}

static bc_status decode_frame(bc_photo *photo, bc_context *context, const photo_source *source, const uint8_t *bytes,
                              size_t size) {
  WebPDecoderConfig config;
  if (!WebPInitDecoderConfig(&config)) return bc_fail_memory(context);
  VP8StatusCode code = WebPGetFeatures(bytes, size, &config.input);
  if (code != VP8_STATUS_OK) return fail(code, context, source);
  bc_status status =
      photo_set_size(photo, context, source, (uint64_t)config.input.width, (uint64_t)config.input.height);
  if (status != BC_OK) return status;
  const int factor = reduction(photo, source->wanted_side);
  const bool alpha = config.input.has_alpha != 0;
  const photo_raster_shape shape = {.width = (photo->full_width + factor - 1) / factor,
                                    .height = (photo->full_height + factor - 1) / factor,
                                    .model = BC_PHOTO_RGB,
                                    .bits = 8,
                                    .has_alpha = alpha,
                                    .alpha_inside = alpha,
                                    .besides = working_bytes(photo)};
  status = photo_raster_make(photo, context, source, &shape);
  if (status != BC_OK) return status;
  set_output(&config, photo, factor);
  code = WebPDecode(bytes, size, &config);
  WebPFreeDecBuffer(&config.output);
  if (code != VP8_STATUS_OK) return fail(code, context, source);
  if (alpha) photo_raster_split_alpha(photo);
  return BC_OK;
}

static bc_status take_chunks(bc_photo *photo, bc_context *context, const photo_source *source, WebPDemuxer *file) {
  WebPChunkIterator chunk;
  bc_status status = BC_OK;
  if (WebPDemuxGetChunk(file, "ICCP", 1, &chunk)) {
    status = photo_take_profile(photo, context, source, chunk.chunk.bytes, chunk.chunk.size);
    WebPDemuxReleaseChunkIterator(&chunk);
  }
  if (status == BC_OK && WebPDemuxGetChunk(file, "EXIF", 1, &chunk)) {
    photo_take_exif(photo, chunk.chunk.bytes, chunk.chunk.size);
    WebPDemuxReleaseChunkIterator(&chunk);
  }
  return status;
}

static bc_status decode_first(bc_photo *photo, bc_context *context, const photo_source *source, WebPDemuxer *file) {
  WebPIterator frame;
  if (!WebPDemuxGetFrame(file, 1, &frame)) return photo_fail_damaged(context, source);
  const bc_status status = decode_frame(photo, context, source, frame.fragment.bytes, frame.fragment.size);
  WebPDemuxReleaseIterator(&frame);
  return status == BC_OK ? take_chunks(photo, context, source, file) : status;
}

bc_status photo_webp_decode(bc_photo *photo, bc_context *context, const photo_source *source) {
  if (source->size < 12 || little_endian(source->bytes + 4) > source->size - 8)
    return photo_fail_cut_off(context, source);
  const WebPData data = {.bytes = source->bytes, .size = source->size};
  WebPDemuxer *file = WebPDemux(&data);
  if (!file) return photo_fail_damaged(context, source);
  const bc_status status = decode_first(photo, context, source, file);
  WebPDemuxDelete(file);
  return status;
}
