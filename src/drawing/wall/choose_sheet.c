/* SPDX-License-Identifier: MIT */
/* Which sheet and which scale: ISO 5455 scales, ISO 216 sheets (and the North American ones), the
 * margins of ISO 5457 (20 mm for filing at the left, 10 mm elsewhere). */
#include "elevation.h"

#include <math.h>

typedef struct sheet {
  const char *name;
  double width, height; /* mm, landscape */
  double type;          /* factor on type sizes: larger sheets are read from further away */
} sheet;

static const sheet iso_sheets[] = {
    {"A4", 297, 210, 1}, {"A3", 420, 297, 1.12}, {"A2", 594, 420, 1.3}, {"A1", 841, 594, 1.5}, {"A0", 1189, 841, 1.7}};
static const sheet american_sheets[] = {{"Letter", 279.4, 215.9, 1}, {"Tabloid", 431.8, 279.4, 1.12}};
#define ISO_SHEETS (sizeof iso_sheets / sizeof iso_sheets[0])

/* ISO 5455:1979, reductions. */
static const double scales[] = {1, 2, 5, 10, 20, 50, 100, 200, 500};
#define SCALES (sizeof scales / sizeof scales[0])
/* Below this the drawing is too small to hang from, and a larger sheet is better: our choice. */
#define SCALE_USEFUL 20

#define TILE_TYPE 1.2 /* sheets put together are read from further away too */

#define MARGIN_LEFT 20.0
#define MARGIN 10.0
#define PAD 3.0

/* The parts of one sheet at one scale, before the list has its place; false when they do not fit.
 *
 *   +--------------------------------------------------+      +--------------------------------------+
 *   | title                                            |      | title                                |
 *   | height figures  [ wall            ] heights list |  or  | height figures  [ wall     ] heights |
 *   |                   distances, width               |      |                   distances, width   |
 *   |                                                  |      | list    list    list    list    list |
 *   | cautions                             title block |      | cautions                 title block |
 *   +--------------------------------------------------+      +--------------------------------------+ */
typedef struct parts {
  double left, right;
  double heights, figures, hangs, gap; /* breadths */
  double head, below;                  /* what stands above the wall and below it */
  double top, bottom;                  /* of the room for all of these */
} parts;

static parts part(elevation *e, const sheet *s, double scale, elevation_company company) {
  elevation_layout *const l = &e->layout;
  const double t = s->type, k = 10 / scale;
  *l = (elevation_layout){.sheet = s->name, .width = s->width, .height = s->height, .scale = scale, .k = k, .type = t};
  l->company = company;
  l->frame = (drawing_rect){MARGIN_LEFT, MARGIN, s->width - MARGIN_LEFT - MARGIN, s->height - 2 * MARGIN};
  parts p = {.left = l->frame.x + PAD, .right = l->frame.x + l->frame.width - PAD};
  const double bottom = l->frame.y + l->frame.height - PAD, width = p.right - p.left;
  l->title = (drawing_rect){p.left, l->frame.y + PAD, width, elevation_title_height(e, width, t)};
  l->foot.height = e->list_apart ? elevation_block_height(e, t) : elevation_foot_height(e, width, t);
  l->foot = (drawing_rect){p.left, bottom - l->foot.height, width, l->foot.height};
  l->wall.width = e->plan->stand.width * k;
  l->wall.height = e->plan->stand.wall_height * k;
  p.heights = 8 * t;
  p.figures = elevation_figures_width(e, company, k, t);
  p.hangs = 19 * t;
  p.gap = 4 * t;
  p.head = 6 * t;
  p.below = (e->list_apart ? ELEVATION_WIDTH_BELOW + 2 : ELEVATION_BARS_BELOW + 6) * t;
  p.top = l->title.y + l->title.height;
  p.bottom = l->foot.y;
  return p;
}

static double breadth_of(const elevation *e, const parts *p) {
  return p->heights + p->figures + e->layout.wall.width + p->hangs;
}

/* What the wall's own part leaves free of the sheet's height. */
static double spare_of(const elevation *e, const parts *p) {
  return p->bottom - p->top - p->head - p->below - e->layout.wall.height;
}

