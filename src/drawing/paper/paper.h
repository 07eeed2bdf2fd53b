/* SPDX-License-Identifier: MIT */
/* What the files of the drawing stage share. Two halves: a small compositor that lays pieces on
 * cloth in linear light, and Cairo/Pango drawing in millimetres of paper over its result. */
#ifndef BC_DRAWING_INTERNAL_H
#define BC_DRAWING_INTERNAL_H

#include <backcloth/drawing.h>
#include <cairo.h>

#include "base/base.h"
#include "base/measures.h"

/* ---- values ------------------------------------------------------------------------------------- */

/* Four floats at once: linear-light red, green, blue (premultiplied) and alpha. */
typedef float drawing_v4 __attribute__((vector_size(16)));

/* Millimetres of paper; x right, y down, origin at the sheet's top left corner. */
typedef struct drawing_rect {
  double x, y, width, height;
} drawing_rect;

typedef struct drawing_ink {
  double red, green, blue, alpha; /* sRGB-encoded, as Cairo takes them */
} drawing_ink;

bool drawing_rects_meet(drawing_rect first, drawing_rect second);

/* ---- linear light ------------------------------------------------------------------------------- */

/* CIELAB D50 planes to linear sRGB, fast; the matrix is taken from the colour stage, so that there
 * is one definition only. */
typedef struct drawing_lab_matrix {
  float rgb[3][3]; /* rgb[i][j]: contribution of X/Xn, Y/Yn, Z/Zn (j) to red, green, blue (i) */
} drawing_lab_matrix;
drawing_lab_matrix drawing_lab_matrix_make(void);
drawing_v4 drawing_lab_to_linear(const drawing_lab_matrix *matrix, float L, float a, float b);
drawing_v4 drawing_linear_of(bc_colour colour);
/* The 8-bit sRGB code of linear light, by a table of 65536 steps made once a process. */
const uint8_t *drawing_encode_table(void);
/* Encodes a row of opaque linear pixels as Cairo's RGB24. */
void drawing_encode_row(uint32_t *out, const drawing_v4 *row, size_t count);

/* ---- cut-outs and sprites ------------------------------------------------------------------------ */

/* A piece cut from its photo: linear light, premultiplied; box is the piece's own box in it (the
 * margin round it keeps the soft edge). */
typedef struct drawing_cut {
  int width, height;
  drawing_v4 *pixels;
  bc_box box;
  float see_through; /* share of what is behind that shows through; the pixels' alpha is so much less */
} drawing_cut;
/* From the context's store where it is kept (bc_drawing_keep_cut). */
bc_status drawing_cut_make(drawing_cut *out, bc_context *context, const bc_study *study);
/* From a study that has its pixels. */
bc_status drawing_cut_of_pixels(drawing_cut *out, bc_context *context, const bc_study *study);
void drawing_cut_clear(drawing_cut *cut);

/* A cut-out at its final size, 16 bits a sample, linear, premultiplied; at `left`, `top` of the raster. */
typedef struct drawing_sprite {
  int left, top, width, height;
  uint16_t *pixels; /* width x height x 4 */
  /* soft shadow: alpha at 1/step of the resolution */
  int shadow_left, shadow_top, shadow_width, shadow_height, shadow_step;
  uint8_t *shadow;
  float shadow_strength;
  float see_through; /* as of the cut */
} drawing_sprite;
/* Where the piece's box shall be, in raster pixels (fractions matter). */
typedef struct drawing_place {
  double left, top, width, height;
} drawing_place;
bc_status drawing_sprite_make(drawing_sprite *out, bc_context *context, const drawing_cut *cut, drawing_place place);
/* Gives a sprite the shadow of something `lift` pixels in front of the cloth, lit from the upper left. */
bc_status drawing_sprite_cast(drawing_sprite *sprite, bc_context *context, double lift, float strength);
void drawing_sprite_clear(drawing_sprite *sprite);

