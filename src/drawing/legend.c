/* SPDX-License-Identifier: MIT */
/* The list of pieces beside the wall: number, title, size, weight, how and where it hangs, and
 * whether its hanging points hold. */
#include "elevation_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define NUMBER_COLUMN 5.8 /* mm at type factor 1 */
#define TITLE_SIZE 2.9
#define DETAIL_SIZE 2.35

/* "850 g (1 lb 14 oz), hook at 152 cm" */
static void describe(const elevation *e, size_t i, bc_buffer *out) {
  const bc_piece *const piece = &e->plan->pieces[i];
  char words[DRAWING_WORDS];
  drawing_size_both(words, piece->width, piece->height, e->options.units);
  bc_buffer_add(out, "%s\n", words);
  if (piece->weight_g > 0) {
    bc_mass_words(words, sizeof words, piece->weight_g, e->options.units);
    bc_buffer_add(out, "%s, ", words);
  }
  const char *const held = bc_mount_text(piece->mount.kind);
  if (bc_mount_hangs(piece->mount.kind) && piece->mount.points > 1)
    bc_buffer_add(out, _("%s, %d points"), held, piece->mount.points);
  else
    bc_buffer_add(out, "%s", held);
  if (piece->count > 1) bc_buffer_add(out, _(", %d of them"), piece->count);
  if (!piece->placed) bc_buffer_add(out, _(" – has no place yet"));
}

static drawing_type title_type(const elevation *e) {
  const double t = e->layout.type;
  return (drawing_type){.size = TITLE_SIZE * t,
                        .bold = true,
                        .ink = drawing_black,
                        .width = e->layout.legend_column - (NUMBER_COLUMN + 4.5) * t,
                        .lines = 2};
}

static drawing_type detail_type(const elevation *e) {
  const double t = e->layout.type;
  return (drawing_type){
      .size = DETAIL_SIZE * t, .ink = drawing_grey, .width = e->layout.legend_column - NUMBER_COLUMN * t};
}

static double entry_height(const elevation *e, size_t i) {
  const drawing_type title = title_type(e), detail = detail_type(e);
  bc_buffer words = {0};
  describe(e, i, &words);
  const double height = drawing_text_measure(&title, e->plan->pieces[i].title).height +
                        (words.text ? drawing_text_measure(&detail, words.text).height : 0) + 2.2 * e->layout.type;
  bc_buffer_clear(&words);
  return height;
}

bool elevation_legend_fits(const elevation *e) {
  double y = 0;
  int column = 0;
  const double key = e->loads ? 12 * e->layout.type : 0;
  for (size_t i = 0; i < e->plan->piece_count; i++) {
    const double height = entry_height(e, i);
    if (y + height > e->layout.legend.height - key) {
      y = 0;
      if (++column >= e->layout.legend_columns) return false;
    }
    y += height;
  }
  return true;
}

/* The worst of a piece's points. */
static bool holds_of(const elevation *e, size_t i, bc_holds *out) {
  bool any = false;
  *out = BC_HOLDS_YES;
  for (size_t p = 0; e->loads && p < e->loads->point_count; p++) {
    const bc_load_point *const point = &e->loads->points[p];
    if (strcmp(point->piece, e->plan->pieces[i].id) != 0) continue;
    any = true;
    if (point->holds == BC_HOLDS_NO || (*out == BC_HOLDS_YES && point->holds == BC_HOLDS_UNKNOWN)) *out = point->holds;
  }
  return any;
}

void elevation_number_mark(const elevation *e, size_t i, double x, double y) {
  const double radius = ELEVATION_NUMBER_SIZE / 2 * e->layout.type;
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  cairo_new_sub_path(cairo);
  cairo_arc(cairo, x, y, radius, 0, 2 * M_PI);
  drawing_use(cairo, drawing_white);
  cairo_fill_preserve(cairo);
  drawing_use(cairo, drawing_black);
  cairo_set_line_width(cairo, 0.2);
  cairo_stroke(cairo);
  char number[16];
  snprintf(number, sizeof number, "%zu", i + 1);
  const drawing_type type = {
      .size = (i < 99 ? 2.35 : 1.8) * e->layout.type, .bold = true, .align = DRAWING_CENTRE, .ink = drawing_black};
  const drawing_extent extent = drawing_text_measure(&type, number);
  drawing_text(e->canvas, &type, x, y + type.size * 0.35 - extent.baseline, number);
}

static double draw_entry(const elevation *e, size_t i, double x, double y) {
  const double t = e->layout.type;
  const drawing_type title = title_type(e), detail = detail_type(e);
  elevation_number_mark(e, i, x + ELEVATION_NUMBER_SIZE / 2 * t, y + 2.4 * t);
  const drawing_extent extent = drawing_text(e->canvas, &title, x + NUMBER_COLUMN * t, y, e->plan->pieces[i].title);
  bc_buffer words = {0};
  describe(e, i, &words);
  if (words.text) drawing_text(e->canvas, &detail, x + NUMBER_COLUMN * t, y + extent.height, words.text);
  bc_buffer_clear(&words);
  bc_holds holds;
  if (holds_of(e, i, &holds))
    drawing_holds_mark(e->canvas, holds, x + e->layout.legend_column - 2 * t, y + 2.2 * t, 1.5 * t);
  return entry_height(e, i);
}

/* What the marks mean, at the foot of the list. */
static void draw_key(const elevation *e) {
  const double t = e->layout.type;
  const char *const words[] = {_("holds"), _("does not hold"), _("rating not known")};
  const drawing_type type = {.size = 2.2 * t, .ink = drawing_grey};
  double x = e->layout.legend.x + 1.5 * t;
  const double y = e->layout.legend.y + e->layout.legend.height - 5 * t;
  for (int i = 0; i < 3; i++) {
    drawing_holds_mark(e->canvas, (bc_holds)i, x, y + 1.6 * t, 1.25 * t);
    x += 2.4 * t + drawing_text(e->canvas, &type, x + 2.2 * t, y, words[i]).width + 3 * t;
  }
}

void elevation_draw_legend(elevation *e) {
  const elevation_layout *const l = &e->layout;
  const double key = e->loads ? 12 * l->type : 0;
  double x = l->legend.x, y = l->legend.y;
  for (size_t i = 0; i < e->plan->piece_count; i++) {
    if (y + entry_height(e, i) > l->legend.y + l->legend.height - key) {
      y = l->legend.y;
      x += l->legend_column + 4 * l->type;
    }
    y += draw_entry(e, i, x, y);
  }
  if (e->loads) draw_key(e);
}
