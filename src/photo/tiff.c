/* SPDX-License-Identifier: MIT */
/* TIFF by libtiff: grey, RGB and CMYK of 8 or 16 bits as they are; palettes, few bits and YCbCr through
 * libtiff's own 8-bit conversion. Source: TIFF 6.0 (Adobe 1992) and its supplements. */
#include "limits.h"
#include "photo_internal.h"

#include <stdlib.h>
#include <string.h>
#include <tiffio.h>

typedef struct tiff_reader {
  TIFF *file;
  uint64_t at;
  bool past_end;
  bc_photo *photo;
  bc_context *context;
  const photo_source *source;
  uint16_t bits, samples, photometric, planar, compression;
  int extra; /* samples after the colours */
  bool has_alpha, premultiplied;
  uint8_t *block; /* one row, strip or tile */
} tiff_reader;

/* ---- bytes ---- */

static tmsize_t on_read(thandle_t handle, void *to, tmsize_t size) {
  tiff_reader *const reader = handle;
  const uint64_t all = reader->source->size;
  const uint64_t left = reader->at < all ? all - reader->at : 0;
  const uint64_t part = (uint64_t)size < left ? (uint64_t)size : left;
  if (part < (uint64_t)size) reader->past_end = true;
  if (part > 0) memcpy(to, reader->source->bytes + reader->at, part);
  reader->at += part;
  return (tmsize_t)part;
}

static tmsize_t on_write(thandle_t handle, void *from, tmsize_t size) {
  (void)handle, (void)from, (void)size;
  return -1;
}

static toff_t on_seek(thandle_t handle, toff_t offset, int whence) {
  tiff_reader *const reader = handle;
  const uint64_t base = whence == SEEK_CUR ? reader->at : whence == SEEK_END ? reader->source->size : 0;
  reader->at = base + offset;
  if (reader->at > reader->source->size) reader->past_end = true;
  return reader->at;
}

static int on_close(thandle_t handle) {
  (void)handle;
  return 0;
}

static toff_t on_size(thandle_t handle) {
  return ((const tiff_reader *)handle)->source->size;
}

static int say_nothing(TIFF *file, void *user, const char *module, const char *format, va_list arguments) {
  (void)file, (void)user, (void)module, (void)format, (void)arguments;
  return 1;
}

static bc_status fail(const tiff_reader *reader) {
  return reader->past_end ? photo_fail_cut_off(reader->context, reader->source)
                          : photo_fail_damaged(reader->context, reader->source);
}

static bc_status open_file(tiff_reader *reader) {
  TIFFOpenOptions *options = TIFFOpenOptionsAlloc();
  if (!options) return bc_fail_memory(reader->context);
  const uint64_t most = bc_context_limits(reader->context)->decode_bytes;
  TIFFOpenOptionsSetMaxSingleMemAlloc(options, most < INT64_MAX ? (tmsize_t)most : INT64_MAX);
  TIFFOpenOptionsSetErrorHandlerExtR(options, say_nothing, NULL);
  TIFFOpenOptionsSetWarningHandlerExtR(options, say_nothing, NULL);
  reader->file =
      TIFFClientOpenExt("", "rm", reader, on_read, on_write, on_seek, on_close, on_size, NULL, NULL, options);
  TIFFOpenOptionsFree(options);
  return reader->file ? BC_OK : fail(reader);
}

/* ---- what kind it is ---- */

/* Cameras' raw files are TIFF files whose first picture is a thumbnail or a mosaic: not the photo. */
static bool is_camera_raw(const tiff_reader *reader) {
  uint32_t kind = 0;
  const void *version = NULL;
  TIFFGetFieldDefaulted(reader->file, TIFFTAG_SUBFILETYPE, &kind);
  return (kind & FILETYPE_REDUCEDIMAGE) != 0 || TIFFGetField(reader->file, TIFFTAG_DNGVERSION, &version) != 0 ||
         (reader->source->size > 10 && memcmp(reader->source->bytes + 8, "CR", 2) == 0);
}