/* Separable resampling of premultiplied pixels: destination pixel centres (i + 0.5) / scale + offset. */
typedef struct drawing_axis {
  int count;     /* destination pixels */
  double scale;  /* destination pixels a source pixel */
  double offset; /* source position of the destination's left edge */
} drawing_axis;
/* Pixels row by row. */
typedef struct drawing_pixels {
  const drawing_v4 *at;
  int width, height;
} drawing_pixels;
bc_status drawing_resample(drawing_v4 *out, bc_context *context, drawing_pixels source, drawing_axis across,
                           drawing_axis down);

/* ---- the compositor ------------------------------------------------------------------------------ */

/* A hung textile: its colour, its folds and its weave, in raster pixels. */
typedef struct drawing_cloth_field {
  int left, top, width, height; /* pixels that it covers */
  drawing_v4 colour;
  float *fold_top, *fold_bottom; /* a factor a column, mean 1 */
  float *weave;                  /* DRAWING_WEAVE x DRAWING_WEAVE factors, mean 1 */
  float *hem;                    /* a factor a row */
  drawing_v4 *pattern;           /* whole repeats, linear, or NULL for a plain cloth */
  int pattern_width, pattern_height;
  double *along; /* a column: how far along the flat cloth it lies, pixels */
} drawing_cloth_field;
#define DRAWING_WEAVE 256
typedef struct drawing_cloth_look {
  drawing_place place; /* raster pixels */
  double pixels_per_cm;
  double fullness; /* 1 flat */
  bool weave;
  bool hem;
} drawing_cloth_look;
bc_status drawing_cloth_field_make(drawing_cloth_field *out, bc_context *context, bc_colour colour,
                                   const drawing_cloth_look *look);
void drawing_cloth_field_clear(drawing_cloth_field *field);

/* A textile's photo as one repeat, in linear light, its uneven light taken out. */
typedef struct drawing_textile {
  int width, height;
  drawing_v4 *pixels;
  double repeat_width, repeat_height; /* in widths of the photo */
  drawing_v4 mean;                    /* of the photo */
} drawing_textile;
bc_status drawing_textile_of(drawing_textile *out, bc_context *context, const bc_image *image);
bc_status drawing_textile_open(drawing_textile *out, bc_context *context, const char *path);
void drawing_textile_clear(drawing_textile *textile);
/* Gives the field a pattern; the whole photo would be `photo_pixels` wide. */
bc_status drawing_cloth_field_print(drawing_cloth_field *field, bc_context *context, const drawing_textile *textile,
                                    double photo_pixels);
/* The cloths that were matched. */
static inline const bc_cloth *const *drawing_cloths_of(const bc_match *match) {
  return (const bc_cloth *const *)match->collection->cloths.cloth;
}
/* The textiles of a match's cloths, by the cloth's index; a plain cloth has no pixels. The cloths that have a
 * photo are opened once a drawing. */
bc_status drawing_textiles_open(drawing_textile **out, bc_context *context, const bc_match *match);
void drawing_textiles_free(drawing_textile *textiles, const bc_match *match);

/* All that the compositor lays down, back to front. */
typedef struct drawing_scene {
  int width, height;
  drawing_v4 paper;
  bool has_wall;
  drawing_place wall;
  drawing_v4 wall_colour;
  const drawing_cloth_field *cloth; /* or NULL */
  double cloth_lift;                /* pixels, for its shadow on the wall; 0 = none */
  const uint32_t *underlay;         /* what is fixed to the wall, over the cloth and under the pieces: Cairo's ARGB32 */
  size_t underlay_stride;           /* pixels */
  const drawing_sprite *sprites;
  size_t sprite_count;
} drawing_scene;
/* Composes the scene into RGB24 pixels; `stride` is in pixels. */
bc_status drawing_compose(const drawing_scene *scene, bc_context *context, uint32_t *pixels, size_t stride);

/* ---- the sheet ------------------------------------------------------------------------------------ */

typedef enum drawing_format { DRAWING_PNG, DRAWING_PDF, DRAWING_SVG } drawing_format;

