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
  int number, count;    /* 0-based; of so many, once they are counted */
  size_t cut;           /* texts that did not fit their box even at the smallest size */
} sheet_page;

/* Writes into a PDF who made it, and when. */
void sheet_sign_pdf(cairo_surface_t *pdf);
void sheet_page_next(sheet_page *page);
/* Real left edge of something `width` wide that starts at x. */
double sheet_left(const sheet_page *page, double x, double width);

typedef enum sheet_align { SHEET_START = 0, SHEET_CENTRE, SHEET_END } sheet_align;
typedef struct sheet_type {
  double size; /* mm of the font's em; smaller when the box asks for it, down to SHEET_SMALLEST_MM */
  bool bold, white, grey;
  bool middle;   /* in the middle of its box's height, not at its top */
  bool figures;  /* numbers and units: left to right in every language */
  bool keep_end; /* what is too long is cut in its middle, not at its end */
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
  SHEET_BRACKET,
  SHEET_GRID,
  SHEET_ICONS
} sheet_icon;
/* Draws a pictogram in a square; real coordinates, never mirrored. */
void sheet_pictogram(cairo_t *cairo, sheet_icon icon, double x, double y, double side);

/* What is drawn, from what. */
enum { SHEET_WORDS = 400, SHEET_CARD_PIECES = 64 };
#define SHEET_MARGIN 12.0
typedef struct sheet_setup {
  bc_context *context;
  const bc_plan *plan;
  bc_study *const *studies; /* or NULL: outlines */
  const bc_loads *loads;
  const bc_packing *packing;
  bc_setup_sheet_options options;
  sheet_page page;
  const char *code;    /* text of the QR code */
  const char *warning; /* what does not hold or is not known, by name; "" */
  double y;            /* where the page goes on, mm */
  double check_row;    /* height of a line of the checklist, mm: two lines of small type, or one */
} sheet_setup;
double sheet_content(const sheet_setup *s); /* breadth between the margins */
void sheet_heading(sheet_setup *s, const char *text);
void sheet_foot(sheet_setup *s); /* "page 1 of 2" */
void sheet_next(sheet_setup *s); /* a new page, with its number at its foot */

/* A number in a filled square (a step) or a ring (a piece). */
void sheet_number(sheet_setup *s, double x, double y, double side, const char *text, bool filled);
/* Measures for the tape: "66 · 122 cm" and "26 · 48 in", the sheet's first unit first. */
void sheet_measures(const sheet_setup *s, char first[SHEET_WORDS], char second[SHEET_WORDS], const double *cm,
                    size_t count);

/* One step of putting up, as its card shows it. */
typedef struct sheet_card {
  sheet_icon icon;
  const char *title;
  size_t pieces[SHEET_CARD_PIECES]; /* indexes in the plan */
  size_t piece_count;
  double high; /* cm above the floor; NAN: none */
  double across[SHEET_CARD_PIECES];
  size_t across_count;
  size_t hardware;
  double mass_g;
  double ballast_g; /* of a frame; 0: none */
  bool two_people, ladder;
  double map[SHEET_CARD_PIECES][4]; /* rectangles on the wall, cm: x, y, width, height */
  size_t map_count;
} sheet_card;
/* Cards of all steps, in the order of putting up; what stands on one carrier is one card. The caller frees it. */
bc_status sheet_make_cards(sheet_card **out, size_t *count, const sheet_setup *s);
bc_status sheet_draw_card(sheet_setup *s, const sheet_card *card, size_t number, sheet_box box);
/* The wall in small: everything pale, this step dark. Never mirrored. */
void sheet_draw_map(sheet_setup *s, const sheet_card *card, sheet_box real);

bc_status sheet_draw_front(sheet_setup *s);
bc_status sheet_draw_steps(sheet_setup *s);
void sheet_draw_checklist(sheet_setup *s);
double sheet_checklist_height(const sheet_setup *s);

/* A QR code in a square; false when the text is too long or empty. */
bool sheet_code(cairo_t *cairo, const char *text, double x, double y, double side);

#endif
