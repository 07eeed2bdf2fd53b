/* SPDX-License-Identifier: MIT */
/* The list of pieces beside the wall: number, title, size, weight, how and where it hangs, and
 * whether its hanging points hold. */
#include "elevation.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define NUMBER_COLUMN 5.8 /* mm at type factor 1 */
#define TITLE_SIZE 2.9
#define DETAIL_SIZE 2.35
#define KEY_ROOM 8.0 /* for what the marks mean, below the list */

/* "850 g (1 lb 14 oz), hook at 152 cm" */
static void describe(const elevation *e, size_t i, bc_buffer *out) {
  const bc_piece *const piece = &e->plan->pieces[i];
  char words[DRAWING_WORDS];
  base_measure_size_both(words, piece->width, piece->height, e->options.units, BC_MEASURE_TAPE);
  bc_buffer_add(out, "%s\n", piece->unmeasured ? _("size not given") : words);
  bc_mass_words(words, sizeof words, piece->weight_g, e->options.units);
  bc_buffer_add(out, "%s, ", piece->weight_g > 0 ? words : _("weight not given"));
  const char *const held = bc_mount_text(piece->mount.kind);
  if (bc_mount_hangs(piece->mount.kind) && piece->mount.points > 1)
    bc_buffer_add(out, _("%s, %d points"), held, piece->mount.points);
  else
    bc_buffer_add(out, "%s", held);
  if (piece->count > 1) bc_buffer_add(out, _(", %d of them"), piece->count);
  if (!piece->placed) bc_buffer_add(out, _(" – no place yet"));
  if (elevation_is_doubtful(e, i)) bc_buffer_add(out, "\n%s", _("outline not sure: look at its cut-out"));
}

static drawing_type title_type(const elevation *e) {
  const double t = e->layout.type;
  return (drawing_type){.size = TITLE_SIZE * t,
                        .bold = true,
                        .ink = drawing_black,
                        .align = bc_language_right_to_left() ? DRAWING_AT_RIGHT : DRAWING_AT_LEFT,
                        .width = e->layout.legend_column - (NUMBER_COLUMN + 4.5) * t};
}

