/* SPDX-License-Identifier: MIT */
/* The contrast landscape: hue across, lightness upwards, every place in the colour of a cloth that can be dyed
 * there; hatching says where pieces get lost, lines join equal scores, marks are the cloths at hand. */
#include "drawing/paper/paper.h"

#include <backcloth/colour.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define PIXELS_PER_MM 8.0
#define WIDTH 297.0 /* A4 landscape */
#define HEIGHT 210.0
#define MARGIN 13.0
#define LEFT 30.0 /* the greys' strip starts here */
#define GREY_WIDTH 9.0
#define PLOT_LEFT 43.0
#define PLOT_WIDTH 168.0
#define PLOT_TOP 40.0
#define PLOT_HEIGHT 118.0
#define LIST_LEFT 220.0
#define LIGHTEST (BC_LANDSCAPE_DARKEST + BC_LANDSCAPE_STEP * (BC_LANDSCAPE_ROWS - 1))
#define NEUTRAL 5.0 /* C*ab below which a cloth has no hue to speak of: it stands in the strip of greys */
#define FINE 3      /* pixels a step of the grid in the picture of the colours */

typedef struct land {
  bc_context *context;
  const bc_match *match;
  const bc_landscape *score;
  const bc_cloth *const *cloths;
  drawing_canvas *canvas;
} land;

static double x_of(double hue_deg) {
  return PLOT_LEFT + PLOT_WIDTH * hue_deg / 360;
}
static double y_of(double L) {
  return PLOT_TOP + PLOT_HEIGHT * (LIGHTEST - L) / (LIGHTEST - BC_LANDSCAPE_DARKEST);
}

/* Score between the places of the grid; `column` runs round. */
static double score_at(const land *l, double row, double column) {
  const double r = fmin(BC_LANDSCAPE_ROWS - 1.0, fmax(0, row)),
               c = column - BC_LANDSCAPE_COLUMNS * floor(column / BC_LANDSCAPE_COLUMNS);
  const int r0 = r < BC_LANDSCAPE_ROWS - 1 ? (int)r : BC_LANDSCAPE_ROWS - 2, c0 = (int)c % BC_LANDSCAPE_COLUMNS;
  const int c1 = (c0 + 1) % BC_LANDSCAPE_COLUMNS;
  const double u = r - r0, v = c - floor(c);
  const bc_landscape_place(*const p)[BC_LANDSCAPE_COLUMNS] = l->score->place;
  return (1 - u) * ((1 - v) * p[r0][c0].score + v * p[r0][c1].score) +
         u * ((1 - v) * p[r0 + 1][c0].score + v * p[r0 + 1][c1].score);
}

static double score_at_mm(const land *l, double x, double y) {
  const double row =
      (LIGHTEST - (y - PLOT_TOP) / PLOT_HEIGHT * (LIGHTEST - BC_LANDSCAPE_DARKEST) - BC_LANDSCAPE_DARKEST) /
      BC_LANDSCAPE_STEP;
  return score_at(l, row, (x - PLOT_LEFT) / PLOT_WIDTH * BC_LANDSCAPE_COLUMNS);
}

static double grey_at_mm(const land *l, double x, double y) {
  (void)x;
  const double row = (1 - (y - PLOT_TOP) / PLOT_HEIGHT) * (BC_LANDSCAPE_ROWS - 1);
  const int r = (int)fmin(BC_LANDSCAPE_ROWS - 2.0, fmax(0, row));
  return l->score->grey[r].score + (row - r) * (l->score->grey[r + 1].score - l->score->grey[r].score);
}

/* ---- the colours ---- */

static uint32_t code_of(bc_lab lab) {
  const drawing_v4 linear = drawing_linear_of(bc_colour_from_lab(lab));
  uint32_t code = 0xff000000u;
  for (int i = 0; i < 3; i++) code |= (uint32_t)lrint(255 * bc_srgb_encode((double)linear[i])) << (16 - 8 * i);
  return code;
}