static void set_wall(elevation *e, const parts *p, double left, double above) {
  elevation_layout *const l = &e->layout;
  l->band_left = left + p->heights;
  l->wall.x = left + p->heights + p->figures;
  l->wall.y = p->top + p->head + above;
}

static void set_columns(elevation *e) {
  elevation_layout *const l = &e->layout;
  const double t = l->type;
  l->legend_columns = (int)fmax(1, fmin(floor(l->legend.width / (52 * t)), 6));
  l->legend_column = (l->legend.width - (l->legend_columns - 1) * 4 * t) / l->legend_columns;
}

/* What is left over below goes above and below in the ratio 1 : 2. */
static bool list_beside(elevation *e, const parts *p) {
  elevation_layout *const l = &e->layout;
  const double t = l->type, spare = spare_of(e, p), list = p->right - p->left - breadth_of(e, p) - p->gap;
  if (spare < 0 || list < (e->list_apart ? -p->gap : 45 * t)) return false;
  /* Alone on its sheet the wall stands in the middle. */
  set_wall(e, p, p->left + (e->list_apart ? (list + p->gap) / 2 : 0), fmin(spare / 3, 24 * t));
  l->legend = (drawing_rect){p->right - list, p->top, list, p->bottom - 3 * t - p->top};
  set_columns(e);
  e->crowded = elevation_dimensions_crowded(e);
  return e->list_apart || elevation_legend_fits(e);
}

/* The wall in the middle and the list under it, as low as it can be. */
static bool list_below(elevation *e, const parts *p) {
  elevation_layout *const l = &e->layout;
  const double t = l->type, spare = spare_of(e, p), aside = (p->right - p->left - breadth_of(e, p)) / 2;
  if (e->list_apart || spare < 0 || aside < 0) return false;
  l->list_below = true;
  set_wall(e, p, p->left + aside, 0);
  e->crowded = elevation_dimensions_crowded(e);
  for (double height = 16 * t; height <= spare - 3 * t; height += t) {
    l->legend = (drawing_rect){p->left, p->bottom - 3 * t - height, p->right - p->left, height};
    set_columns(e);
    if (!elevation_legend_fits(e)) continue;
    l->wall.y += fmin((spare - 3 * t - height) / 2, 30 * t);
    return true;
  }
  return false;
}

/* The largest patch of bare paper that a layout leaves: at the wall's side, under it, or under the list. */
static double bare(const elevation *e, const parts *p) {
  const elevation_layout *const l = &e->layout;
  const double high = p->head + l->wall.height + p->below, wide = breadth_of(e, p);
  if (l->list_below) return (p->right - p->left - wide) / 2 * high;
  const double under = p->bottom - l->wall.y - l->wall.height - p->below;
  return fmax(wide * under, l->legend.width * (l->legend.height - elevation_list_height(e) / l->legend_columns));
}

/* Three people beside the wall while there is room; the list where it leaves the sheet better filled. */
static bool lay_out_at(elevation *e, const sheet *s, double scale) {
  for (int company = 0; company < ELEVATION_COMPANIES; company++) {
    parts p = part(e, s, scale, (elevation_company)company);
    const elevation_layout fresh = e->layout;
    const bool beside = list_beside(e, &p);
    const elevation_layout kept = e->layout;
    const bool crowded = e->crowded;
    e->layout = fresh;
    if (list_below(e, &p)) {
      const double under = bare(e, &p);
      const elevation_layout lower = e->layout;
      e->layout = kept;
      if (!beside || under < bare(e, &p)) e->layout = lower;
      return true;
    }
    e->layout = kept;
    e->crowded = crowded;
    if (beside) return true;
  }
  return false;
}

typedef bool fitter(elevation *e, const sheet *s, double scale);

/* Words grow where the sheet has the room, since it is read at arm's length: but nobody leaves for that, nor do the
 * measures go into the table. */
static bool grow(elevation *e, fitter *fit, const sheet *s, double scale) {
  static const double growth[] = {1.4, 1.3, 1.2, 1.1};
  if (!fit(e, s, scale)) return false;
  const elevation_layout fitting = e->layout;
  const bool crowded = e->crowded;
  for (size_t i = 0; i < sizeof growth / sizeof growth[0]; i++) {
    sheet larger = *s;
    larger.type *= growth[i];
    if (fit(e, &larger, scale) && e->layout.company == fitting.company && e->crowded == crowded) return true;
  }
  e->layout = fitting;
  e->crowded = crowded;
  return true;
}

