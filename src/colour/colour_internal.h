/* SPDX-License-Identifier: MIT */
/* What the files of the colour stage share. Other stages use <backcloth/colour.h> only. */
#ifndef BC_SRC_COLOUR_INTERNAL_H
#define BC_SRC_COLOUR_INTERNAL_H

#include <backcloth/colour.h>
#include <lcms2.h>

/* A 3 x 3 matrix, row by row; acts on column vectors. */
typedef struct colour_matrix3 {
  double at[3][3];
} colour_matrix3;

/* out = matrix x in; `out` may be `in`. */
void colour_matrix3_apply(const colour_matrix3 *matrix, const double in[3], double out[3]);
void colour_matrix3_multiply(const colour_matrix3 *left, const colour_matrix3 *right,
                             colour_matrix3 *out);                             /* out may be either */
bool colour_matrix3_invert(const colour_matrix3 *matrix, colour_matrix3 *out); /* false: singular */
/* Linear Bradford adaptation of XYZ from one white to another; false when a white has no such cone response. */
bool colour_adaptation(colour_matrix3 *out, const double from_white[3], const double to_white[3]);

/* ICC.1 D50, the white of the profile connection space and of all our CIELAB. */
extern const double colour_white_d50[3];
/* Linear sRGB -> XYZ D50 (Bradford) and back, full precision: see docs/method/colour.md. */
extern const colour_matrix3 colour_xyz_from_srgb;
extern const colour_matrix3 colour_srgb_from_xyz;
/* WCAG relative luminance as one row on XYZ D50. */
extern const double colour_luminance_from_xyz[3];

void colour_lab_to_xyz(bc_lab lab, double xyz[3]); /* XYZ D50, white Y = 1 */
bc_lab colour_lab_from_xyz(const double xyz[3]);
bc_colour colour_from_xyz(const double xyz[3]); /* XYZ D50 */

/* --- whites ------------------------------------------------------------------------------------ */
void colour_uv_of_xyz(const double xyz[3], double uv[2]); /* CIE 1960 */
/* The nearest black-body light, and how far above it (+: greener) the chromaticity lies. */
void colour_locus_nearest(const double uv[2], double *mired, double *duv);
/* XYZ, Y = 1, of the white so many mired and duv away from D50. */
void colour_white_shifted(double mired, double duv, double white[3]);

/* --- CSS ----------------------------------------------------------------------------------------- */
/* 0xrrggbb of a named colour in lower case, or -1. */
long colour_css_named(const char *name);

/* A function of CSS Color 4, or a space of its color(): how its three components are written and meant. */
typedef struct colour_css_space {
  const char *name;
  double percent_is[3]; /* what 100% stands for; 0: an angle, which is never a percentage */
  bool legacy;          /* commas allowed */
  bc_colour (*convert)(const double component[3]);
  const char *example;
} colour_css_space;
/* NULL when there is none of that (lower-case) name. */
const colour_css_space *colour_css_function(const char *name);
const colour_css_space *colour_css_color_space(const char *name);

/* --- profiles -------------------------------------------------------------------------------------- */
/* The LittleCMS context of this context, made on first use; NULL when there is no memory. */
cmsContext colour_engine(bc_context *context);

/* How samples become linear light: three numbers that may be averaged, and from there XYZ D50.
 *   COLOUR_LINEAR_TABLES  channel c (or channel 0 for grey) through table[c], then `to_xyz`
 *   COLOUR_LINEAR_ENGINE  a LittleCMS float transform to XYZ D50, a pixel at a time */
typedef enum colour_linear_kind { COLOUR_LINEAR_TABLES, COLOUR_LINEAR_ENGINE } colour_linear_kind;
typedef struct colour_linear {
  colour_linear_kind kind;
  int channels, bits;    /* as the raster's */
  float *table[3];       /* 256 or 65536 entries each, all in one block that table[0] heads */
  colour_matrix3 to_xyz; /* identity for COLOUR_LINEAR_ENGINE and for grey */
  cmsHTRANSFORM transform;
  char *description;
  bool scene_light;   /* HLG: what the camera saw, not yet what a screen shows; may be over 1 */
  float luminance[3]; /* of the three numbers; for scene_light */
} colour_linear;
/* From scene light to a screen's, 0..1, relative to a picture's white (BT.2100, table 5: OOTF, system gamma 1.2). */
void colour_show_scene(const colour_linear *linear, float *const plane[3], size_t count);

