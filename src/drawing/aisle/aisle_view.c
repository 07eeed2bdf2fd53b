/* SPDX-License-Identifier: MIT */
/* The aisle view: the stand in central projection upon the wall's plane, from the plan's own viewer.
 * What lies at z is enlarged by d / (d - z) about the point straight ahead of the eye, so upright
 * planes keep their shape and the elevation's code draws them. */
#include "aisle_scene.h"

#include <math.h>
#include <stdlib.h>

#define MARGIN 12.0
#define TITLE_HEIGHT 15.0
#define BESIDE_WIDTH 78.0
#define BELOW_HEIGHT 24.0
#define GAP 5.0

typedef struct paper {
  double width, height;
} paper;

static paper paper_of(bc_sheet sheet) {
  switch (sheet) {
  case BC_SHEET_A3:
    return (paper){420, 297};
  case BC_SHEET_LETTER:
    return (paper){279.4, 215.9};
  case BC_SHEET_TABLOID:
    return (paper){431.8, 279.4};
  default:
    return (paper){297, 210};
  }
}

/* How much of the stand's surroundings the picture takes in, in widths and heights of the wall. */
#define ASIDE 0.18
#define ABOVE 0.10
#define UNDER 0.20

static void lay_out(aisle_scene *s, paper sheet) {
  const bc_stand *const stand = &s->e.plan->stand;
  const double beside = s->figures ? BESIDE_WIDTH + GAP : 0, below = s->figures ? BELOW_HEIGHT + GAP : 0;
  const double wide = (1 + 2 * ASIDE) * stand->width, high = (1 + ABOVE + UNDER) * stand->wall_height;
  const double room_wide = sheet.width - 2 * MARGIN - beside;
  const double room_high = sheet.height - 2 * MARGIN - TITLE_HEIGHT - below;
  const double k = fmin(room_wide / wide, room_high / high);
  s->picture = (drawing_rect){MARGIN, MARGIN + TITLE_HEIGHT, k * wide, k * high};
  s->e.layout = (elevation_layout){.sheet = "",
                                   .width = sheet.width,
                                   .height = sheet.height,
                                   .scale = 10 / k,
                                   .k = k,
                                   .type = 1,
                                   .wall = {s->picture.x + ASIDE * k * stand->width,
                                            s->picture.y + ABOVE * k * stand->wall_height, k * stand->width,
                                            k * stand->wall_height}};
}

static bc_status check(const aisle_scene *s) {
  double near = bc_aisle_furniture_reach(s->e.plan);
  for (size_t i = 0; i < s->e.plan->piece_count; i++)
    near = fmax(near, bc_aisle_piece_z(s->e.plan, &s->e.plan->pieces[i]));
  if (s->eye.z > near + 30) return BC_OK;
  return bc_fail(s->e.context, BC_BAD_DATA,
                 _("The viewers stand %.0f cm from the wall, among what stands there. Let them stand "
                   "more than %.0f cm away (\"distance\" in \"viewers\")."),
                 s->eye.z, near + 30);
}

static bc_status draw(aisle_scene *s) {
  const elevation_layout *const l = &s->e.layout;
  cairo_t *const cairo = drawing_canvas_cairo(s->e.canvas);
  const drawing_rect p = s->picture;
  cairo_save(cairo);
  cairo_rectangle(cairo, p.x, p.y, p.width, p.height);
  cairo_clip(cairo);
  bc_status status = aisle_paint_wall(s);
  if (status == BC_OK) status = aisle_draw_standing(s);
  if (status == BC_OK) aisle_draw_people(s);
  cairo_restore(cairo);
  drawing_use(cairo, drawing_black);
  cairo_set_line_width(cairo, 0.25);
  cairo_rectangle(cairo, p.x, p.y, p.width, p.height);
  cairo_stroke(cairo);
  if (status != BC_OK) return status;
  const drawing_rect title = {MARGIN, MARGIN, l->width - 2 * MARGIN, TITLE_HEIGHT};
  const drawing_rect below = {p.x, p.y + p.height + GAP, p.width, l->height - MARGIN - p.y - p.height - GAP};
  const double x = p.x + p.width + GAP;
  return aisle_draw_words(s, title, below, (drawing_rect){x, p.y, l->width - MARGIN - x, l->height - MARGIN - p.y});
}

bc_status bc_drawing_aisle(bc_context *context, const bc_plan *plan, bc_study *const *studies,
                           const bc_aisle_company *seen, const bc_elevation_options *options, const char *path) {
  aisle_scene s = {.e = {.context = context,
                         .plan = plan,
                         .studies = studies,
                         .options = options ? *options : bc_elevation_options_default()},
                   .eye = bc_aisle_eye_of(plan),
                   .figures = seen ? seen->figures : NULL};
  drawing_format format;
  bc_status status = drawing_format_of(&format, context, path);
  if (status == BC_OK) status = check(&s);
  if (status == BC_OK) status = elevation_find_points(&s.e);
  if (seen && seen->crowd) { /* those of whom figures and words speak, where there are figures */
    bc_aisle_options crowd = *seen->crowd;
    if (seen->figures) crowd.crowd = seen->figures->crowd;
    s.people_count = bc_aisle_crowd(s.people, plan, &crowd);
  }
  lay_out(&s, paper_of(s.e.options.sheet));
  s.e.outlines = bc_allocate(plan->piece_count, sizeof *s.e.outlines);
  if (status == BC_OK && !s.e.outlines) status = bc_fail_memory(context);
  if (status == BC_OK)
    status = drawing_canvas_open(&s.e.canvas, context, path,
                                 (drawing_sheet_size){s.e.layout.width, s.e.layout.height,
                                                      s.e.options.pixels_per_cm / s.e.layout.k, plan->title});
  if (status == BC_OK) {
    status = draw(&s);
    if (status == BC_OK)
      status = drawing_canvas_finish(s.e.canvas, context);
    else
      drawing_canvas_abandon(s.e.canvas);
  }
  free(s.e.points);
  free(s.e.outlines);
  return status;
}
