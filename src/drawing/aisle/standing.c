/* SPDX-License-Identifier: MIT */
/* What stands in the stand, seen from the aisle: shelves and tables as boxes, the pieces on them, and
 * people. Tables are covered to the floor, as the figures take them. */
#include "aisle_scene.h"

#include <math.h>
#include <stdlib.h>

static const drawing_ink linen = {0.885, 0.86, 0.815, 1}, linen_front = {0.815, 0.785, 0.735, 1},
                         linen_side = {0.73, 0.70, 0.65, 1};
static const drawing_ink oak = {0.80, 0.69, 0.55, 1}, oak_front = {0.70, 0.58, 0.44, 1},
                         oak_side = {0.60, 0.49, 0.37, 1};

/* Soft vertical folds of the cloth over a table's front. */
static void draw_folds(const aisle_scene *s, const bc_table *t, double front) {
  cairo_t *const cairo = drawing_canvas_cairo(s->e.canvas);
  const double every = 12, half = 4;
  for (double x = t->x + every / 2; x < t->x + t->width - half; x += every) {
    const double left = aisle_px(s, x - half, front), right = aisle_px(s, x + half, front);
    cairo_pattern_t *const shade = cairo_pattern_create_linear(left, 0, right, 0);
    cairo_pattern_add_color_stop_rgba(shade, 0, 0.2, 0.15, 0.1, 0);
    cairo_pattern_add_color_stop_rgba(shade, 0.5, 0.2, 0.15, 0.1, 0.09);
    cairo_pattern_add_color_stop_rgba(shade, 1, 0.2, 0.15, 0.1, 0);
    cairo_set_source(cairo, shade);
    const double top = aisle_py(s, t->height - 3, front);
    cairo_rectangle(cairo, left, top, right - left, aisle_py(s, 0, front) - top);
    cairo_fill(cairo);
    cairo_pattern_destroy(shade);
  }
}

/* ---- standing pieces ---- */

/* A sprite as Cairo takes it: encoded, premultiplied by alpha. */
static cairo_surface_t *surface_of(const drawing_sprite *sprite) {
  cairo_surface_t *const surface = cairo_image_surface_create(CAIRO_FORMAT_ARGB32, sprite->width, sprite->height);
  if (cairo_surface_status(surface) != CAIRO_STATUS_SUCCESS) return surface;
  const uint8_t *const encode = drawing_encode_table();
  const int stride = cairo_image_surface_get_stride(surface) / 4;
  uint32_t *const out = (uint32_t *)(void *)cairo_image_surface_get_data(surface);
  for (int y = 0; y < sprite->height; y++)
    for (int x = 0; x < sprite->width; x++) {
      const uint16_t *const from = sprite->pixels + 4 * ((size_t)y * (size_t)sprite->width + (size_t)x);
      const uint32_t alpha = (uint32_t)(from[3] * 255u + 32767u) / 65535u;
      uint32_t pixel = alpha << 24;
      for (int c = 0; c < 3 && from[3] > 0; c++) {
        const uint32_t linear = (uint32_t)fmin(65535, from[c] * 65535.0 / from[3]);
        pixel |= (encode[linear] * alpha + 127) / 255 << (16 - 8 * c);
      }
      out[(size_t)y * (size_t)stride + (size_t)x] = pixel;
    }
  cairo_surface_mark_dirty(surface);
  return surface;
}

static drawing_rect seen_rect(const aisle_scene *s, const double rect[4], double z) {
  const double left = aisle_px(s, rect[0], z), top = aisle_py(s, rect[1] + rect[3], z);
  return (drawing_rect){left, top, aisle_px(s, rect[0] + rect[2], z) - left, aisle_py(s, rect[1], z) - top};
}

