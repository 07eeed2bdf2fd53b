/* SPDX-License-Identifier: MIT */
/* The wall elevation: chooses the sheet, then draws layer upon layer. */
#include "elevation.h"
#include <backcloth/file.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

bc_elevation_options bc_elevation_options_default(void) {
  return (bc_elevation_options){.scale = 0, .pixels_per_cm = 4, .units = BC_UNITS_METRIC, .sheet = BC_SHEET_FITTING};
}

/* ---- the pieces' numbers ---- */

/* Marks for the hanging points must stay visible: labels keep off them, and, while there is room, off the
 * words on pieces without a photo (`words`). */
static size_t gather_obstacles(const elevation *e, drawing_rect *out, bool words) {
  const double radius = 1.2 * e->layout.type;
  for (size_t i = 0; i < e->point_count; i++)
    out[i] = (drawing_rect){elevation_x(e, e->points[i].at.x) - radius, elevation_y(e, e->points[i].at.y) - radius,
                            2 * radius, 2 * radius};
  size_t count = e->point_count;
  for (size_t i = 0; words && i < e->plan->piece_count; i++)
    if ((!e->studies || !e->studies[i] || e->plan->pieces[i].unmeasured) && e->shown[i].width > 0)
      out[count++] = e->shown[i];
  return count;
}

/* Nothing is dropped silently. */
static bc_status note_homeless(elevation *e, const drawing_label *labels, const size_t *pieces, size_t count) {
  bc_buffer numbers = {0};
  for (size_t i = 0; i < count; i++)
    if (labels[i].placed.width <= 0) bc_buffer_add(&numbers, "%s%zu", numbers.length ? ", " : "", pieces[i] + 1);
  bc_status status = BC_OK;
  if (numbers.text)
    status = bc_note(&e->notes, e->context, _("No room on the wall for the numbers %s: a larger scale shows them."),
                     numbers.text);
  bc_buffer_clear(&numbers);
  return status;
}

static size_t gather_labels(const elevation *e, drawing_label *labels, size_t *pieces, drawing_rect *soft) {
  size_t count = 0;
  const double size = (ELEVATION_NUMBER_SIZE + 0.4) * e->layout.type;
  for (size_t i = 0; i < e->plan->piece_count; i++) {
    if (e->shown[i].width <= 0) continue;
    labels[count] = (drawing_label){.anchor = e->shown[i], .width = size, .height = size};
    soft[count] = e->shown[i];
    pieces[count++] = i;
  }
  return count;
}

static void draw_leader(const elevation *e, const drawing_label *label) {
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  const double x = label->placed.x + label->width / 2, y = label->placed.y + label->height / 2;
  const drawing_rect a = label->anchor;
  drawing_use(cairo, drawing_black);
  cairo_set_line_width(cairo, 0.18);
  drawing_line(cairo, x, y, fmin(a.x + a.width, fmax(a.x, x)), fmin(a.y + a.height, fmax(a.y, y)));
}

bc_status elevation_draw_numbers(elevation *e) {
  const size_t most = e->plan->piece_count;
  drawing_label *const labels = bc_allocate(most, sizeof *labels);
  size_t *const pieces = bc_allocate(most, sizeof *pieces);
  drawing_rect *const rects = bc_allocate(2 * most + e->point_count, sizeof *rects);
  bc_status status = labels && pieces && rects ? BC_OK : bc_fail_memory(e->context);
  if (status == BC_OK) {
    const size_t count = gather_labels(e, labels, pieces, rects);
    for (int words = 1; words >= 0; words--) {
      const size_t hard = gather_obstacles(e, rects + most, words);
      if (drawing_labels_place(labels, count, (drawing_rects){rects + most, hard}, (drawing_rects){rects, count},
                               e->layout.wall) == 0)
        break;
    }
    status = note_homeless(e, labels, pieces, count);
    for (size_t i = 0; i < count; i++)
      if (labels[i].away && labels[i].placed.width > 0) draw_leader(e, &labels[i]);
    for (size_t i = 0; i < count; i++)
      if (labels[i].placed.width > 0)
        elevation_number_mark(e, pieces[i], labels[i].placed.x + labels[i].width / 2,
                              labels[i].placed.y + labels[i].height / 2);
    elevation_draw_doubts(e);
  }
  free(labels);
  free(pieces);
  free(rects);
  return status;
}

/* ---- all layers ---- */

static bc_status draw(elevation *e) {
  bc_status status = elevation_paint_wall(e);
  if (status != BC_OK) return status;
  elevation_draw_sight(e);
  elevation_draw_fittings(e);
  elevation_draw_dimensions(e);
  status = elevation_draw_numbers(e);
  elevation_draw_legend(e);
  elevation_draw_frame(e);
  if (e->list_apart) elevation_draw_list_sheets(e);
  return status;
}

/* ---- what was done, in words ---- */