static void paint_image(const land *l, bool grey, double x, double width) {
  const int columns = grey ? 1 : 120, rows = (BC_LANDSCAPE_ROWS - 1) * FINE;
  cairo_t *const cairo = drawing_canvas_cairo(l->canvas);
  cairo_surface_t *const surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, columns, rows);
  if (cairo_surface_status(surface) == CAIRO_STATUS_SUCCESS) {
    uint32_t *const pixels = (uint32_t *)(void *)cairo_image_surface_get_data(surface);
    const int stride = cairo_image_surface_get_stride(surface) / 4;
    for (int i = 0; i < rows; i++)
      for (int k = 0; k < columns; k++) {
        const double L = LIGHTEST - (i + 0.5) * BC_LANDSCAPE_STEP / FINE, hue = (k + 0.5) * 360 / columns;
        const double chroma = grey ? 0 : 0.75 * bc_match_most_chroma(L, hue);
        pixels[i * stride + k] =
            code_of((bc_lab){L, chroma * cos(hue * (M_PI / 180)), chroma * sin(hue * (M_PI / 180))});
      }
    cairo_surface_mark_dirty(surface);
  }
  cairo_save(cairo);
  cairo_rectangle(cairo, x, PLOT_TOP, width, PLOT_HEIGHT);
  cairo_clip(cairo);
  cairo_translate(cairo, x, PLOT_TOP);
  cairo_scale(cairo, width / columns, PLOT_HEIGHT / rows);
  cairo_set_source_surface(cairo, surface, 0, 0);
  cairo_pattern_set_extend(cairo_get_source(cairo), CAIRO_EXTEND_PAD);
  cairo_paint(cairo);
  cairo_restore(cairo);
  cairo_surface_destroy(surface);
}

/* ---- hatching ---- */

typedef double (*score_function)(const land *l, double x, double y);

/* Strokes every line of one direction where the score is below `limit`: dark with a light core, so that it
 * shows on pale and on dark cloth. */
static void hatch(const land *l, score_function score, drawing_rect area, double limit, double slope, double apart) {
  cairo_t *const cairo = drawing_canvas_cairo(l->canvas);
  const double step = 0.4;
  /* every line that may cross the area */
  for (double start = area.y - area.width; start < area.y + area.height + area.width; start += apart) {
    bool on = false;
    for (double x = area.x; x <= area.x + area.width; x += step) {
      const double y = start + slope * (x - area.x);
      const bool here = y >= area.y && y <= area.y + area.height && score(l, x, y) < limit;
      if (here && !on) cairo_move_to(cairo, x, y);
      if (here && on) cairo_line_to(cairo, x, y);
      on = here;
    }
  }
  cairo_set_source_rgba(cairo, 1, 1, 1, 0.55);
  cairo_set_line_width(cairo, 0.42);
  cairo_stroke_preserve(cairo);
  cairo_set_source_rgba(cairo, 0, 0, 0, 0.75);
  cairo_set_line_width(cairo, 0.16);
  cairo_stroke(cairo);
}

static void hatch_bands(const land *l, score_function score, drawing_rect area) {
  hatch(l, score, area, 200.0 / 3, 1, 3.2);  /* at least one piece is soft or worse */
  hatch(l, score, area, 100.0 / 3, -1, 3.2); /* at least one gets lost: crossed */
}

/* ---- lines of equal score: marching squares ---- */

typedef struct labels {
  drawing_rect taken[96];
  size_t count;
} labels;

static bool take(labels *all, drawing_rect rect) {
  for (size_t i = 0; i < all->count; i++)
    if (drawing_rects_meet(all->taken[i], rect)) return false;
  if (all->count < sizeof all->taken / sizeof *all->taken) all->taken[all->count++] = rect;
  return true;
}

