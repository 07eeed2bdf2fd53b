/* SPDX-License-Identifier: MIT */
/* The picture of a photographed wall: the straightened wall with its overlay, the words beside it, and with a cloth
 * the wall before and after beneath. */
#include "look_sheet.h"

#include <math.h>
#include <stdlib.h>

#define WIDTH 297.0 /* mm, as A4 lies */
#define MARGIN 11.0
#define HEAD 17.0
#define RULER 15.0
#define GUTTER 8.0
#define WALL_WIDTH 168.0
#define UNDER 12.0
#define PIXELS_PER_MM 6.0

static drawing_type column_type(const look_sheet *s, double size, bool bold, drawing_ink ink) {
  return (drawing_type){.size = size, .bold = bold, .ink = ink, .width = s->column.width};
}

/* The notes from y down; returns where they end. `draw` false only measures. */
static double put_notes(const look_sheet *s, const bc_notes *notes, double y, bool bullets, bool draw) {
  drawing_type type = column_type(s, 3.1, false, drawing_black);
  const bool mirrored = bc_language_right_to_left();
  const double indent = bullets ? 3.2 : 0;
  type.width -= indent;
  for (size_t i = 0; i < notes->count; i++) {
    const double high = drawing_text_measure(&type, notes->text[i]).height;
    if (draw) drawing_text(s->canvas, &type, s->column.x + (mirrored ? 0 : indent), y, notes->text[i]);
    if (draw && bullets) {
      cairo_t *const cairo = drawing_canvas_cairo(s->canvas);
      drawing_use(cairo, drawing_accent);
      cairo_rectangle(cairo, mirrored ? s->column.x + s->column.width - 1.7 : s->column.x + 0.4, y + 1.9, 1.3, 0.5);
      cairo_fill(cairo);
    }
    y += high + 0.9;
  }
  return y;
}

static double put_heading(const look_sheet *s, double y, const char *words, bool draw) {
  const drawing_type type = column_type(s, 3.9, true, drawing_black);
  const double high = drawing_text_measure(&type, words).height;
  if (draw) drawing_text(s->canvas, &type, s->column.x, y, words);
  return y + high + 0.8;
}

/* One piece's two lines; marks and words begin at the right in languages that read from there. Returns their height. */
static double put_piece(const look_sheet *s, size_t i, double y, bool draw) {
  const bc_look_piece *const piece = &s->look->pieces[i];
  const bool mirrored = bc_language_right_to_left();
  const double start = mirrored ? s->column.x + s->column.width : s->column.x, x = mirrored ? start - 5.2 : start + 5.2;
  drawing_type type = {.size = 3.1,
                       .bold = true,
                       .ink = drawing_black,
                       .width = s->column.width - 6,
                       .lines = 1,
                       .align = mirrored ? DRAWING_AT_RIGHT : DRAWING_AT_LEFT};
  char size[DRAWING_WORDS], up[DRAWING_WORDS];
  base_measure_size_both(size, piece->width_cm, piece->height_cm, s->units, BC_MEASURE_SEEN);
  base_measure_length(up, piece->y_cm, s->units, BC_MEASURE_SEEN);
  char *const head = bc_format("%zu  %s  %s", i + 1, bc_verdict_text(piece->pair.verdict), size);
  char *const line = bc_sentence(bc_reading_is_doubtful(piece->study->reading)
                                     ? _("contrast %.1f : 1 with %s, middle at %s; outline not sure")
                                     : _("contrast %.1f : 1 with %s, middle at %s"),
                                 piece->pair.contrast_ratio, piece->behind->name, up);
  const double high = head ? drawing_text_measure(&type, head).height : 0;
  if (draw && head) drawing_text(s->canvas, &type, x, y, head);
  if (draw)
    drawing_verdict_mark(drawing_canvas_cairo(s->canvas), piece->pair.verdict, start + (mirrored ? -1.8 : 1.8),
                         y + high / 2, 1.45, drawing_black);
  type.bold = false;
  type.lines = 2; /* feet and inches, and some languages, need more room */
  type.size = 2.75;
  type.ink = drawing_grey;
  const double under = line ? drawing_text_measure(&type, line).height : 0;
  if (draw && line) drawing_text(s->canvas, &type, x, y + high, line);
  free(head);
  free(line);
  return high + under;
}

