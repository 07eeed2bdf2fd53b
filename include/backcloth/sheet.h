/* SPDX-License-Identifier: MIT */
/**
 * @file sheet.h
 * The set-up sheet: what a helper hangs the wall from, on one or two printed pages, in pictures and few
 * words: the wall with numbers, numbered steps with heights from the floor in both units, hardware by
 * pictogram, cautions, a packing checklist, and a QR code with the plan's text.
 */
#ifndef BACKCLOTH_SHEET_H
#define BACKCLOTH_SHEET_H

#include <backcloth/drawing.h>
#include <backcloth/packing.h>

#ifdef __cplusplus
extern "C" {
#endif

typedef enum bc_paper { BC_PAPER_A4 = 0, BC_PAPER_LETTER } bc_paper;

typedef struct bc_setup_sheet_options {
  bc_paper paper;
  bc_units units;     /**< which unit is written first; both are written */
  double dots_per_mm; /**< PNG only; default 150 dots an inch */
} bc_setup_sheet_options;

BC_API bc_setup_sheet_options bc_setup_sheet_options_default(void);

/** What a sheet is made from. */
typedef struct bc_setup_sheet_input {
  const bc_plan *plan;
  bc_study *const *studies; /**< one entry per piece; NULL: an outline */
  const bc_loads *loads;
  const bc_packing *packing;
} bc_setup_sheet_input;

/** Draws the sheet as PDF, or as PNG with its pages one below another, by the name's suffix, in the language that
 *  bc_language_use() chose; right to left where that language runs so (the wall itself is never mirrored).
 *  The PDF is tagged with what its text is, as far as Cairo does. Writes aside and renames. Errors: BC_BAD_USAGE
 *  (suffix), BC_CANNOT_WRITE. */
BC_API bc_status bc_setup_sheet(bc_context *context, const bc_setup_sheet_input *input,
                                const bc_setup_sheet_options *options, const char *path);

/** The text of the QR code: the plan file itself when it is short, else every piece's number, name, mount and places,
 *  else numbers, ids and places, else numbers and places; empty when even that is too long to scan. The caller frees it
 * with free(). */
BC_API bc_status bc_setup_sheet_code_text(char **out, bc_context *context, const bc_plan *plan);

#ifdef __cplusplus
}
#endif
#endif