/* From a profile's bytes. BC_BAD_DATA without a sentence when it cannot give these samples a
 * meaning; the caller decides whether sRGB may be assumed. */
bc_status colour_linear_from_profile(colour_linear *out, bc_context *context, const void *profile, size_t size,
                                     bc_photo_model model, int bits);
/* sRGB, or grey with the sRGB curve. */
bc_status colour_linear_from_srgb(colour_linear *out, bc_context *context, bc_photo_model model, int bits);
/* Primaries and a curve. BC_BAD_DATA without a sentence when they make no sense. */
bc_status colour_linear_from_declared(colour_linear *out, bc_context *context, const bc_declared_colour *declared,
                                      bc_photo_model model, int bits);
/* Gives room for the tables of linear->bits. */
bc_status colour_linear_make_tables(colour_linear *linear, bc_context *context);
void colour_linear_clear(colour_linear *linear);

/* --- pictures -------------------------------------------------------------------------------------- */
/* Takes one reduced row: three planes of linear light and, when the raster has alpha, a fourth 0..1 (else NULL). */
typedef void colour_row_sink(void *cargo, int y, const float *const plane[4]);

/* What is wanted of a reduction: its size (each side at most the raster's) and who takes the rows. */
typedef struct colour_reduction {
  int width, height;
  colour_row_sink *sink;
  void *cargo;
} colour_reduction;
/* Linearises and reduces by area averaging, row by row. */
bc_status colour_reduce(bc_context *context, const bc_raster *raster, const colour_linear *linear,
                        const colour_reduction *wanted);
/* XYZ = to_xyz x planes, then CIELAB and luminance, count pixels; float arithmetic, L* within 0.001. */
typedef struct colour_lab_planes {
  float *L, *a, *b, *Y;
} colour_lab_planes;
void colour_planes_to_lab(colour_lab_planes out, const float *const channel[3], const colour_matrix3 *to_xyz,
                          size_t count);
/* Applies a matrix on XYZ to a finished picture. */
void colour_lab_planes_correct(bc_image *image, const colour_matrix3 *correction);
/* What is known about the samples: a profile, or a declaration, or neither (all NULL). */
typedef struct colour_meaning {
  const void *profile;
  size_t profile_size;
  const bc_declared_colour *declared;
  int full_width, full_height; /* of the photo; 0: the raster's own size */
} colour_meaning;

/* A reference: where it is and what it is. */
typedef struct colour_white_request {
  bc_box box; /* pixels of the full photo */
  bc_colour white_is;
  bool cast_only; /* it is neutral, but how light is not known */
  int full_width, full_height;
  const char *name; /* for messages */
} colour_white_request;
typedef struct colour_white_measurement {
  double seen[3];            /* XYZ D50 of the reference in the photo */
  double expected[3];        /* and as it really is */
  colour_matrix3 correction; /* on XYZ: linear Bradford and exposure together */
} colour_white_measurement;
/* Tells of a corrected picture how large the correction was, warns where the reference can hardly be what it is taken
 * for, and widens the picture's uncertainty then. */
bc_status colour_judge_white(bc_image *image, bc_context *context, const colour_white_measurement *measured,
                             bool cast_only);
/* BC_BAD_DATA with a sentence when the reference cannot be trusted: overexposed, too dark, uneven, coloured. */
bc_status colour_white_measure(colour_white_measurement *out, bc_context *context, const bc_raster *raster,
                               const colour_linear *linear, const colour_white_request *request);

/* All but the photo's notes: the seam for tests. */
bc_status colour_image_from_raster(bc_image **out, bc_context *context, const bc_raster *raster,
                                   const colour_meaning *meaning, const char *name, const bc_image_options *options);

#endif
