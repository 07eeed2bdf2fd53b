/* SPDX-License-Identifier: MIT */
/* What the files of the colour stage share. Other stages use <backcloth/colour.h> only. */
#ifndef BC_SRC_COLOUR_INTERNAL_H
#define BC_SRC_COLOUR_INTERNAL_H

#include <backcloth/colour.h>
#include <lcms2.h>

/* A 3 x 3 matrix, row by row; acts on column vectors. */
typedef struct bc_matrix3 {
  double at[3][3];
} bc_matrix3;

/* out = matrix x in; `out` may be `in`. */
void bc_matrix3_apply(const bc_matrix3 *matrix, const double in[3], double out[3]);
void bc_matrix3_multiply(const bc_matrix3 *left, const bc_matrix3 *right, bc_matrix3 *out); /* out may be either */
bool bc_matrix3_invert(const bc_matrix3 *matrix, bc_matrix3 *out);                          /* false: singular */
/* Linear Bradford adaptation of XYZ from one white to another; false when a white has no such cone response. */
bool bc_adaptation(bc_matrix3 *out, const double from_white[3], const double to_white[3]);

/* ICC.1 D50, the white of the profile connection space and of all our CIELAB. */
extern const double bc_white_d50[3];
/* Linear sRGB -> XYZ D50 (Bradford) and back, full precision: see docs/method/colour.md. */
extern const bc_matrix3 bc_xyz_from_srgb;
extern const bc_matrix3 bc_srgb_from_xyz;
/* WCAG relative luminance as one row on XYZ D50. */
extern const double bc_luminance_from_xyz[3];

void bc_lab_to_xyz(bc_lab lab, double xyz[3]); /* XYZ D50, white Y = 1 */
bc_lab bc_lab_from_xyz(const double xyz[3]);
bc_colour bc_colour_from_xyz(const double xyz[3]); /* XYZ D50 */

/* --- whites ------------------------------------------------------------------------------------ */
void bc_uv_of_xyz(const double xyz[3], double uv[2]); /* CIE 1960 */
/* The nearest black-body light, and how far above it (+: greener) the chromaticity lies. */
void bc_locus_nearest(const double uv[2], double *mired, double *duv);
/* XYZ, Y = 1, of the white so many mired and duv away from D50. */
void bc_white_shifted(double mired, double duv, double white[3]);

/* --- CSS ----------------------------------------------------------------------------------------- */
/* 0xrrggbb of a named colour in lower case, or -1. */
long bc_css_named(const char *name);

/* A function of CSS Color 4, or a space of its color(): how its three components are written and meant. */
typedef struct bc_css_space {
  const char *name;
  double percent_is[3]; /* what 100% stands for; 0: an angle, which is never a percentage */
  bool legacy;          /* commas allowed */
  bc_colour (*convert)(const double component[3]);
  const char *example;
} bc_css_space;
/* NULL when there is none of that (lower-case) name. */
const bc_css_space *bc_css_function(const char *name);
const bc_css_space *bc_css_color_space(const char *name);

/* --- profiles -------------------------------------------------------------------------------------- */
/* The LittleCMS context of this context, made on first use; NULL when there is no memory. */
cmsContext bc_engine(bc_context *context);

/* How samples become linear light: three numbers that may be averaged, and from there XYZ D50.
 *   BC_LINEAR_TABLES  channel c (or channel 0 for grey) through table[c], then `to_xyz`
 *   BC_LINEAR_ENGINE  a LittleCMS float transform to XYZ D50, a pixel at a time */
typedef enum bc_linear_kind { BC_LINEAR_TABLES, BC_LINEAR_ENGINE } bc_linear_kind;
typedef struct bc_linear {
  bc_linear_kind kind;
  int channels, bits; /* as the raster's */
  float *table[3];    /* 256 or 65536 entries each, all in one block that table[0] heads */
  bc_matrix3 to_xyz;  /* identity for BC_LINEAR_ENGINE and for grey */
  cmsHTRANSFORM transform;
  char *description;
} bc_linear;

/* From a profile's bytes. BC_BAD_DATA without a sentence when it cannot give these samples a
 * meaning; the caller decides whether sRGB may be assumed. */
bc_status bc_linear_from_profile(bc_linear *out, bc_context *context, const void *profile, size_t size,
                                 bc_photo_model model, int bits);
/* sRGB, or grey with the sRGB curve. */
bc_status bc_linear_from_srgb(bc_linear *out, bc_context *context, bc_photo_model model, int bits);
/* Primaries and a curve. BC_BAD_DATA without a sentence when they make no sense. */
bc_status bc_linear_from_declared(bc_linear *out, bc_context *context, const bc_declared_colour *declared,
                                  bc_photo_model model, int bits);
/* Gives room for the tables of linear->bits. */
bc_status bc_linear_make_tables(bc_linear *linear, bc_context *context);
void bc_linear_clear(bc_linear *linear);

/* --- pictures -------------------------------------------------------------------------------------- */
/* Takes one reduced row: three planes of linear light and, when the raster has alpha, a fourth 0..1 (else NULL). */
typedef void bc_row_sink(void *cargo, int y, const float *const plane[4]);

/* Linearises and reduces by area averaging to width x height (each at most the raster's), row by row. */
bc_status bc_reduce(bc_context *context, const bc_raster *raster, const bc_linear *linear, int width, int height,
                    bc_row_sink *sink, void *cargo);
/* XYZ = to_xyz x planes, then CIELAB and luminance, count pixels; float arithmetic, L* within 0.001. */
void bc_planes_to_lab(const float *const channel[3], const bc_matrix3 *to_xyz, size_t count, float *L, float *a,
                      float *b, float *Y);
/* Applies a matrix on XYZ to a finished picture. */
void bc_lab_planes_correct(bc_image *image, const bc_matrix3 *correction);
/* What is known about the samples: a profile, or a declaration, or neither (all NULL). */
typedef struct bc_meaning {
  const void *profile;
  size_t profile_size;
  const bc_declared_colour *declared;
  int full_width, full_height; /* of the photo; 0: the raster's own size */
} bc_meaning;

/* A reference: where it is and what it is. */
typedef struct bc_white_request {
  bc_box box; /* pixels of the full photo */
  bc_colour white_is;
  bool cast_only; /* it is neutral, but how light is not known */
  int full_width, full_height;
  const char *name; /* for messages */
} bc_white_request;
typedef struct bc_white_measurement {
  double seen[3];        /* XYZ D50 of the reference in the photo */
  bc_matrix3 correction; /* on XYZ: linear Bradford and exposure together */
} bc_white_measurement;
/* BC_BAD_DATA with a sentence when the reference cannot be trusted: overexposed, too dark, uneven, coloured. */
bc_status bc_white_measure(bc_white_measurement *out, bc_context *context, const bc_raster *raster,
                           const bc_linear *linear, const bc_white_request *request);

/* All but the photo's notes: the seam for tests. */
bc_status bc_image_from_raster(bc_image **out, bc_context *context, const bc_raster *raster, const bc_meaning *meaning,
                               const char *name, const bc_image_options *options);

#endif
