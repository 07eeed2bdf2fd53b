/* SPDX-License-Identifier: MIT */
/* The aisle view's back: wall, cloth and hung pieces in linear light, then the stand's floor and side
 * walls over what lies outside of the wall. */
#include "aisle_scene.h"

#include <math.h>

static const drawing_ink hall = {0.925, 0.915, 0.90, 1}, floor_ink = {0.80, 0.775, 0.74, 1};

static bool hangs(const bc_piece *piece) {
  return piece->placed && !piece->unmeasured && bc_mount_hangs(piece->mount.kind);
}

static bc_status make_hung(aisle_scene *s, const drawing_raster *raster, size_t i, drawing_sprite *out) {
  elevation *const e = &s->e;
  const bc_piece *const piece = &e->plan->pieces[i];
  const double z = bc_aisle_piece_z(e->plan, piece);
  drawing_cut cut;
  bc_status status = drawing_cut_make(&cut, e->context, e->studies[i]);
  if (status != BC_OK) return status;
  double rect[4];
  bool fitted;
  elevation_fit(piece, &cut.box, rect, &fitted);
  const double left = aisle_px(s, rect[0], z), top = aisle_py(s, rect[1] + rect[3], z);
  const drawing_rect area = {left, top, aisle_px(s, rect[0] + rect[2], z) - left, aisle_py(s, rect[1], z) - top};
  status = drawing_sprite_make(out, e->context, &cut, drawing_raster_place(raster, area));
  drawing_cut_clear(&cut);
  const drawing_place box = drawing_raster_place(raster, area);
  if (status == BC_OK) elevation_find_outline(e, i, out, box, box.width / rect[2]);
  if (status == BC_OK)
    status = drawing_sprite_cast(out, e->context, elevation_lift(piece) * raster->pixels_per_mm * e->layout.k, 0.55f);
  return status;
}

static bc_status make_all_hung(void *of, const drawing_raster *raster, drawing_scene *scene, drawing_sprite *sprites) {
  aisle_scene *const s = of;
  const elevation *const e = &s->e;
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < e->plan->piece_count; i++)
    if (hangs(&e->plan->pieces[i]) && e->studies && e->studies[i]) {
      status = make_hung(s, raster, i, &sprites[scene->sprite_count]);
      if (status == BC_OK) scene->sprite_count++;
    }
  return status;
}

/* ---- floor and side walls ---- */

static void face(const aisle_scene *s, const double corners[4][3], drawing_ink near, drawing_ink far) {
  cairo_t *const cairo = drawing_canvas_cairo(s->e.canvas);
  double x[4], y[4];
  for (int i = 0; i < 4; i++) {
    x[i] = aisle_px(s, corners[i][0], corners[i][2]);
    y[i] = aisle_py(s, corners[i][1], corners[i][2]);
    if (i == 0)
      cairo_move_to(cairo, x[i], y[i]);
    else
      cairo_line_to(cairo, x[i], y[i]);
  }
  cairo_close_path(cairo);
  cairo_pattern_t *const shade = cairo_pattern_create_linear(x[0], y[0], x[2], y[2]);
  cairo_pattern_add_color_stop_rgb(shade, 0, far.red, far.green, far.blue);
  cairo_pattern_add_color_stop_rgb(shade, 1, near.red, near.green, near.blue);
  cairo_set_source(cairo, shade);
  cairo_fill(cairo);
  cairo_pattern_destroy(shade);
}

static drawing_ink wall_ink(const bc_plan *plan, float light) {
  const drawing_v4 linear = drawing_linear_of(plan->stand.wall_colour);
  double rgb[3];
  for (int c = 0; c < 3; c++) {
    const long step = lrint(65535 * fmin(1, fmax(0, (double)(linear[c] * light))));
    rgb[c] = drawing_encode_table()[step] / 255.0;
  }
  return (drawing_ink){rgb[0], rgb[1], rgb[2], 1};
}