static bc_status check_kind(tiff_reader *reader) {
  uint16_t format = SAMPLEFORMAT_UINT;
  TIFFGetFieldDefaulted(reader->file, TIFFTAG_BITSPERSAMPLE, &reader->bits);
  TIFFGetFieldDefaulted(reader->file, TIFFTAG_SAMPLESPERPIXEL, &reader->samples);
  TIFFGetFieldDefaulted(reader->file, TIFFTAG_PLANARCONFIG, &reader->planar);
  TIFFGetFieldDefaulted(reader->file, TIFFTAG_COMPRESSION, &reader->compression);
  TIFFGetFieldDefaulted(reader->file, TIFFTAG_SAMPLEFORMAT, &format);
  if (is_camera_raw(reader))
    return bc_fail(
        reader->context, BC_BAD_DATA,
        _("%s: this is a camera's raw file. Save a JPEG from it, in the camera or in its program, and use that."),
        reader->source->name);
  if (!TIFFGetField(reader->file, TIFFTAG_PHOTOMETRIC, &reader->photometric) ||
      (format != SAMPLEFORMAT_UINT && format != SAMPLEFORMAT_VOID))
    return photo_fail_kind(reader->context, reader->source);
  if (reader->photometric == PHOTOMETRIC_YCBCR && reader->compression == COMPRESSION_JPEG) {
    TIFFSetField(reader->file, TIFFTAG_JPEGCOLORMODE, JPEGCOLORMODE_RGB);
    reader->photometric = PHOTOMETRIC_RGB;
  }
  return BC_OK;
}

/* The model for samples that are taken as they are; 0 when libtiff has to convert; -1 when unreadable. */
static int own_model(const tiff_reader *reader) {
  const bool usual_bits = reader->bits == 8 || reader->bits == 16;
  uint16_t ink_set = INKSET_CMYK;
  switch (reader->photometric) {
  case PHOTOMETRIC_MINISBLACK:
  case PHOTOMETRIC_MINISWHITE:
    return usual_bits ? BC_PHOTO_GREY : reader->bits < 8 ? 0 : -1;
  case PHOTOMETRIC_RGB:
    return usual_bits && reader->samples >= 3 ? BC_PHOTO_RGB : -1;
  case PHOTOMETRIC_SEPARATED:
    TIFFGetFieldDefaulted(reader->file, TIFFTAG_INKSET, &ink_set);
    return usual_bits && ink_set == INKSET_CMYK && reader->samples >= 4 ? BC_PHOTO_CMYK : -1;
  case PHOTOMETRIC_PALETTE:
  case PHOTOMETRIC_YCBCR:
    return reader->bits <= 8 ? 0 : -1;
  default:
    return -1;
  }
}

static void find_alpha(tiff_reader *reader, bc_photo_model model) {
  uint16_t count = 0;
  const uint16_t *kinds = NULL;
  reader->extra = reader->samples - (int)model;
  if (reader->extra < 1 || !TIFFGetField(reader->file, TIFFTAG_EXTRASAMPLES, &count, &kinds) || count < 1) return;
  reader->premultiplied = kinds[0] == EXTRASAMPLE_ASSOCALPHA;
  reader->has_alpha = reader->premultiplied || kinds[0] == EXTRASAMPLE_UNASSALPHA;
}

/* ---- samples as they are ---- */

/* Copies `count` pixels of one block row into a raster row from column x. A planar block holds sample
 * `plane` only; otherwise pixels of all samples, of which colours and alpha are kept. */
static void place(const tiff_reader *reader, const uint8_t *from, int x, int y, int count, int plane) {
  const size_t sample = reader->bits / 8u;
  const size_t kept = (size_t)reader->photo->raster.model + (reader->has_alpha ? 1 : 0);
  const bool planar = reader->planar == PLANARCONFIG_SEPARATE;
  const size_t step = (planar ? 1 : (size_t)reader->samples) * sample;
  const size_t size = (planar ? 1 : kept) * sample;
  uint8_t *to = photo_raster_row(reader->photo, y) + (size_t)x * kept * sample + (planar ? (size_t)plane * sample : 0);
  if (step == size && kept * sample == size) { /* nothing to leave out: the whole row at once */
    memcpy(to, from, (size_t)count * size);
    return;
  }
  for (int i = 0; i < count; i++, from += step, to += kept * sample) memcpy(to, from, size);
}

