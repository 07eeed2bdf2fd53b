/* SPDX-License-Identifier: MIT */
/* The contrast landscape: hue across, lightness upwards, every place in the colour of a cloth that can be dyed
 * there; hatching says where pieces get lost, lines join equal scores, marks are the cloths at hand. */
#include "landscape_sheet.h"

#include <math.h>
#include <stdio.h>

#define PIXELS_PER_MM 8.0
#define WIDTH 297.0 /* A4 landscape */
#define HEIGHT 210.0
#define MARGIN 13.0
#define LIST_LEFT 220.0
#define NEUTRAL 5.0 /* C*ab below which a cloth has no hue to speak of: it stands in the strip of greys */

/* ---- the cloths at hand ---- */

static bool is_neutral(bc_lab lab) {
  return hypot(lab.a, lab.b) < NEUTRAL;
}

static bc_point_cm place_of(bc_lab lab) {
  const double L = fmin(LAND_LIGHTEST, fmax(BC_LANDSCAPE_DARKEST, lab.L));
  if (is_neutral(lab)) return (bc_point_cm){LAND_LEFT + LAND_GREY_WIDTH / 2, drawing_land_y(L)};
  const double hue = atan2(lab.b, lab.a) * (180 / M_PI);
  return (bc_point_cm){drawing_land_x(hue < 0 ? hue + 360 : hue), drawing_land_y(L)};
}

/* A label beside its place, where no other is; a line leads to the place when it had to move. */
static bc_point_cm find_room(labels *all, bc_point_cm at, double radius) {
  for (int ring = 0; ring < 8; ring++)
    for (int turn = 0; turn < (ring ? 12 : 1); turn++) {
      const double angle = -M_PI / 2 + turn * M_PI / 6, far = ring * 1.15 * radius;
      const bc_point_cm to = {at.x + far * cos(angle), at.y + far * sin(angle)};
      if (to.x < LAND_LEFT + radius || to.x > LAND_PLOT_LEFT + LAND_PLOT_WIDTH - radius ||
          to.y < LAND_PLOT_TOP + radius || to.y > LAND_PLOT_TOP + LAND_PLOT_HEIGHT - radius)
        continue;
      if (drawing_land_take(all, (drawing_rect){to.x - radius, to.y - radius, 2 * radius, 2 * radius})) return to;
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
  double y = LAND_PLOT_TOP - 6;
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
  double x = LAND_LEFT;
  const double y = LAND_PLOT_TOP + LAND_PLOT_HEIGHT + 14;
  for (int i = 0; i < 3; i++) {
    const drawing_rect box = {x, y, 9, 6};
    drawing_land_hatch(l, sample[i], box);
    drawing_use(cairo, drawing_black);
    cairo_set_line_width(cairo, 0.2);
    cairo_rectangle(cairo, box.x, box.y, box.width, box.height);
    cairo_stroke(cairo);
    x += 11 + drawing_text(l->canvas, &type, x + 11, y + 0.8, words[i]).width + 9;
  }
  const drawing_type note = {.size = 2.6, .ink = drawing_grey, .width = LIST_LEFT - 8 - LAND_LEFT, .lines = 3};
  drawing_text(l->canvas, &note, LAND_LEFT, y + 9,
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
    drawing_line(cairo, drawing_land_x(hues[i].hue), LAND_PLOT_TOP + LAND_PLOT_HEIGHT, drawing_land_x(hues[i].hue),
                 LAND_PLOT_TOP + LAND_PLOT_HEIGHT + 1.5);
    drawing_text(l->canvas, &type, drawing_land_x(hues[i].hue), LAND_PLOT_TOP + LAND_PLOT_HEIGHT + 2, _(hues[i].name));
  }
  drawing_text(l->canvas, &type, LAND_LEFT + LAND_GREY_WIDTH / 2, LAND_PLOT_TOP + LAND_PLOT_HEIGHT + 2, _("grey"));
  drawing_text(l->canvas, &side, LAND_LEFT - 2, drawing_land_y(90) - 2, _("light"));
  drawing_text(l->canvas, &side, LAND_LEFT - 2, drawing_land_y(55) - 2, _("middle"));
  drawing_text(l->canvas, &side, LAND_LEFT - 2, drawing_land_y(20) - 2, _("dark"));
  cairo_rectangle(cairo, LAND_PLOT_LEFT, LAND_PLOT_TOP, LAND_PLOT_WIDTH, LAND_PLOT_HEIGHT);
  cairo_rectangle(cairo, LAND_LEFT, LAND_PLOT_TOP, LAND_GREY_WIDTH, LAND_PLOT_HEIGHT);
  cairo_stroke(cairo);
}

static void draw(const land *l) {
  const drawing_type title = {.size = 7, .ink = drawing_black};
  labels all = {.count = 0};
  drawing_text(l->canvas, &title, MARGIN, MARGIN - 2.4, _("Which colours would serve this collection?"));
  draw_conclusion(l);
  drawing_land_plot(l, &all);
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