static bool lay_out(elevation *e, const sheet *s, double scale) {
  return grow(e, lay_out_at, s, scale);
}

#define DENSE_HEAD 5.0 /* above the wall, mm at type factor 1 */
#define DENSE_FOOT 6.6
#define DENSE_COLUMN 42.0

/* The wall as large as the sheet: one person beside it and over him, above the sight band, the title and its block.
 *
 *   | title  [                              ] heights |
 *   | block  [            wall              ]         |
 *   | person [                              ]         |
 *   | chain of distances, width, scale bars           | */
static bool lay_out_dense_at(elevation *e, const sheet *s, double scale) {
  elevation_layout *const l = &e->layout;
  const double t = s->type, k = 10 / scale, pad = PAD;
  *l = (elevation_layout){.sheet = s->name, .width = s->width, .height = s->height, .scale = scale, .k = k, .type = t};
  l->company = ELEVATION_ALONE;
  l->dense = true;
  l->frame = (drawing_rect){MARGIN_LEFT, MARGIN, s->width - MARGIN_LEFT - MARGIN, s->height - 2 * MARGIN};
  l->wall.width = e->plan->stand.width * k;
  l->wall.height = e->plan->stand.wall_height * k;
  const parts p = {.left = l->frame.x + pad,
                   .right = l->frame.x + l->frame.width - pad,
                   .heights = 8 * t,
                   .figures = fmax(elevation_figures_width(e, ELEVATION_ALONE, k, t), DENSE_COLUMN * t),
                   .hangs = 19 * t,
                   .head = DENSE_HEAD * t,
                   .below = (ELEVATION_WIDTH_BELOW_DENSE + 1) * t,
                   .top = l->frame.y + pad,
                   .bottom = l->frame.y + l->frame.height - pad - DENSE_FOOT * t};
  const double aside = (p.right - p.left - breadth_of(e, &p)) / 2, spare = spare_of(e, &p);
  l->foot = (drawing_rect){p.left, p.bottom, p.right - p.left, DENSE_FOOT * t};
  if (aside < 0 || spare < 0) return false;
  set_wall(e, &p, p.left + aside, spare / 2);
  const double person = fmax(e->plan->viewers.sight_high, e->plan->viewers.stature);
  l->title = (drawing_rect){l->band_left, p.top, p.figures - 3 * t, elevation_y(e, person) - 4.5 * t - p.top};
  e->crowded = e->point_count > 0;
  return l->title.height >= elevation_title_height(e, l->title.width, t) + elevation_block_height(e, t);
}

static bool lay_out_dense(elevation *e, const sheet *s, double scale) {
  sheet smallest = *s;
  smallest.type = 1;
  return grow(e, lay_out_dense_at, &smallest, scale);
}

/* With the list beside the wall, or else, where there can be several sheets, on sheets of its own. */
static bool lay_out_apart(elevation *e, const sheet *s, double scale) {
  e->list_apart = true;
  return lay_out(e, s, scale) || lay_out_dense(e, s, scale);
}

static bool lay_out_somehow(elevation *e, const sheet *s, double scale) {
  e->list_apart = false;
  return lay_out(e, s, scale) || (e->several_sheets && lay_out_apart(e, s, scale));
}

static bool try_scales(elevation *e, fitter *fit, const sheet *s, double largest, double smallest) {
  for (size_t i = 0; i < SCALES; i++)
    if (scales[i] >= largest && scales[i] <= smallest && fit(e, s, scales[i])) return true;
  return false;
}

/* More would be a job for a print shop's large sheet. */
#define TILES_MOST 30

