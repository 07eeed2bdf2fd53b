/* SPDX-License-Identifier: MIT */
/* Pictures made for the tests: JPEG by libjpeg, PNG by libpng, EXIF blocks and profiles by hand. */
#ifndef BC_TESTS_PICTURES_H
#define BC_TESTS_PICTURES_H

#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <jpeglib.h>
#include <png.h>
#include <setjmp.h>

#include <cmocka.h>

#include <backcloth/photo.h>

/* Bytes of a file in memory. */
typedef struct file_bytes {
  uint8_t *bytes;
  size_t size;
} file_bytes;

static __attribute__((noinline, unused)) void append(file_bytes *file, const void *bytes, size_t size) {
  file->bytes = realloc(file->bytes, file->size + size + 1);
  assert_non_null(file->bytes);
  if (size > 0) memcpy(file->bytes + file->size, bytes, size);
  file->size += size;
}

static inline void append_big32(file_bytes *file, uint32_t value) {
  const uint8_t bytes[4] = {(uint8_t)(value >> 24), (uint8_t)(value >> 16), (uint8_t)(value >> 8), (uint8_t)value};
  append(file, bytes, 4);
}

/* A smooth picture with some texture, no two rows or columns alike; `samples` a pixel. */
static inline uint8_t *make_samples(int width, int height, int samples) {
  uint8_t *pixels = malloc((size_t)width * (size_t)height * (size_t)samples);
  assert_non_null(pixels);
  uint8_t *out = pixels;
  uint32_t noise = 12345;
  for (int y = 0; y < height; y++)
    for (int x = 0; x < width; x++)
      for (int c = 0; c < samples; c++) {
        noise = noise * 1664525u + 1013904223u;
        *out++ = (uint8_t)(200 * x / width / (c + 1) + 40 * y / height + (int)(noise >> 28) + 10 * c);
      }
  return pixels;
}

/* ---- EXIF ---- */

typedef struct exif_wish {
  int orientation;
  int colour_space;    /* 0 = no such tag */
  const char *interop; /* "R03", or NULL */
  bool big;            /* "MM" */
} exif_wish;

static inline void put16(uint8_t **at, bool big, unsigned value) {
  (*at)[big ? 1 : 0] = (uint8_t)value;
  (*at)[big ? 0 : 1] = (uint8_t)(value >> 8);
  *at += 2;
}

static inline void put32(uint8_t **at, bool big, uint32_t value) {
  put16(at, big, big ? value >> 16 : value & 0xFFFF);
  put16(at, big, big ? value & 0xFFFF : value >> 16);
}

static inline void put_short_entry(uint8_t **at, bool big, unsigned tag, unsigned value) {
  put16(at, big, tag), put16(at, big, 3), put32(at, big, 1);
  put16(at, big, value), put16(at, big, 0);
}

/* IFD0 with orientation and a pointer to the Exif IFD (colour space, pointer to the interoperability IFD). */
static inline file_bytes make_exif(exif_wish wish) {
  uint8_t block[256] = "Exif\0";
  uint8_t *at = block + 6;
  const bool big = wish.big;
  memcpy(at, big ? "MM" : "II", 2);
  at += 2;
  put16(&at, big, 42), put32(&at, big, 8);
  put16(&at, big, 2); /* IFD0 at 8, two entries: ends at 38 */
  put_short_entry(&at, big, 0x0112, (unsigned)wish.orientation);
  put16(&at, big, 0x8769), put16(&at, big, 4), put32(&at, big, 1), put32(&at, big, 38);
  put32(&at, big, 0);
  put16(&at, big, 2); /* Exif IFD at 38: ends at 68 */
  put_short_entry(&at, big, wish.colour_space ? 0xA001 : 0xA406, (unsigned)wish.colour_space);
  put16(&at, big, 0xA005), put16(&at, big, 4), put32(&at, big, 1), put32(&at, big, 68);
  put32(&at, big, 0);
  put16(&at, big, 1); /* interoperability IFD at 68 */
  put16(&at, big, 1), put16(&at, big, 2), put32(&at, big, 4);
  memcpy(at, wish.interop ? wish.interop : "R98", 4);
  at += 4;
  put32(&at, big, 0);
  file_bytes file = {0};
  append(&file, block, (size_t)(at - block));
  return file;
}

/* ---- JPEG ---- */

