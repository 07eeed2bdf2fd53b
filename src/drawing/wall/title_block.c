/* SPDX-License-Identifier: MIT */
/* What makes a picture a drawing: frame, title, title block (fields of ISO 7200), scale bar, cautions. */
#include "elevation.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define BLOCK_WIDTH 100.0

static void caution_text(const elevation *e, bc_buffer *out) {
  if (e->warning && e->warning[0]) bc_buffer_add(out, "%s ", e->warning);
  if (e->loads)
    for (size_t i = 0; i < e->loads->cautions.count; i++) bc_buffer_add(out, "%s ", e->loads->cautions.text[i]);
  else
    bc_buffer_add(out, "%s ",
                  bc_text_safety("Planning help only: local codes, the venue's rules and a licensed person decide what "
                                 "may hang where."));
  for (size_t i = 0; i < e->notes.count; i++) bc_buffer_add(out, "%s ", e->notes.text[i]);
}

static drawing_type caution_type(double width, double type) {
  return (drawing_type){.size = 2.15 * type, .ink = drawing_grey, .width = width - (BLOCK_WIDTH + 12) * type};
}

double elevation_foot_height(const elevation *e, double width, double type) {
  bc_buffer words = {0};
  caution_text(e, &words);
  const drawing_type style = caution_type(width, type);
  /* One line more: notes come only while drawing. */
  const double height = words.text ? drawing_text_measure(&style, words.text).height + 3.4 * type : 0;
  bc_buffer_clear(&words);
  return fmax(elevation_block_height(e, type), height);
}

static void draw_cautions(const elevation *e) {
  const drawing_rect foot = e->layout.foot;
  const double t = e->layout.type;
  bc_buffer words = {0};
  caution_text(e, &words);
  drawing_type style = caution_type(foot.width, t);
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  drawing_use(cairo, drawing_accent);
  cairo_rectangle(cairo, foot.x, foot.y, 0.7 * t, foot.height);
  cairo_fill(cairo);
  if (words.text) drawing_text(e->canvas, &style, foot.x + 3 * t, foot.y, words.text);
  bc_buffer_clear(&words);
}

/* A cell of the block with its name; without a value it can be filled in by hand. */
static void field(const elevation *e, drawing_rect cell, const char *name, const char *value) {
  const double t = e->layout.type, inside = cell.width - 1.6 * t;
  const drawing_type small = {.size = 1.8 * t, .ink = drawing_grey, .width = inside, .lines = 1};
  drawing_type plain = {.size = 2.8 * t, .ink = drawing_black};
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  drawing_use(cairo, drawing_black);
  cairo_set_line_width(cairo, 0.2);
  cairo_rectangle(cairo, cell.x, cell.y, cell.width, cell.height);
  cairo_stroke(cairo);
  drawing_text(e->canvas, &small, cell.x + 0.8 * t, cell.y + 0.2 * t, name);
  if (!value || !value[0]) return;
  plain.size *= fmax(0.6, fmin(1, 0.97 * inside / drawing_text_measure(&plain, value).width));
  plain.width = inside;
  plain.lines = 1;
  drawing_text(e->canvas, &plain, cell.x + 0.8 * t, cell.y + 2.2 * t, value);
}

static void add_sheet_of(const elevation *e, bc_buffer *out) {
  if (e->sheets < 2 || e->sheet < 1) {
    bc_buffer_add(out, "%s", e->layout.sheet);
    return;
  }
  /* TRANSLATORS: the paper's name, which stays in Latin letters, and which of how many sheets: "A3, 1 of 2". In a
   * script that is written from right to left put a right-to-left mark (U+200F) before and after the name. */
  bc_buffer_add(out, _("%s, %d of %d"), e->layout.sheet, e->sheet, e->sheets);
}

#define FIELDS 8
#define FIELD_HEIGHT 6.1

double elevation_block_height(const elevation *e, double type) {
  return FIELD_HEIGHT * (e->layout.dense ? FIELDS / 2 : 2) * type;
}

/* Two rows of four in the foot, or four rows of two over the person. */
static drawing_rect cell_of(const elevation *e, int i) {
  static const double wide[] = {0.38, 0.16, 0.22, 0.24}, narrow[] = {0.6, 0.4};
  const elevation_layout *const l = &e->layout;
  const double t = l->type, height = FIELD_HEIGHT * t;
  const int columns = l->dense ? 2 : 4;
  const double *const share = l->dense ? narrow : wide;
  const double width = l->dense ? l->title.width : BLOCK_WIDTH * t;
  double x = l->dense ? l->title.x : l->foot.x + l->foot.width - width;
  const double y =
      (l->dense ? l->title.y + l->title.height : l->foot.y + l->foot.height) - elevation_block_height(e, t);
  for (int k = 0; k < i % columns; k++) x += share[k] * width;
  return (drawing_rect){x, y + i / columns * height, share[i % columns] * width, height};
}

