/* SPDX-License-Identifier: MIT */
/**
 * @file colour.h
 * Second stage: samples and CSS colours become CIELAB D50 and relative luminance (LittleCMS), and
 * the published measures of difference between two colours.
 */
#ifndef BACKCLOTH_COLOUR_H
#define BACKCLOTH_COLOUR_H

#include <backcloth/base.h>
#include <backcloth/photo.h>

#ifdef __cplusplus
extern "C" {
#endif

/** CIEDE2000 colour difference, kL = kC = kH = 1. Source: Sharma, Wu and Dalal, Color Research & Application 30(1), 2005. */
BC_API double bc_delta_e00(bc_lab first, bc_lab second);
/** WCAG 2.2 contrast ratio 1..21 of two relative luminances, in either order. Luminances below 0 count as 0. */
BC_API double bc_contrast_ratio(double first_luminance, double second_luminance);

/** Linear-light sRGB (D65) of a colour, not clipped: values outside 0..1 are colours sRGB cannot show. */
BC_API void bc_lab_to_linear_srgb(bc_lab lab, double rgb[3]);
/** CIELAB D50 and relative luminance of linear-light sRGB. */
BC_API bc_colour bc_colour_from_linear_srgb(const double rgb[3]);
/** The colour with its luminance, from CIELAB alone. */
BC_API bc_colour bc_colour_from_lab(bc_lab lab);
/** The IEC 61966-2-1 curve: linear 0..1 to encoded 0..1 and back; odd-symmetric outside. */
BC_API double bc_srgb_encode(double linear);
BC_API double bc_srgb_decode(double encoded);
/** "#rrggbb" of the nearest sRGB colour: clipped by lowering chroma at constant lightness and hue. */
BC_API void bc_lab_to_hex(bc_lab lab, char hex[8]);

/** Reads a CSS Color 4 colour: hex, named, rgb(), hsl(), hwb(), lab(), lch(), oklab(), oklch(), color().
 *  A bare lab() or lch() is D50, as that standard says. A translucent colour is refused (a cloth is opaque).
 *  Errors: BC_BAD_DATA with a sentence that quotes the text. */
BC_API bc_status bc_colour_parse_css(bc_colour *out, bc_context *context, const char *text);

/** A plain-word name of a colour, translated, for example "dark blue" or "pale yellowish pink": the
 *  nearest of the 267 ISCC-NBS level 3 centroids by CIEDE2000. Never NULL; lives as long as the program.
 *  Source: Kelly and Judd, NBS Special Publication 440, 1976 (a work of the US government). */
BC_API const char *bc_colour_name(bc_lab lab);

/** A picture in CIELAB D50 and luminance; planes of width x height floats, top row first. */
typedef struct bc_image {
  int width, height;
  float *L, *a, *b;      /**< CIELAB D50 */
  float *Y;              /**< relative luminance, WCAG 2.2 definition on unclipped linear sRGB */
  uint8_t *alpha;        /**< from the photo, 255 opaque; NULL when it has none */
  int full_width;        /**< the photo's own upright size, to which boxes given by a person refer */
  int full_height;
  char *profile;         /**< the profile's description, or "sRGB (assumed)" */
  bc_notes notes;        /**< includes the photo's notes */
} bc_image;

typedef struct bc_image_options {
  /** The longer side of the image that is made, in pixels; larger rasters are reduced by area
   *  averaging in linear light. 0 keeps the raster's size. Default BC_READING_SIDE. */
  int side;
} bc_image_options;

/** The longer side at which pieces are read: enough for a rim of several pixels, small enough to be fast. */
#define BC_READING_SIDE 1024

BC_API bc_image_options bc_image_options_default(void);

/** Converts a photo. `options` may be NULL. A profile that cannot be used is an error only if the
 *  samples have no other meaning (CMYK); otherwise sRGB is assumed and a note says so. */
BC_API bc_status bc_image_from_photo(bc_image **out, bc_context *context, const bc_photo *photo,
                                     const bc_image_options *options);
BC_API void bc_image_free(bc_image *image);

#ifdef __cplusplus
}
#endif
#endif
