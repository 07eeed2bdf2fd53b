/* SPDX-License-Identifier: MIT */
/**
 * @file photo.h
 * First stage: a file or bytes in memory become an upright raster with its colour profile.
 *
 * Reads JPEG (libjpeg-turbo), PNG (libpng) and what stb_image reads besides; obeys the context's
 * limits before it allocates; applies the EXIF orientation; converts no colour. Asked for a reduced
 * size it decodes no more than it needs (JPEG DCT scaling).
 */
#ifndef BACKCLOTH_PHOTO_H
#define BACKCLOTH_PHOTO_H

#include <backcloth/base.h>

#ifdef __cplusplus
extern "C" {
#endif

/** A decoded photo. Opaque; all that it returns is borrowed from it. */
typedef struct bc_photo bc_photo;

/** What the colour samples of a raster mean. */
typedef enum bc_photo_model { BC_PHOTO_GREY = 1, BC_PHOTO_RGB = 3, BC_PHOTO_CMYK = 4 } bc_photo_model;

/** Where the colour meaning of the samples comes from. */
typedef enum bc_profile_source {
  BC_PROFILE_ASSUMED = 0, /**< untagged: sRGB (grey with the sRGB curve) is to be assumed, with a note */
  BC_PROFILE_EMBEDDED,    /**< an ICC profile embedded in the file */
  BC_PROFILE_DECLARED     /**< declared without a profile; see bc_photo_declared_colour */
} bc_profile_source;

/** The curve that turns encoded samples 0..1 (E) into linear light 0..1 (L). */
typedef enum bc_transfer {
  BC_TRANSFER_GAMMA = 0, /**< L = E ^ gamma; gamma 1 is linear light */
  BC_TRANSFER_SRGB,      /**< IEC 61966-2-1 */
  BC_TRANSFER_BT709,     /**< inverse of the ITU-R BT.709 camera curve (also BT.601, BT.2020):
                              L = E / 4.5 below 0.081, else ((E + 0.099) / 1.099) ^ (1 / 0.45) */
  BC_TRANSFER_SMPTE240,  /**< L = E / 4 below 0.0913, else ((E + 0.1115) / 1.1115) ^ (1 / 0.45) */
  BC_TRANSFER_LOG100,    /**< L = 10 ^ (2 (E - 1)), 0 for E = 0 (ITU-T H.273 value 9) */
  BC_TRANSFER_LOG316,    /**< L = 10 ^ (2.5 (E - 1)), 0 for E = 0 (ITU-T H.273 value 10) */
  BC_TRANSFER_PQ,        /**< SMPTE ST 2084 / ITU-R BT.2100: absolute, E = 1 is 10000 cd/m2 (white of a picture: 203) */
  BC_TRANSFER_HLG        /**< ITU-R BT.2100 hybrid log-gamma, scene light (white of a picture: E = 0.75) */
} bc_transfer;

/** A chromaticity, CIE 1931. */
typedef struct bc_chromaticity {
  double x, y;
} bc_chromaticity;

/** What a file declares about its colours without carrying a profile: PNG cICP, sRGB, gAMA and cHRM,
 *  HEIF/AVIF nclx, EXIF Adobe RGB. Enough to build a matrix/curve profile (grey: the curve and the
 *  white alone). Chromaticities are checked: the white lies inside the triangle, which has an area. */
typedef struct bc_declared_colour {
  bc_chromaticity white, red, green, blue;
  bc_transfer transfer;
  double gamma; /**< for BC_TRANSFER_GAMMA; 0.1 .. 10 */
  const char
      *name; /**< for example "sRGB", "Adobe RGB (1998)", "PNG gAMA and cHRM"; not translated, borrowed, static */
} bc_declared_colour;

/** The raster: samples interleaved without alpha, top row first, already upright. */
typedef struct bc_raster {
  int width, height;    /**< decoded size, upright */
  bc_photo_model model; /**< its value is the number of samples a pixel; CMYK 0 = no ink */
  int bits;             /**< 8 or 16 (16: native byte order) */
  size_t row_bytes;     /**< bytes from one row to the next */
  const void *samples;  /**< uint8_t or uint16_t */
  const uint8_t *alpha; /**< width x height, 255 opaque, not premultiplied; NULL when the photo has no alpha channel */
} bc_raster;

typedef struct bc_photo_options {
  /** Decode so that the longer side has at least this many pixels (fewer only if the photo has
   *  fewer); 0 decodes all. The decoder may give more than asked. Default 0. */
  int wanted_side;
} bc_photo_options;

BC_API bc_photo_options bc_photo_options_default(void);

/** Opens and decodes a file; "-" is standard input. `options` may be NULL.
 *  Errors: BC_NO_INPUT (missing, unreadable, a folder), BC_BAD_DATA (empty, damaged, not a picture, over a limit). */
BC_API bc_status bc_photo_open(bc_photo **out, bc_context *context, const char *path, const bc_photo_options *options);
/** Decodes bytes in memory, which are not kept. `name` is used in messages. */
BC_API bc_status bc_photo_decode(bc_photo **out, bc_context *context, const void *bytes, size_t size, const char *name,
                                 const bc_photo_options *options);
BC_API void bc_photo_free(bc_photo *photo);

/** The decoded raster, borrowed. */
BC_API bc_raster bc_photo_raster(const bc_photo *photo);
/** The photo's own full size in pixels, upright; at least the decoded size. */
BC_API void bc_photo_full_size(const bc_photo *photo, int *width, int *height);
/** The name it was opened under. */
BC_API const char *bc_photo_name(const bc_photo *photo);
/** "JPEG", "PNG", … */
BC_API const char *bc_photo_format(const bc_photo *photo);
/** The embedded ICC profile, its bytes as they are in the file (only the size is checked here);
 *  NULL and size 0 unless BC_PROFILE_EMBEDDED. */
BC_API const void *bc_photo_profile(const bc_photo *photo, size_t *size);
/** What bc_photo_profile or bc_photo_declared_colour hold. For BC_PROFILE_ASSUMED the colour stage
 *  assumes sRGB and writes the note, since it also decides when a profile cannot be used. */
BC_API bc_profile_source bc_photo_profile_source(const bc_photo *photo);
/** The declaration; NULL unless BC_PROFILE_DECLARED. Borrowed. */
BC_API const bc_declared_colour *bc_photo_declared_colour(const bc_photo *photo);
/** The lens's focal length in mm as a 35 mm camera would have it (EXIF FocalLengthIn35mmFilm, Exif 2.32); 0 when the
 *  photo doesn't tell. */
BC_API double bc_photo_focal_35_mm(const bc_photo *photo);
/** Notes of this stage, for example that a profile was damaged and ignored. */
BC_API const bc_notes *bc_photo_notes(const bc_photo *photo);

#ifdef __cplusplus
}
#endif
#endif