/* Fields of ISO 7200 (creator, date of issue, identification number, revision index, sheet number, document type) and
 * the scale; the title stands at the head of the sheet. */
static void draw_block(const elevation *e, const char *what, bool to_scale) {
  const bc_title_block *const known = &e->plan->drawing;
  char scale[32];
  snprintf(scale, sizeof scale, "1:%g", e->layout.scale);
  bc_buffer sheet = {0};
  add_sheet_of(e, &sheet);
  const char *const lengths = e->options.units == BC_UNITS_METRIC ? _("cm, ft and in") : _("in, and cm");
  field(e, cell_of(e, 0), _("Drawing"), what);
  field(e, cell_of(e, 1), _("Scale"), to_scale ? scale : "–");
  field(e, cell_of(e, 2), _("Sheet"), sheet.text);
  field(e, cell_of(e, 3), _("Lengths"), lengths);
  field(e, cell_of(e, 4), _("Drawn by"), known->author);
  field(e, cell_of(e, 5), _("Revision"), known->revision);
  field(e, cell_of(e, 6), _("Number of the drawing"), known->number);
  field(e, cell_of(e, 7), _("Date"), known->date);
  bc_buffer_clear(&sheet);
}

/* At the smallest size a very long title has two lines. */
static drawing_type title_type(const elevation *e, double width, double t) {
  drawing_type title = {.size = (e->layout.dense ? 4.6 : 6.4) * t, .ink = drawing_black, .width = width, .lines = 2};
  drawing_type whole = title;
  whole.width = 0;
  whole.lines = 0;
  const double long_as = drawing_text_measure(&whole, e->plan->title).width / (e->layout.dense ? 1.7 : 1);
  if (long_as > width) title.size = fmax(3.2 * t, title.size * width / long_as * 0.995);
  return title;
}

static drawing_type below_type(const elevation *e, double width, double t) {
  return (drawing_type){.size = 2.7 * t, .ink = drawing_grey, .width = width, .lines = e->layout.dense ? 4 : 1};
}

/* A colour may be written in many ways; a person gets its name and the six digits that every program takes. */
static void add_cloth_words(const bc_wall_cloth *cloth, bc_buffer *out) {
  char hex[8];
  bc_lab_to_hex(cloth->colour.lab, hex);
  bc_buffer_add(out, _(" · cloth: %s (%s)"), bc_colour_name(cloth->colour.lab), hex);
}

static void below_words(const elevation *e, bc_buffer *out) {
  char across[DRAWING_WORDS], up[DRAWING_WORDS];
  bc_length_words(across, sizeof across, e->plan->stand.width, e->options.units);
  bc_length_words(up, sizeof up, e->plan->stand.wall_height, e->options.units);
  bc_buffer_add(out, _("Wall %s wide, %s high"), across, up);
  bc_buffer_add(out, bc_text_plural(" · %zu piece", " · %zu pieces", e->plan->piece_count), e->plan->piece_count);
  if (e->plan->cloth.given && e->plan->cloth.colour_css) add_cloth_words(&e->plan->cloth, out);
}

#define TITLE_UP 1.2 /* the air above the capitals, which needn't be kept, mm at type factor 1 */

/* Scripts differ in how high their lines are, so it is measured. */
double elevation_title_height(const elevation *e, double width, double type) {
  const drawing_type title = title_type(e, width, type), below = below_type(e, width, type);
  bc_buffer words = {0};
  below_words(e, &words);
  const double height = drawing_text_measure(&title, e->plan->title).height +
                        (words.text ? drawing_text_measure(&below, words.text).height : 0) - TITLE_UP * type;
  bc_buffer_clear(&words);
  return fmax(13 * type, height + 0.5 * type);
}

static void draw_title(const elevation *e) {
  const drawing_rect r = e->layout.title;
  const double t = e->layout.type;
  const drawing_type title = title_type(e, r.width, t), below = below_type(e, r.width, t);
  const double height = drawing_text(e->canvas, &title, r.x, r.y - TITLE_UP * t, e->plan->title).height;
  bc_buffer words = {0};
  below_words(e, &words);
  if (words.text) drawing_text(e->canvas, &below, r.x, r.y - TITLE_UP * t + height, words.text);
  bc_buffer_clear(&words);
}

