/* SPDX-License-Identifier: MIT */
/* The pieces on a straightened wall: parts that differ from the bare wall, or boxes that a person gave, each cut out on
 * a crop of its own and measured. In: the wall and its ground. Out: bc_look.pieces in reading order. */
#include "pieces_internal.h"

#include <math.h>
#include <stdlib.h>

#define MOST_PIECES 200

static bc_box inside(bc_box box, const bc_image *image) {
  const int left = box.x < 0 ? 0 : box.x, top = box.y < 0 ? 0 : box.y;
  const int right = box.x + box.width > image->width ? image->width : box.x + box.width;
  const int bottom = box.y + box.height > image->height ? image->height : box.y + box.height;
  return (bc_box){left, top, right - left, bottom - top};
}

/* Cuts what lies in `box` (pixels of the wall) and adds it to the pieces. `number`: its part, or -1. */
static bc_status add_piece(look_search *s, bc_box box, int32_t number) {
  bc_look *const look = s->look;
  const int margin = (int)(0.3 * fmax(box.width, box.height) + 5 * look->pixels_per_cm);
  const bc_box crop =
      inside((bc_box){box.x - margin, box.y - margin, box.width + 2 * margin, box.height + 2 * margin}, look->wall);
  const bc_box inner = {box.x - crop.x, box.y - crop.y, box.width, box.height};
  bc_image *image = NULL;
  bc_status status = look_crop(&image, s->context, look->wall, crop);
  char *name = status == BC_OK ? bc_format("%s#%zu", look->photo, look->piece_count + 1) : NULL;
  if (status == BC_OK && !name) {
    bc_image_free(image);
    return bc_fail_memory(s->context);
  }
  bc_look_piece piece = {.left = crop.x, .top = crop.y, .boxed = number < 0};
  const look_guess from = {.s = s, .crop = crop, .number = number};
  if (status == BC_OK) status = look_piece_cut(&piece.study, s->context, image, &from, inner, name);
  free(name);
  if (status != BC_OK) return status;
  look_piece_measure(&piece, look);
  look->pieces[look->piece_count++] = piece;
  return BC_OK;
}

/* ---- given boxes ---- */

static bc_status add_boxed(look_search *s, const bc_look_options *options) {
  bc_look *const look = s->look;
  bc_homography to_wall;
  if (!bc_homography_invert(&to_wall, &look->to_photo)) return bc_fail_memory(s->context);
  for (size_t i = 0; i < options->box_count; i++) {
    const bc_box b = options->boxes[i];
    double left = HUGE_VAL, right = -HUGE_VAL, low = HUGE_VAL, high = -HUGE_VAL;
    for (int k = 0; k < 4; k++) {
      const bc_look_point corner = {b.x + (k % 2 ? (double)b.width : 0), b.y + (k / 2 ? (double)b.height : 0)};
      const bc_look_point at =
          bc_homography_apply(&to_wall, look_unbend(corner, look->full_width, look->full_height, look->outline.bend));
      left = fmin(left, at.x);
      right = fmax(right, at.x);
      low = fmin(low, at.y);
      high = fmax(high, at.y);
    }
    const bool off = b.x + (long)b.width > look->full_width || b.y + (long)b.height > look->full_height;
    if (off || !(right > 0 && high > 0 && left < look->width_cm && low < look->height_cm))
      return bc_fail(s->context, BC_BAD_DATA, _("%s: the box %d,%d,%d,%d does not lie on the wall."), look->photo, b.x,
                     b.y, b.width, b.height);
    const double px = look->pixels_per_cm;
    const bc_box box = inside((bc_box){(int)floor(fmax(0, left) * px), (int)floor(fmax(0, look->height_cm - high) * px),
                                       (int)ceil((fmin(right, look->width_cm) - fmax(0, left)) * px),
                                       (int)ceil((fmin(high, look->height_cm) - fmax(0, low)) * px)},
                              look->wall);
    if (box.width < 8 || box.height < 8)
      return bc_fail(s->context, BC_BAD_DATA, _("%s: the box %d,%d,%d,%d is too small."), look->photo, b.x, b.y,
                     b.width, b.height);
    const bc_status status = add_piece(s, box, -1);
    if (status != BC_OK) return status;
  }
  return BC_OK;
}

static bc_status add_found(look_search *s) {
  const look_ground *const g = s->ground;
  const bc_image *const wall = s->look->wall;
  for (size_t i = 0; i < s->count && s->look->piece_count < MOST_PIECES; i++) {
    const look_part *const p = &s->parts[i];
    if (!look_part_is_piece(s, p)) continue;
    const double sx = (double)wall->width / g->width, sy = (double)wall->height / g->height;
    /* A cell more on each side: the edge lies within the cells beside. */
    const bc_box box =
        inside((bc_box){(int)floor((p->left - 1) * sx), (int)floor((p->top - 1) * sy),
                        (int)ceil((p->right - p->left + 3) * sx), (int)ceil((p->bottom - p->top + 3) * sy)},
               wall);
    const bc_status status = add_piece(s, box, (int32_t)i);
    if (status != BC_OK) return status;
  }
  return BC_OK;
}

bc_status look_pieces_find(bc_look *look, bc_context *context, look_ground *ground, const bc_look_options *options) {
  look_search s = {.look = look, .context = context, .ground = ground};
  const size_t room = options->box_count > MOST_PIECES ? options->box_count : MOST_PIECES;
  look->pieces = bc_allocate(room, sizeof *look->pieces);
  bc_status status =
      look->pieces && look_parts_find(&s) && (options->box_count || (look_things_find(&s) && look_parts_find(&s)))
          ? BC_OK
          : bc_fail_memory(context);
  if (status == BC_OK) status = options->box_count ? add_boxed(&s, options) : add_found(&s);
  free(s.label);
  free(s.queue);
  free(s.parts);
  if (status == BC_OK && !options->box_count) look_pieces_order(look);
  return status;
}

void look_piece_clear(bc_look_piece *piece) {
  bc_study_free(piece->study);
  bc_cloth_free(piece->behind);
}

uint8_t *look_cover(const bc_look *look) {
  uint8_t *cover = bc_allocate((size_t)look->wall->width * (size_t)look->wall->height, 1);
  for (size_t i = 0; cover && i < look->piece_count; i++) {
    const bc_look_piece *const piece = &look->pieces[i];
    const bc_cutout *const cut = piece->study->cutout;
    for (int y = 0; y < cut->height; y++)
      for (int x = 0; x < cut->width; x++) {
        uint8_t *at = &cover[(size_t)(y + piece->top) * (size_t)look->wall->width + (size_t)(x + piece->left)];
        const uint8_t alpha = cut->alpha[(size_t)y * (size_t)cut->width + (size_t)x];
        *at = alpha > *at ? alpha : *at;
      }
  }
  return cover;
}