/* Where a piece touches what it stands on: a flat soft ellipse. */
static void contact_shadow(cairo_t *cairo, drawing_rect r, double flat) {
  cairo_save(cairo);
  cairo_translate(cairo, r.x + r.width / 2 + 0.03 * r.width, r.y + r.height);
  cairo_scale(cairo, r.width * 0.56, fmax(0.35, r.width * flat));
  cairo_pattern_t *const shade = cairo_pattern_create_radial(0, 0, 0.15, 0, 0, 1);
  cairo_pattern_add_color_stop_rgba(shade, 0, 0, 0, 0, 0.5);
  cairo_pattern_add_color_stop_rgba(shade, 0.6, 0, 0, 0, 0.22);
  cairo_pattern_add_color_stop_rgba(shade, 1, 0, 0, 0, 0);
  cairo_set_source(cairo, shade);
  cairo_arc(cairo, 0, 0, 1, 0, 2 * M_PI);
  cairo_fill(cairo);
  cairo_pattern_destroy(shade);
  cairo_restore(cairo);
}

static bc_status draw_photo(const aisle_scene *s, size_t i, double z, double flat) {
  const bc_piece *const piece = &s->e.plan->pieces[i];
  drawing_cut cut;
  bc_status status = drawing_cut_make(&cut, s->e.context, s->e.studies[i]);
  if (status != BC_OK) return status;
  double rect[4];
  bool fitted;
  elevation_fit(piece, &cut.box, rect, &fitted);
  const drawing_rect area = seen_rect(s, rect, z);
  const double scale = s->pixels_per_mm;
  const drawing_place place = {area.x * scale, area.y * scale, area.width * scale, area.height * scale};
  drawing_sprite sprite;
  status = drawing_sprite_make(&sprite, s->e.context, &cut, place);
  drawing_cut_clear(&cut);
  if (status != BC_OK) return status;
  cairo_t *const cairo = drawing_canvas_cairo(s->e.canvas);
  contact_shadow(cairo, area, flat);
  cairo_surface_t *const surface = surface_of(&sprite);
  cairo_save(cairo);
  cairo_scale(cairo, 1 / scale, 1 / scale);
  cairo_set_source_surface(cairo, surface, sprite.left, sprite.top);
  cairo_paint(cairo);
  cairo_restore(cairo);
  cairo_surface_destroy(surface);
  drawing_sprite_clear(&sprite);
  return BC_OK;
}

static bc_status draw_piece(const aisle_scene *s, size_t i) {
  const bc_piece *const piece = &s->e.plan->pieces[i];
  const double z = bc_aisle_piece_z(s->e.plan, piece);
  /* How flat a circle on the ground looks: the eye's height above it over the distance. */
  const double flat = 0.5 * fmax(0.05, (s->eye.y - (piece->at.y - piece->height / 2)) / (s->eye.z - z)) * 0.6;
  if (s->e.studies && s->e.studies[i]) return draw_photo(s, i, z, flat);
  cairo_t *const cairo = drawing_canvas_cairo(s->e.canvas);
  const double rect[4] = {piece->at.x - piece->width / 2, piece->at.y - piece->height / 2, piece->width, piece->height};
  const drawing_rect r = seen_rect(s, rect, z);
  contact_shadow(cairo, r, flat);
  cairo_rectangle(cairo, r.x, r.y, r.width, r.height);
  drawing_use(cairo, drawing_paper);
  cairo_fill_preserve(cairo);
  drawing_use(cairo, drawing_black);
  cairo_set_line_width(cairo, 0.2);
  cairo_stroke(cairo);
  drawing_type type = {.size = fmin(2.4, r.height * 0.4), .align = DRAWING_CENTRE, .ink = drawing_black};
  const double wide = drawing_text_measure(&type, piece->title).width;
  if (wide > r.width - 1) type.size *= (r.width - 1) / wide;
  if (r.width > 3 && type.size > 0.7)
    drawing_text(s->e.canvas, &type, r.x + r.width / 2,
                 r.y + (r.height - drawing_text_measure(&type, piece->title).height) / 2, piece->title);
  return BC_OK;
}

static bc_status draw_pieces(const aisle_scene *s, bc_mount_kind kind) {
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < s->e.plan->piece_count; i++)
    if (s->e.plan->pieces[i].placed && !s->e.plan->pieces[i].unmeasured && s->e.plan->pieces[i].mount.kind == kind)
      status = draw_piece(s, i);
  return status;
}