static int planes(const tiff_reader *reader) {
  return reader->planar == PLANARCONFIG_SEPARATE ? (int)reader->photo->raster.model + (reader->has_alpha ? 1 : 0) : 1;
}

static bc_status read_strips(tiff_reader *reader) {
  const bc_raster raster = reader->photo->raster;
  const tmsize_t size = TIFFScanlineSize(reader->file);
  const uint64_t per_pixel =
      (uint64_t)reader->bits / 8 * (reader->planar == PLANARCONFIG_SEPARATE ? 1u : reader->samples);
  if (size <= 0 || (uint64_t)size < per_pixel * (uint64_t)raster.width) return fail(reader);
  bc_status status = photo_check_memory(reader->context, reader->source, (uint64_t)size);
  if (status != BC_OK) return status;
  reader->block = bc_allocate((size_t)size, 1);
  if (!reader->block) return bc_fail_memory(reader->context);
  for (int plane = 0; plane < planes(reader); plane++)
    for (int y = 0; y < raster.height; y++) {
      if (TIFFReadScanline(reader->file, reader->block, (uint32_t)y, (uint16_t)plane) < 0) return fail(reader);
      place(reader, reader->block, 0, y, raster.width, plane);
    }
  return BC_OK;
}

static void place_tile(const tiff_reader *reader, bc_box tile, int plane) {
  const bc_raster raster = reader->photo->raster;
  const size_t row = (size_t)TIFFTileRowSize(reader->file);
  const int width = tile.x + tile.width < raster.width ? tile.width : raster.width - tile.x;
  const int height = tile.y + tile.height < raster.height ? tile.height : raster.height - tile.y;
  for (int y = 0; y < height; y++) place(reader, reader->block + (size_t)y * row, tile.x, tile.y + y, width, plane);
}

static bc_status read_tiles(tiff_reader *reader) {
  const bc_raster raster = reader->photo->raster;
  uint32_t width = 0, height = 0;
  TIFFGetField(reader->file, TIFFTAG_TILEWIDTH, &width);
  TIFFGetField(reader->file, TIFFTAG_TILELENGTH, &height);
  const tmsize_t size = TIFFTileSize(reader->file);
  const uint64_t per_pixel =
      (uint64_t)reader->bits / 8 * (reader->planar == PLANARCONFIG_SEPARATE ? 1u : reader->samples);
  if (width == 0 || height == 0 || width > INT32_MAX / 2 || height > INT32_MAX / 2 || size <= 0 ||
      (uint64_t)TIFFTileRowSize(reader->file) < per_pixel * width)
    return fail(reader);
  bc_status status = photo_check_memory(reader->context, reader->source, (uint64_t)size);
  if (status != BC_OK) return status;
  reader->block = bc_allocate((size_t)size, 1);
  if (!reader->block) return bc_fail_memory(reader->context);
  for (int plane = 0; plane < planes(reader); plane++)
    for (int y = 0; y < raster.height; y += (int)height)
      for (int x = 0; x < raster.width; x += (int)width) {
        if (TIFFReadTile(reader->file, reader->block, (uint32_t)x, (uint32_t)y, 0, (uint16_t)plane) < 0)
          return fail(reader);
        place_tile(reader, (bc_box){x, y, (int)width, (int)height}, plane);
      }
  return BC_OK;
}

/* White stored as 0: grey alone, the alpha inside the row is not turned round. */
static void turn_white(const tiff_reader *reader) {
  const size_t step = reader->has_alpha ? 2 : 1;
  for (int y = 0; y < reader->photo->raster.height; y++) {
    uint8_t *const row8 = photo_raster_row(reader->photo, y);
    uint16_t *const row16 = (uint16_t *)(void *)row8;
    for (size_t x = 0; x < (size_t)reader->photo->raster.width; x++)
      if (reader->bits == 16)
        row16[x * step] = (uint16_t)(65535 - row16[x * step]);
      else
        row8[x * step] = (uint8_t)(255 - row8[x * step]);
  }
}

