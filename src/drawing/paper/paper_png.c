/* SPDX-License-Identifier: MIT */
/* Writes the sheet as PNG: 8-bit RGB, tagged sRGB, with pHYs so that it prints to scale. */
#include "paper.h"

#include <backcloth/file.h>
#include <math.h>
#include <png.h>
#include <stdlib.h>

static void write_bytes(png_structp png, png_bytep bytes, png_size_t size) {
  bc_file_writer_write(png_get_io_ptr(png), bytes, size);
}

static void write_flush(png_structp png) {
  (void)png;
}

static void on_error(png_structp png, png_const_charp message) {
  (void)message;
  png_longjmp(png, 1);
}

static void on_warning(png_structp png, png_const_charp message) {
  (void)png;
  (void)message;
}

static void unpack(png_bytep out, const uint32_t *row, int width) {
  for (int x = 0; x < width; x++) {
    *out++ = (png_byte)(row[x] >> 16);
    *out++ = (png_byte)(row[x] >> 8);
    *out++ = (png_byte)row[x];
  }
}

typedef struct writing {
  const drawing_png *picture;
  png_bytep row; /* room for one */
} writing;

static void describe(png_structp png, png_infop info, const drawing_png *p) {
  const png_uint_32 per_metre = (png_uint_32)lrint(p->pixels_per_mm * 1000);
  png_set_IHDR(png, info, (png_uint_32)p->width, (png_uint_32)p->height, 8, PNG_COLOR_TYPE_RGB, PNG_INTERLACE_NONE,
               PNG_COMPRESSION_TYPE_DEFAULT, PNG_FILTER_TYPE_DEFAULT);
  png_set_sRGB_gAMA_and_cHRM(png, info, PNG_sRGB_INTENT_RELATIVE);
  png_set_pHYs(png, info, per_metre, per_metre, PNG_RESOLUTION_METER);
  char key[] = "Title";
  // cppcheck-suppress legacyUninitvar ; a member is set from p, not from the text itself
  png_text text = {.compression = PNG_ITXT_COMPRESSION_NONE, .key = key, .text = (char *)(uintptr_t)p->title};
  if (p->title && p->title[0]) png_set_text(png, info, &text, 1);
}

/* Separate from its caller, which owns what must survive a longjmp. */
static bool write_all(png_structp png, png_infop info, const writing *w) {
  const drawing_png *const p = w->picture;
  if (setjmp(png_jmpbuf(png))) return false;
  /* The "up" filter and zlib level 4: within a few per cent of the best size on these pictures at a
   * fraction of the time (measured by backcloth-bench elevation). */
  png_set_filter(png, PNG_FILTER_TYPE_BASE, PNG_FILTER_UP);
  png_set_compression_level(png, 4);
  describe(png, info, p);
  png_write_info(png, info);
  for (int y = 0; y < p->height; y++) {
    unpack(w->row, p->pixels + (size_t)y * p->stride, p->width);
    png_write_row(png, w->row);
  }
  png_write_end(png, info);
  return true;
}

bc_status drawing_png_write(bc_context *context, const char *path, const drawing_png *picture) {
  bc_file_writer *writer;
  bc_status status = bc_file_writer_open(&writer, context, path);
  if (status != BC_OK) return status;
  png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, NULL, on_error, on_warning);
  png_infop info = png ? png_create_info_struct(png) : NULL;
  const writing w = {picture, bc_allocate((size_t)picture->width, 3)};
  bool written = false;
  if (info && w.row) {
    png_set_write_fn(png, writer, write_bytes, write_flush);
    written = write_all(png, info, &w);
  }
  png_destroy_write_struct(&png, &info);
  free(w.row);
  if (written) return bc_file_writer_commit(writer, context);
  bc_file_writer_abandon(writer);
  return bc_fail_memory(context);
}
