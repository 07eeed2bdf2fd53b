/* SPDX-License-Identifier: MIT */
/* The one writer of JPEG (libjpeg-turbo), in memory. */
#include <backcloth/jpeg.h>

#include "base/base.h"

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

static void describe(struct jpeg_compress_struct *info, const bc_jpeg_picture *picture) {
  info->image_width = (JDIMENSION)picture->width;
  info->image_height = (JDIMENSION)picture->height;
  info->input_components = picture->order == BC_JPEG_BGRX ? 4 : 3;
  info->in_color_space = picture->order == BC_JPEG_BGRX ? JCS_EXT_BGRX : JCS_RGB;
  jpeg_set_defaults(info);
  jpeg_set_quality(info, picture->quality, TRUE);
  if (picture->full_colour) info->comp_info[0].h_samp_factor = info->comp_info[0].v_samp_factor = 1;
  if (picture->progressive) jpeg_simple_progression(info);
  info->optimize_coding = TRUE;
}

static bool compress(unsigned char **out, unsigned long *size, const bc_jpeg_picture *picture) {
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
  describe(&info, picture);
  jpeg_start_compress(&info, TRUE);
  while (info.next_scanline < info.image_height) {
    JSAMPROW row = (JSAMPROW)(uintptr_t)picture->row(picture->data, (int)info.next_scanline);
    jpeg_write_scanlines(&info, &row, 1);
  }
  jpeg_finish_compress(&info);
  jpeg_destroy_compress(&info);
  return true;
}

enum { FIRST_ROOM = 256 * 1024 };

/* The first room is ours: when libjpeg-turbo takes larger ones it frees only its own, and tells where the last one is
 * only at the end, so that after a failure nothing but ours may be freed. */
bool bc_jpeg_write(uint8_t **out, size_t *size, const bc_jpeg_picture *picture) {
  *out = NULL;
  *size = 0;
  unsigned char *const first = base_allocate_large(FIRST_ROOM, 1), *bytes = first;
  if (!first) return false;
  unsigned long length = FIRST_ROOM;
  const bool done = compress(&bytes, &length, picture);
  if (!done || bytes != first) free(first);
  if (!done) return false;
  *out = bytes;
  *size = length;
  return true;
}
