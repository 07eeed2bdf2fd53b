/* SPDX-License-Identifier: MIT */
/* What the files of the set-up sheet share: a page in mm that can run from right to left, type that never
 * leaves its box, pictograms, steps. */
#ifndef BC_SRC_SHEETS_SHEET_INTERNAL_H
#define BC_SRC_SHEETS_SHEET_INTERNAL_H

#include "base/base.h"
#include <backcloth/sheet.h>
#include <cairo.h>

typedef struct sheet_box {
  double x, y, width, height; /* mm; x from the side on which reading starts */
} sheet_box;

typedef struct sheet_page {
  cairo_t *cairo;
  double width, height; /* of the paper, mm */
  bool mirrored;        /* right to left */
  bool stacked;         /* PNG: the next page lies below */
  int number;           /* 0-based */
} sheet_page;

void sheet_page_next(sheet_page *page);
/* Real left edge of something `width` wide that starts at x. */
double sheet_left(const sheet_page *page, double x, double width);

typedef enum sheet_align { SHEET_START = 0, SHEET_CENTRE, SHEET_END } sheet_align;
typedef struct sheet_type {
  double size; /* mm of the font's em; smaller when the box asks for it, down to SHEET_SMALLEST_MM */
  bool bold, white, grey;
  bool figures; /* numbers and units: left to right in every language */
  sheet_align align;
} sheet_type;
#define SHEET_SMALLEST_MM 1.9
/* Sets text in a box, from its top; returns the height used. `tag` is the PDF's structure tag, or NULL for "P". */
double sheet_text(sheet_page *page, sheet_box box, sheet_type type, const char *tag, const char *text);

typedef enum sheet_icon {
  SHEET_NAIL = 0,
  SHEET_PIN,
  SHEET_HOOK,
  SHEET_CORD,
  SHEET_CLIP,
  SHEET_SHELF,
  SHEET_TABLE,
  SHEET_FLOOR, /* as bc_mount_kind */
  SHEET_ROD,
  SHEET_CLOTH,
  SHEET_FRAME,
  SHEET_LEVEL,
  SHEET_LADDER,
  SHEET_TWO,
  SHEET_CAUTION,
  SHEET_SCISSORS,
  SHEET_BAG,
  SHEET_TAPE,
  SHEET_DRIVER,
  SHEET_HAMMER,
  SHEET_ASK,
  SHEET_PULL,
  SHEET_FLAME,
  SHEET_WIND,
  SHEET_CHILD,
  SHEET_UP,
  SHEET_ACROSS,
  SHEET_ICONS
} sheet_icon;
/* Draws a pictogram in a square; real coordinates, never mirrored. */
void sheet_pictogram(cairo_t *cairo, sheet_icon icon, double x, double y, double side);

/* A QR code in a square; false when the text is too long or empty. */
bool sheet_code(cairo_t *cairo, const char *text, double x, double y, double side);

#endif
