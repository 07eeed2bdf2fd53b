/* SPDX-License-Identifier: MIT */
/* A drawn surface as JPEG (libjpeg-turbo): papers that hold photographs stay small enough to be sent to a phone. */
#include "paper.h"

#include <setjmp.h>
#include <stdio.h>
#include <stdlib.h>

#include <jpeglib.h>

typedef struct jpeg_fault {
  struct jpeg_error_mgr manager;
  jmp_buf back;
} jpeg_fault;

static void jump_back(j_common_ptr info) {
  longjmp(((jpeg_fault *)(void *)info->err)->back, 1);
}

static void write_rows(struct jpeg_compress_struct *info, cairo_surface_t *surface) {
  const unsigned char *pixels = cairo_image_surface_get_data(surface);
  const int stride = cairo_image_surface_get_stride(surface);
  while (info->next_scanline < info->image_height) {
    JSAMPROW row = (JSAMPROW)(uintptr_t)(pixels + (size_t)info->next_scanline * (size_t)stride);
    jpeg_write_scanlines(info, &row, 1);
  }
}

/* libjpeg-turbo takes Cairo's own order of bytes. Colour is kept at full resolution: thin coloured edges matter here.
 */
static bool compress(unsigned char **out, unsigned long *size, cairo_surface_t *surface, int quality) {
  struct jpeg_compress_struct info;
  jpeg_fault fault;
  info.err = jpeg_std_error(&fault.manager);
  fault.manager.error_exit = jump_back;
  if (setjmp(fault.back)) {
    jpeg_destroy_compress(&info);
    return false;
  }
  jpeg_create_compress(&info);
  jpeg_mem_dest(&info, out, size);
  info.image_width = (JDIMENSION)cairo_image_surface_get_width(surface);
  info.image_height = (JDIMENSION)cairo_image_surface_get_height(surface);
  info.input_components = 4;
  info.in_color_space = JCS_EXT_BGRX;
  jpeg_set_defaults(&info);
  jpeg_set_quality(&info, quality, TRUE);
  info.comp_info[0].h_samp_factor = info.comp_info[0].v_samp_factor = 1;
  info.optimize_coding = TRUE;
  jpeg_start_compress(&info, TRUE);
  write_rows(&info, surface);
  jpeg_finish_compress(&info);
  jpeg_destroy_compress(&info);
  return true;
}

enum { FIRST_ROOM = 256 * 1024 };

/* The first room is ours: when libjpeg-turbo takes larger ones it frees only its own, and tells where the last one is
 * only at the end, so that after a failure nothing but ours may be freed. */
bool drawing_jpeg(unsigned char **out, size_t *size, cairo_surface_t *surface, int quality) {
  *out = NULL;
  *size = 0;
  unsigned char *const first = base_allocate_large(FIRST_ROOM, 1), *bytes = first;
  if (!first) return false;
  unsigned long length = FIRST_ROOM;
  cairo_surface_flush(surface);
  const bool done = compress(&bytes, &length, surface, quality);
  if (!done || bytes != first) free(first);
  if (!done) return false;
  *out = bytes;
  *size = length;
  return true;
}

bc_status bc_drawing_jpeg(unsigned char **out, size_t *size, bc_context *context, cairo_surface_t *surface,
                          int quality) {
  return drawing_jpeg(out, size, surface, quality) ? BC_OK : bc_fail_memory(context);
}