static void contour(const land *l, labels *all, double level) {
  cairo_t *const cairo = drawing_canvas_cairo(l->canvas);
  const double fine = 0.5;
  bool labelled = false;
  double label_x = 0, label_y = 0;
  for (double row = 0; row < BC_LANDSCAPE_ROWS - 1; row += fine)
    for (double column = 0; column < BC_LANDSCAPE_COLUMNS; column += fine) {
      const double corner[4][2] = {
          {row, column}, {row, column + fine}, {row + fine, column + fine}, {row + fine, column}};
      double value[4], x[4], y[4];
      int crossings = 0;
      for (int i = 0; i < 4; i++) value[i] = score_at(l, corner[i][0], corner[i][1]) - level;
      for (int i = 0; i < 4; i++) {
        const int k = (i + 1) % 4;
        if ((value[i] < 0) == (value[k] < 0)) continue;
        const double t = value[i] / (value[i] - value[k]);
        x[crossings] = x_of(10 * (corner[i][1] + t * (corner[k][1] - corner[i][1])));
        y[crossings++] =
            y_of(BC_LANDSCAPE_DARKEST + BC_LANDSCAPE_STEP * (corner[i][0] + t * (corner[k][0] - corner[i][0])));
      }
      for (int i = 0; i + 1 < crossings; i += 2) {
        cairo_move_to(cairo, x[i], y[i]);
        cairo_line_to(cairo, x[i + 1], y[i + 1]);
        if (labelled || x[i] < PLOT_LEFT + 6 || x[i] > PLOT_LEFT + PLOT_WIDTH - 6 || y[i] < PLOT_TOP + 4 ||
            y[i] > PLOT_TOP + PLOT_HEIGHT - 4)
          continue;
        if (!take(all, (drawing_rect){x[i] - 7, y[i] - 5, 14, 10})) continue;
        labelled = true;
        label_x = x[i];
        label_y = y[i];
      }
    }
  cairo_set_line_cap(cairo, CAIRO_LINE_CAP_ROUND);
  cairo_set_source_rgba(cairo, 1, 1, 1, 0.8);
  cairo_set_line_width(cairo, 0.75);
  cairo_stroke_preserve(cairo);
  drawing_use(cairo, drawing_black);
  cairo_set_line_width(cairo, 0.3);
  cairo_stroke(cairo);
  if (!labelled) return;
  const drawing_type type = {.size = 2.3, .italic = true, .ink = drawing_black, .align = DRAWING_CENTRE};
  drawing_use(cairo, drawing_white);
  cairo_rectangle(cairo, label_x - 2, label_y - 1.3, 4, 2.6); /* square: not to be taken for a cloth's number */
  cairo_fill(cairo);
  drawing_textf(l->canvas, &type, label_x, label_y - 1.85, "%.0f", level);
}

/* ---- the cloths at hand ---- */

static bool is_neutral(bc_lab lab) {
  return hypot(lab.a, lab.b) < NEUTRAL;
}

static bc_point_cm place_of(bc_lab lab) {
  const double L = fmin(LIGHTEST, fmax(BC_LANDSCAPE_DARKEST, lab.L));
  if (is_neutral(lab)) return (bc_point_cm){LEFT + GREY_WIDTH / 2, y_of(L)};
  const double hue = atan2(lab.b, lab.a) * (180 / M_PI);
  return (bc_point_cm){x_of(hue < 0 ? hue + 360 : hue), y_of(L)};
}

/* A label beside its place, where no other is; a line leads to the place when it had to move. */
static bc_point_cm find_room(labels *all, bc_point_cm at, double radius) {
  for (int ring = 0; ring < 8; ring++)
    for (int turn = 0; turn < (ring ? 12 : 1); turn++) {
      const double angle = -M_PI / 2 + turn * M_PI / 6, far = ring * 1.15 * radius;
      const bc_point_cm to = {at.x + far * cos(angle), at.y + far * sin(angle)};
      if (to.x < LEFT + radius || to.x > PLOT_LEFT + PLOT_WIDTH - radius || to.y < PLOT_TOP + radius ||
          to.y > PLOT_TOP + PLOT_HEIGHT - radius)
        continue;
      if (take(all, (drawing_rect){to.x - radius, to.y - radius, 2 * radius, 2 * radius})) return to;
    }
  return at;
}

static void mark_shape(cairo_t *cairo, bc_point_cm at, double radius, bool suggested) {
  if (suggested) {
    cairo_move_to(cairo, at.x, at.y - 1.25 * radius);
    cairo_line_to(cairo, at.x + 1.25 * radius, at.y);
    cairo_line_to(cairo, at.x, at.y + 1.25 * radius);
    cairo_line_to(cairo, at.x - 1.25 * radius, at.y);
    cairo_close_path(cairo);
  } else {
    cairo_new_sub_path(cairo);
    cairo_arc(cairo, at.x, at.y, radius, 0, 2 * M_PI);
  }
}