/* ---- scale bar ---- */

static void bar(const elevation *e, double x, double y, double step_cm, int steps) {
  const double t = e->layout.type, k = e->layout.k;
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  drawing_use(cairo, drawing_black);
  cairo_set_line_width(cairo, 0.18);
  for (int i = 0; i < steps; i++) {
    cairo_rectangle(cairo, x + i * step_cm * k, y, step_cm * k, 1.1 * t);
    if (i % 2 == 0)
      cairo_fill(cairo);
    else
      cairo_stroke(cairo);
  }
  cairo_rectangle(cairo, x, y, steps * step_cm * k, 1.1 * t);
  cairo_stroke(cairo);
}

#define DENSE_BAR 66.0 /* room for a bar and its words, mm at type factor 1 */

/* Metre or decimetre steps, and feet: about 45 mm long whatever the scale. */
static void draw_scale_bar(const elevation *e) {
  const double t = e->layout.type, k = e->layout.k;
  const double step = 45 * t / k >= 500 ? 100 : 45 * t / k >= 40 ? 10 : 1;
  const int steps = (int)fmax(1, floor(45 * t / k / step));
  const double foot = 30.48, feet_step = step >= 10 ? foot : 2.54;
  const int feet = (int)fmax(1, floor(steps * step / feet_step));
  const double x = e->list_apart ? e->layout.foot.x : e->layout.wall.x;
  const double y =
      e->list_apart ? e->layout.foot.y + 2 * t : e->layout.wall.y + e->layout.wall.height + ELEVATION_BARS_BELOW * t;
  const double right = e->layout.dense ? DENSE_BAR * t : 0, down = e->layout.dense ? 0 : 3.4 * t;
  const drawing_type type = {.size = 2.2 * t, .ink = drawing_grey};
  char words[64];
  bar(e, x, y, step, steps);
  snprintf(words, sizeof words, _("%.0f cm"), steps * step);
  drawing_text(e->canvas, &type, x + steps * step * k + 1.5 * t, y - 1.1 * t, words);
  bar(e, x + right, y + down, feet_step, feet);
  snprintf(words, sizeof words, step >= 10 ? _("%d ft") : _("%d in"), feet);
  drawing_text(e->canvas, &type, x + right + feet * feet_step * k + 1.5 * t, y + down - 1.1 * t, words);
}

static void draw_border(const elevation *e) {
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  const drawing_rect f = e->layout.frame;
  drawing_use(cairo, drawing_pale);
  cairo_set_line_width(cairo, 0.25);
  cairo_rectangle(cairo, f.x, f.y, f.width, f.height);
  cairo_stroke(cairo);
}

/* What must not be hung, and where the list and the cautions are when they are not here: right of the scale bars, and
 * left of a title block. */
static void draw_continued(const elevation *e) {
  const elevation_layout *const l = &e->layout;
  const double t = l->type, from = (l->dense ? 2 * DENSE_BAR : 68) * t;
  const double room = l->dense ? l->foot.width - from : fmin(76 * t, l->foot.width - from - (BLOCK_WIDTH + 3) * t);
  const drawing_type type = {.size = 2.3 * t, .ink = drawing_black, .width = room, .lines = l->dense ? 2 : 5};
  bc_buffer words = {0};
  if (e->warning && e->warning[0]) bc_buffer_add(&words, "%s ", e->warning);
  bc_buffer_add(&words, "%s",
                e->crowded ? _("The next sheets have every hanging point in a table, what each number is, and what to "
                               "heed before anything is hung.")
                           : _("What each number is, and what to heed before anything is hung: next sheet."));
  if (words.text) drawing_text(e->canvas, &type, l->foot.x + from, l->foot.y + 0.5 * t, words.text);
  bc_buffer_clear(&words);
}

void elevation_draw_frame(elevation *e) {
  draw_border(e);
  draw_title(e);
  draw_scale_bar(e);
  if (e->list_apart)
    draw_continued(e);
  else
    draw_cautions(e);
  draw_block(e, _("Back wall, front view"), true);
}

void elevation_draw_list_frame(elevation *e) {
  draw_border(e);
  draw_title(e);
  draw_cautions(e);
  draw_block(e, _("List of the pieces"), false);
}