/* Up to the stand's front, or to just before the eye. */
static void draw_room(const aisle_scene *s) {
  const bc_stand *const stand = &s->e.plan->stand;
  const double w = stand->width, h = stand->wall_height, near = s->eye.z * 0.97;
  const double side = fmin(stand->depth, near);
  const drawing_ink floor_far = {floor_ink.red * 0.93, floor_ink.green * 0.93, floor_ink.blue * 0.93, 1};
  const double wide = 40 * w;
  face(s, (const double[4][3]){{-wide, 0, 0}, {wide, 0, 0}, {wide, 0, near}, {-wide, 0, near}}, floor_ink, floor_far);
  const bc_open_side open = stand->open_side; /* there is an aisle instead of a wall */
  if (open != BC_OPEN_LEFT && open != BC_OPEN_BOTH)
    face(s, (const double[4][3]){{0, 0, 0}, {0, h, 0}, {0, h, side}, {0, 0, side}}, wall_ink(s->e.plan, 0.86f),
         wall_ink(s->e.plan, 0.74f));
  if (open != BC_OPEN_RIGHT && open != BC_OPEN_BOTH)
    face(s, (const double[4][3]){{w, 0, 0}, {w, h, 0}, {w, h, side}, {w, 0, side}}, wall_ink(s->e.plan, 0.80f),
         wall_ink(s->e.plan, 0.66f));
}

/* A soft dark line where wall and floor meet, which seats the wall. */
static void draw_foot_of_wall(const aisle_scene *s) {
  cairo_t *const cairo = drawing_canvas_cairo(s->e.canvas);
  const drawing_rect w = s->e.layout.wall;
  const double y = w.y + w.height, deep = 4 * s->e.layout.k;
  cairo_pattern_t *const shade = cairo_pattern_create_linear(0, y, 0, y + deep);
  cairo_pattern_add_color_stop_rgba(shade, 0, 0, 0, 0, 0.22);
  cairo_pattern_add_color_stop_rgba(shade, 1, 0, 0, 0, 0);
  cairo_set_source(cairo, shade);
  cairo_rectangle(cairo, w.x, y, w.width, deep);
  cairo_fill(cairo);
  cairo_pattern_destroy(shade);
}

/* A hung piece without a photo. */
static void draw_blank(const aisle_scene *s, const bc_piece *piece) {
  cairo_t *const cairo = drawing_canvas_cairo(s->e.canvas);
  const double z = bc_aisle_piece_z(s->e.plan, piece);
  const double left = aisle_px(s, piece->at.x - piece->width / 2, z),
               top = aisle_py(s, piece->at.y + piece->height / 2, z);
  cairo_rectangle(cairo, left, top, aisle_px(s, piece->at.x + piece->width / 2, z) - left,
                  aisle_py(s, piece->at.y - piece->height / 2, z) - top);
  drawing_use(cairo, drawing_paper);
  cairo_fill_preserve(cairo);
  drawing_use(cairo, drawing_black);
  cairo_set_line_width(cairo, 0.2);
  cairo_stroke(cairo);
}

static void draw_hangings(const aisle_scene *s) {
  const elevation *const e = &s->e;
  cairo_t *const cairo = drawing_canvas_cairo(e->canvas);
  for (size_t i = 0; i < e->plan->rod_count; i++) elevation_draw_rod(e, &e->plan->rods[i]);
  for (size_t i = 0; i < e->plan->piece_count; i++)
    if (hangs(&e->plan->pieces[i]) && (!e->studies || !e->studies[i])) draw_blank(s, &e->plan->pieces[i]);
  const double x = elevation_x(e, s->eye.x), y = elevation_y(e, s->eye.y);
  for (size_t i = 0; i < e->point_count; i++) {
    const double enlarged = aisle_enlarged(s, bc_aisle_piece_z(e->plan, &e->plan->pieces[e->points[i].piece]));
    cairo_save(cairo);
    cairo_translate(cairo, x, y);
    cairo_scale(cairo, enlarged, enlarged);
    cairo_translate(cairo, -x, -y);
    elevation_draw_cord(e, &e->points[i]);
    elevation_draw_point(e, &e->points[i]);
    cairo_restore(cairo);
  }
}

bc_status aisle_paint_wall(aisle_scene *s) {
  drawing_raster raster;
  bc_status status =
      drawing_raster_open(&raster, s->e.context, s->e.canvas, s->picture, ELEVATION_RASTER_PIXELS_PER_MM);
  if (status != BC_OK) return status;
  s->pixels_per_mm = raster.pixels_per_mm;
  const elevation_composed how = {hall, make_all_hung, aisle_draw_underlay, s};
  status = elevation_compose(&s->e, &raster, &how);
  drawing_raster_close(&raster, s->e.canvas);
  if (status != BC_OK) return status;
  draw_room(s);
  draw_foot_of_wall(s);
  aisle_draw_post_feet(s);
  draw_hangings(s);
  return BC_OK;
}