/* Cloths: a white disc with a number; suggestions: a dark diamond with a letter. */
static void draw_mark(drawing_canvas *canvas, bc_point_cm at, bool suggested, const char *text) {
  cairo_t *const cairo = drawing_canvas_cairo(canvas);
  const double radius = 2.3;
  mark_shape(cairo, at, radius, suggested);
  drawing_use(cairo, suggested ? drawing_black : drawing_white);
  cairo_fill_preserve(cairo);
  drawing_use(cairo, suggested ? drawing_white : drawing_black);
  cairo_set_line_width(cairo, 0.3);
  cairo_stroke(cairo);
  const drawing_type type = {
      .size = 2.7, .bold = true, .ink = suggested ? drawing_white : drawing_black, .align = DRAWING_CENTRE};
  drawing_text(canvas, &type, at.x, at.y - 2.2, text);
}

static void mark(const land *l, labels *all, bc_lab lab, bool suggested, const char *text) {
  cairo_t *const cairo = drawing_canvas_cairo(l->canvas);
  const bc_point_cm at = place_of(lab), to = find_room(all, at, suggested ? 3.0 : 2.5);
  if (hypot(to.x - at.x, to.y - at.y) > 0.1) {
    drawing_use(cairo, drawing_white);
    cairo_set_line_width(cairo, 0.8);
    drawing_line(cairo, at.x, at.y, to.x, to.y);
    drawing_use(cairo, drawing_black);
    cairo_set_line_width(cairo, 0.35);
    drawing_line(cairo, at.x, at.y, to.x, to.y);
    cairo_arc(cairo, at.x, at.y, 0.7, 0, 2 * M_PI);
    cairo_fill(cairo);
  }
  draw_mark(l->canvas, to, suggested, text);
}

/* A line of the list beside the plot. */
typedef struct list_line {
  bc_lab lab;
  bool suggested;
  const char *mark, *name;
  double score;
} list_line;

static double list_row(const land *l, double y, list_line r) {
  const drawing_type type = {.size = 3, .ink = drawing_black, .width = WIDTH - MARGIN - LIST_LEFT - 26, .lines = 1};
  const drawing_type right = {.size = 3, .ink = drawing_black, .align = DRAWING_RIGHT};
  cairo_t *const cairo = drawing_canvas_cairo(l->canvas);
  draw_mark(l->canvas, (bc_point_cm){LIST_LEFT + 3, y + 2.3}, r.suggested, r.mark);
  const drawing_v4 linear = drawing_linear_of(bc_colour_from_lab(r.lab));
  cairo_set_source_rgb(cairo, bc_srgb_encode((double)linear[0]), bc_srgb_encode((double)linear[1]),
                       bc_srgb_encode((double)linear[2]));
  cairo_rectangle(cairo, LIST_LEFT + 7.5, y + 0.3, 6, 4);
  cairo_fill_preserve(cairo);
  drawing_use(cairo, drawing_pale);
  cairo_set_line_width(cairo, 0.15);
  cairo_stroke(cairo);
  drawing_text(l->canvas, &type, LIST_LEFT + 15.5, y, r.name);
  drawing_textf(l->canvas, &right, WIDTH - MARGIN, y, "%.0f", r.score);
  return y + 5.9;
}

static double suggestion_row(const land *l, double y, const bc_suggestion *s, const char *text) {
  const drawing_type type = {.size = 2.6, .ink = drawing_grey};
  list_row(l, y, (list_line){s->lab, true, text, s->name, s->score});
  drawing_text(l->canvas, &type, LIST_LEFT + 15.5, y + 3.6, s->css);
  return y + 8.6;
}

#define CLOTHS_SHOWN 18 /* the best; more marks than these hide one another */

