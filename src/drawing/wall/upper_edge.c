/* SPDX-License-Identifier: MIT */
/* Where cords and hooks take hold of a piece: read from the cut-out's own upper edge, so that nothing hangs in the
 * air above a basket's handles. */
#include "elevation.h"

#include <math.h>

/* Rows from the box's top to the first that is mostly opaque, at `share` of the box's width; -1 when there is none in
 * the upper half. */
static double first_opaque(const drawing_sprite *sprite, drawing_place box, double share) {
  const int x = (int)(box.left + share * box.width) - sprite->left;
  if (x < 0 || x >= sprite->width) return -1;
  const int start = (int)fmax(0, box.top - sprite->top), most = (int)(box.height / 2);
  for (int y = start; y - start < most && y < sprite->height; y++)
    if (sprite->pixels[4 * ((size_t)y * (size_t)sprite->width + (size_t)x) + 3] >= 32768) return y - start;
  return -1;
}

#define STEPS 24
/* A loop shorter than this is the hook itself, cm. */
#define LOOP_LEAST 1.0

/* On either side of the middle the nearest place of the upper edge, within the middle half of the width. */
static void find_grips(elevation_outline *out, const drawing_sprite *sprite, drawing_place box, double pixels_per_cm) {
  const double width = box.width / pixels_per_cm, middle = first_opaque(sprite, box, 0.5) / pixels_per_cm;
  out->grip[0] = out->grip[1] = (bc_point_cm){0, 0};
  if (middle >= 0 && middle < LOOP_LEAST) return;
  for (int side = 0; side < 2; side++) {
    double best = INFINITY;
    for (int i = 0; i <= STEPS; i++) {
      const double share = (0.06 + 0.30 * i / STEPS) * (side ? 1 : -1);
      const double drop = first_opaque(sprite, box, 0.5 + share) / pixels_per_cm;
      const double price = drop + 0.3 * fabs(share * width); /* a handle's crown rather than the rim before it */
      if (drop < 0 || price >= best) continue;
      best = price;
      out->grip[side] = (bc_point_cm){share * width, drop + 0.3}; /* over the edge, not up to it */
    }
  }
}

void elevation_find_outline(elevation *e, size_t piece, const drawing_sprite *sprite, drawing_place box,
                            double pixels_per_cm) {
  elevation_outline *const out = &e->outlines[piece];
  for (int n = 0; n < 3; n++) out->drop[n] = fmax(0, first_opaque(sprite, box, 0.25 * (n + 1))) / pixels_per_cm;
  find_grips(out, sprite, box, pixels_per_cm);
}