typedef struct drawing_canvas drawing_canvas;
/* The format by the suffix of the name; a sentence that lists the formats otherwise. */
bc_status drawing_format_of(drawing_format *out, bc_context *context, const char *path);
/* A sheet to be opened. */
typedef struct drawing_sheet_size {
  double width, height; /* mm */
  double pixels_per_mm; /* of a PNG */
  const char *title;    /* goes into the file's description; NULL: none */
} drawing_sheet_size;
bc_status drawing_canvas_open(drawing_canvas **out, bc_context *context, const char *path, drawing_sheet_size sheet);
/* A canvas on somebody else's Cairo, whose user space is mm: layers draw there as on a printed sheet. It is only
 * abandoned, never finished. */
bc_status drawing_canvas_borrow(drawing_canvas **out, bc_context *context, cairo_t *cairo);
cairo_t *drawing_canvas_cairo(drawing_canvas *canvas); /* user space: mm */
/* A line of words in Cairo's present user space, as text for a format that draws letters as outlines (SVG). */
typedef struct drawing_words {
  const char *text; /* UTF-8, not ended by a NUL */
  size_t length;
  double size, x, baseline, width; /* width: as it was drawn */
  bool right_to_left;
} drawing_words;
void drawing_canvas_add_words(drawing_canvas *canvas, const drawing_words *words);
/* Letters that no installed font can show, so far. */
void drawing_canvas_count_unknown(drawing_canvas *canvas, int letters);
int drawing_canvas_unknown(const drawing_canvas *canvas);
/* White where it is printed, a trace warmer on a screen. */
drawing_ink drawing_paper_of(const drawing_canvas *canvas);
/* A raster over `area`. In a PNG it is written straight into the sheet's own pixels (area is widened
 * to whole ones); in PDF and SVG it is an image of its own. `place` says where the paper's mm lie in it. */
typedef struct drawing_raster {
  int width, height;
  size_t stride; /* pixels */
  uint32_t *pixels;
  double left_mm, top_mm, pixels_per_mm;
  cairo_surface_t *surface; /* PDF, SVG; NULL for PNG */
} drawing_raster;
bc_status drawing_raster_open(drawing_raster *out, bc_context *context, drawing_canvas *canvas, drawing_rect area,
                              double pixels_per_mm);
/* False without memory; the caller frees the bytes with free(). */
bool drawing_jpeg(unsigned char **out, size_t *size, cairo_surface_t *surface, int quality);
/* Paints it (PDF, SVG) and lets it go. */
void drawing_raster_close(drawing_raster *raster, drawing_canvas *canvas);
drawing_place drawing_raster_place(const drawing_raster *raster, drawing_rect area);
/* A next sheet of the same size (PDF). */
void drawing_canvas_next_sheet(drawing_canvas *canvas);
/* Writes the file. Consumes the canvas whatever the outcome. */
bc_status drawing_canvas_finish(drawing_canvas *canvas, bc_context *context);
void drawing_canvas_abandon(drawing_canvas *canvas);
/* What a PNG is made of. */
typedef struct drawing_png {
  const uint32_t *pixels; /* Cairo's RGB24 */
  int width, height;
  size_t stride; /* pixels */
  double pixels_per_mm;
  const char *title; /* or NULL */
} drawing_png;
bc_status drawing_png_write(bc_context *context, const char *path, const drawing_png *picture);

/* ---- type ------------------------------------------------------------------------------------------ */

/* With a width, lines that read from the right begin at the right all the same; DRAWING_AT_LEFT and DRAWING_AT_RIGHT
 * say the side of the paper. */