static void draw_cloths(const land *l, labels *all) {
  double y = PLOT_TOP - 6;
  const drawing_type head = {.size = 3, .bold = true, .ink = drawing_black};
  const drawing_type right = {.size = 2.6, .ink = drawing_grey, .align = DRAWING_RIGHT};
  drawing_text(l->canvas, &head, LIST_LEFT, y, _("Your cloths"));
  drawing_text(l->canvas, &right, WIDTH - MARGIN, y, _("score of 100"));
  y += 5.5;
  for (size_t i = 0; i < l->match->cloth_count && i < CLOTHS_SHOWN; i++) {
    const bc_ranked_cloth *const ranked = &l->match->cloths[i];
    const bc_cloth *const cloth = l->cloths[ranked->cloth];
    char text[8];
    snprintf(text, sizeof text, "%zu", i + 1);
    mark(l, all, cloth->colour.lab, false, text);
    y = list_row(l, y, (list_line){cloth->colour.lab, false, text, cloth->name, ranked->score});
  }
  if (!l->match->suggested_count) return;
  y += 2;
  drawing_text(l->canvas, &head, LIST_LEFT, y, _("Colours to look for"));
  y += 5.5;
  for (size_t i = 0; i < l->match->suggested_count && i < 8; i++) {
    const bc_suggestion *const s = &l->match->suggested[i];
    const char text[2] = {(char)('A' + i), 0};
    mark(l, all, s->lab, true, text);
    y = suggestion_row(l, y, s, text);
  }
}

/* ---- words ---- */

static void best_by_family(const land *l, double best[3]) {
  for (int f = 0; f < 3; f++) best[f] = 0;
  for (int row = 0; row < BC_LANDSCAPE_ROWS; row++) {
    const double L = BC_LANDSCAPE_DARKEST + BC_LANDSCAPE_STEP * row;
    double *const here = &best[L < 40 ? BC_DARK : L <= 70 ? BC_MIDDLE : BC_LIGHT];
    *here = fmax(*here, l->score->grey[row].score);
    for (int c = 0; c < BC_LANDSCAPE_COLUMNS; c++) *here = fmax(*here, l->score->place[row][c].score);
  }
  for (size_t i = 0; i < l->match->suggested_count; i++) { /* found by a finer search than the picture's grid */
    const bc_suggestion *const s = &l->match->suggested[i];
    best[s->family] = fmax(best[s->family], s->score);
  }
  for (size_t i = 0; i < l->match->cloth_count; i++) { /* a person's own cloth may lie beyond the usual dyes */
    const double L = l->cloths[l->match->cloths[i].cloth]->colour.lab.L;
    double *const here = &best[L < 40 ? BC_DARK : L <= 70 ? BC_MIDDLE : BC_LIGHT];
    *here = fmax(*here, l->match->cloths[i].score);
  }
}

static void draw_conclusion(const land *l) {
  double best[3];
  best_by_family(l, best);
  const drawing_type words = {.size = 4, .ink = drawing_black, .width = WIDTH - 2 * MARGIN, .lines = 2};
  const int first = best[0] >= best[1] && best[0] >= best[2] ? 0 : best[1] >= best[2] ? 1 : 2;
  const char *const sentence[3] = {
      _("A dark cloth serves this collection best, with up to %.0f of 100; middle ones reach %.0f, light ones %.0f."),
      _("A cloth of middle lightness serves this collection best, with up to %.0f of 100; dark ones reach %.0f, light "
        "ones %.0f."),
      _("A light cloth serves this collection best, with up to %.0f of 100; dark ones reach %.0f, middle ones %.0f.")};
  const double other = best[first == 0 ? 1 : 0], last = best[first == 2 ? 1 : 2];
  char text[2 * DRAWING_WORDS];
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wformat-nonliteral"
  snprintf(text, sizeof text, sentence[first], best[first], other, last);
#pragma GCC diagnostic pop
  drawing_text(l->canvas, &words, MARGIN, MARGIN + 8.2, text);
}

static double always_lost(const land *l, double x, double y) {
  (void)l, (void)x, (void)y;
  return 0;
}
static double always_soft(const land *l, double x, double y) {
  (void)l, (void)x, (void)y;
  return 50;
}
static double always_clear(const land *l, double x, double y) {
  (void)l, (void)x, (void)y;
  return 99;
}