/* Facts and pieces; returns where they end. */
static double put_column(const look_sheet *s, bool draw) {
  double y = put_notes(s, &s->facts, s->column.y, false, draw) + 1.5;
  for (size_t i = 0; i < s->look->piece_count; i++) y += put_piece(s, i, y, draw) + 0.8;
  return y;
}

/* What to try, in a column of its own place and width. */
static double put_tries(const look_sheet *s, drawing_rect column, bool draw) {
  look_sheet here = *s;
  here.column = column;
  if (!s->tries.count) return column.y;
  return put_notes(&here, &s->tries, put_heading(&here, column.y, _("What to try"), draw), true, draw);
}

static void lay_out(look_sheet *s) {
  const bc_look *const look = s->look;
  const double aspect = look->height_cm / look->width_cm;
  double wide = WALL_WIDTH;
  if (wide * aspect > 190) wide = 190 / aspect;
  s->width = WIDTH;
  s->wall = (drawing_rect){MARGIN + RULER, MARGIN + HEAD, wide, wide * aspect};
  const double left = s->wall.x + wide + RULER + 3;
  s->column = (drawing_rect){left, s->wall.y - 1, WIDTH - MARGIN - left, 0};
  const double end = put_column(s, false), under = s->wall.y + s->wall.height + UNDER;
  /* What to try stands under the pieces, or across the sheet where that leaves less of it empty. */
  s->tries_at = (drawing_rect){left, end + 1.5, s->column.width, 0};
  double y = fmax(under, put_tries(s, s->tries_at, false) + 3);
  const drawing_rect below = {MARGIN, fmax(under - 2, end + 3), WIDTH - 2 * MARGIN, 0};
  const double other = put_tries(s, below, false) + 3;
  if (other < y + 6) {
    s->tries_at = below;
    y = other;
  }
  if (look->cloth) {
    double half = (WIDTH - 2 * MARGIN - GUTTER) / 2;
    if (half * aspect > 150) half = 150 / aspect;
    for (int i = 0; i < 2; i++) s->side[i] = (drawing_rect){MARGIN + i * (half + GUTTER), y + 7, half, half * aspect};
    y += 7 + half * aspect + 11;
  }
  s->height = y + MARGIN - 3;
}

static void draw_head(const look_sheet *s) {
  const bool mirrored = bc_language_right_to_left();
  const drawing_align align = mirrored ? DRAWING_AT_RIGHT : DRAWING_AT_LEFT;
  const double start = mirrored ? WIDTH - MARGIN : MARGIN;
  const drawing_type head = {.size = 7, .ink = drawing_black, .width = WIDTH - 2 * MARGIN, .lines = 1, .align = align};
  const drawing_type under = {.size = 3.2, .ink = drawing_grey, .width = WIDTH - 2 * MARGIN, .lines = 1};
  char *title = bc_path_title(s->look->photo);
  drawing_text(s->canvas, &head, start, MARGIN - 3, title ? title : "");
  free(title);
  drawing_text(s->canvas, &under, MARGIN, MARGIN + 7, _("The wall as photographed, straightened and to scale"));
}

/* What the marks over the wall mean, under it. */
static void draw_key(const look_sheet *s) {
  cairo_t *const cairo = drawing_canvas_cairo(s->canvas);
  const drawing_type type = {.size = 2.7, .ink = drawing_grey};
  const double y = s->wall.y + s->wall.height + 2.4, dash[2] = {2.4, 1.6};
  double x = s->wall.x;
  cairo_save(cairo);
  cairo_set_dash(cairo, dash, 2, 0);
  drawing_use(cairo, drawing_black);
  cairo_set_line_width(cairo, 0.22);
  drawing_line(cairo, x, y + 1.9, x + 8, y + 1.9);
  cairo_restore(cairo);
  x += 9.5 + drawing_text(s->canvas, &type, x + 9.5, y, _("sight band")).width + 5;
  drawing_lost_sample(s->canvas, x, y + 2.4, 9);
  x += 10.5 + drawing_text(s->canvas, &type, x + 10.5, y, _("here the outline gets lost")).width + 5;
  drawing_use(cairo, drawing_grey);
  cairo_set_line_width(cairo, 0.14);
  for (int i = 0; i < 4; i++) drawing_line(cairo, x + 1.6 * i, y + 3.2, x + 1.6 * i + 2.4, y + 0.8);
  x += 9 + drawing_text(s->canvas, &type, x + 9, y, _("empty")).width + 5;
  for (int v = BC_STANDS_OUT; v >= BC_GETS_LOST; v--) {
    drawing_verdict_mark(cairo, (bc_verdict)v, x + 1.3, y + 2, 1.3, drawing_black);
    x += 3.8 + drawing_text(s->canvas, &type, x + 3.8, y, bc_verdict_text((bc_verdict)v)).width + 4;
  }
}