static bc_status read_own(tiff_reader *reader, bc_photo_model model) {
  find_alpha(reader, model);
  const photo_raster_shape shape = {.width = reader->photo->full_width,
                                    .height = reader->photo->full_height,
                                    .model = model,
                                    .bits = reader->bits,
                                    .has_alpha = reader->has_alpha,
                                    .alpha_inside = reader->has_alpha};
  bc_status status = photo_raster_make(reader->photo, reader->context, reader->source, &shape);
  if (status == BC_OK) status = TIFFIsTiled(reader->file) ? read_tiles(reader) : read_strips(reader);
  if (status != BC_OK) return status;
  if (reader->photometric == PHOTOMETRIC_MINISWHITE) turn_white(reader);
  if (!reader->has_alpha) return BC_OK;
  photo_raster_split_alpha(reader->photo);
  if (reader->premultiplied) photo_raster_undo_premultiplied(reader->photo);
  return BC_OK;
}

/* ---- samples that libtiff converts ---- */

/* Stored order is asked for (the photo's orientation is applied later); libtiff packs A, B, G, R into words. */
static bc_status read_converted(tiff_reader *reader) {
  const size_t width = (size_t)reader->photo->full_width, height = (size_t)reader->photo->full_height;
  const photo_raster_shape shape = {.width = (int)width,
                                    .height = (int)height,
                                    .model = BC_PHOTO_RGB,
                                    .bits = 8,
                                    .besides = 4 * (uint64_t)width * height};
  const bc_status status = photo_raster_make(reader->photo, reader->context, reader->source, &shape);
  if (status != BC_OK) return status;
  uint32_t *words = bc_allocate(width * height, sizeof *words);
  if (!words) return bc_fail_memory(reader->context);
  reader->block = (uint8_t *)words;
  TIFFSetField(reader->file, TIFFTAG_ORIENTATION, ORIENTATION_TOPLEFT);
  if (!TIFFReadRGBAImageOriented(reader->file, (uint32_t)width, (uint32_t)height, words, ORIENTATION_TOPLEFT, 1))
    return fail(reader);
  uint8_t *to = reader->photo->samples;
  for (size_t i = 0; i < width * height; i++, to += 3) {
    to[0] = (uint8_t)TIFFGetR(words[i]);
    to[1] = (uint8_t)TIFFGetG(words[i]);
    to[2] = (uint8_t)TIFFGetB(words[i]);
  }
  return BC_OK;
}

/* ---- the whole ---- */

static bc_status take_meaning(const tiff_reader *reader) {
  uint16_t orientation = 1;
  TIFFGetFieldDefaulted(reader->file, TIFFTAG_ORIENTATION, &orientation);
  if (orientation >= 1 && orientation <= 8) reader->photo->orientation = orientation;
  uint32_t size = 0;
  const void *profile = NULL;
  if (!TIFFGetField(reader->file, TIFFTAG_ICCPROFILE, &size, &profile)) return BC_OK;
  return photo_take_profile(reader->photo, reader->context, reader->source, profile, size);
}

static bc_status read_picture(tiff_reader *reader) {
  uint32_t width = 0, height = 0;
  TIFFGetField(reader->file, TIFFTAG_IMAGEWIDTH, &width);
  TIFFGetField(reader->file, TIFFTAG_IMAGELENGTH, &height);
  bc_status status = photo_set_size(reader->photo, reader->context, reader->source, width, height);
  if (status == BC_OK) status = check_kind(reader);
  if (status == BC_OK) status = take_meaning(reader);
  if (status != BC_OK) return status;
  const int model = own_model(reader);
  if (model < 0) return photo_fail_kind(reader->context, reader->source);
  return model > 0 ? read_own(reader, (bc_photo_model)model) : read_converted(reader);
}

bc_status photo_tiff_decode(bc_photo *photo, bc_context *context, const photo_source *source) {
  tiff_reader reader = {.photo = photo, .context = context, .source = source};
  bc_status status = open_file(&reader);
  if (status == BC_OK) status = read_picture(&reader);
  if (reader.file) TIFFClose(reader.file);
  free(reader.block);
  return status;
}