typedef struct jpeg_wish {
  int width, height;
  int components; /* 1, 3, 4 */
  bool progressive;
  bool two_scans;       /* grey: DC, then all AC at full precision, a scan that may legally be repeated */
  bool no_adobe_marker; /* for 4 components */
  bool ycck;
  int quality;     /* 0 = 90 */
  file_bytes exif; /* whole APP1 content */
  file_bytes profile;
  int restart_rows;
} jpeg_wish;

static inline file_bytes make_jpeg_of(jpeg_wish wish, const uint8_t *samples) {
  struct jpeg_compress_struct info;
  struct jpeg_error_mgr errors;
  info.err = jpeg_std_error(&errors);
  jpeg_create_compress(&info);
  unsigned char *bytes = NULL;
  unsigned long size = 0;
  jpeg_mem_dest(&info, &bytes, &size);
  info.image_width = (JDIMENSION)wish.width;
  info.image_height = (JDIMENSION)wish.height;
  info.input_components = wish.components;
  info.in_color_space = wish.components == 1 ? JCS_GRAYSCALE : wish.components == 3 ? JCS_RGB : JCS_CMYK;
  jpeg_set_defaults(&info);
  if (wish.ycck) jpeg_set_colorspace(&info, JCS_YCCK);
  if (wish.no_adobe_marker) info.write_Adobe_marker = FALSE;
  jpeg_set_quality(&info, wish.quality ? wish.quality : 90, TRUE);
  if (wish.progressive) jpeg_simple_progression(&info);
  static const jpeg_scan_info scans[2] = {{1, {0}, 0, 0, 0, 0}, {1, {0}, 1, 63, 0, 0}};
  if (wish.two_scans) {
    info.scan_info = scans;
    info.num_scans = 2;
  }
  info.restart_in_rows = wish.restart_rows;
  jpeg_start_compress(&info, TRUE);
  if (wish.exif.size) jpeg_write_marker(&info, JPEG_APP0 + 1, wish.exif.bytes, (unsigned)wish.exif.size);
  if (wish.profile.size) jpeg_write_icc_profile(&info, wish.profile.bytes, (unsigned)wish.profile.size);
  while (info.next_scanline < info.image_height) {
    JSAMPROW row = (JSAMPROW)(uintptr_t)(samples + (size_t)info.next_scanline * (size_t)(wish.width * wish.components));
    (void)jpeg_write_scanlines(&info, &row, 1);
  }
  jpeg_finish_compress(&info);
  jpeg_destroy_compress(&info);
  return (file_bytes){bytes, size};
}

static inline file_bytes make_jpeg(jpeg_wish wish) {
  uint8_t *samples = make_samples(wish.width, wish.height, wish.components);
  const file_bytes file = make_jpeg_of(wish, samples);
  free(samples);
  return file;
}

/* ---- PNG ---- */

typedef struct png_wish {
  int width, height, colour_type, bits;
  bool interlaced;
  bool transparent; /* a tRNS chunk: palette entry 0, or the colour of the first pixel */
} png_wish;

static inline void png_to_memory(png_structp png, png_bytep bytes, size_t size) {
  append(png_get_io_ptr(png), bytes, size);
}

static inline void png_flush_nothing(png_structp png) {
  (void)png;
}

static inline size_t png_wish_row_bytes(png_wish wish) {
  const int samples[7] = {1, 0, 3, 1, 2, 0, 4};
  return ((size_t)wish.width * (size_t)samples[wish.colour_type] * (size_t)wish.bits + 7) / 8;
}

/* `rows`: height rows of the packed samples, as they are to be in the file. */
static inline file_bytes make_png_of(png_wish wish, const uint8_t *rows) {
  file_bytes file = {0};
  png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, NULL, NULL, NULL);
  png_infop info = png_create_info_struct(png);
  assert_non_null(info);
  png_set_write_fn(png, &file, png_to_memory, png_flush_nothing);
  png_set_IHDR(png, info, (png_uint_32)wish.width, (png_uint_32)wish.height, wish.bits, wish.colour_type,
               wish.interlaced ? PNG_INTERLACE_ADAM7 : PNG_INTERLACE_NONE, PNG_COMPRESSION_TYPE_DEFAULT,
               PNG_FILTER_TYPE_DEFAULT);
  if (wish.colour_type == PNG_COLOR_TYPE_PALETTE) {
    png_color palette[256];
    for (int i = 0; i < 256; i++)
      palette[i] = (png_color){(png_byte)(i * 7), (png_byte)(255 - i), (png_byte)(i * 3 + 1)};
    png_set_PLTE(png, info, palette, 1 << wish.bits);
  }
  if (wish.transparent) {
    png_byte alpha[1] = {40};
    png_color_16 key = {.red = rows[0], .green = rows[1], .blue = rows[2], .gray = rows[0]};
    if (wish.colour_type == PNG_COLOR_TYPE_PALETTE)
      png_set_tRNS(png, info, alpha, 1, NULL);
    else
      png_set_tRNS(png, info, NULL, 0, &key);
  }
  png_write_info(png, info);
  const size_t row_bytes = png_wish_row_bytes(wish);
  png_bytep *pointers = calloc((size_t)wish.height, sizeof *pointers);
  for (int y = 0; y < wish.height; y++) pointers[y] = (png_bytep)(uintptr_t)(rows + (size_t)y * row_bytes);
  png_write_image(png, pointers);
  png_write_end(png, NULL);
  free(pointers);
  png_destroy_write_struct(&png, &info);
  return file;
}