typedef enum drawing_align {
  DRAWING_LEFT,
  DRAWING_CENTRE,
  DRAWING_RIGHT,
  DRAWING_AT_LEFT,
  DRAWING_AT_RIGHT
} drawing_align;
typedef struct drawing_type {
  double size; /* mm, the font's em */
  bool bold, italic;
  drawing_ink ink;
  drawing_align align;
  double width; /* mm; 0 = as long as it needs */
  int lines;    /* with a width: at most so many lines, then an ellipsis; 0 = wrap freely */
  double angle; /* radians, clockwise */
} drawing_type;
typedef struct drawing_extent {
  double width, height, baseline; /* mm */
} drawing_extent;
drawing_extent drawing_text_measure(const drawing_type *type, const char *text);
/* Sets text with its top at y; x is the left edge, centre or right edge as `align` says. Returns its size. */
drawing_extent drawing_text(drawing_canvas *canvas, const drawing_type *type, double x, double y, const char *text);
/* Sets text into a box, in its middle: on one line, else a little smaller, else wrapped and as small as it must
 * be, but never below `smallest` mm and never cut. Draws nothing, and returns 0 x 0, when it does not fit. */
drawing_extent drawing_text_fitted(drawing_canvas *canvas, drawing_type type, drawing_rect box, double smallest,
                                   const char *text);
/* How many letters of the text no installed font can show. */
int drawing_text_unknown(const char *text);
drawing_extent drawing_textf(drawing_canvas *canvas, const drawing_type *type, double x, double y, const char *format,
                             ...) __attribute__((format(printf, 5, 6)));

/* ---- one piece on one cloth --------------------------------------------------------------------------- */

/* Where the piece lies in its cell: in the middle, filling `fill` of the narrower side. */
drawing_rect drawing_specimen_place(const drawing_cut *cut, drawing_rect cell, double fill);
/* The cloth behind it: a colour, or a textile, which lies as its photo shows it across one cell. */
typedef struct drawing_backing {
  bc_colour colour;
  const drawing_textile *textile; /* NULL or empty: plain */
} drawing_backing;
/* Paints the cell: flat cloth, the piece at `piece`, and its shadow. */
bc_status drawing_specimen(drawing_canvas *canvas, bc_context *context, const drawing_cut *cut, drawing_backing cloth,
                           drawing_rect cell, drawing_rect piece);
/* Marks the outline where it gets lost: a line with ticks that point away from the piece. */
void drawing_lost_rim(drawing_canvas *canvas, const bc_cutout *cutout, const bc_reading *reading, const bc_cloth *cloth,
                      drawing_rect piece);
/* The same as a sample for a legend. */
void drawing_lost_sample(drawing_canvas *canvas, double x, double y, double length);

/* ---- lengths for a person -------------------------------------------------------------------------- */

#define DRAWING_WORDS BC_MEASURE_ROOM

/* ---- look ------------------------------------------------------------------------------------------- */

extern const drawing_ink drawing_paper, drawing_black, drawing_grey, drawing_pale, drawing_accent, drawing_white;
void drawing_use(cairo_t *cairo, drawing_ink ink);
void drawing_line(cairo_t *cairo, double x1, double y1, double x2, double y2);
/* Fullness of the disc says how clear: full = stands out, half = soft, dashed ring = gets lost. */
void drawing_verdict_mark(cairo_t *cairo, bc_verdict verdict, double x, double y, double radius, drawing_ink ink);
/* A question mark in a broken ring: the outline of this piece isn't sure, nor what is said of it. */
void drawing_doubt_mark(drawing_canvas *canvas, double x, double y, double radius);
/* A gleam on a white disc: a polished piece; what stands beside it is how it will be at the stand. */
void drawing_gleam_mark(drawing_canvas *canvas, double x, double y, double radius);
/* An eye: what stands beside it holds for some people's eyes. */
void drawing_eye(cairo_t *cairo, double x, double y, double radius);
/* The photo as it came, fitted into the cell, with the outline of the cut-out and the white sheet framed. */
bc_status drawing_as_photographed(drawing_canvas *canvas, bc_context *context, const bc_study *study,
                                  drawing_rect cell);
/* Holds: a plain triangle with a tick; does not hold: a filled triangle with a bar; unknown: an outline with a
 * question. */
void drawing_holds_mark(drawing_canvas *canvas, bc_holds holds, double x, double y, double radius);

#endif