static void draw_key(const land *l) {
  const score_function sample[3] = {always_lost, always_soft, always_clear};
  const char *const words[3] = {_("at least one piece gets lost"), _("none gets lost, but at least one stays soft"),
                                _("every piece stands out")};
  const drawing_type type = {.size = 2.9, .ink = drawing_black};
  cairo_t *const cairo = drawing_canvas_cairo(l->canvas);
  double x = LEFT;
  const double y = PLOT_TOP + PLOT_HEIGHT + 14;
  for (int i = 0; i < 3; i++) {
    const drawing_rect box = {x, y, 9, 6};
    hatch_bands(l, sample[i], box);
    drawing_use(cairo, drawing_black);
    cairo_set_line_width(cairo, 0.2);
    cairo_rectangle(cairo, box.x, box.y, box.width, box.height);
    cairo_stroke(cairo);
    x += 11 + drawing_text(l->canvas, &type, x + 11, y + 0.8, words[i]).width + 9;
  }
  const drawing_type note = {.size = 2.6, .ink = drawing_grey, .width = LIST_LEFT - 8 - LEFT, .lines = 3};
  drawing_text(l->canvas, &note, LEFT, y + 9,
               _("Each place shows the best score that a cloth of this hue and lightness can reach, as vivid as cloth "
                 "is usually dyed or less. Your own cloth may be more or less vivid: its own score stands in the list. "
                 "Numbers on the lines are scores of 100."));
}

static void draw_axes(const land *l) {
  static const struct {
    double hue;
    const char *name;
  } hues[] = {{25, N_("red")},   {58, N_("orange")}, {90, N_("yellow")},  {145, N_("green")},
              {200, N_("teal")}, {265, N_("blue")},  {310, N_("purple")}, {350, N_("pink")}};
  const drawing_type type = {.size = 3, .ink = drawing_black, .align = DRAWING_CENTRE};
  const drawing_type side = {.size = 3, .ink = drawing_black, .align = DRAWING_RIGHT};
  cairo_t *const cairo = drawing_canvas_cairo(l->canvas);
  drawing_use(cairo, drawing_black);
  cairo_set_line_width(cairo, 0.2);
  for (size_t i = 0; i < sizeof hues / sizeof *hues; i++) {
    drawing_line(cairo, x_of(hues[i].hue), PLOT_TOP + PLOT_HEIGHT, x_of(hues[i].hue), PLOT_TOP + PLOT_HEIGHT + 1.5);
    drawing_text(l->canvas, &type, x_of(hues[i].hue), PLOT_TOP + PLOT_HEIGHT + 2, _(hues[i].name));
  }
  drawing_text(l->canvas, &type, LEFT + GREY_WIDTH / 2, PLOT_TOP + PLOT_HEIGHT + 2, _("grey"));
  drawing_text(l->canvas, &side, LEFT - 2, y_of(90) - 2, _("light"));
  drawing_text(l->canvas, &side, LEFT - 2, y_of(55) - 2, _("middle"));
  drawing_text(l->canvas, &side, LEFT - 2, y_of(20) - 2, _("dark"));
  cairo_rectangle(cairo, PLOT_LEFT, PLOT_TOP, PLOT_WIDTH, PLOT_HEIGHT);
  cairo_rectangle(cairo, LEFT, PLOT_TOP, GREY_WIDTH, PLOT_HEIGHT);
  cairo_stroke(cairo);
}

static void draw(const land *l) {
  const drawing_type title = {.size = 7, .ink = drawing_black};
  labels all = {.count = 0};
  drawing_text(l->canvas, &title, MARGIN, MARGIN - 2.4, _("Which colours would serve this collection?"));
  draw_conclusion(l);
  paint_image(l, false, PLOT_LEFT, PLOT_WIDTH);
  paint_image(l, true, LEFT, GREY_WIDTH);
  hatch_bands(l, score_at_mm, (drawing_rect){PLOT_LEFT, PLOT_TOP, PLOT_WIDTH, PLOT_HEIGHT});
  hatch_bands(l, grey_at_mm, (drawing_rect){LEFT, PLOT_TOP, GREY_WIDTH, PLOT_HEIGHT});
  for (double level = 10; level < 100; level += 10) contour(l, &all, level);
  draw_axes(l);
  draw_cloths(l, &all);
  draw_key(l);
}

bc_status bc_drawing_landscape(bc_context *context, const bc_match *match, const bc_landscape *landscape,
                               const char *path) {
  land l = {.context = context, .match = match, .score = landscape, .cloths = drawing_cloths_of(match)};
  const bc_status status = drawing_canvas_open(
      &l.canvas, context, path,
      (drawing_sheet_size){WIDTH, HEIGHT, PIXELS_PER_MM, _("Which colours would serve this collection?")});
  if (status != BC_OK) return status;
  draw(&l);
  return drawing_canvas_finish(l.canvas, context);
}
