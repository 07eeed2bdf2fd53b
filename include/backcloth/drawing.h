/* SPDX-License-Identifier: MIT */
/**
 * @file drawing.h
 * The pictures: the wall elevation to true scale and the match board, as PNG, PDF or SVG by the
 * suffix of the output's name. Pieces are laid on cloth in linear light with premultiplied alpha.
 */
#ifndef BACKCLOTH_DRAWING_H
#define BACKCLOTH_DRAWING_H

#include <backcloth/aisle.h>
#include <backcloth/loads.h>
#include <backcloth/look.h>
#include <backcloth/match.h>
#include <backcloth/plan.h>
#include <backcloth/reading.h>

#ifdef __cplusplus
extern "C" {
#endif

/** The paper. BC_SHEET_FITTING: the smallest ISO 216 sheet on which a useful scale fits. */
typedef enum bc_sheet { BC_SHEET_FITTING = 0, BC_SHEET_A4, BC_SHEET_A3, BC_SHEET_LETTER, BC_SHEET_TABLOID } bc_sheet;

typedef struct bc_elevation_options {
  double scale;         /**< PDF, SVG: 20 means 1:20; 0 = the largest usual scale that fits the sheet */
  double pixels_per_cm; /**< PNG: pixels for a cm of wall; default 4 */
  bc_units units;       /**< which unit is written first; both are written */
  bc_sheet sheet;       /**< default BC_SHEET_FITTING */
  bc_notes *told;       /**< or NULL: is told in words what was written, at what scale and on what paper */
} bc_elevation_options;

BC_API bc_elevation_options bc_elevation_options_default(void);

/** Draws the wall. `studies` has one entry a piece of the plan (NULL: drawn as a labelled outline);
 *  `loads` may be NULL. Writes aside and renames, so a failure leaves no half file.
 *  Errors: BC_BAD_USAGE (suffix, or a size over the limits), BC_CANNOT_WRITE. */
BC_API bc_status bc_drawing_elevation(bc_context *context, const bc_plan *plan, bc_study *const *studies,
                                      const bc_loads *loads, const bc_elevation_options *options, const char *path);

/** Draws the wall twice at one scale, side by side: bare, in the stand's own colour, and with the plan's cloth; under
 *  each, how many pieces stand out there (bc_match_rank on the readings of the placed pieces). Uses `pixels_per_cm`.
 *  `studies` may be NULL. Errors as above, and BC_BAD_DATA for a plan without a cloth. */
BC_API bc_status bc_drawing_before_after(bc_context *context, const bc_plan *plan, bc_study *const *studies,
                                         const bc_elevation_options *options, const char *path);

/** Where bc_drawing_wall puts the wall on somebody else's sheet; user space of `cairo` is mm, y down. */
typedef struct bc_wall_place {
  double x, y;      /**< upper left corner of the wall, mm */
  double mm_per_cm; /**< 0.5 is 1:20 */
  double type;      /**< size of the numbers: 1 as on A4; 0 leaves them out */
} bc_wall_place;

/** A rectangle on somebody else's sheet, whose user space is mm with y down. */
typedef struct bc_sheet_rect {
  double x, y, width, height;
} bc_sheet_rect;

struct _cairo; /* Cairo's cairo_t */
struct _cairo_surface;
/** Paints the wall alone, with cloth, pieces, fittings and the pieces' numbers, for a sheet of another stage.
 *  Nothing is written; what the pieces' photos show beyond the wall is painted too, up to 2 mm round it. */
BC_API bc_status bc_drawing_wall(bc_context *context, const bc_plan *plan, bc_study *const *studies,
                                 struct _cairo *cairo, const bc_wall_place *place);
/** Paints one piece, cut from its photo, on white with a soft shadow, as large as the box holds it. Nothing is
 *  written. */
BC_API bc_status bc_drawing_piece(bc_context *context, const bc_study *study, struct _cairo *cairo, bc_sheet_rect box);
/** Who stands in the aisle, and what visitors see past them. */
typedef struct bc_aisle_company {
  const bc_aisle_options *crowd; /**< NULL: nobody */
  const bc_aisle *figures;       /**< NULL: no figures */
} bc_aisle_company;
/** Draws what a visitor in the aisle sees, in true perspective from the eye of the plan's viewer: the wall with its
 *  pieces, shelves, tables, floor and side walls, and the crowd of `seen`, whose figures are told beside it in
 *  words and bars. `seen` may be NULL: nobody stands there. Uses `units`, `pixels_per_cm` (at the wall) and `sheet` of
 * the options. Errors as above, and BC_BAD_DATA when the viewers stand nearer than what stands at the wall. */
BC_API bc_status bc_drawing_aisle(bc_context *context, const bc_plan *plan, bc_study *const *studies,
                                  const bc_aisle_company *seen, const bc_elevation_options *options, const char *path);

/** A small picture of a piece without what was round it in the photo, for keeping. Plain data. */
typedef struct bc_kept_piece {
  int width, height;
  uint8_t *rgba;                /**< width x height x 4, sRGB, not premultiplied */
  double left, top, wide, high; /**< where it lies in its photo, as shares of the photo's width and height */
} bc_kept_piece;
/** Makes it; the longer side gets `most` pixels at most. Clear it with bc_drawing_kept_piece_clear. */
BC_API bc_status bc_drawing_keep_piece(bc_kept_piece *out, bc_context *context, const bc_study *study, int most);
BC_API void bc_drawing_kept_piece_clear(bc_kept_piece *piece);

/** Makes the cut-out of a study that every drawing begins with, and keeps it in the context's store. Nothing is done
 *  without a store, or where it is there. Worth it before bc_study_rest. */
BC_API bc_status bc_drawing_keep_cut(bc_context *context, const bc_study *study);

/** Paints one piece on a rectangle of cloth, its outline marked where it gets lost. Nothing is written. */
BC_API bc_status bc_drawing_specimen(bc_context *context, const bc_study *study, const bc_cloth *cloth,
                                     struct _cairo *cairo, bc_sheet_rect box);

/** The match board: every piece on every cloth, cloths in rank order, with verdict shapes and figures. */
BC_API bc_status bc_drawing_board(bc_context *context, const bc_match *match, bc_study *const *studies,
                                  const char *path);

/** Two cloths side by side: each piece on either in the same size, the rim marked where it gets lost, the
 *  figures under it in words and a conclusion on top. `first` and `second` are places in rank order. */
BC_API bc_status bc_drawing_compare(bc_context *context, const bc_match *match, bc_study *const *studies, size_t first,
                                    size_t second, const char *path);

/** Whether a picture can be written under this name: BC_BAD_USAGE, with the sentence, when its suffix is none of a
 *  picture's. For asking before the work. */
BC_API bc_status bc_drawing_check_name(bc_context *context, const char *path);

/** A wall as a photo shows it, straightened and to scale: its pieces numbered with their verdicts, sight band, heights
 *  and empty areas over it, the words beside; with a cloth, the wall before and after beneath. */
BC_API bc_status bc_drawing_look(bc_context *context, const bc_look *look, bc_units units, const char *path);

/** The contrast landscape: lightness against hue with the collection's score, the candidate cloths of the
 *  match by number and its suggestions by letter. */
BC_API bc_status bc_drawing_landscape(bc_context *context, const bc_match *match, const bc_landscape *landscape,
                                      const char *path);

/** How words are set in all pictures: without hinting, at places that are not rounded, so that a line is as long on a
 *  screen as on paper; for whoever sets words beside them. The caller unrefs it with g_object_unref(). */
BC_API struct _PangoContext *bc_drawing_type_context(void);

/** An image surface of Cairo's (RGB24) as JPEG, colour at full resolution; `quality` 1..100 as in the JPEG library. The
 *  caller frees the bytes with free(). Errors: BC_OUR_FAULT without memory. */
BC_API bc_status bc_drawing_jpeg(unsigned char **out, size_t *size, bc_context *context, struct _cairo_surface *surface,
                                 int quality);

#ifdef __cplusplus
}
#endif
#endif
