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

/** CIEDE2000 colour difference, kL = kC = kH = 1. Source: Sharma, Wu and Dalal, Color Research & Application 30(1),
 * 2005. */
BC_API double bc_delta_e00(bc_lab first, bc_lab second);
/** WCAG 2.2 contrast ratio 1..21 of two relative luminances, in either order. Luminances below 0 count as 0. */
BC_API double bc_contrast_ratio(double first_luminance, double second_luminance);

/** What is seen where a share of `behind` shows through `front` (0: front alone): their light is mixed. */
BC_API bc_colour bc_colour_mixed(bc_colour front, bc_colour behind, double share);

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

/** The named colours of CSS Color 4 in alphabetical order; NULL from the end on. Lives as long as the program. */
BC_API const char *bc_colour_css_word(size_t index);

/** A plain-word name of a colour, translated, for example "dark blue" or "pale yellowish pink": the
 *  nearest of the 267 ISCC-NBS level 3 centroids by CIEDE2000. Never NULL; lives as long as the program.
 *  Source: Kelly and Judd, NBS Special Publication 440, 1976; centroids of Centore 2016, docs/method/colour.md. */
BC_API const char *bc_colour_name(bc_lab lab);

/* --- how the same colour may have looked, or will look ------------------------------------------------- */

/** An error of a camera's judgement of light, as a shift of every colour of one photo. */
typedef struct bc_cast {
  double mired; /**< along the line of black-body light: + is yellower; 10 mired is about 250 K at 5000 K */
  double duv;   /**< across it, in CIE 1960 uv: + is greener, - is pinker */
  double stops; /**< exposure: + is brighter, 1 is twice the light */
} bc_cast;

/** How unsure the light of a photo is: standard deviations of a bc_cast, taken as independent. */
typedef bc_cast bc_uncertainty;

/** The uncertainties by what was known about the light; docs/method/colour.md says where they come from. */
BC_API extern const bc_uncertainty bc_uncertainty_unknown; /**< the camera's own judgement */
BC_API extern const bc_uncertainty bc_uncertainty_found;   /**< a white or grey reference found by the program */
BC_API extern const bc_uncertainty bc_uncertainty_given;   /**< a reference pointed out by a person */
BC_API extern const bc_uncertainty bc_uncertainty_none;    /**< a colour written as figures */

/** The colour had the photo been off by this cast (linear Bradford, exposure in linear light). */
BC_API bc_colour bc_colour_with_cast(bc_colour colour, bc_cast cast);

/** The colour of a white reference as a person says it: a kind of it ("paper", "copy paper", "newsprint", "cream
 * paper", "paper towel", "grey card"), else a CSS colour. Errors as bc_colour_parse_css. */
BC_API bc_status bc_white_parse(bc_colour *out, bc_context *context, const char *text);

/** So many casts stand for an uncertainty. */
#define BC_CASTS 7
/** A small set of casts that carries the same mean and standard deviations as the uncertainty: none
 *  (first), then plus and minus sqrt(3) deviations along each axis, in equal parts (a sigma-point set:
 *  Julier and Uhlmann, Proceedings of the IEEE 92(3), 2004). Apply one cast to all colours of a photo at
 *  once; `weight` (may be NULL) receives what each counts for, summing to 1. */
BC_API void bc_casts_plausible(bc_uncertainty uncertainty, bc_cast casts[BC_CASTS], double weight[BC_CASTS]);
/** What camera and lamp do to one colour and not to another, as a CIEDE2000 standard deviation: left where cast and
 *  exposure are known. */
BC_API double bc_colour_camera_spread(bc_colour colour);
/** Standard deviation of a photographed colour, as a CIEDE2000 difference: of the light under an uncertainty, and of
 * the camera. 0 for no uncertainty: a colour written as figures. */
BC_API double bc_colour_spread(bc_colour colour, bc_uncertainty uncertainty);

/** A light at the stand. Static data. */
typedef struct bc_light {
  const char *name;     /**< as the command line writes it: "D50", "A", "warm-led", … */
  const char *cie_name; /**< the CIE's: "A", "D75", "LED-B2", "FL11" */
  double x, y;          /**< chromaticity of its white, CIE 1931 */
} bc_light;