static void draw_risers(const aisle_scene *s) {
  for (size_t i = 0; i < s->e.plan->riser_count; i++) {
    const bc_riser *const r = &s->e.plan->risers[i];
    const bc_table *const t = bc_plan_riser_table(s->e.plan, r);
    if (!t) continue;
    const double top = bc_plan_riser_top(s->e.plan, r);
    aisle_draw_solid(s, &(aisle_solid){r->x, r->x + r->width, t->height, top, t->from_wall, t->from_wall + r->depth,
                                       oak, oak_front, oak_side});
  }
}

/* Back rest, seat and front legs, as in the elevation. */
static void draw_chairs(const aisle_scene *s) {
  const double leg = BC_CHAIR_LEG_CM, thick = BC_CHAIR_THICK_CM;
  for (size_t i = 0; i < s->e.plan->chair_count; i++) {
    const bc_chair *const c = &s->e.plan->chairs[i];
    const double x = c->x, end = c->x + c->width, back = c->from_wall, front = fmin(back + c->depth, s->eye.z - 1);
    if (front <= back + thick) continue; /* behind the visitor */
    aisle_draw_solid(s, &(aisle_solid){x, end, c->seat, c->height, back, back + thick, oak, oak_front, oak_side});
    for (int side = 0; side < 4; side++) {
      const double at = side & 1 ? end - leg : x, z = side & 2 ? front - leg : back;
      aisle_draw_solid(s, &(aisle_solid){at, at + leg, 0, c->seat - thick, z, z + leg, oak, oak_front, oak_side});
    }
    aisle_draw_solid(s, &(aisle_solid){x, end, c->seat - thick, c->seat, back, front, oak, oak_front, oak_side});
  }
}

bc_status aisle_draw_standing(aisle_scene *s) {
  const bc_plan *const plan = s->e.plan;
  for (size_t i = 0; i < plan->shelf_count; i++) {
    const bc_shelf *const b = &plan->shelves[i];
    aisle_draw_solid(s, &(aisle_solid){b->x, b->x + b->width, b->y - 2, b->y, 0, b->depth, oak, oak_front, oak_side});
  }
  bc_status status = draw_pieces(s, BC_MOUNT_SHELF);
  if (status == BC_OK) status = draw_pieces(s, BC_MOUNT_FLOOR);
  for (size_t i = 0; i < plan->table_count; i++) {
    const bc_table *const t = &plan->tables[i];
    const double front = fmin(t->from_wall + t->depth, s->eye.z - 1);
    aisle_draw_solid(
        s, &(aisle_solid){t->x, t->x + t->width, 0, t->height, t->from_wall, front, linen, linen_front, linen_side});
    draw_folds(s, t, front);
  }
  draw_risers(s);
  if (status == BC_OK) status = draw_pieces(s, BC_MOUNT_TABLE);
  draw_chairs(s);
  return status;
}

/* ---- people ---- */

#define FIGURE_HALF_BREADTH 0.131 /* of the figure's own outline, in heights */

/* The nearer, the darker; a light rim parts one from the next. */
void aisle_draw_people(aisle_scene *s) {
  cairo_t *const cairo = drawing_canvas_cairo(s->e.canvas);
  for (int i = 0; i < s->people_count; i++) {
    const bc_aisle_person *const p = &s->people[i];
    const double height = p->stature * aisle_enlarged(s, p->z) * s->e.layout.k;
    const double slim = p->breadth / 2 / (FIGURE_HALF_BREADTH * p->stature);
    cairo_save(cairo);
    cairo_translate(cairo, aisle_px(s, p->x, p->z), aisle_py(s, 0, p->z));
    cairo_save(cairo);
    cairo_scale(cairo, slim, 1);
    drawing_figure(cairo, 0, 0, height);
    cairo_restore(cairo);
    const double nearness = p->z / s->eye.z;
    drawing_use(cairo, (drawing_ink){0.52 - 0.2 * nearness, 0.50 - 0.2 * nearness, 0.48 - 0.19 * nearness, 1});
    cairo_fill_preserve(cairo);
    cairo_set_line_width(cairo, 0.3);
    drawing_use(cairo, (drawing_ink){1, 1, 1, 0.55});
    cairo_stroke(cairo);
    cairo_restore(cairo);
  }
}