static inline file_bytes make_png(png_wish wish) {
  uint8_t *rows = make_samples((int)png_wish_row_bytes(wish), wish.height, 1);
  const file_bytes file = make_png_of(wish, rows);
  free(rows);
  return file;
}

static inline void append_png_chunk(file_bytes *file, const char *type, const void *bytes, size_t size) {
  append_big32(file, (uint32_t)size);
  const size_t start = file->size;
  append(file, type, 4);
  append(file, bytes, size);
  uint32_t crc = 0xFFFFFFFFu; /* ISO 3309, PNG Annex D, bit by bit */
  for (size_t i = start; i < file->size; i++) {
    crc ^= file->bytes[i];
    for (int bit = 0; bit < 8; bit++) crc = crc & 1 ? crc >> 1 ^ 0xEDB88320u : crc >> 1;
  }
  append_big32(file, ~crc);
}

/* The file with one more chunk right after IHDR. */
static inline file_bytes with_png_chunk(file_bytes file, const char *type, const void *bytes, size_t size) {
  file_bytes more = {0};
  append(&more, file.bytes, 33);
  append_png_chunk(&more, type, bytes, size);
  append(&more, file.bytes + 33, file.size - 33);
  free(file.bytes);
  return more;
}

static inline file_bytes png_header_of(uint32_t width, uint32_t height, int bits, int colour_type) {
  file_bytes file = {0};
  append(&file, "\x89PNG\r\n\x1a\n", 8);
  uint8_t header[13] = {0};
  for (int i = 0; i < 4; i++) header[i] = (uint8_t)(width >> (24 - 8 * i));
  for (int i = 0; i < 4; i++) header[4 + i] = (uint8_t)(height >> (24 - 8 * i));
  header[8] = (uint8_t)bits;
  header[9] = (uint8_t)colour_type;
  append_png_chunk(&file, "IHDR", header, sizeof header);
  return file;
}

/* Bytes that look enough like a profile for a stage that does not open profiles. */
static __attribute__((noinline, unused)) file_bytes make_profile(size_t size) {
  file_bytes profile = {calloc(size, 1), size};
  assert_non_null(profile.bytes);
  for (size_t i = 0; i < size; i++) profile.bytes[i] = (uint8_t)(i * 31 + i / 251);
  for (int i = 0; i < 4; i++) profile.bytes[i] = (uint8_t)(size >> (24 - 8 * i));
  memcpy(profile.bytes + 36, "acsp", 4);
  return profile;
}

/* ---- checks ---- */

static inline bc_status decode_bytes(bc_photo **out, bc_context *context, file_bytes file, int wanted_side) {
  const bc_photo_options options = {.wanted_side = wanted_side};
  /* A copy of exactly the size, so that the sanitizers see a read past the end. */
  uint8_t *copy = malloc(file.size ? file.size : 1);
  assert_non_null(copy);
  if (file.size) memcpy(copy, file.bytes, file.size);
  const bc_status status = bc_photo_decode(out, context, copy, file.size, "test picture", &options);
  free(copy);
  return status;
}

static inline void assert_refused(bc_context *context, file_bytes file, const char *part_of_sentence) {
  bc_photo *photo = NULL;
  assert_int_equal(decode_bytes(&photo, context, file, 0), BC_BAD_DATA);
  assert_null(photo);
  assert_non_null(strstr(bc_context_message(context), "test picture"));
  if (!strstr(bc_context_message(context), part_of_sentence))
    fail_msg("expected \"%s\" in: %s", part_of_sentence, bc_context_message(context));
}

#endif
