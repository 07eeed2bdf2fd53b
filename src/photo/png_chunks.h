/* SPDX-License-Identifier: MIT */
/* The chunks of a PNG file that say what its samples mean, found without decoding anything. */
#ifndef BC_SRC_PHOTO_PNG_CHUNKS_H
#define BC_SRC_PHOTO_PNG_CHUNKS_H

#include "photo_internal.h"

/* A chunk's data inside the file's bytes; NULL when the chunk is absent or its checksum is wrong. */
typedef struct photo_chunk {
  const uint8_t *bytes;
  size_t size;
} photo_chunk;

typedef struct photo_png_chunks {
  photo_chunk cicp, iccp, srgb, gama, chrm, exif;
} photo_png_chunks;

photo_png_chunks photo_png_find_chunks(const photo_source *source);
/* Takes EXIF and the colour meaning over. Damaged declarations leave a note; a profile over the limit fails. */
bc_status photo_png_take_meaning(bc_photo *photo, bc_context *context, const photo_source *source,
                                 const photo_png_chunks *chunks);

#endif
