/* SPDX-License-Identifier: MIT */
/* The photographic layer of the elevation: the pieces' cut-outs at true size on wall and cloth. */
#include "elevation.h"

#include <backcloth/colour.h>
#include <math.h>
#include <stdlib.h>

/* A photo whose proportions differ more than this from the size given is fitted inside, not stretched. */
#define STRETCH_MOST 0.04

static bool is_standing(const bc_piece *piece) {
  return !bc_mount_hangs(piece->mount.kind);
}

/* The picture's rectangle on the wall, cm: the size given, or the largest with the photo's own
 * proportions inside it; a standing piece keeps its foot, a hanging one its top. */
void elevation_fit(const bc_piece *piece, const bc_box *box, double rect[4], bool *fitted) {
  rect[0] = piece->at.x - piece->width / 2;
  rect[1] = piece->at.y - piece->height / 2;
  rect[2] = piece->width;
  rect[3] = piece->height;
  const double wanted = piece->width / piece->height, own = (double)box->width / box->height;
  *fitted = fabs(own / wanted - 1) > STRETCH_MOST;
  if (!*fitted) return;
  if (own > wanted)
    rect[3] = piece->width / own;
  else
    rect[2] = piece->height * own;
  rect[0] = piece->at.x - rect[2] / 2;
  if (!is_standing(piece)) rect[1] = piece->at.y + piece->height / 2 - rect[3];
}

/* How far the middle of a piece is from what is behind it. Hung work lies close; what stands on a
 * table throws its shadow further, and softer. */
double elevation_lift(const bc_piece *piece) {
  const double depth = piece->depth > 0 ? piece->depth : fmin(piece->width, piece->height) * 0.15;
  return fmin(6, fmax(0.8, depth * 0.35)) * (is_standing(piece) ? 1.3 : 1);
}

/* `misfits` collects the numbers of pieces whose photo has other proportions than their size. */
static bc_status make_sprite(elevation *e, const drawing_raster *raster, size_t i, drawing_sprite *out,
                             bc_buffer *misfits) {
  const bc_piece *const piece = &e->plan->pieces[i];
  drawing_cut cut;
  bc_status status = drawing_cut_make(&cut, e->context, e->studies[i]);
  if (status != BC_OK) return status;
  double rect[4];
  bool fitted;
  elevation_fit(piece, &cut.box, rect, &fitted);
  e->shown[i] = elevation_rect(e, rect[0], rect[1], rect[2], rect[3]);
  status = drawing_sprite_make(out, e->context, &cut, drawing_raster_place(raster, e->shown[i]));
  drawing_cut_clear(&cut);
  const double pixels_per_cm = raster->pixels_per_mm * e->layout.k;
  if (status == BC_OK)
    status =
        drawing_sprite_cast(out, e->context, elevation_lift(piece) * pixels_per_cm, is_standing(piece) ? 0.42f : 0.55f);
  if (status == BC_OK) elevation_find_outline(e, i, out, drawing_raster_place(raster, e->shown[i]), pixels_per_cm);
  if (fitted) bc_buffer_add(misfits, "%s%zu", misfits->length ? ", " : "", i + 1);
  return status;
}

/* One sentence for all of them: most photos are taken from a little above. */
static bc_status note_misfits(elevation *e, bc_buffer *misfits) {
  if (misfits->length == 0 && !misfits->failed) return BC_OK;
  char *numbers = NULL;
  bc_status status = bc_buffer_finish(misfits, &numbers, e->context);
  if (status == BC_OK)
    status = bc_note(&e->notes, e->context,
                     _("Drawn smaller than the size given: %s. Is the size wrong, was the photo taken at an angle, or "
                       "does it show a handle or a tag?"),
                     numbers);
  free(numbers);
  return status;
}

static bc_status make_sprites(void *of, const drawing_raster *raster, drawing_scene *scene, drawing_sprite *sprites) {
  elevation *const e = of;
  bc_buffer misfits = {0};
  bc_status status = BC_OK;
  for (size_t i = 0; status == BC_OK && i < e->plan->piece_count; i++) {
    if (!e->studies || !e->studies[i] || !e->plan->pieces[i].placed || e->plan->pieces[i].unmeasured) continue;
    status = make_sprite(e, raster, i, &sprites[scene->sprite_count], &misfits);
    if (status == BC_OK) scene->sprite_count++;
  }
  if (status == BC_OK) status = note_misfits(e, &misfits);
  bc_buffer_clear(&misfits);
  return status;
}

/* The raster covers the wall and whatever reaches beyond it, but not more than the frame. */
static drawing_rect raster_area(const elevation *e) {
  drawing_rect area = e->layout.wall;
  double right = area.x + area.width, bottom = area.y + area.height;
  for (size_t i = 0; i < e->plan->piece_count; i++) {
    const bc_piece *const piece = &e->plan->pieces[i];
    if (!piece->placed || piece->unmeasured || !e->studies || !e->studies[i]) continue;
    const drawing_rect r =
        elevation_rect(e, piece->at.x - piece->width / 2, piece->at.y - piece->height / 2, piece->width, piece->height);
    area.x = fmin(area.x, r.x);
    area.y = fmin(area.y, r.y);
    right = fmax(right, r.x + r.width);
    bottom = fmax(bottom, r.y + r.height);
  }
  const drawing_rect frame = e->layout.frame;
  area.x = fmax(area.x - 1, frame.x);
  area.y = fmax(area.y - 1, frame.y);
  area.width = fmin(right + 1, frame.x + frame.width) - area.x;
  area.height = fmin(bottom + 1, frame.y + frame.height) - area.y;
  return area;
}

bc_status elevation_paint_wall(elevation *e) {
  drawing_raster raster;
  bc_status status =
      drawing_raster_open(&raster, e->context, e->canvas, raster_area(e), ELEVATION_RASTER_PIXELS_PER_MM);
  if (status != BC_OK) return status;
  const elevation_composed how = {drawing_paper_of(e->canvas), make_sprites, elevation_draw_underlay, e};
  status = elevation_compose(e, &raster, &how);
  drawing_raster_close(&raster, e->canvas);
  return status;
}
