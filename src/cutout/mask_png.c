/* SPDX-License-Identifier: MIT */
/* Writes a mask as an 8-bit grey PNG of the photo's full size (libpng), whole or not at all. */
#include "base/base.h"
#include "mask_doubt.h"
#include "scale.h"

#include <backcloth/cutout.h>
#include <backcloth/file.h>

#include <png.h>
#include <setjmp.h>
#include <stdlib.h>

typedef struct mask_file {
  const bc_cutout *cutout;
  int width, height;
  uint8_t *row;
  float *scratch;
  bc_file_writer *writer;
  uint64_t sum; /* of all bytes written so far */
  bc_context *context;
} mask_file;

/* libpng's complaints end here: the file writer and the caller's sentence say what a person needs. */
static void stay_quiet(png_structp png, png_const_charp message) {
  (void)png;
  (void)message;
}

static void jump_out(png_structp png, png_const_charp message) {
  (void)message;
  png_longjmp(png, 1);
}

static void write_bytes(png_structp png, png_bytep bytes, size_t size) {
  mask_file *file = png_get_io_ptr(png);
  file->sum = cutout_sum(file->sum, bytes, size);
  bc_file_writer_write(file->writer, bytes, size);
}

static void flush_nothing(png_structp png) {
  (void)png;
}

static void write_rows(png_structp png, const mask_file *file) {
  for (int y = 0; y < file->height; y++) {
    cutout_scale_row(file->row, y, file->cutout->alpha,
                     (cutout_scaling){file->cutout->width, file->cutout->height, file->width, file->height},
                     file->scratch);
    png_write_row(png, file->row);
  }
}

/* Behind the pixels, so that its sum covers them. */
static void write_doubts(png_structp png, const mask_file *file) {
  char *text = NULL;
  size_t size = 0;
  if (cutout_doubt_text(&text, &size, file->context, file->cutout, file->sum) != BC_OK) png_error(png, "memory");
  png_write_chunk(png, (png_const_bytep) "tEXt", (png_const_bytep)text, size); /* the writer never jumps */
  free(text);
}

/* false when libpng gave up. Everything that must survive the jump lives in `file`. */
static bool encode(png_structp png, png_infop info, mask_file *file) {
  if (setjmp(png_jmpbuf(png))) return false;
  png_set_write_fn(png, file, write_bytes, flush_nothing);
  png_set_user_limits(png, 0x7fffffff, 0x7fffffff);
  png_set_compression_level(png, 4); /* a mask is nearly all runs: higher levels gain little and cost time */
  png_set_filter(png, 0, PNG_FILTER_UP);
  png_set_IHDR(png, info, (png_uint_32)file->width, (png_uint_32)file->height, 8, PNG_COLOR_TYPE_GRAY,
               PNG_INTERLACE_NONE, PNG_COMPRESSION_TYPE_DEFAULT, PNG_FILTER_TYPE_DEFAULT);
  png_write_info(png, info);
  write_rows(png, file);
  write_doubts(png, file);
  png_write_end(png, info);
  return true;
}

static bc_status encode_file(mask_file *file, bc_context *context, const char *path) {
  png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, NULL, jump_out, stay_quiet);
  png_infop info = png ? png_create_info_struct(png) : NULL;
  bc_status status = BC_OK;
  if (!info)
    status = bc_fail_memory(context);
  else if (!encode(png, info, file))
    status = bc_fail(context, BC_OUR_FAULT, _("%s: the mask could not be written as a PNG picture."), path);
  png_destroy_write_struct(&png, &info);
  return status;
}

static bc_status write_file(mask_file *file, bc_context *context, const char *path) {
  file->row = bc_allocate((size_t)file->width, 1);
  file->scratch = bc_allocate((size_t)file->cutout->width, sizeof *file->scratch);
  if (!file->row || !file->scratch) return bc_fail_memory(context);
  const bc_status status = bc_file_writer_open(&file->writer, context, path);
  if (status != BC_OK) return status;
  const bc_status encoded = encode_file(file, context, path);
  if (encoded == BC_OK) return bc_file_writer_commit(file->writer, context);
  bc_file_writer_abandon(file->writer);
  return encoded;
}

bc_status bc_cutout_write_png(const bc_cutout *cutout, bc_context *context, const bc_image *image, const char *path) {
  mask_file file = {.cutout = cutout,
                    .width = image->full_width,
                    .height = image->full_height,
                    .sum = CUTOUT_SUM_START,
                    .context = context};
  const bc_status status = write_file(&file, context, path);
  free(file.row);
  free(file.scratch);
  return status;
}
