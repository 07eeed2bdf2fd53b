/* SPDX-License-Identifier: MIT */
/* The same wall twice, at one scale: bare, in the stand's own colour, and with the plan's cloth; under each how
 * many pieces stand out there, from the match. */
#include "elevation.h"

#include <math.h>
#include <stdlib.h>

#define WIDTH 297.0 /* mm, as A4 lies */
#define MARGIN 12.0
#define HEAD 19.0
#define BETWEEN 9.0
#define CAPTION 27.0

typedef struct side {
  const bc_plan *plan;
  bc_cloth *cloth;
  const char *words;
  drawing_rect wall;
} side;

typedef struct before_after {
  bc_context *context;
  bc_study *const *studies;
  bc_elevation_options options;
  drawing_canvas *canvas;
  side sides[2];
  bc_collection pieces;
  bc_match *match; /* of both sides' cloths, in rank order */
  double k, width, height;
} before_after;

/* ---- the match ---- */

static bc_status open_cloths(before_after *b, const bc_plan *plan) {
  bc_status status =
      bc_cloth_parse(&b->sides[0].cloth, b->context, plan->stand.wall_css ? plan->stand.wall_css : "#ffffff", NULL);
  if (status != BC_OK) return status;
  char *const spec =
      plan->cloth.photo ? bc_format("photo:%s", plan->cloth.photo) : bc_copy_text(plan->cloth.colour_css);
  if (!spec) return bc_fail_memory(b->context);
  status = bc_cloth_parse(&b->sides[1].cloth, b->context, spec, NULL);
  free(spec);
  return status;
}

/* The pieces that are seen on the wall and have a photo. */
static bc_status match_sides(before_after *b, const bc_plan *plan) {
  bc_status status = BC_OK;
  b->pieces = bc_collection_start();
  for (size_t i = 0; status == BC_OK && b->studies && i < plan->piece_count; i++)
    if (plan->pieces[i].placed && b->studies[i])
      status = bc_collection_lend(&b->pieces, b->context, b->studies[i]->reading);
  for (int i = 0; status == BC_OK && i < 2; i++)
    status = bc_cloths_add_copy(&b->pieces.cloths, b->context, b->sides[i].cloth);
  if (status != BC_OK || b->pieces.count == 0) return status;
  return bc_match_rank(&b->match, b->context, &b->pieces, NULL);
}

static size_t count_of(const before_after *b, size_t which, bc_verdict verdict) {
  size_t count = 0;
  for (size_t place = 0; place < b->match->cloth_count; place++)
    for (size_t i = 0; b->match->cloths[place].cloth == which && i < b->pieces.count; i++)
      count += b->match->cloths[place].pairs[i].verdict == verdict;
  return count;
}

/* ---- drawing ---- */

static void lay_out(before_after *b, const bc_stand *stand) {
  const double wide = (WIDTH - 2 * MARGIN - BETWEEN) / 2;
  b->k = wide / stand->width;
  b->width = WIDTH;
  b->height = 2 * MARGIN + HEAD + b->k * stand->wall_height + CAPTION;
  for (int i = 0; i < 2; i++)
    b->sides[i].wall = (drawing_rect){MARGIN + i * (wide + BETWEEN), MARGIN + HEAD, wide, b->k * stand->wall_height};
}

static bc_status draw_wall(const before_after *b, const side *s) {
  elevation e = {
      .context = b->context, .plan = s->plan, .studies = b->studies, .options = b->options, .canvas = b->canvas};
  const double spill = BETWEEN / 2 - 1;
  e.layout = (elevation_layout){.sheet = "", .k = b->k, .scale = 10 / b->k, .type = 1, .wall = s->wall};
  e.layout.frame =
      (drawing_rect){s->wall.x - spill, s->wall.y - spill, s->wall.width + 2 * spill, s->wall.height + spill + 1};
  e.shown = bc_allocate(s->plan->piece_count, sizeof *e.shown);
  e.outlines = bc_allocate(s->plan->piece_count, sizeof *e.outlines);
  bc_status status = e.shown && e.outlines ? elevation_find_points(&e) : bc_fail_memory(b->context);
  if (status == BC_OK) status = elevation_paint_wall(&e);
  if (status == BC_OK) elevation_draw_fittings(&e);
  free(e.points);
  free(e.shown);
  free(e.outlines);
  bc_notes_clear(&e.notes);
  cairo_t *const cairo = drawing_canvas_cairo(b->canvas);
  drawing_use(cairo, drawing_black);
  cairo_set_line_width(cairo, 0.2);
  cairo_rectangle(cairo, s->wall.x, s->wall.y, s->wall.width, s->wall.height);
  cairo_stroke(cairo);
  return status;
}

