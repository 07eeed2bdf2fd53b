/* SPDX-License-Identifier: MIT */
/* What is really behind a piece: a ring round its outline, read as a cloth is.
 * In: the wall, the piece's mask. Out: bc_cloth, so that the match judges it as it judges every cloth. */
#include "look_internal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define EVEN_L 4.0 /* below this spread of L* the ring counts as one colour; noise and soft shading stay under it */

/* Between about 2 pixels and the ring's width from the outline, where no other piece is. */
static bool set_ring(uint8_t *ring, const bc_look *look, const bc_look_piece *piece, const uint8_t *cover, bool all) {
  const bc_cutout *const cut = piece->study->cutout;
  const size_t count = (size_t)cut->width * (size_t)cut->height;
  int *d = bc_allocate(count, sizeof *d);
  if (!d) return false;
  look_distances(d, cut->alpha, true, cut->width, cut->height, 20);
  const double smaller = fmin(piece->width_cm, piece->height_cm);
  const double reach = fmax(4, fmax(1, fmin(4, 0.15 * smaller)) * look->pixels_per_cm);
  for (int y = 0; y < cut->height; y++)
    for (int x = 0; x < cut->width; x++) {
      const size_t i = (size_t)y * (size_t)cut->width + (size_t)x;
      const size_t at = (size_t)(y + piece->top) * (size_t)look->wall->width + (size_t)(x + piece->left);
      ring[i] = d[i] >= 6 && d[i] <= 3 * reach + 6 && (all || cover[at] < 20) ? 255 : 0;
    }
  free(d);
  return true;
}

static size_t marked(const uint8_t *ring, size_t count) {
  size_t sum = 0;
  for (size_t i = 0; i < count; i++) sum += ring[i] != 0;
  return sum;
}

static bc_status read_ring(bc_cloth *cloth, bc_context *context, const bc_look *look, const bc_look_piece *piece,
                           const uint8_t *cover) {
  bc_image ringed = *piece->study->image; /* borrows the planes; only the alpha is its own */
  const size_t count = (size_t)ringed.width * (size_t)ringed.height;
  ringed.alpha = bc_allocate(count, 1);
  if (!ringed.alpha) return bc_fail_memory(context);
  bool room = set_ring(ringed.alpha, look, piece, cover, false);
  if (room && marked(ringed.alpha, count) < 24) room = set_ring(ringed.alpha, look, piece, cover, true);
  bc_status status = room ? BC_OK : bc_fail_memory(context);
  if (status == BC_OK && marked(ringed.alpha, count) == 0) memset(ringed.alpha, 255, count);
  if (status == BC_OK) status = bc_textile_of(&cloth->textile, context, &ringed, look->photo);
  free(ringed.alpha);
  return status;
}

bc_status look_behind(bc_cloth **out, bc_context *context, const bc_look *look, const bc_look_piece *piece,
                      const uint8_t *cover) {
  bc_cloth *cloth = bc_allocate(1, sizeof *cloth);
  *out = NULL;
  if (!cloth) return bc_fail_memory(context);
  bc_status status = read_ring(cloth, context, look, piece, cover);
  if (status == BC_OK) {
    if (cloth->textile.spread_l < EVEN_L)
      cloth->colour = cloth->textile.mean;
    else
      bc_cloth_take_textile(cloth);
    cloth->spec = bc_copy_text("");
    cloth->name = bc_copy_text(bc_colour_name(cloth->colour.lab));
    if (!cloth->spec || !cloth->name) status = bc_fail_memory(context);
  }
  if (status == BC_OK)
    *out = cloth;
  else
    bc_cloth_free(cloth);
  return status;
}