static drawing_type detail_type(const elevation *e) {
  const double t = e->layout.type;
  return (drawing_type){.size = DETAIL_SIZE * t,
                        .ink = drawing_grey,
                        .align = bc_language_right_to_left() ? DRAWING_AT_RIGHT : DRAWING_AT_LEFT,
                        .width = e->layout.legend_column - NUMBER_COLUMN * t};
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

/* The number stands where a reader begins: at the left, or at the right where the language runs from there. */
static void draw_entry(const elevation *e, size_t i, double x, double y) {
  const double t = e->layout.type, wide = e->layout.legend_column;
  const bool mirrored = bc_language_right_to_left();
  const drawing_type title = title_type(e), detail = detail_type(e);
  const double number = ELEVATION_NUMBER_SIZE / 2 * t, mark = 2 * t;
  const double text = mirrored ? x + wide - NUMBER_COLUMN * t : x + NUMBER_COLUMN * t;
  elevation_number_mark(e, i, mirrored ? x + wide - number : x + number, y + 2.4 * t);
  const drawing_extent extent = drawing_text(e->canvas, &title, text, y, e->plan->pieces[i].title);
  bc_buffer words = {0};
  describe(e, i, &words);
  if (words.text) drawing_text(e->canvas, &detail, text, y + extent.height, words.text);
  bc_buffer_clear(&words);
  bc_holds holds;
  if (e->loads && bc_loads_of_piece(&holds, e->loads, e->plan, i))
    drawing_holds_mark(e->canvas, holds, mirrored ? x + mark : x + wide - mark, y + 2.2 * t, 1.5 * t);
}

/* What the marks mean, at the foot of the list. */
static void draw_key(const elevation *e) {
  const double t = e->layout.type;
  const char *const words[] = {_("holds"), _("does not hold"), _("rating or weight not known")};
  const drawing_type type = {.size = 2.2 * t, .ink = drawing_grey};
  double x = e->layout.legend.x + 1.5 * t;
  const double y = e->layout.legend.y + e->layout.legend.height - 5 * t;
  for (int i = 0; i < 3; i++) {
    drawing_holds_mark(e->canvas, (bc_holds)i, x, y + 1.6 * t, 1.25 * t);
    x += 2.4 * t + drawing_text(e->canvas, &type, x + 2.2 * t, y, words[i]).width + 3 * t;
  }
}

/* ---- the hanging points in figures, where there is no room for them beside the wall ---- */

#define ROW 3.6 /* mm at type factor 1 */
#define ROW_SIZE 2.1

static drawing_type heading_type(const elevation *e) {
  return (drawing_type){.size = TITLE_SIZE * e->layout.type,
                        .bold = true,
                        .ink = drawing_black,
                        .align = bc_language_right_to_left() ? DRAWING_AT_RIGHT : DRAWING_AT_LEFT,
                        .width = e->layout.legend_column};
}

static drawing_type row_type(const elevation *e) {
  return (drawing_type){.size = ROW_SIZE * e->layout.type, .ink = drawing_black};
}

static const char *table_words(void) {
  return _("Every hanging point: the piece, the height from the floor, the distance from the wall's left edge.");
}

static double heading_height(const elevation *e) {
  const drawing_type heading = heading_type(e);
  drawing_type detail = detail_type(e);
  detail.width = e->layout.legend_column;
  return drawing_text_measure(&heading, _("Where to hang")).height +
         drawing_text_measure(&detail, table_words()).height + ROW * e->layout.type;
}

static void draw_heading(const elevation *e, double x, double y) {
  const drawing_type heading = heading_type(e);
  drawing_type detail = detail_type(e);
  detail.width = e->layout.legend_column;
  if (bc_language_right_to_left()) x += e->layout.legend_column;
  y += drawing_text(e->canvas, &heading, x, y, _("Where to hang")).height;
  drawing_text(e->canvas, &detail, x, y, table_words());
}

static void draw_row(const elevation *e, size_t point, double x, double y) {
  const double t = e->layout.type;
  const drawing_type type = row_type(e);
  const elevation_point *const p = &e->points[point];
  const double measure[] = {p->at.y, p->at.x};
  const double column = (e->layout.legend_column - NUMBER_COLUMN * t) / 2;
  drawing_type number = type;
  number.bold = true;
  drawing_textf(e->canvas, &number, x, y, "%zu", p->piece + 1);
  for (int i = 0; i < 2; i++) {
    char first[DRAWING_WORDS], second[DRAWING_WORDS];
    base_measure_length(first, measure[i], e->options.units, BC_MEASURE_TAPE);
    base_measure_length(second, measure[i], e->options.units == BC_UNITS_METRIC ? BC_UNITS_IMPERIAL : BC_UNITS_METRIC,
                        BC_MEASURE_TAPE);
    char words[2 * DRAWING_WORDS + 8];
    snprintf(words, sizeof words, "%s %s · %s", i ? "→" : "↑", first, second);
    drawing_type fitted = type;
    fitted.size *= fmin(1, (column - 1.2 * t) / drawing_text_measure(&type, words).width);
    drawing_text(e->canvas, &fitted, x + NUMBER_COLUMN * t + i * column, y, words);
  }
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  drawing_use(cairo, drawing_pale);
  cairo_set_line_width(cairo, 0.1);
  drawing_line(cairo, x, y + 0.95 * ROW * t, x + e->layout.legend_column, y + 0.95 * ROW * t);
}

/* ---- the list: pieces, then the table ---- */

static size_t elevation_list_lines(const elevation *e) {
  return e->plan->piece_count + (e->crowded ? 1 + e->point_count : 0);
}

static double measure_line(const elevation *e, size_t i) {
  const size_t pieces = e->plan->piece_count;
  /* A heading takes its first rows with it. */
  return i < pieces ? entry_height(e, i) : i == pieces ? heading_height(e) : ROW * e->layout.type;
}

static double line_height(const elevation *e, size_t i) {
  elevation_list_cache *const list = e->list;
  if (!list || !list->height) return measure_line(e, i);
  if (list->column != e->layout.legend_column || list->type != e->layout.type) {
    list->column = e->layout.legend_column;
    list->type = e->layout.type;
    memset(list->height, 0, (e->plan->piece_count + 1 + e->point_count) * sizeof *list->height);
  }
  if (list->height[i] <= 0) list->height[i] = measure_line(e, i);
  return list->height[i];
}

double elevation_list_height(const elevation *e) {
  double height = 0;
  for (size_t i = 0; i < elevation_list_lines(e); i++) height += line_height(e, i);
  return height;
}

static void draw_line(const elevation *e, size_t i, double x, double y) {
  const size_t pieces = e->plan->piece_count;
  if (i < pieces)
    draw_entry(e, i, x, y);
  else if (i == pieces)
    draw_heading(e, x, y);
  else
    draw_row(e, i - pieces - 1, x, y);
}

static size_t elevation_flow(const elevation *e, size_t first, bool draw) {
  const elevation_layout *const l = &e->layout;
  const size_t lines = elevation_list_lines(e);
  const double room = l->legend.height - KEY_ROOM * l->type;
  double y = 0;
  int column = 0;
  size_t i = first;
  for (; i < lines; i++) {
    const double height = line_height(e, i);
    const double with = height + (i == e->plan->piece_count ? 2 * ROW * l->type : 0);
    if (y > 0 && y + with > room) {
      y = 0;
      column++;
    }
    if (column >= l->legend_columns) break;
    if (draw) draw_line(e, i, l->legend.x + column * (l->legend_column + 4 * l->type), l->legend.y + y);
    y += height;
  }
  return i;
}

bool elevation_legend_fits(const elevation *e) {
  for (size_t i = 0; i < elevation_list_lines(e); i++) /* flow would let the first of a column run over */
    if (line_height(e, i) > e->layout.legend.height - KEY_ROOM * e->layout.type) return false;
  return elevation_flow(e, 0, false) == elevation_list_lines(e);
}

void elevation_draw_legend(elevation *e) {
  if (e->list_apart) return;
  elevation_flow(e, 0, true);
  draw_key(e);
}

/* ---- on sheets of its own ---- */

#define LIST_TYPE_MOST 1.7
#define LIST_LEAST 40.0 /* height of the list at least, mm at type factor 1 */

static void lay_out_list(elevation *e) {
  elevation_layout *const l = &e->layout;
  const double t = l->type, bottom = l->foot.y + l->foot.height;
  l->dense = false; /* the wall isn't on this sheet */
  l->title = (drawing_rect){l->foot.x, l->frame.y + (l->frame.y + l->frame.height - bottom), l->foot.width, 0};
  l->title.height = elevation_title_height(e, l->title.width, t);
  const double foot = elevation_foot_height(e, l->title.width, t);
  l->foot = (drawing_rect){l->title.x, bottom - foot, l->title.width, foot};
  l->legend = (drawing_rect){l->title.x, l->title.y + l->title.height + 2 * t, l->title.width, 0};
  l->legend.height = l->foot.y - 2 * t - l->legend.y;
  l->legend_columns = (int)fmax(1, floor((l->legend.width + 4 * t) / (60 * t)));
  l->legend_column = (l->legend.width - (l->legend_columns - 1) * 4 * t) / l->legend_columns;
}

static int count_sheets(elevation *e) {
  int sheets = 0;
  for (size_t line = 0; line < elevation_list_lines(e); sheets++) line = elevation_flow(e, line, false);
  return sheets;
}

/* In the largest type that takes no further sheet. */
static int lay_out_largest_list(elevation *e) {
  static const double growth[] = {1.6, 1.45, 1.3, 1.15};
  const elevation_layout plain = e->layout;
  lay_out_list(e);
  const int sheets = count_sheets(e);
  for (size_t i = 0; i < sizeof growth / sizeof growth[0]; i++) {
    e->layout = plain;
    e->layout.type = fmin(plain.type * growth[i], LIST_TYPE_MOST);
    lay_out_list(e);
    if (e->layout.legend.height > LIST_LEAST * e->layout.type && count_sheets(e) <= sheets) return sheets;
  }
  e->layout = plain;
  lay_out_list(e);
  return sheets;
}

int elevation_list_sheets(elevation *e) {
  const elevation_layout keep = e->layout;
  const int sheets = lay_out_largest_list(e);
  e->layout = keep;
  return sheets;
}

/* On the last sheet the columns are of one length, not the first ones full and the others empty. */
static void level_columns(elevation *e, size_t first) {
  const size_t lines = elevation_list_lines(e);
  if (elevation_flow(e, first, false) < lines) return;
  const double full = e->layout.legend.height;
  double most = full, least = KEY_ROOM * e->layout.type;
  for (int i = 0; i < 24; i++) {
    e->layout.legend.height = (least + most) / 2;
    if (elevation_flow(e, first, false) == lines)
      most = e->layout.legend.height;
    else
      least = e->layout.legend.height;
  }
  e->layout.legend.height = most;
}

void elevation_draw_list_sheets(elevation *e) {
  lay_out_largest_list(e);
  for (size_t line = 0; line < elevation_list_lines(e);) {
    const double full = e->layout.legend.height;
    drawing_canvas_next_sheet(e->canvas);
    e->sheet++;
    elevation_draw_list_frame(e);
    level_columns(e, line);
    line = elevation_flow(e, line, true);
    e->layout.legend.height = full;
    draw_key(e);
  }
}
