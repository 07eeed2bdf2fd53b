/* SPDX-License-Identifier: MIT */
/**
 * @file jpeg.h
 * Photo stage: pixels in memory written as JPEG (libjpeg-turbo), for what is drawn and for what a page shows.
 */
#ifndef BACKCLOTH_JPEG_H
#define BACKCLOTH_JPEG_H

#include <backcloth/base.h>

#ifdef __cplusplus
extern "C" {
#endif

/** How the bytes of a pixel lie: three of sRGB, or four as Cairo's RGB24 has them on this kind of machine. */
typedef enum bc_jpeg_order { BC_JPEG_RGB = 0, BC_JPEG_BGRX } bc_jpeg_order;

/** A picture that is asked for row by row, from the top. */
typedef struct bc_jpeg_picture {
  int width, height;
  bc_jpeg_order order;
  const uint8_t *(*row)(void *data, int y); /**< the pixels of a row, read before the next is asked for */
  void *data;
  int quality;      /**< 1..100 as in the JPEG library */
  bool full_colour; /**< colour at full resolution, where thin coloured edges matter; else at half */
  bool progressive; /**< shown coarsely first while it comes */
} bc_jpeg_picture;

/** The file's bytes, which the caller frees with free(). False, and *out is NULL, without memory. */
BC_API bool bc_jpeg_write(uint8_t **out, size_t *size, const bc_jpeg_picture *picture);

#ifdef __cplusplus
}
#endif
#endif
