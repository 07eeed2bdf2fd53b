/* SPDX-License-Identifier: MIT */
/* What the files of the photo stage share: the photo while it is being filled, and its decoders. */
#ifndef BC_SRC_PHOTO_INTERNAL_H
#define BC_SRC_PHOTO_INTERNAL_H

#include "base/base.h"
#include <backcloth/photo.h>

/* The bytes to decode; borrowed. */
typedef struct photo_source {
  const uint8_t *bytes;
  size_t size;
  const char *name; /* for messages */
  int wanted_side;  /* as in bc_photo_options */
} photo_source;

#define PHOTO_DECLARED_NAME 64

struct bc_photo {
  char *name;
  const char *format; /* static */
  bc_raster raster;   /* samples and alpha point to the two blocks below */
  void *samples;
  uint8_t *alpha;
  int full_width, full_height;
  int orientation; /* EXIF 1..8; photo.c applies it after the decoder has returned */
  int focal_35_mm; /* EXIF; 0: not told */
  uint8_t *profile;
  size_t profile_size;
  bc_profile_source profile_source;
  bc_declared_colour declared;
  char declared_name[PHOTO_DECLARED_NAME]; /* of one that came from another process */
  bc_notes notes;
};

/* Decodes in this process, whatever the source. */
bc_status photo_decode_here(bc_photo **out, bc_context *context, const photo_source *source, const char *name);
/* The same in a process that is shut off (photo_apart.c), and whether that is wanted. */
bc_status photo_decode_apart(bc_photo **out, bc_context *context, const photo_source *source, const char *name);
bool photo_is_kept_apart(void);
/* Whether it is decoded without a library that comes late. */
bool photo_is_plain(const photo_source *source);
/* The static word for a format, NULL for one that there is not. */
const char *photo_format_called(const char *name);

/* A decoder fills the photo; whatever it leaves behind on failure is freed by its caller. */
typedef bc_status photo_decoder(bc_photo *photo, bc_context *context, const photo_source *source);
photo_decoder photo_jpeg_decode, photo_png_decode, photo_stb_decode, photo_heif_decode, photo_webp_decode,
    photo_tiff_decode;

/* --- sizes and the raster (raster.c) ---------------------------------------------------------------- */
/* Proves a whole picture once: sides, pixels. Sets the full size. */
bc_status photo_set_size(bc_photo *photo, bc_context *context, const photo_source *source, uint64_t width,
                         uint64_t height);
/* Fails unless `bytes` of working memory stay under the limit. */
bc_status photo_check_memory(bc_context *context, const photo_source *source, uint64_t bytes);

/* Shape of a raster to make. With `alpha_inside` the rows are wide enough for the decoder to write the
 * alpha as one more interleaved sample, which photo_raster_split_alpha later moves to its own plane. */
typedef struct photo_raster_shape {
  int width, height;
  bc_photo_model model;
  int bits;
  bool has_alpha, alpha_inside;
  uint64_t besides; /* bytes the decoder itself needs at the same time, for the limit */
} photo_raster_shape;
bc_status photo_raster_make(bc_photo *photo, bc_context *context, const photo_source *source,
                            const photo_raster_shape *shape);
uint8_t *photo_raster_row(const bc_photo *photo, int y);
void photo_raster_split_alpha(bc_photo *photo);
/* Drops an alpha plane that is opaque everywhere: for decoders that always give one. */
void photo_raster_drop_opaque_alpha(bc_photo *photo);
/* For formats that store colours already multiplied by their alpha, after the alpha was split off. */
void photo_raster_undo_premultiplied(bc_photo *photo);
/* Stretches samples of narrow ("video") range, 16 to 235 of 255, to the full range. */
void photo_raster_stretch_range(bc_photo *photo);
/* Brings samples of 9 to 15 bits in 16-bit words to the whole range of 16. */
void photo_raster_widen(bc_photo *photo, int bits);

/* --- orientation and EXIF (orient.c, exif.c) --------------------------------------------------------- */
bc_status photo_orient(bc_photo *photo, bc_context *context);
/* Takes the orientation from EXIF data, and Adobe RGB if declared; data that cannot be read count as absent.
 * `bytes` begins with the TIFF header ("II" or "MM"), or with "Exif\0\0" before it. */
void photo_take_exif(bc_photo *photo, const uint8_t *bytes, size_t size);

/* --- colour meaning (meaning.c) ---------------------------------------------------------------------- */
/* Copies an embedded profile; too large a one is an error. An empty one counts as absent. */
bc_status photo_take_profile(bc_photo *photo, bc_context *context, const photo_source *source, const void *bytes,
                             size_t size);
bc_status photo_fail_profile_size(bc_context *context, const photo_source *source);
/* Takes the code points of ITU-T H.273 (PNG cICP, HEIF nclx). False when they say nothing or are unknown. */
bool photo_take_code_points(bc_photo *photo, unsigned primaries, unsigned transfer);
/* Takes a declaration over if its chromaticities and curve make sense. */
bool photo_take_declared(bc_photo *photo, const bc_declared_colour *declared);
extern const bc_declared_colour photo_declared_srgb;
bc_status photo_note_damaged_profile(bc_photo *photo, bc_context *context, const photo_source *source);

/* --- sentences that several decoders need (sentences.c) ----------------------------------------------- */
bc_status photo_fail_cut_off(bc_context *context, const photo_source *source);
bc_status photo_fail_damaged(bc_context *context, const photo_source *source);
bc_status photo_fail_kind(bc_context *context, const photo_source *source);

#endif