static void frame(const look_sheet *s, drawing_rect r) {
  cairo_t *const cairo = drawing_canvas_cairo(s->canvas);
  drawing_use(cairo, drawing_black);
  cairo_set_line_width(cairo, 0.2);
  cairo_rectangle(cairo, r.x, r.y, r.width, r.height);
  cairo_stroke(cairo);
}

static bc_status draw_side(const look_sheet *s, const drawing_v4 *pixels, bool after) {
  const drawing_rect r = s->side[after];
  const drawing_type head = {.size = 4.4, .bold = true, .ink = drawing_black, .width = r.width, .lines = 1};
  const drawing_type line = {.size = 3.2, .ink = drawing_black, .width = r.width, .lines = 1};
  const bc_status status = look_paint(s, pixels, r);
  if (status != BC_OK) return status;
  frame(s, r);
  size_t clear = 0;
  for (size_t i = 0; i < s->look->piece_count; i++) {
    const bc_look_piece *const piece = &s->look->pieces[i];
    if (after)
      drawing_lost_rim(s->canvas, piece->study->cutout, piece->study->reading, s->look->cloth,
                       look_piece_rect(s, piece, r));
    look_draw_number(s, i, r, after);
    clear += (after ? s->look->pieces[i].on_cloth : s->look->pieces[i].pair).verdict == BC_STANDS_OUT;
  }
  if (after)
    drawing_textf(s->canvas, &head, r.x, r.y - 7, _("With the cloth: %s"), s->look->cloth->name);
  else
    drawing_text(s->canvas, &head, r.x, r.y - 7, _("As it is"));
  drawing_textf(s->canvas, &line, r.x, r.y + r.height + 1.6, _("standing out: %zu of %zu"), clear,
                s->look->piece_count);
  return BC_OK;
}

static bc_status draw_sides(const look_sheet *s, const drawing_v4 *wall) {
  drawing_v4 *cloth = NULL;
  bc_status status = look_cloth_pixels(&cloth, s->context, s->look);
  if (status == BC_OK) status = draw_side(s, wall, false);
  if (status == BC_OK) status = draw_side(s, cloth, true);
  free(cloth);
  return status;
}

static bc_status draw(const look_sheet *s) {
  drawing_v4 *wall = NULL;
  bc_status status = look_wall_pixels(&wall, s->context, s->look);
  if (status == BC_OK) status = look_paint(s, wall, s->wall);
  if (status == BC_OK) {
    look_draw_overlay(s);
    frame(s, s->wall);
    draw_head(s);
    draw_key(s);
    put_column(s, true);
    put_tries(s, s->tries_at, true);
    if (s->look->cloth) status = draw_sides(s, wall);
  }
  free(wall);
  return status;
}

static bc_status open_and_draw(look_sheet *s, const char *path) {
  lay_out(s);
  char *title = bc_path_title(s->look->photo);
  bc_status status = drawing_canvas_open(&s->canvas, s->context, path,
                                         (drawing_sheet_size){s->width, s->height, PIXELS_PER_MM, title ? title : ""});
  free(title);
  if (status != BC_OK) return status;
  status = draw(s);
  if (status == BC_OK) return drawing_canvas_finish(s->canvas, s->context);
  drawing_canvas_abandon(s->canvas);
  return status;
}

bc_status bc_drawing_look(bc_context *context, const bc_look *look, bc_units units, const char *path) {
  drawing_format format;
  look_sheet s = {.context = context, .look = look, .units = units};
  bc_status status = drawing_format_of(&format, context, path);
  if (status == BC_OK) status = bc_look_facts(&s.facts, context, look, units);
  if (status == BC_OK) status = bc_look_tries(&s.tries, context, look, units);
  if (status == BC_OK) status = open_and_draw(&s, path);
  bc_notes_clear(&s.facts);
  bc_notes_clear(&s.tries);
  return status;
}
