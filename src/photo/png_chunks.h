/* SPDX-License-Identifier: MIT */
/* The chunks of a PNG file that say what its samples mean, found without decoding anything. */
#ifndef BC_SRC_PHOTO_PNG_CHUNKS_H
#define BC_SRC_PHOTO_PNG_CHUNKS_H

#include "photo_internal.h"

/* A chunk's data inside the file's bytes; NULL when the chunk is absent or its checksum is wrong. */
typedef struct bc_chunk {
  const uint8_t *bytes;
  size_t size;
} bc_chunk;

typedef struct bc_png_chunks {
  bc_chunk cicp, iccp, srgb, gama, chrm, exif;
} bc_png_chunks;

bc_png_chunks bc_png_find_chunks(const bc_source *source);
/* Takes EXIF and the colour meaning over. Damaged declarations leave a note; a profile over the limit fails. */
bc_status bc_png_take_meaning(bc_photo *photo, bc_context *context, const bc_source *source,
                              const bc_png_chunks *chunks);

#endif
