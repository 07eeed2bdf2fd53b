/* SPDX-License-Identifier: MIT */
/* PNG by libpng: every colour type becomes grey or RGB with 8 or 16 bits; alpha goes to its own plane. */
#include "limits.h"
#include "photo_internal.h"
#include "png_chunks.h"

#include <png.h>
#include <setjmp.h>
#include <stdlib.h>
#include <string.h>

typedef struct png_reader {
  png_structp png;
  png_infop info;
  size_t at;     /* next byte */
  bool past_end; /* libpng asked for more bytes than there are */
  bool no_memory;
  png_bytep *rows;
  bc_status status;
  bc_photo *photo;
  bc_context *context;
  const photo_source *source;
} png_reader;

/* ---- libpng's callbacks ---- */

static void on_error(png_structp png, png_const_charp message) {
  (void)message;
  png_reader *const reader = png_get_error_ptr(png);
  if (reader->no_memory)
    reader->status = bc_fail_memory(reader->context);
  else
    reader->status = reader->past_end ? photo_fail_cut_off(reader->context, reader->source)
                                      : photo_fail_damaged(reader->context, reader->source);
  png_longjmp(png, 1);
}

static void on_warning(png_structp png, png_const_charp message) {
  (void)png;
  (void)message;
}

static void on_read(png_structp png, png_bytep to, size_t size) {
  png_reader *const reader = png_get_io_ptr(png);
  if (size > reader->source->size - reader->at) {
    reader->past_end = true;
    png_error(png, "past the end");
  }
  memcpy(to, reader->source->bytes + reader->at, size);
  reader->at += size;
}

static png_voidp on_allocate(png_structp png, png_alloc_size_t size) {
  png_reader *const reader = png_get_mem_ptr(png);
  void *block = malloc(size);
  if (!block) reader->no_memory = true;
  return block;
}

static void on_free(png_structp png, png_voidp block) {
  (void)png;
  free(block);
}

/* ---- decoding ---- */

static bool is_little_endian(void) {
  const uint16_t one = 1;
  uint8_t first;
  memcpy(&first, &one, 1);
  return first == 1;
}

static bool has_transparency(const png_reader *reader) {
  return (png_get_color_type(reader->png, reader->info) & PNG_COLOR_MASK_ALPHA) != 0 ||
         png_get_valid(reader->png, reader->info, PNG_INFO_tRNS) != 0;
}

/* Ancillary chunks are either read by png_chunks.c or of no use here; what is never kept cannot be a bomb. */
static void ignore_the_rest(const png_reader *reader) {
  png_set_keep_unknown_chunks(reader->png, PNG_HANDLE_CHUNK_NEVER, NULL, -1);
  png_set_user_limits(reader->png, PNG_UINT_31_MAX, PNG_UINT_31_MAX); /* ours are checked next, with a sentence */
}

static bc_status prepare(png_reader *reader) {
  const png_uint_32 width = png_get_image_width(reader->png, reader->info);
  const png_uint_32 height = png_get_image_height(reader->png, reader->info);
  const bc_status status = photo_set_size(reader->photo, reader->context, reader->source, width, height);
  if (status != BC_OK) return status;
  const int colour_type = png_get_color_type(reader->png, reader->info);
  const int bits = png_get_bit_depth(reader->png, reader->info);
  png_set_expand(reader->png); /* palette to RGB, few bits to 8, tRNS to alpha */
  if (bits == 16 && is_little_endian()) png_set_swap(reader->png);
  const bool alpha = has_transparency(reader);
  const photo_raster_shape shape = {
      .width = (int)width,
      .height = (int)height,
      .model = (colour_type & PNG_COLOR_MASK_COLOR) != 0 ? BC_PHOTO_RGB : BC_PHOTO_GREY,
      .bits = bits == 16 ? 16 : 8,
      .has_alpha = alpha,
      .alpha_inside = alpha,
      .besides = (uint64_t)height * sizeof(png_bytep),
  };
  return photo_raster_make(reader->photo, reader->context, reader->source, &shape);
}

/* Row pointers serve both plain and interlaced files, where each row is visited several times. */
static bc_status read_rows(png_reader *reader) {
  const int height = reader->photo->raster.height;
  png_read_update_info(reader->png, reader->info);
  if (png_get_rowbytes(reader->png, reader->info) > reader->photo->raster.row_bytes)
    return bc_fail(reader->context, BC_OUR_FAULT, _("%s: the rows of this picture are longer than expected."),
                   reader->source->name);
  reader->rows = bc_allocate((size_t)height, sizeof *reader->rows);
  if (!reader->rows) return bc_fail_memory(reader->context);
  for (int y = 0; y < height; y++) reader->rows[y] = photo_raster_row(reader->photo, y);
  png_read_image(reader->png, reader->rows);
  png_read_end(reader->png, NULL); /* checks the last checksum and that the end is there */
  if (reader->photo->alpha) photo_raster_split_alpha(reader->photo);
  return BC_OK;
}

static void read_picture(png_reader *reader) {
  png_set_read_fn(reader->png, reader, on_read);
  ignore_the_rest(reader);
  png_read_info(reader->png, reader->info);
  reader->status = prepare(reader);
  if (reader->status == BC_OK) reader->status = read_rows(reader);
}

static void run(png_reader *reader) {
  reader->png =
      png_create_read_struct_2(PNG_LIBPNG_VER_STRING, reader, on_error, on_warning, reader, on_allocate, on_free);
  reader->info = reader->png ? png_create_info_struct(reader->png) : NULL;
  if (!reader->info)
    reader->status = bc_fail_memory(reader->context);
  else if (setjmp(png_jmpbuf(reader->png)) == 0)
    read_picture(reader);
  png_destroy_read_struct(&reader->png, &reader->info, NULL);
  free(reader->rows);
}

bc_status photo_png_decode(bc_photo *photo, bc_context *context, const photo_source *source) {
  png_reader *const reader = bc_allocate(1, sizeof *reader);
  if (!reader) return bc_fail_memory(context);
  reader->photo = photo;
  reader->context = context;
  reader->source = source;
  run(reader);
  bc_status status = reader->status;
  free(reader);
  if (status != BC_OK) return status;
  const photo_png_chunks chunks = photo_png_find_chunks(source);
  return photo_png_take_meaning(photo, context, source, &chunks);
}