static bc_status tell_of(const elevation *e, const char *path) {
  bc_notes *const told = e->options.told;
  const elevation_layout *const l = &e->layout;
  char scale[32];
  snprintf(scale, sizeof scale, "1:%g", l->scale);
  const bc_status status =
      e->sheets > 1
          ? bc_note(told, e->context, _("%s: the wall at %s on %d sheets of %s."), path, scale, e->sheets, l->sheet)
          : bc_note(told, e->context, _("%s: the wall at %s on one sheet of %s."), path, scale, l->sheet);
  if (status != BC_OK || drawing_canvas_unknown(e->canvas) == 0) return status;
  return bc_note(told, e->context,
                 _("%s: no font on this computer can show some of the letters, and boxes stand in their place. Install "
                   "a font for that script, for example one of the Noto fonts."),
                 path);
}

static bc_status tell(const elevation *e, const char *path) {
  if (!e->options.told) return BC_OK;
  char *shown = bc_path_shown(path);
  const bc_status status = shown ? tell_of(e, shown) : bc_fail_memory(e->context);
  free(shown);
  return status;
}

/* Records the drawing once, and lays it on all sheets. */
static bc_status draw_tiled(elevation *e, const char *path) {
  const cairo_rectangle_t extents = {0, 0, e->layout.width, e->layout.height};
  cairo_surface_t *const drawn = cairo_recording_surface_create(CAIRO_CONTENT_COLOR_ALPHA, &extents);
  cairo_t *const cairo = cairo_create(drawn);
  bc_status status = cairo_status(cairo) == CAIRO_STATUS_SUCCESS ? BC_OK : bc_fail_memory(e->context);
  if (status == BC_OK) status = drawing_canvas_borrow(&e->canvas, e->context, cairo);
  if (status == BC_OK) status = draw(e);
  if (status == BC_OK) status = tell(e, path);
  drawing_canvas *sheet = NULL;
  if (status == BC_OK)
    status = drawing_canvas_open(&sheet, e->context, path,
                                 (drawing_sheet_size){e->tiles.paper_width, e->tiles.paper_height, 0, e->plan->title});
  if (status == BC_OK) {
    elevation_draw_tiles(e, sheet, drawn);
    status = drawing_canvas_finish(sheet, e->context);
  }
  drawing_canvas_abandon(e->canvas);
  cairo_destroy(cairo);
  cairo_surface_destroy(drawn);
  return status;
}

static bc_status open_and_draw(elevation *e, const char *path) {
  if (e->tiles.across > 0) return draw_tiled(e, path);
  const elevation_layout *const l = &e->layout;
  const double pixels_per_mm = e->options.pixels_per_cm / l->k;
  bc_status status = drawing_canvas_open(&e->canvas, e->context, path,
                                         (drawing_sheet_size){l->width, l->height, pixels_per_mm, e->plan->title});
  if (status != BC_OK) return status;
  status = draw(e);
  if (status == BC_OK) status = tell(e, path);
  if (status == BC_OK) return drawing_canvas_finish(e->canvas, e->context);
  drawing_canvas_abandon(e->canvas);
  return status;
}

static bc_status check_options(bc_context *context, const bc_elevation_options *options) {
  if (!(options->scale >= 0) || options->scale > 10000)
    return bc_fail(context, BC_BAD_USAGE, _("A scale of 1:%g makes no sense here. Give for example 1:20."),
                   options->scale);
  if (!(options->pixels_per_cm > 0))
    return bc_fail(context, BC_BAD_USAGE, _("The pixels per cm must be more than 0, for example 4."));
  return BC_OK;
}

#define WARNED_MOST 8 /* names at the drawing's foot; all have their marks */

bc_status bc_drawing_elevation(bc_context *context, const bc_plan *plan, bc_study *const *studies,
                               const bc_loads *loads, const bc_elevation_options *options, const char *path) {
  elevation e = {.context = context,
                 .plan = plan,
                 .studies = studies,
                 .loads = loads,
                 .options = options ? *options : bc_elevation_options_default()};
  drawing_format format;
  bc_status status = drawing_format_of(&format, context, path);
  if (status == BC_OK) status = check_options(context, &e.options);
  if (status == BC_OK) status = elevation_find_points(&e);
  if (status == BC_OK && loads) status = bc_loads_warning(&e.warning, context, loads, plan, WARNED_MOST);
  e.several_sheets = format == DRAWING_PDF;
  elevation_list_cache list = {.height = bc_allocate(plan->piece_count + 1 + e.point_count, sizeof *list.height)};
  e.list = &list;
  if (status == BC_OK) status = elevation_choose_layout(&e, path);
  if (status == BC_OK && e.list_apart) {
    e.sheet = 1;
    e.sheets = 1 + elevation_list_sheets(&e);
  }
  if (e.tiles.across > 0) e.sheets = 1 + e.tiles.across * e.tiles.down;
  e.shown = bc_allocate(plan->piece_count, sizeof *e.shown);
  e.outlines = bc_allocate(plan->piece_count, sizeof *e.outlines);
  if (status == BC_OK && (!e.shown || !e.outlines)) status = bc_fail_memory(context);
  if (status == BC_OK) status = open_and_draw(&e, path);
  free(list.height);
  free(e.points);
  free(e.shown);
  free(e.outlines);
  free(e.warning);
  bc_notes_clear(&e.notes);
  return status;
}