/* The fewest sheets of one paper, upright or on its side, that carry the drawing at the scale asked for. */
static bool on_tiles(elevation *e, const sheet *s) {
  e->list_apart = false;
  for (int count = 2; count <= TILES_MOST; count++)
    for (int down = 1; down <= count; down++)
      for (int upright = 0; upright < 2 && count % down == 0; upright++) {
        e->tiles =
            (elevation_tiles){count / down, down, upright ? s->height : s->width, upright ? s->width : s->height};
        const sheet whole = {s->name, elevation_tiles_width(&e->tiles) + MARGIN_LEFT + MARGIN,
                             elevation_tiles_height(&e->tiles) + 2 * MARGIN, TILE_TYPE};
        if (lay_out_at(e, &whole, e->options.scale)) return true;
      }
  e->tiles = (elevation_tiles){0, 0, 0, 0};
  return false;
}

static bool on_asked_sheet(elevation *e, const sheet *s) {
  if (e->options.scale <= 0) return try_scales(e, lay_out_somehow, s, 1, 500);
  return lay_out_somehow(e, s, e->options.scale) || (e->several_sheets && on_tiles(e, s));
}

#define SHEETS_AT_HOME 2 /* A4 and A3: what people can print without a print shop */

static bool on_iso_sheets(elevation *e, fitter *fit, size_t count, double largest, double smallest) {
  for (size_t i = 0; i < count; i++)
    if (e->options.scale > 0 ? fit(e, &iso_sheets[i], e->options.scale)
                             : try_scales(e, fit, &iso_sheets[i], largest, smallest))
      return true;
  return false;
}

/* Where there can be several sheets: the largest scale at which the wall finds room on what people can print, rather
 * on one sheet with all than with a second one for the list. */
static bool at_largest_scale(elevation *e) {
  for (size_t i = 0; i < SCALES && scales[i] <= SCALE_USEFUL; i++)
    for (int apart = 0; apart < 2; apart++) {
      e->list_apart = false;
      for (int k = 0; k < SHEETS_AT_HOME; k++)
        if ((e->options.scale <= 0 || e->options.scale == scales[i]) &&
            (apart ? lay_out_apart : lay_out)(e, &iso_sheets[k], scales[i]))
          return true;
    }
  return false;
}

/* The smallest sheet on which the useful scales fit; then larger sheets; then any scale. */
static bool on_any_sheet(elevation *e) {
  if (e->several_sheets && at_largest_scale(e)) return true;
  e->list_apart = false;
  if (on_iso_sheets(e, lay_out, SHEETS_AT_HOME, 1, SCALE_USEFUL)) return true;
  if (on_iso_sheets(e, lay_out_somehow, SHEETS_AT_HOME, 1, SCALE_USEFUL)) return true;
  e->list_apart = false;
  return on_iso_sheets(e, lay_out, ISO_SHEETS, 1, SCALE_USEFUL) || on_iso_sheets(e, lay_out, ISO_SHEETS, 1, 500);
}

bc_status elevation_choose_layout(elevation *e, const char *path) {
  bool fits;
  switch (e->options.sheet) {
  case BC_SHEET_A4:
    fits = on_asked_sheet(e, &iso_sheets[0]);
    break;
  case BC_SHEET_A3:
    fits = on_asked_sheet(e, &iso_sheets[1]);
    break;
  case BC_SHEET_LETTER:
    fits = on_asked_sheet(e, &american_sheets[0]);
    break;
  case BC_SHEET_TABLOID:
    fits = on_asked_sheet(e, &american_sheets[1]);
    break;
  default:
    fits = on_any_sheet(e);
  }
  if (fits) return BC_OK;
  if (e->options.scale > 0 && e->options.sheet != BC_SHEET_FITTING && !e->several_sheets)
    return bc_fail(e->context, BC_BAD_USAGE,
                   _("%s: at 1:%g the wall takes several sheets of %s, which only a .pdf can have. Ask for a .pdf, for "
                     "larger paper, or for a smaller scale."),
                   path, e->options.scale, e->layout.sheet);
  if (e->options.scale > 0)
    return bc_fail(
        e->context, BC_BAD_USAGE,
        _("The wall at 1:%g does not fit on the largest sheet that may be used. Ask for a smaller scale, for "
          "example 1:%g, or for none."),
        e->options.scale, e->options.scale * 2);
  return bc_fail(e->context, BC_BAD_USAGE, _("The wall and its list do not fit on one sheet. Ask for a larger sheet."));
}