/* A disc as full as the verdict is clear, and how many pieces have it; returns where the next may stand. */
static double draw_count(const before_after *b, size_t which, bc_verdict verdict, double x, double y) {
  const drawing_type type = {.size = 3.3, .ink = drawing_black};
  const size_t count = count_of(b, which, verdict);
  drawing_verdict_mark(drawing_canvas_cairo(b->canvas), verdict, x + 1.5, y + 2.6, 1.5, drawing_black);
  return x + 9 + drawing_textf(b->canvas, &type, x + 4.2, y, _("%s: %zu"), bc_verdict_text(verdict), count).width;
}

static void draw_caption(const before_after *b, size_t which) {
  const side *const s = &b->sides[which];
  const drawing_type head = {.size = 4.6, .bold = true, .ink = drawing_black, .width = s->wall.width, .lines = 1};
  const drawing_type line = {.size = 3.6, .ink = drawing_black, .width = s->wall.width, .lines = 2};
  double x = s->wall.x, y = s->wall.y + s->wall.height + 3;
  y += drawing_textf(b->canvas, &head, x, y, which ? _("With the cloth: %s") : _("The bare wall: %s"), s->cloth->name)
           .height;
  if (!b->match) {
    drawing_text(b->canvas, &line, x, y + 1, _("No piece has a photo to be judged by."));
    return;
  }
  const size_t clear = count_of(b, which, BC_STANDS_OUT);
  y += drawing_textf(b->canvas, &line, x, y + 1, _("standing out: %zu of %zu"), clear, b->pieces.count).height;
  x = draw_count(b, which, BC_STANDS_OUT, x, y + 2.5);
  x = draw_count(b, which, BC_SOFT, x, y + 2.5);
  draw_count(b, which, BC_GETS_LOST, x, y + 2.5);
}

static bc_status draw(before_after *b, const char *title) {
  const drawing_type head = {.size = 7, .ink = drawing_black, .width = WIDTH - 2 * MARGIN, .lines = 1};
  const drawing_type under = {.size = 3.2, .ink = drawing_grey, .width = WIDTH - 2 * MARGIN, .lines = 1};
  drawing_text(b->canvas, &head, MARGIN, MARGIN - 2, title);
  drawing_text(b->canvas, &under, MARGIN, MARGIN + 8.2, _("The same wall without and with the cloth, at one scale"));
  for (size_t i = 0; i < 2; i++) {
    const bc_status status = draw_wall(b, &b->sides[i]);
    if (status != BC_OK) return status;
    draw_caption(b, i);
  }
  return BC_OK;
}

static bc_status open_and_draw(before_after *b, const bc_plan *plan, const char *path) {
  bc_status status =
      drawing_canvas_open(&b->canvas, b->context, path,
                          (drawing_sheet_size){b->width, b->height, b->options.pixels_per_cm / b->k, plan->title});
  if (status == BC_OK) status = draw(b, plan->title);
  if (status == BC_OK) return drawing_canvas_finish(b->canvas, b->context);
  drawing_canvas_abandon(b->canvas);
  return status;
}

bc_status bc_drawing_before_after(bc_context *context, const bc_plan *plan, bc_study *const *studies,
                                  const bc_elevation_options *options, const char *path) {
  drawing_format format;
  bc_status status = drawing_format_of(&format, context, path);
  if (status == BC_OK && !plan->cloth.given)
    status = bc_fail(context, BC_BAD_DATA,
                     _("%s: the plan has no cloth to compare with the bare wall. Give it a \"cloth\"."), path);
  bc_plan bare = *plan; /* borrows everything; only the cloth is taken down */
  bare.cloth.given = false;
  before_after b = {.context = context,
                    .studies = studies,
                    .options = options ? *options : bc_elevation_options_default(),
                    .sides = {{.plan = &bare}, {.plan = plan}}};
  lay_out(&b, &plan->stand);
  if (status == BC_OK) status = open_cloths(&b, plan);
  if (status == BC_OK) status = match_sides(&b, plan);
  if (status == BC_OK) status = open_and_draw(&b, plan, path);
  bc_match_free(b.match);
  bc_collection_clear(&b.pieces);
  for (int i = 0; i < 2; i++) bc_cloth_free(b.sides[i].cloth);
  return status;
}