/** A light by its name or its CIE name, whatever the case; BC_BAD_USAGE with a sentence that lists them. */
BC_API bc_status bc_light_parse(const bc_light **out, bc_context *context, const char *name);
/** The lights known, in the order in which they are listed. */
BC_API const bc_light *bc_lights(size_t *count);
/** What a light is, in plain words, translated: "daylight in the shade". */
BC_API const char *bc_light_words(const bc_light *light);
/** The colour as it appears under a light at the stand, expressed as the colour that looks the same in
 *  D50: CAT16 from D50 to the light, then CAM16 there, then CAM16 backwards in D50 (Li et al., Color
 *  Research & Application 42(6), 2017), both at stand lighting of 500 lx. D50 gives the colour itself. */
BC_API bc_colour bc_colour_under_light(bc_colour colour, const bc_light *light);

/** Eyes. */
typedef enum bc_vision {
  BC_VISION_USUAL = 0,
  BC_VISION_PROTAN, /**< without the long-wave cones */
  BC_VISION_DEUTAN, /**< without the middle-wave cones */
  BC_VISION_TRITAN  /**< without the short-wave cones; the least certain of the three, say its authors */
} bc_vision;
/** The colour as seen with such vision, severity 1.0, on unclipped linear sRGB. Source: Machado,
 *  Oliveira and Fernandes, IEEE Transactions on Visualization and Computer Graphics 15(6), 2009. */
BC_API bc_colour bc_colour_as_seen(bc_colour colour, bc_vision vision);
/** "usual", "protan", "deutan", "tritan": never translated. */
BC_API const char *bc_vision_word(bc_vision vision);

/* --- pictures -------------------------------------------------------------------------------------------- */

/** Where the light of a photo is known from. */
typedef enum bc_reference {
  BC_REFERENCE_NONE = 0, /**< nothing: the camera's own judgement stands */
  BC_REFERENCE_FOUND,    /**< a white sheet or grey card found in the photo */
  BC_REFERENCE_GIVEN     /**< one pointed out by a person */
} bc_reference;

/** A picture in CIELAB D50 and luminance; planes of width x height floats, top row first. */
typedef struct bc_image {
  int width, height;
  float *L, *a, *b; /**< CIELAB D50 */
  float *Y;         /**< relative luminance, WCAG 2.2 definition on unclipped linear sRGB */
  uint8_t *alpha;   /**< from the photo, 255 opaque; NULL when it has none */
  int full_width;   /**< the photo's own upright size, to which boxes given by a person refer */
  int full_height;
  char *profile;               /**< the profile's description, or "sRGB (assumed)" */
  bc_reference reference;      /**< what the light was corrected by */
  bc_box reference_box;        /**< where, in pixels of the full photo; all 0 for BC_REFERENCE_NONE */
  bc_colour reference_seen;    /**< the reference as the camera saw it, before correction */
  double reference_confidence; /**< 0..1; 1 when given, 0 for none */
  bc_uncertainty uncertainty;  /**< how unsure all colours of this picture are */
  bc_notes notes;              /**< includes the photo's notes */
} bc_image;

typedef struct bc_image_options {
  /** The longer side of the image that is made, in pixels; larger rasters are reduced by area
   *  averaging in linear light. 0 keeps the raster's size. Default BC_READING_SIDE. */
  int side;
  /** A white or grey reference seen in the photo: a flat, evenly lit patch. Its box, in pixels of the full
   *  upright photo, and the colour it really has (default BC_WHITE_SHEET). Default: none given. */
  bool has_white;
  bc_box white;
  bc_colour white_is;
  /** Look for a white sheet or grey card when none is given. Default true. */
  bool find_white;
} bc_image_options;

/** CIELAB of a matt white sheet: ordinary office paper without what brighteners add in daylight (our
 *  choice, near the papers of ISO 12647-2: L* 93 to 95). */
#define BC_WHITE_SHEET ((bc_lab){94.0, 0.0, 0.0})

/** The longer side at which pieces are read: enough for a rim of several pixels, small enough to be fast. */
#define BC_READING_SIDE 1024

BC_API bc_image_options bc_image_options_default(void);

/** Converts a photo. `options` may be NULL. A profile that cannot be used is an error only if the
 *  samples have no other meaning (CMYK); otherwise sRGB is assumed and a note says so. BC_BAD_DATA also
 *  for a reference that is outside the photo, overexposed, too dark, uneven or strongly coloured. */
BC_API bc_status bc_image_from_photo(bc_image **out, bc_context *context, const bc_photo *photo,
                                     const bc_image_options *options);
BC_API void bc_image_free(bc_image *image);

#ifdef __cplusplus
}
#endif
#endif
