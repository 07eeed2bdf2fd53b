/* SPDX-License-Identifier: MIT */
/* What the files that draw a photographed wall share. */
#ifndef BC_DRAWING_LOOK_INTERNAL_H
#define BC_DRAWING_LOOK_INTERNAL_H

#include "drawing/paper/paper.h"

#include <backcloth/look.h>

typedef struct look_sheet {
  bc_context *context;
  const bc_look *look;
  bc_units units;
  drawing_canvas *canvas;
  bc_notes facts, tries;
  double width, height;  /* of the sheet, mm */
  drawing_rect wall;     /* the large one */
  drawing_rect column;   /* the words */
  drawing_rect tries_at; /* where what to try begins, and how wide it is */
  drawing_rect side[2];  /* before and after; only with a cloth */
  double rows_top;       /* where the pieces' lines begin in the column */
} look_sheet;

/* The wall's pixels in linear light: as photographed, or with the cloth behind the pieces. malloc'd. */
bc_status look_wall_pixels(drawing_v4 **out, bc_context *context, const bc_look *look);
bc_status look_cloth_pixels(drawing_v4 **out, bc_context *context, const bc_look *look);
/* Paints such pixels into a place of the sheet. */
bc_status look_paint(const look_sheet *sheet, const drawing_v4 *pixels, drawing_rect at);
/* Where a piece's box lies on a drawing of the wall. */
drawing_rect look_piece_rect(const look_sheet *sheet, const bc_look_piece *piece, drawing_rect wall);
void look_draw_overlay(const look_sheet *sheet);
/* The number with its verdict beside the piece. */
void look_draw_number(const look_sheet *sheet, size_t i, drawing_rect wall, bool on_cloth);

#endif
