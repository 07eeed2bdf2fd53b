/* SPDX-License-Identifier: MIT */
/* Wall, cloth, what lies behind the pieces, and their cut-outs, put together in linear light: for the elevation and for
 * the back of the aisle view. */
#include "elevation.h"

#include <backcloth/colour.h>
#include <stdlib.h>

static bc_status print_cloth(elevation *e, drawing_cloth_field *field, double pixels_per_cm) {
  const bc_wall_cloth *const cloth = &e->plan->cloth;
  drawing_textile textile;
  bc_status status = drawing_textile_open(&textile, e->context, cloth->photo);
  if (status == BC_OK)
    status = drawing_cloth_field_print(field, e->context, &textile, cloth->photo_width * pixels_per_cm);
  drawing_textile_clear(&textile);
  if (status != BC_OK || cloth->photo_width_given) return status;
  return bc_note(&e->notes, e->context,
                 _("The plan doesn't say how much of the cloth its photo shows; %.0f cm (%.0f in) across are taken."),
                 cloth->photo_width, cloth->photo_width / 2.54);
}

static bc_status make_cloth(elevation *e, const drawing_raster *raster, drawing_cloth_field *field) {
  const bc_wall_cloth *const cloth = &e->plan->cloth;
  const drawing_rect area = elevation_rect(e, cloth->left, cloth->top - cloth->height, cloth->width, cloth->height);
  const drawing_cloth_look look = {.place = drawing_raster_place(raster, area),
                                   .pixels_per_cm = raster->pixels_per_mm * e->layout.k,
                                   .fullness = cloth->fullness,
                                   .weave = !cloth->photo,
                                   .hem = true};
  bc_status status = drawing_cloth_field_make(field, e->context, cloth->colour, &look);
  if (status == BC_OK && cloth->photo) status = print_cloth(e, field, look.pixels_per_cm);
  if (status != BC_OK) return status;
  const drawing_v4 c = field->colour;
  e->cloth_luminance = 0.2126 * (double)c[0] + 0.7152 * (double)c[1] + 0.0722 * (double)c[2];
  return BC_OK;
}

static bool has_underlay(const elevation *e) {
  return e->plan->zone_count + e->plan->post_count + e->plan->grid_count > 0;
}

/* What is drawn with Cairo as a picture for the compositor. */
static bc_status make_layer(elevation *e, const drawing_raster *raster, const elevation_composed *how,
                            cairo_surface_t **out) {
  *out = cairo_image_surface_create(CAIRO_FORMAT_ARGB32, raster->width, raster->height);
  cairo_t *const cairo = cairo_create(*out);
  cairo_scale(cairo, raster->pixels_per_mm, raster->pixels_per_mm);
  cairo_translate(cairo, -raster->left_mm, -raster->top_mm);
  drawing_canvas *const sheet = e->canvas;
  bc_status status = cairo_status(cairo) == CAIRO_STATUS_SUCCESS ? BC_OK : bc_fail_memory(e->context);
  if (status == BC_OK) status = drawing_canvas_borrow(&e->canvas, e->context, cairo);
  if (status == BC_OK) {
    how->draw_underlay(how->scene);
    drawing_canvas_abandon(e->canvas);
  }
  e->canvas = sheet;
  cairo_destroy(cairo);
  cairo_surface_flush(*out);
  return status;
}

bc_status elevation_compose(elevation *e, const drawing_raster *raster, const elevation_composed *how) {
  drawing_scene scene = {.width = raster->width,
                         .height = raster->height,
                         .paper = {(float)bc_srgb_decode(how->paper.red), (float)bc_srgb_decode(how->paper.green),
                                   (float)bc_srgb_decode(how->paper.blue), 1},
                         .has_wall = true,
                         .wall = drawing_raster_place(raster, e->layout.wall),
                         .wall_colour = drawing_linear_of(e->plan->stand.wall_colour)};
  drawing_cloth_field cloth = {0};
  drawing_sprite *const sprites = bc_allocate(e->plan->piece_count, sizeof *sprites);
  bc_status status = sprites ? BC_OK : bc_fail_memory(e->context);
  if (status == BC_OK && e->plan->cloth.given) {
    status = make_cloth(e, raster, &cloth);
    scene.cloth = &cloth;
    scene.cloth_lift = 1.2 * raster->pixels_per_mm * e->layout.k;
  }
  if (status == BC_OK) status = how->add_sprites(how->scene, raster, &scene, sprites);
  cairo_surface_t *underlay = NULL;
  if (status == BC_OK && has_underlay(e)) {
    status = make_layer(e, raster, how, &underlay);
    scene.underlay = (const uint32_t *)(const void *)cairo_image_surface_get_data(underlay);
    scene.underlay_stride = (size_t)cairo_image_surface_get_stride(underlay) / 4;
  }
  scene.sprites = sprites;
  if (status == BC_OK) status = drawing_compose(&scene, e->context, raster->pixels, raster->stride);
  for (size_t i = 0; i < scene.sprite_count; i++) drawing_sprite_clear(&sprites[i]);
  free(sprites);
  if (underlay) cairo_surface_destroy(underlay);
  drawing_cloth_field_clear(&cloth);
  return status;
}
